"""Lesson 09: what oils what as a table, and the positions card and findings of a rig in sentences."""

import re
from collections.abc import Callable, Sequence

from towlib.handbook.tables import known_words, load_table
from towlib.lessons.l09_driveline.driveline_panels import speeds_layout
from towlib.lessons.shown_tables import Table, Tables
from towlib.limits.decision import answer
from towlib.limits.driveline_card import layout_of, position_card, roll_words, way_home_steps
from towlib.limits.driveline_layout import Layout, findings, what_turns
from towlib.limits.driveline_limits import driveline_rules, driveline_words
from towlib.limits.limit import by_closeness
from towlib.physics.driveline.gear_ties import wheel_rpm
from towlib.physics.turning.steering import revolutions
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import label_of
from towlib.road.route import Route
from towlib.units import number, show

_PATH = re.compile(r"\b[a-z_]+(?:\.[a-z_0-9]+)+\b")


def what_oils_what() -> Tables:
    """Each part, what must turn to oil it, and what is so while that stands."""
    rows = load_table("oiling")
    return Tables(
        Table(
            ("part", "oiled by", "while this turns", "else", "how this is known"),
            tuple(
                (_part(r), r["oiled_by"], r["feeder"], r["starved"], known_words(r["known_by"])) for r in rows
            ),
            "Not known is not a pass. The maker's manual decides over every row.",
        )
    )


def _part(row: dict[str, str]) -> str:
    kinds = [row[column] for column in ("transfer_case", "gearbox") if row[column] != "any"]
    return f"{row['part']} ({', '.join(kinds)})" if kinds else row["part"]


def _plain(reason: str) -> str:
    """A reason with the labels of fields in place of their keys in the file."""

    def label(found: re.Match[str]) -> str:
        try:
            return f"‘{label_of(found[0]).removeprefix('true when ')}’"
        except ValueError:
            return found[0]

    words = _PATH.sub(label, reason)
    return f"your rig does not say {words}" if _PATH.fullmatch(reason) else words


def _or_not_known(say: Callable[[], Sequence[str]], what: str, instead: str = "") -> Sequence[str]:
    try:
        return say()
    except NotKnown as missing:
        return (f"{what}: not known; {_plain(missing.reason)}.{instead}",)
    except ValueError as error:
        return (f"{what}: not possible; {error}.{instead}",)


def card_lines(facts: Facts) -> Sequence[str]:
    """The positions card of a rig: before it is towed, its mirror, and what comes first on the way home."""

    def lines() -> Sequence[str]:
        layout = layout_of(facts)
        card = position_card(layout)
        return [
            "BEFORE IT IS TOWED",
            *_numbered(card.leaving),
            "TO DRIVE IT AGAIN: THE MIRROR",
            *_numbered(card.home),
            "BEFORE THE WAY HOME, FIRST",
            *_numbered(way_home_steps(layout)[:1]),
        ]

    usual = (
        " Until it is known: the maker's manual, and the roll test. For a part-time case in neutral it reads:"
        f" {roll_words(Layout())}"
    )
    return _or_not_known(lines, "The positions card", usual)


def _numbered(steps: Sequence[str]) -> list[str]:
    return [f"{number_}. {step}" for number_, step in enumerate(steps, start=1)]


def rig_lines(facts: Facts, road: Route, system: str) -> Sequence[str]:
    """How fast the wheels of a rig turn, what stands out in its positions, and the limits of its
    driveline.
    """

    def wheels() -> Sequence[str]:
        radius_m, speed_m_s = (
            facts.need("towed_vehicle.tyres.rolling_radius"),
            facts.need("conditions.cruise_speed"),
        )
        way_m, way = (1000.0, "kilometre") if system == "metric" else (1609.344, "mile")
        rpm, turns = wheel_rpm(speed_m_s, radius_m), revolutions(way_m, radius_m)
        return (
            (
                f"At {show(speed_m_s, 'speed', system)} its wheels turn at {number(rpm, 3)} rpm,"
                f" {number(turns, 3)} times in a {way}."
            ),
        )

    def found() -> Sequence[str]:
        if facts.have("towed_vehicle.driveline.oil_confirmed"):  # the manual's word, as the plan takes it
            return (driveline_words(facts),)
        return findings(what_turns(speeds_layout(facts), facts.need("conditions.cruise_speed")))

    limits = by_closeness([answer(rule, facts) for rule in driveline_rules(facts, road)])
    return (
        *_or_not_known(wheels, "Speed of its wheels"),
        *_or_not_known(found, "What turns"),
        *(f"{limit.title}: {limit.answer_text(system, _plain)}." for limit in limits),
    )
