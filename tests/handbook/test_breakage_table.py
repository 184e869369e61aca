"""The table of breakages against the reasoning behind it, and what is said of a damaged table."""

import csv

import pytest

from towlib.errors import InputError
from towlib.handbook.breakage_table import (
    ABILITIES,
    AFTER,
    COLUMNS,
    DOES_NOT,
    ON_ROAD,
    TO_LOAD,
    WORKS,
    breakages,
    derived_answer,
)
from towlib.handbook.tables import FOLDER, load_table
from towlib.plan.other_ways import METHODS

CASES = [(one, column, way) for one in breakages() for column, way in zip(COLUMNS, one.ways, strict=True)]


@pytest.mark.parametrize(
    ("one", "column", "way"), CASES, ids=[f"{one.id}-{column}" for one, column, _ in CASES]
)
def test_the_table_says_what_reasoning_says(one, column, way):
    assert derived_answer(one.loses, one.remedy, column) == way.answer


def test_reasoning_by_hand():
    # a wheel that rolls on the road must roll; one that only has to be loaded can be dragged; one that stands
    # still does not matter
    wheel = frozenset({"front wheels roll"})
    assert [derived_answer(wheel, "", column) for column in COLUMNS] == [DOES_NOT, AFTER, AFTER]
    assert [derived_answer(wheel, "freed", column) for column in COLUMNS] == [AFTER, AFTER, AFTER]
    assert [derived_answer(frozenset({"bar mount"}), "", column) for column in COLUMNS] == [
        DOES_NOT,
        WORKS,
        WORKS,
    ]
    assert [derived_answer(frozenset({"own power"}), "", column) for column in COLUMNS] == [
        WORKS,
        AFTER,
        AFTER,
    ]


def test_what_each_way_asks_for():
    assert len(COLUMNS) == len(METHODS) == 3 and not ON_ROAD["trailer"] and not TO_LOAD["four_wheels_down"]
    # what turns on a dolly also turns four wheels down, so whatever stops the dolly on the road stops four
    # wheels down too
    assert ON_ROAD["dolly"] < ON_ROAD["four_wheels_down"] and TO_LOAD["dolly"] <= TO_LOAD["trailer"]
    assert not any(ability.startswith("front") and ability != "front tyre" for ability in ON_ROAD["dolly"])
    used = set().union(*(one.loses for one in breakages()))
    assert used == set(ABILITIES), "an ability that no breakage takes is not worth naming"


def test_the_table_as_a_whole():
    assert len(breakages()) >= 20 and all(
        way.answer in (WORKS, AFTER) for one in breakages() for way in one.ways[2:]
    )  # the trailer takes anything
    for (
        one
    ) in breakages():  # where four wheels down works as it is or after, the answer is not worse on a trailer
        assert one.ways[2].answer != DOES_NOT
        for way in one.ways:
            assert way.why[0].isupper() and way.why.endswith(".")
        if any(
            way.answer == AFTER and derived_answer(one.loses, "", column) == DOES_NOT
            for column, way in zip(COLUMNS, one.ways, strict=True)
        ):
            assert one.remedy
    assert all(
        row["known_by"] == "common practice" and row["source"] == "common practice, no source"
        for name in ("breakages", "ways_compared")
        for row in load_table(name)
    )


def _damaged(tmp_path, **change):
    with (FOLDER / "breakages.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    drop = change.pop("drop", None)
    rows[1].update(change)
    with (tmp_path / "breakages.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(
            file, [name for name in rows[0] if name != drop], extrasaction="ignore", lineterminator="\n"
        )
        writer.writeheader()
        writer.writerows(rows)
    return tmp_path


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"dolly": "perhaps"}, "dolly"),
        ({"loses": "wings"}, "loses"),
        ({"loses": ""}, "loses"),
        ({"trailer_why": ""}, "trailer_why"),
        ({"trailer_why": "No stop"}, "trailer_why"),
        ({"dolly_why": "A" * 90 + "."}, "dolly_why"),
        ({"breakage": ""}, "breakage"),
        ({"id": "front_tyre_spare"}, "id"),
        ({"breakage": "front tyre flat, spare on board"}, "title"),
        ({"source": ""}, "source"),
        ({"known_by": "hearsay"}, "known_by"),
        ({"drop": "remedy"}, "remedy"),
        ({"drop": "dolly"}, "dolly"),
        ({"drop": "loses"}, "loses"),
    ],
)
def test_a_damaged_row_is_named(tmp_path, change, named):
    with pytest.raises(InputError) as caught:
        breakages(_damaged(tmp_path, **change))
    assert named in str(caught.value) and "breakages.csv, line" in str(caught.value)


def test_an_untouched_copy_is_read(tmp_path):
    assert breakages(_damaged(tmp_path)) == breakages()
