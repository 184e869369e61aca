"""python -m towlib: report, JSON and sheet; bad input is one sentence and exit status 2; it starts fast."""

import json
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from towlib.__main__ import main
from towlib.plan.trip import make_plan
from towlib.print import plan_json, report
from towlib.rig.model import load_rig
from towlib.road.route import load_route

REPOSITORY = Path(__file__).parents[2]
RIG, ROAD = "data/rigs/demo_comfortable.toml", "data/routes/short_steep_pass.csv"
ROADS = sorted(str(path.relative_to(REPOSITORY)) for path in (REPOSITORY / "data" / "routes").iterdir())


def _run(*arguments):
    before = _child_seconds()
    done = subprocess.run(
        [sys.executable, "-m", "towlib", *arguments],
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        timeout=60,
        env=os.environ,
    )
    return done, _child_seconds() - before


def _child_seconds() -> float:
    """Processor time of finished child processes: other tests run on the same cores, so the clock on the wall
    says little.
    """
    used = os.times()
    return used.children_user + used.children_system


@pytest.mark.parametrize("rig", [RIG, "data/rigs/demo_overloaded.toml"])
@pytest.mark.parametrize("road", ROADS)
def test_each_demo_in_under_two_seconds(rig, road):
    for _ in range(3):  # the quietest decides; most often the first is quiet enough
        done, seconds = _run(rig, road)
        assert done.returncode == 0 and "Verdict:" in done.stdout and done.stderr == ""
        if seconds < 2.0:
            return
    pytest.fail(f"{seconds:.1f} s of the processor")


@pytest.mark.parametrize("units", ["metric", "us"])
def test_report_is_readable(units, capsys):
    assert main([RIG, ROAD, "--units", units]) == 0
    text = capsys.readouterr().out
    assert max(len(line) for line in text.splitlines()) <= 105
    assert ("lb" in text) == (units == "us")
    for word in ("Verdict:", "Governing:", "Road out:", "Road back:", "not a pass"):
        assert word in text
    assert "nan" not in text.lower().replace("brindlekop", "")


def _walk(data, path=""):
    if isinstance(data, dict):
        for key, value in data.items():
            yield key, value
            yield from _walk(value)
    elif isinstance(data, list):
        for value in data:
            yield from _walk(value)


@pytest.mark.parametrize("rig", [RIG, "data/rigs/demo_overloaded.toml"])
def test_json_is_documented_and_every_number_carries_its_unit(rig, capsys):
    assert main([rig, ROAD, "--json"]) == 0
    data = json.loads(capsys.readouterr().out, parse_constant=lambda name: pytest.fail(f"{name} is not JSON"))
    units = set(plan_json.SUFFIX.values()) | {"ratio", "count", "number", "s", "m", "c", "m_s", "rpm", "m3"}
    known = {key.replace("<unit>", unit) for key in plan_json.KEYS for unit in plan_json.SUFFIX.values()}
    used = set()
    for key, value in _walk(data):
        assert key in known, f"{key} is not documented"
        used.add(key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            assert any(key.endswith(f"_{unit}") for unit in units), f"{key} has no unit"
    if "overloaded" in rig:  # this one has assumptions too, so that every documented key must occur
        assert {key for key in plan_json.KEYS if "<unit>" not in key} <= used


def test_json_says_the_same_as_the_report():
    plan = make_plan(load_rig(RIG), load_route(ROAD))
    data = plan_json.plan_data(plan)
    text = report.report(plan)
    assert data["verdict"].split(":")[0] in " ".join(text.split())
    for limit, row in zip(plan.limits, data["limits"], strict=True):
        assert row["answer"] == limit.answer and limit.title in text
    leg = data["legs"][0]
    assert leg["time_s"] == pytest.approx(sum(row["time_s"] for row in leg["segments"]), rel=1e-6)
    assert leg["segments"][-1]["end_m"] == pytest.approx(data["route_length_m"])


def test_sheet_is_one_page_of_html_with_nothing_from_elsewhere(tmp_path, capsys):
    path = tmp_path / "sheet.html"
    assert main([RIG, ROAD, "--sheet", str(path)]) == 0
    text = path.read_text(encoding="utf-8")
    assert "<svg" in text and "Before the way home" in text
    assert not re.search(r"(?:src|href)=[\"']https?:", text)


def test_names_in_files_cannot_become_markup(tmp_path, capsys):
    rig = tmp_path / "rig.toml"
    rig.write_text(
        Path(RIG).read_text(encoding="utf-8").replace('"Demo: comfortable"', '"<script>alert(1)</script>"'),
        encoding="utf-8",
    )
    assert main([str(rig), ROAD, "--sheet", str(tmp_path / "s.html")]) == 0
    assert "<script>" not in (tmp_path / "s.html").read_text(encoding="utf-8")


GOOD_RIG = Path(REPOSITORY / RIG).read_text(encoding="utf-8")
GPX = (
    "<?xml version='1.0'?>{0}<gpx version='1.1'"
    " xmlns='http://www.topografix.com/GPX/1/1'><trk><trkseg>{1}</trkseg></trk></gpx>"
)
BOMB = (
    "<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'>"
    + "".join(f"<!ENTITY {chr(98 + i)} '{f'&{chr(97 + i)};' * 10}'>" for i in range(9))
    + "]>"
)


def _with_payload(text):
    return re.sub(r"(?m)^payload = .*$", f"payload = {text}", GOOD_RIG)


BAD_RIGS = {
    "misspelt": (GOOD_RIG.replace("payload =", "paylod ="), ["tow_vehicle.paylod", "payload"]),
    "wrong dimension": (_with_payload('"2000 lbf"'), ["tow_vehicle.payload", "2000 lbf", "2950 lb"]),
    "negative": (_with_payload('"-850 kg"'), ["tow_vehicle.payload", "-850 kg"]),
    "zero": (_with_payload('"0 kg"'), ["tow_vehicle.payload", "0 kg"]),
    "nan": (_with_payload('"nan kg"'), ["tow_vehicle.payload", "nan kg"]),
    "bare nan": (_with_payload("nan"), ["tow_vehicle.payload", "nan"]),
    "inf": (_with_payload('"inf kg"'), ["tow_vehicle.payload", "inf kg"]),
    "power tower": (_with_payload('"9**9**9 kg"'), ["tow_vehicle.payload", "9**9**9 kg"]),
    "empty": ("", ["empty file"]),
    "toml error": (GOOD_RIG.replace("[hitch]", "[hitch"), ["TOML", "line"]),
}


@pytest.mark.parametrize("case", BAD_RIGS)
def test_bad_rig_is_one_sentence_and_status_two(case, tmp_path, capsys):
    text, said = BAD_RIGS[case]
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    _refused([str(path), ROAD], ["mine.toml", *said], capsys)


def _points(*rows):
    return "".join(
        f"<trkpt lat='{lat}' lon='{lon}'>{'' if ele is None else f'<ele>{ele}</ele>'}</trkpt>"
        for lat, lon, ele in rows
    )


BAD_ROADS = {
    "one point.csv": ("distance [km],elevation [m]\n0,1000\n", ["one point"]),
    "backwards.csv": ("distance [km],elevation [m]\n0,1000\n2,1010\n1,1020\n", ["line 4", "distance"]),
    "missing column.csv": ("distance [km],speed limit [km/h]\n0,80\n1,80\n", ["elevation"]),
    "wrong unit.csv": ("distance [kg],elevation [m]\n0,1000\n1,1010\n", ["kg"]),
    "nan.csv": ("distance [km],elevation [m]\n0,1000\n1,nan\n", ["nan"]),
    "empty.csv": ("", ["empty"]),
    "no elevation.gpx": (
        GPX.format("", _points((-38.0, -27.0, None), (-38.01, -27.0, None), (-38.02, -27.0, None))),
        ["elevation"],
    ),
    "bomb.gpx": (GPX.format(BOMB, "<trkpt lat='1' lon='1'><ele>&j;</ele></trkpt>"), ["bomb.gpx"]),
    "not xml.gpx": ("hello", ["not xml.gpx"]),
}


@pytest.mark.parametrize("name", BAD_ROADS)
def test_bad_road_is_one_sentence_and_status_two(name, tmp_path, capsys):
    text, said = BAD_ROADS[name]
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    _refused([RIG, str(path)], said, capsys)


def test_binary_missing_and_folder(tmp_path, capsys):
    binary = tmp_path / "b.toml"
    binary.write_bytes(bytes(range(256)) * 20)
    _refused([str(binary), ROAD], ["b.toml", "not text"], capsys)
    (tmp_path / "b.csv").write_bytes(bytes(range(256)) * 20)
    _refused([RIG, str(tmp_path / "b.csv")], ["b.csv"], capsys)
    _refused([str(tmp_path / "nowhere.toml"), ROAD], ["nowhere.toml"], capsys)
    _refused([RIG, str(tmp_path / "nowhere.csv")], ["nowhere.csv"], capsys)
    _refused([str(tmp_path), ROAD], ["a folder"], capsys)
    _refused(
        [RIG, ROAD, "--sheet", str(tmp_path / "no" / "such" / "folder" / "s.html")],
        ["s.html", "cannot be written"],
        capsys,
    )


def test_two_million_points_are_refused_within_ten_seconds(tmp_path, capsys):
    path = tmp_path / "long.csv"
    with path.open("w", encoding="utf-8") as file:
        file.write("distance [m],elevation [m]\n")
        file.writelines(f"{i},1000\n" for i in range(2_000_000))
    start = time.perf_counter()
    _refused([RIG, str(path)], ["long.csv", "500,000"], capsys)
    assert time.perf_counter() - start < 10


def _refused(arguments, said, capsys):
    start = time.perf_counter()
    assert main(arguments) == 2
    assert time.perf_counter() - start < 10
    printed = capsys.readouterr()
    assert (
        printed.out == ""
        and printed.err.count("\n") == 1
        and "wanted" in printed.err
        and "Traceback" not in printed.err
    )
    for part in said:
        assert part in printed.err


def test_the_report_says_when_the_way_back_is_the_closer_one(capsys):
    plan = make_plan(load_rig(RIG), load_route(ROAD))
    back = [limit.title for limit in plan.limits if limit.way == "back"]
    assert main([RIG, ROAD]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert back and all(
        any(line.startswith(title) and "(way back)" in line for line in lines) for title in back
    )


def test_what_is_not_known_is_null_in_json(tmp_path, capsys):
    path = tmp_path / "rig.toml"
    path.write_text(re.sub(r"(?m)^(conductance|front_heated_mass) = .*$", "", GOOD_RIG), encoding="utf-8")
    assert main([str(path), ROAD, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert all(
        row["coolant_highest_c"] is None and row["front_brakes_c"] is None
        for leg in data["legs"]
        for row in leg["segments"]
    )
    answers = {row["key"]: row["answer"] for row in data["limits"]}
    assert answers["coolant"] == answers["front_brakes"] == "not known"
