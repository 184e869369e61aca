"""Which way of towing still works with which breakage, from data/handbook/breakages.csv, and the reasoning
behind it.
"""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from towlib.errors import quote
from towlib.handbook.tables import FOLDER, Row, load_table

WORKS, AFTER, DOES_NOT = ANSWERS = ("works", "works after", "does not")
COLUMNS = ("four_wheels_down", "dolly", "trailer")  # in the order of towlib.plan.other_ways.METHODS

# what each way needs while it rolls on the road, and only for getting onto the dolly or the trailer
ON_ROAD: dict[str, frozenset[str]] = {
    "four_wheels_down": frozenset(
        {
            "front tyre",
            "rear tyre",
            "front wheels roll",
            "rear wheels roll",
            "steering turns freely",
            "front drive free",
            "rear drive free",
            "front drive whole",
            "rear drive whole",
            "front axle oil",
            "rear axle oil",
            "gear oil",
            "bar mount",
            "frame",
            "electrics",
            "lamps",
        }
    ),
    "dolly": frozenset(
        {
            "front tyre",
            "rear tyre",
            "rear wheels roll",
            "rear drive free",
            "rear drive whole",
            "rear axle oil",
            "gear oil",
            "frame",
            "lamps",
        }
    ),
    "trailer": frozenset(),
}
TO_LOAD: dict[str, frozenset[str]] = {
    "four_wheels_down": frozenset(),
    "dolly": frozenset({"front wheels roll", "steering turns freely", "front drive free", "own power"}),
    "trailer": frozenset(
        {
            "front wheels roll",
            "rear wheels roll",
            "steering turns freely",
            "front drive free",
            "rear drive free",
            "own power",
        }
    ),
}
ABILITIES = ON_ROAD["four_wheels_down"] | TO_LOAD["trailer"]
MOST_REASON = 90  # characters; more does not fit under the picture


class Way(NamedTuple):
    """The answer for one way of towing."""

    answer: str
    why: str


class Breakage(NamedTuple):
    """One thing that breaks."""

    id: str
    title: str
    loses: frozenset[str]
    remedy: str  # what brings it back by the roadside, "" when nothing does
    ways: tuple[Way, ...]  # in the order of COLUMNS


@cache
def breakages(folder: Path = FOLDER) -> tuple[Breakage, ...]:
    """All breakages in the order of the table; InputError names the file, line and column of what cannot be
    read.

    >>> breakages()[0].title, [way.answer for way in breakages()[0].ways]
    ('front tyre flat, spare on board', ['works after', 'works after', 'works'])
    """
    found = [_breakage(row) for row in load_table("breakages", folder)]
    for name in ("id", "title"):
        words = [getattr(one, name) for one in found]
        for i, word in enumerate(words):
            if word in words[:i]:
                raise load_table("breakages", folder)[i].error(
                    name, f"{quote(word)} twice", "each breakage once"
                )
    return tuple(found)


def _breakage(row: Row) -> Breakage:
    for column in ("id", "breakage", *COLUMNS, *(f"{column}_why" for column in COLUMNS)):
        if not row.get(column, "").strip():
            raise row.error(column, "nothing" if column in row else "no such column", "words")
    loses = frozenset(part.strip() for part in row.get("loses", "").split(";") if part.strip())
    if not loses or not loses <= ABILITIES:
        raise row.error(
            "loses",
            quote(row.get("loses", "")),
            f"one or more, with semicolons, of: {', '.join(sorted(ABILITIES))}",
        )
    if "remedy" not in row:
        raise row.error("remedy", "no such column", "a column for what brings it back")
    ways = []
    for column in COLUMNS:
        answer, why = row[column].strip(), row[f"{column}_why"].strip()
        if answer not in ANSWERS:
            raise row.error(column, quote(answer), f"one of {', '.join(ANSWERS)}")
        if len(why) > MOST_REASON or not why.endswith("."):
            raise row.error(
                f"{column}_why",
                quote(why),
                f"one sentence with a full stop and at most {MOST_REASON} characters",
            )
        ways.append(Way(answer, why))
    return Breakage(row["id"], row["breakage"].strip(), loses, row["remedy"].strip(), tuple(ways))


def derived_answer(loses: frozenset[str], remedy: str, column: str) -> str:
    """The answer by reasoning: what is lost, is it needed on the road or only for loading, and can it be
    brought back?

    >>> (
    ...     derived_answer(frozenset({"rear wheels roll"}), "", "dolly"),
    ...     derived_answer(frozenset({"own power"}), "", "trailer"),
    ... )
    ('does not', 'works after')
    """
    if loses & ON_ROAD[column]:
        return AFTER if remedy else DOES_NOT
    return AFTER if loses & TO_LOAD[column] else WORKS
