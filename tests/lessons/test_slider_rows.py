"""Slider data: an edited row that no longer holds together is answered by file, panel and row."""

import math

import pytest

from towlib.errors import InputError
from towlib.lessons.slider_rows import load_panel
from towlib.paths import DATA
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig

ROW = {
    "name": "mass_kg",
    "label": "Mass",
    "kind": "mass",
    "low": "0 kg",
    "high": "900 kg",
    "start": "300 kg",
    "step": "10 kg",
    "group": "load",
    "why_this_range": "because",
    "source": "common practice, no source",
}


def _load(tmp_path, *rows, title="A panel"):
    lines = ["[panels.p]", f'title = "{title}"'] if title else ["[panels.p]"]
    for row in rows:
        lines += [
            "[[panels.p.sliders]]",
            *(
                f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}"
                for key, value in row.items()
            ),
        ]
    (tmp_path / "99_x.toml").write_text("\n".join(lines), encoding="utf-8")
    return load_panel("99_x", "p", folder=tmp_path)


def test_a_good_row(tmp_path):
    slider = _load(tmp_path, ROW | {"low": "100 lb"}).sliders[0]
    assert slider.low == pytest.approx(45.359237) and slider.high == 900.0


def test_order_is_by_group(tmp_path):
    spec = _load(
        tmp_path,
        ROW | {"group": "view", "name": "a"},
        ROW | {"group": "vehicle", "name": "b"},
        ROW | {"name": "c"},
    )
    assert [slider.name for slider in spec.sliders] == ["b", "c", "a"]


def test_temperature_step_is_a_difference(tmp_path):
    row = ROW | {
        "kind": "temperature",
        "low": "-10 degC",
        "high": "45 degC",
        "start": "20 degC",
        "step": "1 degC",
    }
    assert _load(tmp_path, row).sliders[0].step == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"start": "950 kg"}, "start 950 kg outside"),
        ({"step": "0 kg"}, "step 0 kg"),
        ({"step": "901 kg"}, "step 901 kg"),
        ({"low": "900 kg"}, "not below high"),
        ({"kind": "weight"}, "kind of unit"),
        ({"group": "misc"}, "one of vehicle"),
        ({"start": "300"}, "no unit"),
        ({"start": 300}, "without a unit"),
        ({"unit": "kg"}, "not known"),
        ({"start": "300 lbf"}, "force, not mass"),
        ({"label": ""}, "words in quotes"),
        ({"source": 7}, "words in quotes"),
        ({"name": "mass kg"}, "name of an argument"),
        ({"us_step": "0 lb"}, "us_step 0 lb"),
        ({"us_step": "25"}, "no unit"),
        ({"kind": 3}, "kind of unit"),
        ({"low": "nan kg"}, "not a number"),
        ({"options": ["a", "b"]}, "not known"),
    ],
)
def test_a_bad_row_is_named(tmp_path, change, said):
    with pytest.raises(InputError, match=said) as caught:
        _load(tmp_path, ROW, ROW | {"name": "other"} | change)
    assert "99_x.toml" in str(caught.value) and "panels.p.sliders.2" in str(caught.value)


def test_other_faults(tmp_path):
    with pytest.raises(InputError, match="twice"):
        _load(tmp_path, ROW, ROW)
    with pytest.raises(InputError, match="no title or no sliders"):
        _load(tmp_path, ROW, title="")
    with pytest.raises(InputError, match="no panel 'q'"):
        _load(tmp_path, ROW)
        load_panel("99_x", "q", folder=tmp_path)
    with pytest.raises(InputError, match="no key 'step'"):
        _load(tmp_path, {key: value for key, value in ROW.items() if key != "step"})
    (tmp_path / "99_x.toml").write_text("[panels", encoding="utf-8")
    with pytest.raises(InputError, match="not TOML"):
        load_panel("99_x", "p", folder=tmp_path)
    with pytest.raises(InputError, match="No such file"):
        load_panel("98_x", "p", folder=tmp_path)


CHOICE = {key: ROW[key] for key in ("label", "group", "why_this_range", "source")} | {
    "kind": "choice",
    "name": "layout",
    "start": "crossed",
}


def test_choice_switch_and_count(tmp_path):
    switch = CHOICE | {"kind": "switch", "name": "braked", "start": "on"}
    count = ROW | {"kind": "count", "name": "links", "low": 3, "high": 40, "start": 20, "step": 1}
    choice, switch, count = _load(
        tmp_path, CHOICE | {"options": ["parallel", "crossed"]}, switch, count
    ).sliders
    assert (
        (choice.low, choice.high, choice.start) == (0, 1, 1)
        and choice.argument(choice.start) == "crossed"
        and choice.unit("us") == ""
    )
    assert switch.argument(switch.start) is True and switch.argument(0.0) is False
    assert count.argument(20.0) == 20 and isinstance(count.argument(20.0), int)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (CHOICE, "no key 'options'"),
        (CHOICE | {"options": ["crossed"]}, "two different options"),
        (CHOICE | {"options": ["crossed", "crossed"]}, "two different"),
        (CHOICE | {"options": ["a", "b"]}, "one of a, b"),
        (CHOICE | {"kind": "switch", "start": "yes"}, "one of off, on"),
        (ROW | {"kind": "count", "low": 3, "high": 40, "start": 20.5, "step": 1}, "whole number"),
        (ROW | {"kind": "count", "low": "3", "high": 40, "start": 20, "step": 1}, "whole number"),
    ],
)
def test_bad_rows_without_units(tmp_path, row, said):
    with pytest.raises(InputError, match=said) as caught:
        _load(tmp_path, row)
    assert "panels.p.sliders.1" in str(caught.value)


def test_steps_are_round_in_both_systems(tmp_path):
    own, given = _load(tmp_path, ROW, ROW | {"name": "b", "us_step": "25 lb"}).sliders
    assert (
        own.shown_step("metric") == 10.0 and own.shown_step("us") == 20.0
    )  # 10 kg are 22.05 lb (NIST SP 811: 1 lb = 0.45359237 kg)
    assert given.shown_step("us") == pytest.approx(25.0, rel=1e-6) and given.shown_step("metric") == 10.0
    degrees = ROW | {
        "kind": "temperature",
        "low": "14 degF",
        "high": "104 degF",
        "start": "68 degF",
        "step": "5 degF",
    }
    assert _load(tmp_path, degrees).sliders[0].step == pytest.approx(25 / 9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("panels = 3", "not tables"),
        ("[panels]\np = 3", "not tables"),
        ("[panels.p]\ntitle = 'A'\nsliders = 'x'", "not rows"),
        ("[panels.p]\ntitle = 'A'\nsliders = [1]", "not rows"),
        ("[panels.p]\ntitle = 7\nsliders = [{}]", "no title"),
        ("[panels.p]\ntitle = 'A'\ncolour = 'x'\nsliders = [{}]", "'colour'"),
        ("[panels.p]\ntitle = 'A'\nsliders = [{}]", "no key"),
    ],
)
def test_files_of_another_shape(tmp_path, text, said):
    (tmp_path / "99_x.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=said):
        load_panel("99_x", "p", folder=tmp_path)


# ---- rows that start from the rig ----
FROM = """
[panels.p]
title = "x"
[[panels.p.sliders]]
from = "{path}"
low = {low}
high = {high}
step = {step}
why_this_range = "so"
"""


def _from(tmp_path, path, low='"2.4 m"', high='"4.0 m"', step='"0.1 m"'):
    text = FROM.format(path=path, low=low, high=high, step=step)
    (tmp_path / "99_x.toml").write_text(text, encoding="utf-8")
    return load_panel("99_x", "p", tmp_path).sliders[0]


def test_a_row_from_the_rig_needs_only_range_step_and_reason(tmp_path):
    slider = _from(tmp_path, "tow_vehicle.wheelbase")
    assert (slider.label, slider.kind, slider.group) == ("Tow vehicle, wheelbase", "length", "vehicle")
    assert math.isnan(slider.start) and slider.kept_in_rig and slider.source == "common practice, no source"
    derived = _from(tmp_path, "towed_vehicle.mass", '"700 kg"', '"2600 kg"', '"10 kg"')
    assert derived.kind == "mass" and derived.of_rig and not derived.kept_in_rig
    bare = _from(tmp_path, "bracket.nut_factor", "0.1", "0.35", "0.01")
    assert bare.kind == "number" and bare.argument(0.25) == 0.25
    whole = _from(tmp_path, "safety_chains.links", "10", "40", "1")
    assert whole.kind == "count" and whole.argument(22.4) == 22


def test_choice_and_switch_come_from_the_field_alone(tmp_path):
    for path, options, argument in (
        ("tow_vehicle.driven_axles", ("front", "rear", "both"), "rear"),
        ("safety_chains.crossed", ("no", "yes"), True),
    ):
        (tmp_path / "99_x.toml").write_text(
            f'[panels.p]\ntitle = "x"\n[[panels.p.sliders]]\nfrom = "{path}"\nwhy_this_range = "both"\n'
        )
        slider = load_panel("99_x", "p", tmp_path).sliders[0]
        assert slider.options == options and slider.argument(1.0) == argument
        assert slider.position(argument) == 1.0


@pytest.mark.parametrize(
    ("path", "low", "said"),
    [
        ("tow_vehicle.wheelbas", '"2.4 m"', "a field of the rig"),
        ("tow_vehicle.name", '"2.4 m"', "a field of the rig"),
        ("tow_vehicle.gearbox.ratios", "1", "a field of the rig"),
        ("tow_vehicle.wheelbase", '"2.4 kg"', "2.4 kg"),
        ("tow_vehicle.wheelbase", "2.4", "without a unit"),
        ("bracket.nut_factor", '"0.1"', "a number without quotes"),
        ("tow_vehicle.wheelbase", '"5 m"', "low below high"),
    ],
)
def test_a_bad_row_from_the_rig_is_named(tmp_path, path, low, said):
    with pytest.raises(InputError, match=said) as caught:
        _from(tmp_path, path, low)
    assert "99_x.toml" in str(caught.value) and "panels.p.sliders.1" in str(caught.value)


def test_the_number_of_gears_ends_a_range(tmp_path):
    row = (
        'name = "gear"\nlabel = "Gear"\nkind = "count"\nlow = 1\nstart = 8\nstep = 1\ngroup = "view"\n'
        'to_count_of = "tow_vehicle.gearbox.ratios"\nwhy_this_range = "all"\nsource = "x"\n'
    )
    (tmp_path / "99_x.toml").write_text(f'[panels.p]\ntitle = "x"\n[[panels.p.sliders]]\n{row}')
    spec = load_panel("99_x", "p", tmp_path)
    for demo, gears in (("demo_comfortable", 9.0), ("demo_overloaded", 6.0)):
        rig = load_rig(DATA / "rigs" / f"{demo}.toml")
        found, missing = spec.starting_from(Facts(rig))
        assert (found.sliders[0].high, found.sliders[0].start) == (gears, min(8.0, gears)) and not missing
        assert len(rig.tow_vehicle.gearbox.ratios) == gears


def test_a_kind_or_origin_that_is_no_word_is_named(tmp_path):
    for line in ("kind = []", 'from = ["x"]', "from = 3"):
        text = f'[panels.p]\ntitle = "x"\n[[panels.p.sliders]]\n{line}\nwhy_this_range = "so"\n'
        (tmp_path / "99_x.toml").write_text(text)
        with pytest.raises(InputError, match="99_x.toml"):
            load_panel("99_x", "p", tmp_path)
