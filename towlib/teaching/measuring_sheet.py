"""A measuring sheet to print: a drawing of every length, and a table to write the numbers into."""

import html

from towlib.field_lists import SECTIONS, RigField, rig_fields
from towlib.rig_store import reader_folder, write_whole

# letter on the drawing -> rig field
LETTERS = {
    "A": "tow_vehicle.wheelbase", "B": "tow_vehicle.ball_behind_rear_axle", "C": "hitch.receiver_height", "D": "hitch.ball_mount_change",
    "E": "tow_bar.length", "F": "towed_vehicle.bracket_height", "G": "towed_vehicle.bracket_ahead_of_front_axle", "H": "towed_vehicle.wheelbase",
    "I": "towed_vehicle.bracket_spread", "J": "safety_chains.receiver_anchor_spread", "K": "safety_chains.receiver_anchor_behind_ball",
    "L": "safety_chains.bar_anchor_spread", "M": "safety_chains.bar_anchor_behind_ball", "N": "safety_chains.receiver_anchor_height",
    "O": "safety_chains.bar_anchor_height", "P": "hitch.lowest_point_height", "Q": "bracket.bolts.0.behind_pin", "R": "bracket.bolts.0.above_pin",
    "S": "bracket.bolts.0.outboard_of_pin", "T": "bracket.edge_distance"}
_STYLE = ("@page{size:A4;margin:12mm}body{font:10pt 'DejaVu Sans',Arial,sans-serif;max-width:186mm;margin:auto}table{border-collapse:collapse;width:100%}"
          "td,th{border:.2mm solid #555;padding:.8mm 1.5mm;text-align:left;font-size:9pt}td.blank{width:32mm}svg{width:100%;height:auto}h1{font-size:14pt}h2{font-size:11pt}")


def _dimension(letter: str, x1: float, y1: float, x2: float, y2: float) -> str:
    middle_x, middle_y = (x1 + x2) / 2, (y1 + y2) / 2
    return (f"<line x1='{x1}' y1='{y1}' x2='{x2}' y2='{y2}' stroke='#000' marker-start='url(#tip)' marker-end='url(#tip)'/>"
            f"<circle cx='{middle_x}' cy='{middle_y}' r='10' fill='#fff' stroke='#000'/>"
            f"<text x='{middle_x}' y='{middle_y + 5}' text-anchor='middle' font-size='14' font-weight='bold'>{letter}</text>")


_TIP = ("<defs><marker id='tip' viewBox='0 0 10 10' refX='9' refY='5' markerWidth='7' markerHeight='7' orient='auto-start-reverse'>"
        "<path d='M0 0 L10 5 L0 10 z'/></marker></defs>")


def side_view_svg() -> str:
    """Both vehicles from the side with the lengths lettered."""
    wheels = "".join(f"<circle cx='{x}' cy='180' r='30' fill='#ddd' stroke='#000' stroke-width='2'/>" for x in (110, 350, 650, 810))
    bodies = ("<path d='M50 165 L55 120 L120 110 L160 60 L255 60 L262 112 L420 112 L420 165 Z' fill='none' stroke='#000' stroke-width='2'/>"
              "<path d='M610 165 L612 115 L680 108 L705 60 L850 60 L856 165 Z' fill='none' stroke='#000' stroke-width='2'/>")
    bar = ("<path d='M420 160 L452 160 L452 150' fill='none' stroke='#000' stroke-width='5'/><circle cx='452' cy='145' r='6'/>"
           "<line x1='452' y1='145' x2='606' y2='142' stroke='#000' stroke-width='4'/><circle cx='606' cy='142' r='5' fill='#fff' stroke='#000' stroke-width='2'/>")
    measures = (_dimension("A", 110, 235, 350, 235), _dimension("B", 350, 235, 452, 235), _dimension("C", 408, 210, 408, 162),
                _dimension("D", 480, 160, 480, 128), _dimension("E", 452, 96, 606, 96), _dimension("F", 590, 210, 590, 144),
                _dimension("G", 606, 235, 650, 235), _dimension("H", 650, 235, 810, 235), _dimension("N", 440, 210, 440, 172), _dimension("O", 530, 210, 530, 152),
                _dimension("P", 466, 210, 466, 163))
    return (f"<svg viewBox='0 0 900 260' role='img' aria-label='Side view of both vehicles with lettered lengths'>{_TIP}"
            f"<line x1='0' y1='210' x2='900' y2='210' stroke='#000'/>{bodies}{wheels}{bar}{''.join(measures)}</svg>")


def top_view_svg() -> str:
    """Ball, bar and chains from above with the lengths lettered."""
    parts = ("<rect x='60' y='60' width='60' height='180' fill='none' stroke='#000' stroke-width='2'/><text x='66' y='50' font-size='14'>receiver</text>"
             "<circle cx='260' cy='150' r='8'/><text x='240' y='185' font-size='14'>ball</text>"
             "<path d='M260 150 L700 60 M260 150 L700 240' stroke='#000' stroke-width='4'/><circle cx='700' cy='60' r='6'/><circle cx='700' cy='240' r='6'/>"
             "<text x='712' y='155' font-size='14'>brackets</text>"
             "<path d='M120 95 C 250 150, 330 210, 430 185 M120 205 C 250 150, 330 90, 430 115' fill='none' stroke='#000' stroke-dasharray='7 4' stroke-width='2'/>"
             "<text x='330' y='245' font-size='14'>safety chains, crossed</text>")
    measures = (_dimension("I", 700, 75, 700, 225), _dimension("J", 95, 95, 95, 205), _dimension("K", 120, 275, 260, 275), _dimension("L", 430, 118, 430, 182),
                _dimension("M", 260, 30, 430, 30))
    return (f"<svg viewBox='0 0 800 300' role='img' aria-label='Top view of ball, bar and chains with lettered lengths'>{_TIP}{parts}{''.join(measures)}</svg>")


def bracket_svg() -> str:
    """One bracket from the side and from above, with the place of a bolt lettered from the bar's pin."""
    side = ("<text x='20' y='22' font-size='14'>bracket from the side</text><rect x='210' y='50' width='26' height='170' fill='#ddd' stroke='#000' stroke-width='2'/>"
            "<path d='M210 110 L90 110 L90 160 L210 160' fill='none' stroke='#000' stroke-width='2'/><circle cx='120' cy='135' r='12' fill='#fff' stroke='#000' stroke-width='2'/>"
            "<text x='60' y='190' font-size='14'>bar's pin</text><path d='M196 80 L260 80 M196 195 L260 195' stroke='#000' stroke-width='7'/><text x='266' y='85' font-size='14'>bolt</text>")
    above = ("<text x='430' y='22' font-size='14'>bracket from the front</text><rect x='440' y='40' width='180' height='190' fill='#eee' stroke='#000' stroke-width='2'/>"
             "<circle cx='530' cy='135' r='12' fill='#fff' stroke='#000' stroke-width='2'/>"
             + "".join(f"<circle cx='{x}' cy='{y}' r='9' fill='#999' stroke='#000' stroke-width='2'/>" for x in (480, 580) for y in (80, 195)))
    measures = (_dimension("Q", 120, 245, 223, 245), _dimension("R", 660, 80, 660, 135), _dimension("S", 530, 252, 580, 252), _dimension("T", 580, 55, 620, 55))
    return (f"<svg viewBox='0 0 700 275' role='img' aria-label='A bracket from the side and from the front with the places of its bolts lettered'>{_TIP}{side}{above}{''.join(measures)}</svg>")


def measuring_sheet_html() -> str:
    """The sheet: two drawings, the lengths by letter, then everything else that is read off or weighed."""
    fields = {field.path: field for field in rig_fields()}
    lengths = "".join(f"<tr><td><b>{letter}</b></td><td>{html.escape(fields[path].label)}</td><td>{html.escape(path)}</td><td class='blank'></td></tr>"
                      for letter, path in LETTERS.items())
    rest = "".join(_read_off(table, title, fields) for table, title in SECTIONS.items())
    loads = "".join("<tr><td class='blank'></td><td class='blank'></td><td class='blank'></td><td>tow / towed</td><td>out / back / both</td></tr>" for _ in range(6))
    bolts = "".join(f"<tr><td>{number}</td><td class='blank'></td><td class='blank'></td><td class='blank'></td></tr>" for number in range(1, 7))
    return (f"<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><title>Measuring sheet</title><style>{_STYLE}</style></head><body>"
            "<h1>Measuring sheet: both vehicles</h1><p>Level ground, tyres at road pressure, both vehicles chocked; nobody lies under a vehicle that only a jack holds. "
            "Write the unit beside every number.</p>"
            f"<h2>From the side</h2>{side_view_svg()}<h2>From above</h2>{top_view_svg()}"
            "<p><b>Spring rate of an axle:</b> measure hub to wheel arch, put a known mass over that axle (people in the bed do), measure again, both sides. "
            "Rate = mass × 9.81 / mean sink; 100 kg and 12 mm give 82 kN/m.</p>"
            f"<table><tr><th></th><th>length</th><th>field</th><th>measured</th></tr>{lengths}</table>"
            f"<h2>One bracket</h2>{bracket_svg()}<p>From the pin: behind, above and outboard are +; ahead, below and inboard are −. One row for each bolt.</p>"
            f"<table><tr><th>bolt</th><th>behind (Q)</th><th>above (R)</th><th>outboard (S)</th></tr>{bolts}</table>"
            f"<h2>To read off, weigh or look up</h2><table><tr><th>what</th><th>where</th><th>value and unit</th></tr>{rest}</table>"
            "<h2>People and cargo</h2><table><tr><th>who or what</th><th>mass</th><th>behind the front hubs</th><th>vehicle</th><th>way</th></tr>"
            f"{loads}</table></body></html>")


def _read_off(table: str, title: str, fields: dict[str, RigField]) -> str:
    """The rows of one part of the rig that are read off, weighed or looked up, under the part's name."""
    rows = "".join(f"<tr><td>{html.escape(field.label)}{' <b>(needed)</b>' if field.required else ''}</td><td>{html.escape(field.where)}</td><td class='blank'></td></tr>"
                   for path, field in fields.items() if path.rpartition(".")[0] == table and path not in LETTERS.values() and field.where)
    return f"<tr><th colspan='3'>{html.escape(title)}</th></tr>{rows}" if rows else ""


def write_measuring_sheet() -> str:
    """Write my_measuring_sheet.html beside the reader's rig and say where."""
    path = reader_folder() / "my_measuring_sheet.html"
    write_whole(path, measuring_sheet_html())
    return f"Written: {path.name}. Open it from the file list on the left and print it."
