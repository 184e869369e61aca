"""Slider data: an edited row that no longer holds together is answered by file, panel and row."""

import pytest

from towlib.errors import InputError
from towlib.lessons.slider_rows import load_panel

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
