"""Slider data: an edited row that no longer holds together is answered by file, panel and row."""

import pytest

from towlib.errors import InputError
from towlib.teaching.lessons import load_panel

ROW = {"name": "mass_kg", "label": "Mass", "kind": "mass", "low": "0 kg", "high": "900 kg", "start": "300 kg", "step": "10 kg", "group": "load",
       "why_this_range": "because", "source": "common practice, no source"}


def _load(tmp_path, *rows, title="A panel"):
    lines = ["[panels.p]", f'title = "{title}"'] if title else ["[panels.p]"]
    for row in rows:
        lines += ["[[panels.p.sliders]]", *(f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}" for key, value in row.items())]
    (tmp_path / "99_x.toml").write_text("\n".join(lines), encoding="utf-8")
    return load_panel("99_x", "p", folder=tmp_path)


def test_a_good_row(tmp_path):
    slider = _load(tmp_path, ROW | {"low": "100 lb"}).sliders[0]
    assert slider.low == pytest.approx(45.359237) and slider.high == 900.0


def test_order_is_by_group(tmp_path):
    spec = _load(tmp_path, ROW | {"group": "view", "name": "a"}, ROW | {"group": "vehicle", "name": "b"}, ROW | {"name": "c"})
    assert [slider.name for slider in spec.sliders] == ["b", "c", "a"]


def test_temperature_step_is_a_difference(tmp_path):
    row = ROW | {"kind": "temperature", "low": "-10 degC", "high": "45 degC", "start": "20 degC", "step": "1 degC"}
    assert _load(tmp_path, row).sliders[0].step == pytest.approx(1.0)


@pytest.mark.parametrize(("change", "said"), [
    ({"start": "950 kg"}, "start 950 kg outside"), ({"step": "0 kg"}, "step 0 kg"), ({"step": "901 kg"}, "step 901 kg"), ({"low": "900 kg"}, "not below high"),
    ({"kind": "weight"}, "kind of unit"), ({"group": "misc"}, "one of vehicle"), ({"start": "300"}, "no unit"), ({"start": 300}, "without a unit"),
    ({"unit": "kg"}, "not known"), ({"start": "300 lbf"}, "force, not mass")])
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
