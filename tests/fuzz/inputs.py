"""Hostile inputs: good files with one to four things broken, files of pure nonsense, and files that
hypothesis builds field by field.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random

from hypothesis import strategies as st

from towlib.lessons.slider_rows import GROUPS, PLAIN_KINDS
from towlib.limits.derived import DERIVED
from towlib.print.field_lists import RigField, rig_fields
from towlib.units import KINDS

DATA = Path(__file__).parents[2] / "data"
NASTY_NUMBERS = (
    "0",
    "-0",
    "-1",
    "1e400",
    "-1e-400",
    "nan",
    "inf",
    "-inf",
    "9" * 30,
    "9" * 5000,
    "0x" + "f" * 5000,
    "1_000",
    "1,2",
    "1e308",
    "٣",
    "1e",
    "+-1",
    "0.1.2",
    "9**9**9",
    "1/0",
    "2026-11-25",
    "07:32:00Z",
    "true",
    "1 ± 2",
    "4.10 ± 9e99",
    "",
)
NASTY_UNITS = (
    "kg",
    "lb",
    "lbf",
    "9**9**9 kg",
    "kg**kg",
    "kg;import os",
    "__import__('os')",
    "% kg",
    "°",
    "degF",
    "\u2126",
    "m/s/s/s",
    "kg" * 30,
    "N·m",
    "µm",
    "± kg",
    "+/-",
    "± 2 %",
)
NASTY_WORDS = (
    "",
    " ",
    "\t",
    "\x00",
    "\x1b[2J",
    "\u202e",
    "\ufeff",
    "\ud7ff",
    "🚙",
    "é" * 300,
    "a" * 5000,
    "../../../etc/hostname",
    "/dev/zero",
    "file:///etc/passwd",
    "{0.__class__}",
    "%(x)s%n",
    "{{7*7}}",
    "{% include '/etc/passwd' %}",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "$\\frac{1}{$",
    "\\input{/etc/passwd}",
    "'; DROP TABLE x",
    "NaN",
    "null",
    "None",
    "\\u0000",
    "\\ud800",
    "\r\n",
    "\n\n",
    ",,,,",
    ";;;",
    '"',
    "'",
    "'''",
    '"""',
    "=",
    "[",
    "]]",
    "[[",
    "{",
    "}",
    "#",
    "<!--",
    "-->",
    "]]>",
    "<![CDATA[",
    "&a;",
    "&#0;",
    "xmlns",
    "xmlns:",
    "xmlns:x=",
    "<!DOCTYPE gpx>",
    "a.b.c.d.e.f",
    "." * 200,
    "a." * 3000,
    "[" * 3000,
    "{a=" * 800,
    "(" * 999,
)
ENTITY_BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=False))
    + "]><gpx><trk><name>&i;</name></trk></gpx>"
)
OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM'
    ' "file:///etc/passwd">]><gpx><trk><name>&x;</name><trkseg>{}</trkseg></trk></gpx>'
)
INCLUDE = (
    '<gpx xmlns:xi="http://www.w3.org/2001/XInclude"><trk><name><xi:include href="/etc/passwd"'
    ' parse="text"/></name><trkseg>{}</trkseg></trk></gpx>'
)


@cache
def seeds(kind: str) -> tuple[bytes, ...]:
    """Good files of a kind, cut short where they are long."""
    folder, pattern = {
        "rig": ("rigs", "*.toml"),
        "csv": ("routes", "*.csv"),
        "gpx": ("routes", "*.gpx"),
        "table": ("handbook", "*.csv"),
        "lesson": ("lessons", "*.toml"),
    }[kind]
    found = [path.read_bytes() for path in sorted((DATA / folder).glob(pattern))]
    if kind == "gpx":
        return (
            _gpx([(46 + i / 5000, 7 + i / 4000, 900 + 3 * i) for i in range(30)]),
            OUTSIDE.format(_points(9)).encode(),
            INCLUDE.format(_points(9)).encode(),
            ENTITY_BOMB.encode(),
        )
    return tuple(b"\n".join(text.splitlines()[:60]) if kind in ("csv", "table") else text for text in found)


def _points(count: int) -> str:
    return "".join(
        f'<trkpt lat="{46 + i / 5000}"'
        f' lon="7"><ele>{900 + i}</ele><time>2026-07-01T10:00:{i % 60:02}Z</time></trkpt>'
        for i in range(count)
    )


def _gpx(points, *, tag: str = "trkpt", space: str = ' xmlns="http://www.topografix.com/GPX/1/1"') -> bytes:
    rows = "".join(
        f'<{tag} lat="{lat}" lon="{lon}"><ele>{height}</ele></{tag}>' for lat, lon, height in points
    )
    inside = f"<trk><name>x</name><trkseg>{rows}</trkseg></trk>" if tag == "trkpt" else f"<rte>{rows}</rte>"
    return f'<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1"{space}>{inside}</gpx>'.encode()


def spoilt(kind: str) -> Callable[[Random], bytes]:
    """A maker of files of a kind that were good once."""

    def make(random: Random) -> bytes:
        text = bytearray(random.choice(seeds(kind)))
        if random.random() < 0.04:
            return random.randbytes(random.randrange(400))
        for _ in range(random.choice((1, 1, 1, 2, 2, 3, 4))):
            random.choice(_BREAKS)(random, text, kind)
        return bytes(text[:300_000])

    return make


def _place(random: Random, text: bytearray) -> int:
    return random.randrange(len(text) + 1)


def _nasty(random: Random) -> bytes:
    return random.choice(random.choice((NASTY_NUMBERS, NASTY_UNITS, NASTY_WORDS))).encode(
        "utf-8", "surrogatepass"
    )


def _insert(random: Random, text: bytearray, _: str) -> None:
    at = _place(random, text)
    text[at:at] = _nasty(random)


def _instead(random: Random, text: bytearray, _: str) -> None:
    """A nasty value in place of one that stands between quotes, commas, equals signs or tags."""
    marks = [i for i, byte in enumerate(text) if byte in b'",=<>\n'] or [0]
    i = random.randrange(len(marks))
    text[marks[i] + 1 : marks[min(i + 1, len(marks) - 1)]] = _nasty(random)


def _flip(random: Random, text: bytearray, _: str) -> None:
    for _ in range(random.randrange(1, 6)):
        if text:
            text[random.randrange(len(text))] = random.randrange(256)


def _cut(random: Random, text: bytearray, _: str) -> None:
    a, b = sorted((_place(random, text), _place(random, text)))
    del text[a : min(b, a + random.choice((1, 3, 20, 10**6)))]


def _double(random: Random, text: bytearray, _: str) -> None:
    a = _place(random, text)
    text[a:a] = text[a : a + random.choice((5, 50, 400))] * random.choice((1, 2, 40))


def _lines(random: Random, text: bytearray, _: str) -> None:
    lines = bytes(text).split(b"\n")
    i, j = random.randrange(len(lines)), random.randrange(len(lines))
    lines[i], lines[j] = random.choice(
        ((lines[j], lines[i]), (lines[i], lines[i]), (lines[i] + lines[j], b""))
    )
    text[:] = b"\n".join(lines)


def _splice(random: Random, text: bytearray, kind: str) -> None:
    other = random.choice(seeds(random.choice((kind, kind, "rig", "csv", "gpx", "table", "lesson"))))
    at, start = _place(random, text), random.randrange(len(other))
    text[at : at + random.choice((0, 200))] = other[start : start + random.randrange(300)]


def _written(random: Random, text: bytearray, _: str) -> None:
    """The same text written by another program: line ends, byte order mark, another alphabet, a null."""
    words = bytes(text).decode("utf-8", "replace")
    text[:] = random.choice(
        (
            words.replace("\n", "\r\n").encode(),
            words.replace("\n", "\r").encode(),
            b"\xef\xbb\xbf" + bytes(text),
            words.encode("utf-16"),
            words.encode("latin-1", "replace"),
            words.replace(",", ";").encode(),
            words.replace(".", ",").encode(),
            words.replace(" ", "\u00a0").encode(),
            bytes(text) + b"\0",
            words.upper().encode(),
        )
    )


def _long(random: Random, text: bytearray, _: str) -> None:
    at = _place(random, text)
    text[at:at] = random.choice(
        (b"9", b" ", b"a.", b"[", b"\n", b"#", b'"', b"<a>", b"<a ", b"1,", b"\\", b"{a=", b"xmlns", b"&")
    ) * random.choice((300, 3_000, 30_000))


_BREAKS = (
    _insert,
    _insert,
    _instead,
    _instead,
    _instead,
    _instead,
    _flip,
    _cut,
    _double,
    _lines,
    _lines,
    _splice,
    _written,
    _long,
)


def typed(random: Random) -> bytes:
    """What somebody might type into a field."""
    number, unit, word = (
        random.choice(NASTY_NUMBERS),
        random.choice(
            (random.choice(NASTY_UNITS), random.choice(list(random.choice(list(KINDS.values())).spellings)))
        ),
        random.choice(NASTY_WORDS),
    )
    plain = f"{random.uniform(-3, 5000):.{random.randrange(4)}f}"
    return random.choice(
        (
            f"{number} {unit}",
            f"{plain} {unit}",
            f"{plain}{unit}",
            f"{plain} ± {number} {unit}",
            f"{plain} {unit} +/- 2 %",
            word,
            f"{plain} {word}",
            f"{word}{unit}",
            f"{plain}, {number}, {plain}",
        )
    ).encode("utf-8", "surrogatepass")


def notebook(random: Random) -> bytes:
    """A notebook of one cell, spoilt."""
    text = bytearray(
        b'{"cells": [{"cell_type": "code", "metadata": {"tags": ["setup"]}, "source": ["x = 1\\n"],'
        b' "outputs": [{"text": ["a"]}]}], "nbformat": 4}'
    )
    for _ in range(random.randrange(1, 4)):
        random.choice(_BREAKS)(random, text, "lesson")
    return bytes(text)


# ---- what hypothesis builds


def _number() -> st.SearchStrategy[str]:
    return st.one_of(
        st.sampled_from(NASTY_NUMBERS),
        st.integers(-10, 20_000).map(str),
        st.floats(0, 5000).map(lambda x: f"{x:.4g}"),
        st.floats().map(repr),
    )


def _text() -> st.SearchStrategy[str]:
    return st.one_of(st.sampled_from(NASTY_WORDS), st.text(max_size=30), st.sampled_from(NASTY_UNITS))


def _mostly(good: st.SearchStrategy[str], odd: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Twelve good ones to one odd one; `one_of` counts what stands in it twice only once."""
    return st.sampled_from((*[good] * 12, odd)).flatmap(lambda chosen: chosen)


def _toml_string(text: str) -> str:
    return (
        '"'
        + "".join(
            (
                char
                if char.isprintable() and char not in '"\\'
                else f"\\u{ord(char):04x}"
                if ord(char) < 0x10000
                else "?"
            )
            for char in text
        )
        + '"'
    )


def _value(field: RigField) -> st.SearchStrategy[str]:
    fitting = [st.just(field.example)] if field.example else []
    if field.kind in KINDS:
        fitting += [
            st.builds("{} {}".format, _number(), st.sampled_from(list(KINDS[field.kind].spellings))),
            st.builds(
                "{} ± {} {}".format, _number(), _number(), st.sampled_from(list(KINDS[field.kind].spellings))
            ),
        ]
    fitting += [st.sampled_from(field.choices)] if field.choices else []
    return st.one_of(
        *(each.map(_toml_string) for each in fitting),
        _text().map(_toml_string),
        _number(),
        st.just(field.example or "true"),
        st.lists(st.one_of(_number(), _text().map(_toml_string)), max_size=6).map(
            lambda parts: f"[{', '.join(parts)}]"
        ),
    )


@cache
def rigs() -> st.SearchStrategy[bytes]:
    """Rig files with the needed fields, mostly in order, and some others."""
    fields = [field for field in rig_fields() if ".0." not in field.path]
    rows = [field for field in rig_fields() if field.path.startswith("load.0.")]
    needed = st.tuples(
        *(
            _mostly(st.just(_toml_string(field.example)), _value(field)).map(f"{field.path} = {{}}".format)
            for field in fields
            if field.required
        )
    )
    others = st.lists(
        st.sampled_from([field for field in fields if not field.required]).flatmap(
            lambda field: _value(field).map(f"{field.path} = {{}}".format)
        ),
        max_size=12,
    )
    row = st.tuples(
        *(
            _mostly(st.just(_toml_string(field.example or "x")), _value(field)).map(
                f"{field.path[7:]} = {{}}".format
            )
            for field in rows
        )
    ).map(lambda parts: "[[load]]\n" + "\n".join(parts))
    return st.builds(
        lambda a, b, c: "\n".join((*a, *b, *c)).encode("utf-8", "replace"),
        needed,
        others,
        st.lists(row, max_size=3),
    )


@cache
def roads() -> st.SearchStrategy[bytes]:
    """CSV roads whose rows mostly grow."""
    header = st.tuples(
        st.sampled_from(("distance", "Distance ", "dist", "DISTANCE")),
        st.sampled_from(list(KINDS["distance"].spellings) + list(NASTY_UNITS)),
        st.sampled_from(("elevation", "height")),
        st.sampled_from(list(KINDS["height"].spellings)),
        st.sampled_from(("", ",speed limit [km/h]", ",speed limit [mph]", ",note")),
    )
    step = st.one_of(st.floats(0.001, 3), st.floats(0, 1e-6), st.just(0.0))
    rows = st.lists(
        st.tuples(
            step,
            st.one_of(st.floats(-20, 20), st.floats(-1e4, 1e4)),
            st.one_of(st.sampled_from(("80", "", "50")), _number()),
        ),
        max_size=60,
    )

    def write(head, rows, odd) -> bytes:
        lines, here, height = [f"{head[0]} [{head[1]}],{head[2]} [{head[3]}]{head[4]}"], 0.0, 500.0
        for i, (along, up, limit) in enumerate(rows):
            here, height = here + along, height + up
            cells = [repr(here), repr(height), limit][: 3 if head[4] else 2]
            lines.append(",".join(cells) if i != odd[0] else ",".join(odd[1]))
        return "\n".join(lines).encode("utf-8", "replace")

    return st.builds(
        write,
        header,
        rows,
        st.tuples(st.integers(0, 400), st.lists(st.one_of(_number(), _text()), max_size=4)),
    )


@cache
def recordings() -> st.SearchStrategy[bytes]:
    """GPX recordings with odd places and heights."""
    place = st.one_of(st.floats(-95, 95), st.floats(45, 45.02), _number())
    point = st.tuples(
        place,
        st.one_of(st.floats(-185, 185), st.floats(7, 7.02), _number()),
        st.one_of(st.floats(0, 3000), _number()),
    )
    near = st.lists(
        st.tuples(st.floats(0, 4e-4), st.floats(0, 4e-4), st.floats(-2, 2)), min_size=2, max_size=60
    ).map(
        lambda steps: [
            (
                45 + sum(s[0] for s in steps[:i]),
                7 + sum(s[1] for s in steps[:i]),
                800 + sum(s[2] for s in steps[:i]),
            )
            for i in range(len(steps))
        ]
    )
    space = st.sampled_from(
        (
            ' xmlns="http://www.topografix.com/GPX/1/1"',
            "",
            ' xmlns="x"',
            ' xmlns:xlink="http://www.w3.org/1999/xlink"',
        )
    )
    return st.builds(
        lambda points, tag, space: _gpx(points, tag=tag, space=space),
        st.one_of(near, st.lists(point, max_size=20)),
        st.sampled_from(("trkpt", "rtept")),
        space,
    )


@cache
def lessons() -> st.SearchStrategy[bytes]:
    """Up to two predictions, and a panel of up to three sliders, some of which start from the rig."""
    kinds = (*KINDS, *PLAIN_KINDS, "weight")
    places = {field.path: field.kind for field in rig_fields()}
    places |= {path: derived.kind for path, derived in DERIVED.items()}
    words = _mostly(st.just('"words"'), _text().map(_toml_string))
    switch = _mostly(st.sampled_from(("true", "false")), st.sampled_from(("1", '"true"')))

    def row(kind: str, path: str) -> st.SearchStrategy[str]:
        unit = st.sampled_from(list(KINDS[kind].spellings) if kind in KINDS else ["kg"])
        has_unit = kind in KINDS

        def number(low: int, high: int) -> st.SearchStrategy[str]:
            whole = st.integers(low, high)
            good = st.builds("{} {}".format, whole, unit).map(_toml_string) if has_unit else whole.map(str)
            odd = st.one_of(st.builds("{} {}".format, _number(), unit).map(_toml_string), _number())
            return _mostly(good, odd)

        parts = {
            "from": st.just(_toml_string(path)),
            "name": _mostly(st.sampled_from(('"mass_kg"', '"a"', '"b"')), words),
            "label": words,
            "kind": st.just(f'"{kind}"'),
            "low": number(0, 9),
            "high": number(12, 30),
            "start": words if kind in ("choice", "switch") else number(8, 13),
            "step": number(1, 4),
            "group": _mostly(st.sampled_from(GROUPS).map(_toml_string), words),
            "why_this_range": words,
            "source": words,
            "options": _mostly(
                st.just('["words", "other"]'),
                st.lists(words, max_size=4).map(lambda o: f"[{', '.join(o)}]"),
            ),
            "us_step": number(1, 4),
            "folded": switch,
            "plays": switch,
            "to_count_of": _mostly(
                st.just('"tow_vehicle.gearbox.ratios"'),
                st.sampled_from(["3", *map(_toml_string, places)]),
            ),
        }
        ends = [] if kind in ("choice", "switch", *_WITHOUT_ENDS) else ["low", "high", "step"]
        origin = ["from"] if path else ["name", "label", "kind", "start", "group", "source"]
        options = ["options"] if kind == "choice" and not path else []
        always = {name: parts[name] for name in (*origin, "why_this_range", *ends, *options)}
        seldom = {name: parts[name] for name in ("folded", "plays", *(["us_step"] if has_unit else []))}
        row = st.fixed_dictionaries(always, optional=seldom)
        if kind == "count":
            del always["high"]
            row = st.one_of(row, st.fixed_dictionaries(always | {"to_count_of": parts["to_count_of"]}))
        return row.map(lambda found: f"[[panels.p.sliders]]\n{table(found)}")

    def table(parts: dict[str, str]) -> str:
        return "\n".join(f"{name} = {value}" for name, value in parts.items())

    option = st.fixed_dictionaries({"words": words, "said": words}, optional={"right": switch}).map(
        lambda parts: f"{{{', '.join(f'{name} = {value}' for name, value in parts.items())}}}"
    )
    asked = st.fixed_dictionaries(
        {"panel": words, "question": words},
        optional={"options": st.lists(option, max_size=4).map(lambda o: f"[{', '.join(o)}]")},
    ).map(lambda parts: f"[[predictions]]\n{table(parts)}\n")
    rows = st.lists(
        st.one_of(
            st.sampled_from(kinds).flatmap(lambda kind: row(kind, "")),
            st.sampled_from(list(places)).flatmap(lambda path: row(places[path], path)),
        ),
        max_size=3,
    )
    return st.builds(
        lambda asked, rows: "".join((*asked, '[panels.p]\ntitle = "A panel"\n', "\n".join(rows))).encode(
            "utf-8", "replace"
        ),
        st.lists(asked, max_size=2),
        rows,
    )


_WITHOUT_ENDS = ("yes or no", "text", "list")
