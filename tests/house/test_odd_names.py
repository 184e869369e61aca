"""Input that is accepted never ends in a traceback: odd names, links, modes, rows on one line, stretches."""

import os
import stat
import subprocess
import sys

import pytest

from tests.rigs import changed
from towlib.__main__ import main
from towlib.errors import InputError
from towlib.paths import REPOSITORY
from towlib.plan.many_cases import sample_plan
from towlib.plan.trip import make_plan
from towlib.rig.model import load_rig
from towlib.rig.store import RigStore, load_any_rig, write_whole
from towlib.road.route import load_route

RIG, ROAD = "data/rigs/demo_comfortable.toml", "data/routes/short_steep_pass.csv"
DEMO = load_rig(RIG)
WEIGHED = {
    f"{vehicle}.{name}": value
    for vehicle in ("tow_vehicle", "towed_vehicle")
    for name, value in (("front_axle_empty", "900 kg"), ("rear_axle_empty", "800 kg"), ("wheelbase", "3 m"))
}


@pytest.mark.parametrize(
    ("idle", "redline"), [(1086.4, 7762.7), (1086.5, 7762.7), (703.3, 5999.9), (1083.9, 6411.3)]
)
def test_decimal_shaft_speeds(idle, redline):
    # the evenly spaced speeds end a rounding away from the redline: two points of a line at one place
    rig = changed(changed(DEMO, "tow_vehicle.engine.idle", idle), "tow_vehicle.engine.redline", redline)
    limits = make_plan(rig, load_route(ROAD)).limits
    assert {limit.key for limit in limits} == {
        limit.key for limit in make_plan(DEMO, load_route(ROAD)).limits
    }


@pytest.mark.parametrize("off", [20.0, 200.0, 900.0])
def test_an_idle_that_may_be_off_on_a_manual_gearbox_in_many_cases(off):
    rig = changed(DEMO, "tow_vehicle.gearbox.kind", "manual")
    rig._plus_minus = {"tow_vehicle.engine.idle": off}
    assert sample_plan(rig, load_route(ROAD), count=20).cases == 20


NAMES = ["Сцепка", "连接 rig", "naïve"]
ALL_OF_THEM = """import sys
from towlib.__main__ import main
for rig in sys.argv[2:]:
    assert main([rig, sys.argv[1]]) == 0, rig
"""


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_a_name_the_terminal_lacks_letters_for(tmp_path, encoding):
    text = (REPOSITORY / RIG).read_text(encoding="utf-8")
    for number, name in enumerate(NAMES):
        (tmp_path / f"{number}.toml").write_text(text.replace("Demo: comfortable", name), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", ALL_OF_THEM, ROAD, *map(str, sorted(tmp_path.glob("*.toml")))],
        cwd=REPOSITORY,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0 and b"Traceback" not in done.stderr, done.stderr
    assert done.stdout.count(b"Verdict:") == len(NAMES)


@pytest.mark.skipif(os.name == "nt", reason="names are text there")
@pytest.mark.parametrize("name", [b"road_\xff.csv", b"\xfe.csv", b"a\x1b[31mb.csv"])
def test_a_road_named_in_bytes_that_are_no_letters(tmp_path, name, capsys):
    road = os.path.join(os.fsencode(tmp_path), name)
    with open(road, "wb") as file:
        file.write((REPOSITORY / ROAD).read_bytes())
    sheet = tmp_path / "sheet.html"
    assert main([RIG, os.fsdecode(road), "--sheet", str(sheet)]) == 0
    assert sheet.stat().st_size > 10_000
    said = capsys.readouterr().out
    assert "\x1b" not in said and "Traceback" not in said


@pytest.mark.parametrize("which", [0, 1])
def test_the_sheet_is_never_written_over_what_the_plan_is_made_from(tmp_path, which, capsys):
    own = [tmp_path / "rig.toml", tmp_path / "road.csv"]
    for path, source in zip(own, (RIG, ROAD), strict=True):
        path.write_bytes((REPOSITORY / source).read_bytes())
    link = tmp_path / "link.html"
    link.symlink_to(own[which])
    for sheet in (own[which], link):
        before = own[which].read_bytes()
        assert main([str(own[0]), str(own[1]), "--sheet", str(sheet)]) == 2
        assert own[which].read_bytes() == before
        assert "the file the plan is made from" in capsys.readouterr().err


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_a_linked_rig_stays_a_link_and_keeps_who_may_read_it(tmp_path, mode):
    real = tmp_path / "elsewhere" / "rig.toml"
    real.parent.mkdir()
    real.write_text('[tow_vehicle]\nname = "mine"\n', encoding="utf-8")
    real.chmod(mode)
    folder = tmp_path / "reader"
    folder.mkdir()
    (folder / "my_rig.toml").symlink_to(real)
    assert RigStore(folder).put("tow_vehicle.gvwr", "3000 kg") == ""
    assert (folder / "my_rig.toml").is_symlink() and "3000 kg" in real.read_text(encoding="utf-8")
    assert stat.S_IMODE(real.stat().st_mode) == mode
    new = tmp_path / "new.toml"
    write_whole(new, "x = 1\n")
    assert stat.S_IMODE(new.stat().st_mode) & 0o600 == 0o600


@pytest.mark.parametrize("rows", ["[{name = 'a', mass = '80 kg', behind_front_axle = '1 m'}]", "[]"])
def test_rows_written_on_one_line_are_kept_so(tmp_path, rows):
    (tmp_path / "my_rig.toml").write_text(f"load = {rows}\n", encoding="utf-8")
    store = RigStore(tmp_path)
    for path, text in WEIGHED.items():
        assert store.put(path, text) == ""
    for path, text in {"name": "b", "mass": "70 kg", "behind_front_axle": "2 m"}.items():
        assert store.put(f"load.1.{path}" if rows != "[]" else f"load.0.{path}", text) == ""
    text = (tmp_path / "my_rig.toml").read_text(encoding="utf-8")
    assert text.startswith("load = [") and "[[load]]" not in text
    assert [row.mass for row in store.rig().load] == ([80.0, 70.0] if rows != "[]" else [70.0])


GPX = "<gpx version='1.1' creator='t' xmlns='http://www.topografix.com/GPX/1/1'><trk>{}</trk></gpx>"


def _stretch(first, last, minute=None):
    points = "".join(
        f"<trkpt lat='{-38.5 + i * 0.0005:.5f}' lon='-27.2'><ele>{100 + 2 * i}</ele>"
        + (f"<time>2026-01-01T08:{minute + i // 10:02d}:{i % 10:02d}Z</time>" if minute is not None else "")
        + "</trkpt>"
        for i in range(first, last)
    )
    return f"<trkseg>{points}</trkseg>"


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 0, 1), (1, 2, 0)])
def test_stretches_are_joined_by_their_times(tmp_path, order):
    stretches = [_stretch(0, 11, 0), _stretch(10, 21, 2), _stretch(20, 31, 4)]
    path = tmp_path / "road.gpx"
    path.write_text(GPX.format("".join(stretches[i] for i in order)), encoding="utf-8")
    road = load_route(path)
    # 30 steps of 0.0005 degrees of latitude, 111.0 km a degree there (WGS 84): 1.665 km, climbing all the way
    assert road.length_m == pytest.approx(30 * 0.0005 * 111_000, rel=0.003)
    assert road.descent_m < 1.0 < 50.0 < road.climb_m


@pytest.mark.parametrize("stretches", [(0, 0), (0, 1, 0), (1, 1, 1)])
def test_a_stretch_that_is_there_twice_is_refused(tmp_path, stretches):
    made = [_stretch(0, 11), _stretch(10, 21)]
    path = tmp_path / "road.gpx"
    path.write_text(GPX.format("".join(made[i] for i in stretches)), encoding="utf-8")
    with pytest.raises(InputError, match=r"road\.gpx: found the same stretch twice"):
        load_route(path)


@pytest.mark.parametrize("text", ["about 2500 kg", "2500", "2.500,0 kg"])
def test_what_was_corrected_is_not_still_in_force(tmp_path, text):
    store = RigStore(tmp_path)
    (tmp_path / "my_rig.toml").write_bytes((REPOSITORY / RIG).read_bytes())
    road = load_route(ROAD)
    before = {limit.key: limit.answer for limit in make_plan(store.rig(), road).limits}
    assert set(before.values()) == {"within"}
    assert store.put("tow_vehicle.gvwr", text) != ""
    for rig in (store.rig(), load_any_rig(tmp_path / "my_rig.toml")):
        after = {limit.key: limit for limit in make_plan(rig, road).limits}
        assert after["tow_gvwr"].answer == "not known" and after["tow_gvwr"].missing == "tow_vehicle.gvwr"
    assert store.put("tow_vehicle.gvwr", "2500 kg") == ""
    found = {limit.key: limit for limit in make_plan(store.rig(), road).limits}["tow_gvwr"]
    assert found.answer == "not known"  # 850 kg of payload do not go together with 2,500 less 2,370 empty
    store.confirm("tow_vehicle.gvwr")
    found = {limit.key: limit for limit in make_plan(store.rig(), road).limits}["tow_gvwr"]
    # by hand: 1310 + 1060 empty, 82 + 68 + 130 + 45 carried on the way out, half of a bar of 26: 2,708
    assert found.answer == "over" and found.room == pytest.approx(2500 - 2708.0, abs=1.0)


@pytest.mark.parametrize("path", ["bracket.nut_factor", "tow_vehicle.front_axle_empty", "load.0.mass"])
def test_nothing_stands_in_for_what_cannot_be_read(tmp_path, path):
    (tmp_path / "my_rig.toml").write_bytes((REPOSITORY / RIG).read_bytes())
    store = RigStore(tmp_path)
    assert store.put(path, "some") != ""
    plan = make_plan(store.rig(), load_route(ROAD))
    named = [limit for limit in plan.limits if path in limit.missing.split("; ")]
    assert named and all(limit.answer == "not known" for limit in named)
