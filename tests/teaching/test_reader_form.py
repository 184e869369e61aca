"""The form's questions, what it says is missing, and the reader's guesses."""

import datetime
import html
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.rig.test_store import NEEDED
from towlib.plan.trip import make_plan
from towlib.print.field_lists import SECTIONS, rig_fields
from towlib.rig.import_file import import_file
from towlib.rig.model import row_of
from towlib.rig.store import RigStore
from towlib.road.route import load_route
from towlib.teaching.form import reader_form
from towlib.teaching.panel import panels
from towlib.teaching.practice import answers
from towlib.units import KINDS, split_plus_minus


@pytest.fixture
def road():
    return load_route("data/routes/short_steep_pass.csv")


def test_every_field_of_the_rig_is_asked(tmp_path):
    rows = tuple(f"{table}.0." for table in reader_form.ROWS)
    asked = {
        field.path
        for field in rig_fields()
        if field.path.rpartition(".")[0] in SECTIONS or field.path.startswith(rows)
    }
    left_out = {field.path for field in rig_fields()} - asked
    assert left_out == {"name", "invented"}


def test_missing_facts_are_named_until_nothing_is_missing(tmp_path, road, data_folder):
    store = RigStore(tmp_path)
    assert "nothing filled in yet" in reader_form.what_is_missing(road, store)
    import_file(store, data_folder / "rigs" / "demo_overloaded.toml")
    words = reader_form.what_is_missing(road, store)
    assert "brackets: heaviest towed weight" in words and "Brackets on the towed vehicle" in words
    assert "tow_bar." not in words  # no key of the file
    import_file(store, data_folder / "rigs" / "demo_comfortable.toml")
    assert reader_form.what_is_missing(road, store).startswith("Nothing is missing")


def test_filling_in_a_missing_fact_settles_the_limits_it_names(tmp_path, road, data_folder):
    store = RigStore(tmp_path)
    import_file(store, data_folder / "rigs" / "demo_overloaded.toml")
    before = {limit.key: limit.answer for limit in make_plan(store.rig(), road).limits}
    assert reader_form.put(store, "tow_bar.bracket_rating", "5000 lb") == ""
    after = {limit.key: limit.answer for limit in make_plan(store.rig(), road).limits}
    assert (before["brackets"], after["brackets"]) == ("not known", "within")


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "file").write_text("x")
    assert reader_form.put(RigStore(tmp_path / "file" / "below"), "tow_vehicle.gvwr", "3000 kg").startswith(
        "Not kept"
    )


def test_guesses_are_remembered(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    assert answers.recall("01.predict-1") == ""
    assert answers.remember("01.predict-1", 'lighter,\nI think "maybe"').startswith("Kept")
    assert answers.recall("01.predict-1") == 'lighter,\nI think "maybe"'
    (tmp_path / "my_answers.toml").write_text("[broken", encoding="utf-8")
    assert answers.recall("01.predict-1") == "" and answers.remember("01.predict-1", "x").startswith(
        "Not kept"
    )
    assert (tmp_path / "my_answers.toml").read_text(
        encoding="utf-8"
    ) == "[broken"  # what the reader has is not overwritten


# ---- the form itself, without a browser


@pytest.fixture
def form(tmp_path):
    return reader_form.rig_form(RigStore(tmp_path))


def _headings(form):
    return [fold.title for fold in form._folds]


def test_an_answer_is_one_text_with_its_unit_and_how_sure_the_reader_is(tmp_path, form):
    form.open("Tow vehicle")
    for value, unit, plus_minus, kept in (
        ("950", "kg", "", "950 kg"),
        ("950", "kg", "15", "950 ± 15 kg"),
        ("2,100", "lb", "± 1 %", "2,100 lb ± 1 %"),
        ("0.95 t", "kg", "15", "0.95 t ± 15"),
        ("951 +/- 15", "kg", "", "951 ± 15 kg"),
    ):
        assert form.type("tow_vehicle.front_axle_empty", value, unit=unit, plus_minus=plus_minus).startswith(
            "✓"
        ), value
        assert RigStore(tmp_path).text("tow_vehicle.front_axle_empty") == kept
    assert (
        RigStore(tmp_path).understood("tow_vehicle.front_axle_empty", "0.95 t ± 15")[1] == ""
    )  # a bare ± takes the unit in front of it
    assert form.type("tow_vehicle.rolling_resistance", "0.013", plus_minus="0.002").startswith("✓")
    assert RigStore(tmp_path).text("tow_vehicle.rolling_resistance") == "0.013 ± 0.002"


def test_a_plus_minus_is_taken_in_either_box_and_in_both_spellings(tmp_path, form):
    form.open("Tow vehicle")
    path = "tow_vehicle.front_axle_empty"
    for typed in ("+/- 15", "± 15", "+/-15", " ±15"):
        assert (
            form.type(path, "950", unit="kg", plus_minus=typed).startswith("✓")
            and RigStore(tmp_path).text(path) == "950 ± 15 kg"
        ), typed
    for typed, kept, shown in (
        ("950 kg ± 20 kg", "950 kg ± 20 kg", ("950 kg", "kg", "± 20 kg")),
        ("960 +/- 1 %", "960 kg ± 1 %", ("960", "kg", "± 1 %")),
        ("970 ±", "970 kg ± 1 %", ("970", "kg", "± 1 %")),
    ):
        assert (
            form.type(path, typed).startswith("✓") and RigStore(tmp_path).text(path) == kept
        )  # an older ± stood in its box: the value's own wins
        assert form.field(path).shown == shown
    assert (
        form.type(path, "970", plus_minus="7").startswith("✓")
        and RigStore(tmp_path).text(path) == "970 ± 7 kg"
    )  # and the box, once it is typed into


def test_what_was_kept_comes_back_into_the_same_boxes(tmp_path):
    store = RigStore(tmp_path)
    for path, text in (
        ("tow_vehicle.gvwr", "3100 ± 20 kg"),
        ("tow_vehicle.payload", "1,150 lb"),
        ("tow_vehicle.gcwr", "5 furlongs"),
        ("tow_vehicle.wheelbase", "110 in ± 1 cm"),
    ):
        store.put(path, text)
    form = reader_form.rig_form(store)
    form.open("Tow vehicle")
    shown = [
        form.field(f"tow_vehicle.{name}").shown
        for name in ("gvwr", "payload", "gcwr", "wheelbase", "cg_height")
    ]
    assert shown == [
        ("3100", "kg", "± 20"),
        ("1,150", "lb", ""),
        ("5 furlongs", "kg", ""),
        ("110", "in", "± 1 cm"),
        ("", "m", ""),
    ]
    assert form.field("tow_vehicle.gcwr").said.startswith("✗ found '5 furlongs'")
    assert form.field("tow_vehicle.gvwr").said.startswith("✓")
    assert (
        "meanwhile 0.70 m is assumed: height of the centre of gravity"
        in form.field("tow_vehicle.cg_height").said
    )


def _may_mean_something(text):
    """Not a ± of its own, and not digits, signs and e without being a number, such as 'E'."""
    return not re.search(r"±|\+/-", text) and (
        not re.fullmatch(r"[-+0-9.,eE\s]+", text) or reader_form._BARE.fullmatch(text.strip())
    )


@settings(max_examples=150, deadline=None)
@given(
    text=st.one_of(st.text("0123456789.,-+eE kgl°", max_size=12), st.text(max_size=20)).filter(
        _may_mean_something
    ),
    unit=st.sampled_from(["kg", "lb", ""]),
    behind=st.text("0123456789.kgl% ", max_size=8).filter(_may_mean_something),
)
def test_boxes_and_text_are_each_others_reverse(text, unit, behind):
    kept = reader_form.joined(reader_form.Typed(text, unit, behind))
    again = reader_form.parted(kept, (unit,) if unit else ())
    assert ["".join(part.split()) for part in split_plus_minus(reader_form.joined(again))] == [
        "".join(part.split()) for part in split_plus_minus(kept)
    ]


@pytest.mark.parametrize(
    "text",
    [
        "950 ± 15 kg",
        "950 kg",
        "-4 in",
        "2,950 lb ± 2 %",
        "1.5e3 kg",
        "12.5",
        "12.5 ± 0.1",
        "32 °C",
        "260 lbf ft",
        "4.5 m/s2 ± 0.5 m/s2",
        "36 psi ± 1 kPa",
    ],
)
def test_kept_text_goes_through_the_boxes_unchanged_in_meaning(text):
    units = (
        tuple(dict.fromkeys(spelling for kind in KINDS.values() for spelling in kind.spellings))
        if re.search("[a-z°]", text)
        else ()
    )
    parts = reader_form.parted(text, units)
    assert split_plus_minus(reader_form.joined(parts)) == split_plus_minus(text)


def test_the_heading_counts_what_is_answered_as_it_is_typed(form):
    asked = sum(field.path.rpartition(".")[0] == "tow_vehicle" for field in rig_fields())
    assert _headings(form)[0] == f"Tow vehicle: 0 of {asked} answered, 3 needed still open"
    form.open("Tow vehicle")
    form.type("tow_vehicle.wheelbase", "3.4")
    form.type("tow_vehicle.gvwr", "3000 lbf")
    assert _headings(form)[0] == f"Tow vehicle: 1 of {asked} answered, 2 needed still open, 1 not read"
    form.type("tow_vehicle.wheelbase", "")
    assert _headings(form)[0] == f"Tow vehicle: 0 of {asked} answered, 3 needed still open, 1 not read"


def test_each_unit_is_offered_once_and_the_readers_own_first(form):
    form.open("Tow vehicle")
    form.open("Tow bar")
    offered = {
        path: form.field(path)._units.options
        for path in ("tow_vehicle.gvwr", "tow_vehicle.wheelbase", "tow_bar.depth", "tow_bar.greatest_slope")
    }
    assert offered == {
        "tow_vehicle.gvwr": ("kg", "lb", "g", "oz", "t"),
        "tow_vehicle.wheelbase": ("m", "ft", "cm", "mm", "in"),
        "tow_bar.depth": ("mm", "in", "m", "cm", "ft"),
        "tow_bar.greatest_slope": ("°", "rad"),
    }
    form.open("Tow vehicle: gearbox")
    assert form.field("tow_vehicle.gearbox.ratios")._plus_minus is None and form.type(
        "tow_vehicle.gearbox.ratios", "4.1, 2.3, 1.4, 1.0"
    ).startswith("✓")


def test_an_answer_is_read_back_in_both_systems_and_a_slip_asked_about(tmp_path, form):
    """1340 kg / 0.45359237 = 2954.2 lb (NIST SP 811, appendix B.8)."""
    form.open("Tow vehicle")
    path, store = "tow_vehicle.front_axle_empty", RigStore(tmp_path)
    field = form.field(path)
    assert form.type(path, "1340", unit="kg") == "✓ 1,340 kg = 2,954 lb"
    assert form.type(path, "1340", plus_minus="20") == "✓ 1,340 kg = 2,954 lb ± 20 kg = 44.09 lb"
    assert field._right.layout.display == "none"
    said = form.type(path, "1.340", plus_minus="")
    assert said.startswith("? ") and "1.34 kg = 2.954 lb" in said and "not known until then" in said
    assert field._right.layout.display != "none"
    assert field.confirm() == "✓ 1.34 kg = 2.954 lb" and store.asked() == ()
    assert field._right.layout.display == "none"
    assert form.type(path, "1.350").startswith("? ")  # that value was not confirmed
    assert form.type(path, "").startswith("○ not answered")  # and nothing is kept


def test_all_fields_of_a_question_ask_and_one_confirmation_settles_it(tmp_path, form):
    form.open("Tow vehicle")
    form.type("tow_vehicle.front_gawr", "1730", unit="kg")
    form.type("tow_vehicle.rear_gawr", "1940", unit="kg")
    assert form.type("tow_vehicle.gvwr", "3900", unit="kg").startswith("? ")
    three = [form.field(f"tow_vehicle.{name}") for name in ("front_gawr", "rear_gawr", "gvwr")]
    assert all(field.said.startswith("? ") and field._right.layout.display != "none" for field in three)
    three[0].confirm()
    assert all(field.said.startswith("✓ ") and field._right.layout.display == "none" for field in three)
    form.type("tow_vehicle.gvwr", "4000")
    assert all(field.said.startswith("? ") for field in three)
    form.type("tow_vehicle.gvwr", "3270")
    assert all(field.said.startswith("✓ ") for field in three)


def test_another_unit_alone_clears_nothing(tmp_path, form):
    form.open("Tow vehicle")
    RigStore(tmp_path).put("tow_vehicle.gvwr", "3100 kg")  # the other notebook
    form.field("tow_vehicle.gvwr")._units.value = "lb"
    assert RigStore(tmp_path).text("tow_vehicle.gvwr") == "3100 kg"


def test_two_forms_in_one_kernel_see_each_other(tmp_path):
    one, other = reader_form.rig_form(RigStore(tmp_path)), reader_form.rig_form(RigStore(tmp_path))
    for form in (one, other):
        form.open("Tow vehicle")
    one.type("tow_vehicle.gvwr", "3100", unit="kg")
    other.type("tow_vehicle.gcwr", "5000", unit="kg")
    assert RigStore(tmp_path).texts() == {"tow_vehicle.gvwr": "3100 kg", "tow_vehicle.gcwr": "5000 kg"}
    assert "Another notebook had written '3100 kg' here" in other.type("tow_vehicle.gvwr", "3200", unit="kg")
    one._folds[0]._button.value = False
    one.open("Tow vehicle")
    assert (
        one.field("tow_vehicle.gvwr").shown[0] == "3200" and one.field("tow_vehicle.gcwr").shown[0] == "5000"
    )
    assert one.type("tow_vehicle.gvwr", "3300").startswith("✓")  # it had seen the other's


def test_yes_and_no_the_engine_curve_and_rows(tmp_path, form):
    store = RigStore(tmp_path)
    for heading in ("Towed vehicle: ", "Tow vehicle: engine", "People", "Brackets: where"):
        form.open(heading)
    form.type("towed_vehicle.brakes_fitted", "true")
    assert form.type(
        "tow_vehicle.engine.curve", "1,500 rpm 250 Nm, 3000 rpm 330 Nm; 4500 rpm 230 lbf ft"
    ).startswith("✓")
    assert (
        "an engine speed and a torque" in form.type("tow_vehicle.engine.curve", "1500 250, 3000 330")
        and store.unread()["tow_vehicle.engine.curve"] == "1500 250, 3000 330"
    )
    form.type("tow_vehicle.engine.curve", "1500 rpm 250 Nm, 3000 rpm 330 Nm")
    form.type("load.5.name", "dog")
    form.type("bracket.bolts.0.above_pin", "-20", unit="mm")
    for path, text in NEEDED.items():
        store.put(path, text)
    for name, text in (
        ("load.5.mass", "30 kg"),
        ("load.5.behind_front_axle", "2 m"),
        ("bracket.bolts.0.behind_pin", "6 cm"),
        ("bracket.bolts.0.outboard_of_pin", "0 mm"),
    ):
        store.put(name, text)
    rig = store.rig()
    assert [(point.speed, point.torque) for point in rig.tow_vehicle.engine.curve] == [
        (1500.0, 250.0),
        (3000.0, 330.0),
    ]
    assert (
        rig.towed_vehicle.brakes_fitted is True
        and rig.load[0].name == "dog"
        and rig.bracket.bolts[0].above_pin == -0.02
    )
    form.refresh()
    assert form.field("load.6.name").shown[0] == ""  # there is always one more row than is filled in
    assert form.field("tow_vehicle.engine.curve").shown[0] == "1500 rpm 250 Nm, 3000 rpm 330 Nm"


def test_a_broken_file_is_said_and_not_written_over(tmp_path):
    (tmp_path / "my_rig.toml").write_text("[tow_vehicle\nname = ", encoding="utf-8")
    form = reader_form.rig_form(RigStore(tmp_path))
    form.open("Tow vehicle")
    assert (
        "my_rig.toml" in form.type("tow_vehicle.gvwr", "3100 kg")
        and "not TOML" in form.field("tow_vehicle.gvwr").said
    )
    assert (tmp_path / "my_rig.toml").read_text(encoding="utf-8") == "[tow_vehicle\nname = "
    assert "not TOML" in reader_form.what_is_missing(
        load_route("data/routes/short_steep_pass.csv"), RigStore(tmp_path)
    )


def test_needed_facts_come_first_with_their_place_in_the_form(tmp_path, road):
    store = RigStore(tmp_path)
    store.put("tow_vehicle.wheelbase", "3.4 m")
    words = reader_form.what_is_missing(road, store)
    assert (
        "- Tow vehicle, A: front axle with full tank" in words
        and "- Tow vehicle, C" not in words
        and words.count("\n- ") == 5
    )


def test_no_more_than_ten_missing_facts_at_once(tmp_path, road, data_folder):
    store = RigStore(tmp_path)
    import_file(store, data_folder / "rigs" / "demo_overloaded.toml")
    few, all_of_them = (
        reader_form.what_is_missing(road, store, most=most).splitlines() for most in (10, 1000)
    )
    assert (
        sum(line.startswith("- ") for line in few) == 10 and few[-1] == f"… and {len(all_of_them) - 11} more."
    )
    missing = [
        fact
        for limit in make_plan(store.rig(), road).limits
        if limit.answer == "not known"
        for fact in limit.missing.split("; ")
    ]
    by_words = {reader_form._place_words(fact): fact for fact in missing}
    named = [line[2:].partition(" would help to settle: ")[0] for line in all_of_them[1:]]
    settled = [missing.count(by_words[words]) for words in named]
    assert len(settled) > 10 and settled == sorted(settled, reverse=True)


def test_every_section_can_be_opened_and_every_control_has_a_name(tmp_path, data_folder):
    store = RigStore(tmp_path)
    import_file(store, data_folder / "rigs" / "demo_comfortable.toml")
    form = reader_form.rig_form(store)
    for heading in _headings(form):
        form.open(heading)
    paths = {path for fields in form._fields.values() for path in fields}
    assert {field.path for field in rig_fields()} - paths == {"name", "invented"}
    for path in paths:
        field = form.field(path)
        controls = [part for part in (field._entry, field._units, field._plus_minus) if part is not None]
        assert all(part.description and part.tooltip for part in controls) and len(
            {part.description for part in controls}
        ) == len(controls), path
        assert (
            path in store.unread()
            or field.said.startswith(("✓", "?", "○ not answered"))
            or row_of(path)
            or path.endswith(".name")
        ), path


# ---- another rig in the place of one's own


def _press(chooser_fold, times=1):
    """The button of the chooser, which asks once when there is something to lose."""
    button = next(
        part
        for part in _all(chooser_fold)
        if getattr(part, "description", "") in ("Take over this rig", "Yes, replace mine")
    )
    for _ in range(times):
        button.click()
    return " ".join(
        html.unescape(re.sub("<[^>]*>", "", part.value))
        for part in _all(chooser_fold)
        if isinstance(getattr(part, "value", None), str) and "<span role" in part.value
    )


def _all(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _all(child)


def test_a_rig_made_elsewhere_is_taken_over_and_the_form_shows_it(tmp_path, form, monkeypatch):
    monkeypatch.setattr(panels, "TOO_QUICK_S", 0.0)
    form.open("Tow vehicle")
    chooser = form.widget.children[1]
    path = next(part for part in _all(chooser) if "path" in (getattr(part, "description", "") or ""))
    elsewhere = tmp_path / "elsewhere.toml"
    elsewhere.write_text(
        '[tow_vehicle]\ngvwr = "3050 kg ± 10 kg"\nwheelbase = "three"\ncolour = "red"\n', encoding="utf-8"
    )
    assert "Choose a file first" in _press(chooser)
    path.value = str(elsewhere)
    said = _press(chooser)  # nothing to lose yet: one click
    assert (
        "1 value taken from elsewhere.toml" in said
        and "'tow_vehicle.colour'" in said
        and "tow_vehicle.wheelbase" in said
    )
    assert form.field("tow_vehicle.gvwr").shown == ("3050", "kg", "± 10")
    assert form.field("tow_vehicle.wheelbase").shown[0] == "three" and form.field(
        "tow_vehicle.wheelbase"
    ).said.startswith("✗ found 'three'")
    demo = next(part for part in _all(chooser) if getattr(part, "description", "") == "an invented demo rig")
    demo.value = "demo_comfortable"
    assert path.value == ""
    assert "kept beside it" in _press(chooser)
    assert RigStore(tmp_path).text("tow_vehicle.gvwr") == "3050 kg ± 10 kg"  # only asked
    said = _press(chooser)
    assert "invented rig" in said and "my_rig.toml.old and my_rig_not_read.toml.old" in said
    assert (
        form.field("tow_vehicle.gvwr").shown[:2]
        == reader_form.parted(RigStore(tmp_path).text("tow_vehicle.gvwr"), ("lb", "kg"))[:2]
        != ("3050", "kg")
    )
    assert RigStore(tmp_path).rig().invented is False and RigStore(tmp_path).unread() == {}


def test_a_chosen_file_is_taken_over(tmp_path, form, monkeypatch):
    chooser = form.widget.children[1]
    upload = next(
        part for part in _all(chooser) if "Choose a rig file" in (getattr(part, "description", "") or "")
    )
    upload.value = (
        {
            "name": "from a phone.toml",
            "type": "",
            "size": 3,
            "content": memoryview(b'[hitch]\nball_rating = "2000 kg"'),
            "last_modified": datetime.datetime.now(),
        },
    )
    assert "1 value taken from from a phone.toml" in _press(chooser)
    assert RigStore(tmp_path).text("hitch.ball_rating") == "2000 kg"
