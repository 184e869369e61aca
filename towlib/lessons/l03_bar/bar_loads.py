"""Lesson 03: load cases of the bar, and what yields first in a bracket."""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.errors import InputError
from towlib.lessons.declare import with_values
from towlib.limits.attachment_limits import (
    attachment_rules,
    first_to_yield_words,
    known_attachment,
)
from towlib.limits.coupling_limits import pair_d_value_n, slope_rad
from towlib.limits.decision import answer
from towlib.limits.envelope import (
    Loaded,
    bracket_loads,
    cases_on_grades,
    floor_loads,
    loads_of_force,
    tow_bar_rule_loads,
)
from towlib.limits.envelope_limits import envelope_rules
from towlib.limits.joint_limits import crack_uses, crack_words, joint_rules, torque_words
from towlib.limits.loads import own_brake_share, own_deceleration_m_s2, tow_total_kg, towed_total_kg
from towlib.paths import DATA
from towlib.physics.hitch.attachment import LUG_ROOT, WELD, Part, first_to_yield
from towlib.physics.hitch.load_cases import BracketLoads, Case, Force, Yardstick, yardsticks
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig, label_of
from towlib.road.route import Route, load_route
from towlib.units import from_si, number, show, unit_label

CASES = (
    "pulling away uphill",
    "braking, level",
    "braking downhill",
    "turning",
    "braking in a curve",
    "wheels over an edge",
    "one wheel over an edge",
    "steering locked",
    "steering at its lock",
    "backing by mistake",
    "snatch from play",
    "one latch open",
)
ROAD = DATA / "routes" / "short_steep_pass.csv"  # whose grades the ranking takes
ALONG, ACROSS, ARM = range(3)  # the frames of the first panel
RANKS = ("weakest", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


class Mark(NamedTuple):
    """A yardstick beside the cases."""

    name: str
    part: int  # ALONG, ACROSS or ARM
    force_n: float


class BarCases(NamedTuple):
    """Everything the first panel shows."""

    cases: tuple[Case, ...]
    arms_n: tuple[float, ...]  # of each case, in the arm that carries more, pull positive
    marks: tuple[Mark, ...]
    d_value_n: float | None  # None: not known


def bar_cases(facts: Facts, *, grade: float) -> BarCases:
    """What the ball does to the coupler in every case, and what the harder arm carries; the grade is climbed
    in one and descended in others.
    """
    given = {
        "deceleration_m_s2": own_deceleration_m_s2(facts, "out"),
        "own_brake_share": own_brake_share(facts),
    }
    away, down, curved, curve, *others = cases_on_grades(facts, "out", climb=grade, descent=-grade, **given)
    _, level, *_ = cases_on_grades(facts, "out", climb=grade, descent=0.0, **given)
    cases = (away, level, down, curve, curved, *others)
    try:
        d_value_n = pair_d_value_n(facts, "out")
    except NotKnown:
        d_value_n = None
    marks = [] if d_value_n is None else [Mark("D", ALONG, d_value_n)]
    standards = {mark.name: mark.force for mark in _standards(facts)}
    across = standards["0.5 g across"]
    marks += [
        Mark("1.5 g", ALONG, standards["1.5 g along"].along_n),
        Mark("rule", ALONG, standards["tow-bar rule"].along_n),
        Mark("0.5 g", ACROSS, across.left_n),
        Mark("0.5 g ", ARM, loads_of_force(facts, across, "out").right_arm_n),
    ]
    named = tuple(case._replace(name=name) for name, case in zip(CASES, cases, strict=True))
    arms = tuple(harder_arm_n(loads_of_force(facts, case.force, "out")) for case in named)
    return BarCases(named, arms, tuple(marks), d_value_n)


def harder_arm_n(loads: BracketLoads) -> float:
    """The force in the arm that carries more, pull positive."""
    return max(loads.left_arm_n, loads.right_arm_n, key=abs)


def _standards(facts: Facts) -> tuple[Yardstick, ...]:
    return yardsticks(
        tow_total_kg(facts, "out"), towed_total_kg(facts, "out"), slope_rad=slope_rad(facts, "out")
    )


def bar_cases_words(result: BarCases, system: str) -> str:
    """The sentence under the first panel."""
    pull = max(result.cases, key=lambda case: case.force.along_n)
    push = min(result.cases, key=lambda case: case.force.along_n)
    side = max(result.cases, key=lambda case: abs(case.force.left_n))
    upright_n = max(abs(case.force.up_n) for case in result.cases)
    arm_n, arm = max(
        zip(result.arms_n, (case.name for case in result.cases), strict=True), key=lambda each: abs(each[0])
    )
    pushed = (
        f"the largest push {show(-push.force.along_n, 'force', system)} ({push.name})"
        if push.force.along_n < 0
        else "nothing pushes"
    )
    return (
        f"The largest pull is {show(pull.force.along_n, 'force', system)} ({pull.name}), {pushed}, the side"
        f" force {show(abs(side.force.left_n), 'force', system)} ({side.name}), upright"
        f" {show(upright_n, 'force', system)}; one arm carries up to {show(abs(arm_n), 'force', system)}"
        f" ({arm}). The D-value of this pair is {show(result.d_value_n, 'force', system)}."
    )


def bar_cases_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""

    def shown(**values: float) -> dict[str, tuple[Force, float]]:
        moved = with_values(facts, {path.replace("__", "."): value for path, value in values.items()})
        found = bar_cases(moved, grade=0.08)
        return {case.name: (case.force, arm) for case, arm in zip(found.cases, found.arms_n, strict=True)}

    now = shown(towed_vehicle__working_brake_share=0.0)
    braked = shown(towed_vehicle__working_brake_share=0.5)["braking downhill"][0].along_n
    edge, push = now["wheels over an edge"][0].along_n, -now["braking downhill"][0].along_n
    half = shown(conditions__pothole_edge=facts.need("conditions.pothole_edge") / 2.0)
    away, locked = now["pulling away uphill"][0].along_n, now["steering locked"]

    def force(size_n: float) -> str:
        return show(size_n, "force", system)

    return (
        f"The edge pulls with {force(edge)}, a jerk that is over before you can act: after a hard one stop"
        f" and look at brackets and pins. Half the edge still gives"
        f" {number(100 * half['wheels over an edge'][0].along_n / edge, 2)} % of it. Braking down 8 %"
        f" *pushes* with {force(push)}, {number(push / away, 2)} times the pull of starting up the same hill;"
        f" brakes of the towed vehicle that do half of its braking leave {force(max(0.0, -braked))}. **What"
        " acts sideways asks far more of an arm than of the ball**: steering that is locked puts"
        f" {force(locked[0].left_n)} on the ball and {force(abs(locked[1]))} into one arm; the curve's"
        f" {force(now['turning'][0].left_n)} make {force(abs(now['turning'][1]))}. See at every stop that"
        " the steering runs free."
    )


class BarCasesDrawing:
    """Three columns of bars: along the bar, across it, and in the harder arm."""

    size_in, frames, widths = (10.4, 4.6), 3, (1.7, 0.85, 1.35)
    narrow_in = (4.9, 15.0)
    TITLES = ("Along the bar: push ←   → pull", "Across", "In the harder arm: push ←   → pull")
    LEAST_N = 500.0  # of a frame, so that nothing looks like something
    # beyond the longest bar there is room for its number, and more of it in a narrow frame
    ROOM = (1.45, 1.75, 1.5)

    MARKS = (("D", ALONG), ("1.5 g", ALONG), ("rule", ALONG), ("0.5 g", ACROSS), ("0.5 g ", ARM))
    ROW_OF_MARK = {"D": 2.5, "1.5 g": 0.5, "rule": 1.5, "0.5 g": 0.5, "0.5 g ": 0.5}

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the forces."""
        for i in range(3):
            picture.bars(f"bars {i}", i, len(CASES))
            picture.reference(f"zero {i}", i)
        for name, frame in self.MARKS:
            picture.reference(f"{name} pull", frame)
            picture.words(f"{name} words", frame)
            if frame != ACROSS:
                picture.reference(f"{name} push", frame)
        for i in range(3):
            for row in range(len(CASES)):
                picture.words(f"right {i} {row}", i)
                picture.words(f"left {i} {row}", i, align="right")

    def update(self, picture: Picture, result: BarCases, system: str) -> None:
        """Move the parts to a result."""
        rows = (-0.5, len(CASES) - 0.5)
        shown = (
            [case.force.along_n for case in result.cases],
            [abs(case.force.left_n) for case in result.cases],
            list(result.arms_n),
        )
        for i, forces in enumerate(shown):
            marked = max((mark.force_n for mark in result.marks if mark.part == i), default=0.0)
            longest = max(*map(abs, forces), self.LEAST_N)
            most = max(self.ROOM[i] * longest, 1.3 * marked)
            limit = round_up(from_si(most, "force", system))
            picture.frame(
                i,
                title=self.TITLES[i],
                x_label=f"force [{unit_label('force', system)}]",
                x=(0.0, limit) if i == ACROSS else (-limit, limit),
                y_names=CASES if i == ALONG or picture.narrow else [""] * len(CASES),
            )
            values = [from_si(force, "force", system) for force in forces]
            picture.stretch(f"bars {i}", values, [False] * len(values))
            picture.move(f"zero {i}", [0.0, 0.0], rows)
            for row, value in enumerate(values):
                self._value(picture, (i, row), value, limit)
        drawn = {mark.name: mark for mark in result.marks}
        for name, i in self.MARKS:
            mark = drawn.get(name)
            place = from_si(mark.force_n, "force", system) if mark else 0.0
            picture.move(f"{name} pull", [place, place] if mark else [], rows if mark else [])
            if i != ACROSS:
                picture.move(f"{name} push", [-place, -place] if mark else [], rows if mark else [])
            picture.say(f"{name} words", f" {name.strip()}" if mark else "", place, self.ROW_OF_MARK[name])

    @staticmethod
    def _value(picture: Picture, where: tuple[int, int], value: float, limit: float) -> None:
        """The number on the side of its bar, just beyond its end."""
        frame, row = where
        gap, text = 0.02 * limit, f"{abs(value):,.0f}"
        on_left = value < 0
        picture.say(f"left {frame} {row}", text if on_left else "", min(value, 0.0) - gap, row)
        picture.say(f"right {frame} {row}", "" if on_left else text, max(value, 0.0) + gap, row)


MOST_FACTOR = 1e6  # nothing acts on the brackets


class Ranking(NamedTuple):
    """Everything the ranking shows."""

    parts: tuple[Part, ...]
    missing: tuple[str, ...]  # fields of the bracket that are not known, or why not
    loads: BracketLoads
    half_spread_m: float
    bar_length_m: float
    case: str


@lru_cache(maxsize=1)
def steep_pass() -> Route:
    """The road whose grades the ranking takes."""
    return load_route(ROAD)


def whole_envelope(facts: Facts, road: Route) -> tuple[Loaded, ...]:
    """Every case of the road, of a mishap, and of what rules ask, with what reaches the brackets."""
    return (
        *bracket_loads(facts, road, "out"),
        *floor_loads(facts, "out"),
        *tow_bar_rule_loads(facts, "out"),
    )


def ranking(facts: Facts, *, load_case: str) -> Ranking:
    """Which part of the brackets yields first in a load case of the short steep pass."""
    loads = next(found for case, found in whole_envelope(facts, steep_pass()) if case.name == load_case)
    attachment, missing = known_attachment(facts)
    parts = first_to_yield([(loads.left, 1.0), (loads.right, -1.0)], attachment)
    if parts[0].load_factor is None:
        raise NotKnown(missing[0] if missing else f"nothing can be ranked, because of this: {parts[0].why}")
    return Ranking(
        parts,
        missing,
        loads,
        facts.need("towed_vehicle.bracket_spread") / 2.0,
        facts.need("tow_bar.length"),
        load_case,
    )


def ranking_words(result: Ranking, system: str) -> str:
    """The sentence under the ranking."""
    first = result.parts[0]
    factor = first.load_factor or 0.0
    arm = max(result.loads.left_arm_n, result.loads.right_arm_n, key=abs)
    if math.isinf(factor):
        holds = "nothing acts on the brackets"
    elif factor >= 1:
        holds = f"first to yield: {first.name}, at {number(factor, 2)} times this load"
    else:
        holds = f"first to yield: {first.name}, over already: it yields at {number(100 * factor, 2)} %"
    unknown = f" Not known: {'; '.join(map(_named, result.missing))}." if result.missing else ""
    return (
        f"{result.case.capitalize()}: {holds}. The worse arm carries {show(abs(arm), 'force', system)} of"
        f" {'pull' if arm > 0 else 'push'}.{unknown} Bad welds, cracks, the bar and the frame are not in the"
        " ranking."
    )


def ranking_rooms(result: Ranking) -> dict[str, float]:
    """How many times more than this load the weakest part bears."""
    return {"weakest": min(result.parts[0].load_factor or 0.0, MOST_FACTOR) - 1.0}


def _named(reason: str) -> str:
    """A missing field by its label, any other reason as it is."""
    try:
        return label_of(reason)
    except (InputError, ValueError):
        return reason


STRONGER = {  # what strengthens a part: in words, the field, and the factor or the value
    "bolts": ("", "bracket.bolt_grade", {"2": "8", "5": "8", "8.8": "10.9"}),
    "pin": ("a pin half as thick again", "bracket.pin_diameter", 1.5),
    "plate": ("a plate half as thick again", "bracket.plate_thickness", 1.5),
    LUG_ROOT: ("lugs half as thick again", "bracket.lug_thickness", 1.5),
    "lug holes (bearing)": ("lugs half as thick again", "bracket.lug_thickness", 1.5),
    WELD: ("welds half as large again", "bracket.weld_leg", 1.5),
}


def _strengthened(facts: Facts, part: str) -> tuple[str, Facts]:
    words, path, change = STRONGER[part if part in STRONGER else "plate"]
    value = facts.need(path)
    if isinstance(change, dict):
        better = change.get(value, "10.9")
        return f"bolts of grade {better}", with_values(facts, {path: better})
    return words, with_values(facts, {path: change * value})


def ranking_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the ranking."""
    case = "steering locked"
    now = ranking(facts, load_case=case).parts
    known = [part for part in now if part.load_factor is not None]
    first = known[0]
    other = next((part for part in known if _kind(part.name) != _kind(first.name)), None)
    said = [
        f"In the case *{case}* the {first.name} yields first, at {number(first.load_factor or 0.0, 2)} times"
        " the load."
    ]
    if other is not None:
        words, better = _strengthened(facts, other.name)
        still = ranking(better, load_case=case).parts[0]
        said.append(
            f"Fit {words}, and the first is still the {still.name} at {number(still.load_factor or 0.0, 2)}."
        )
    words, better = _strengthened(facts, first.name)
    then = ranking(better, load_case=case).parts[0]
    said.append(f"With {words} it is the {then.name}, at {number(then.load_factor or 0.0, 2)}.")
    spread = facts.need("towed_vehicle.bracket_spread")
    wide, narrow = (
        max(
            map(
                abs,
                ranking(
                    with_values(facts, {"towed_vehicle.bracket_spread": share * spread}), load_case="turning"
                ).loads[2:],
            )
        )
        for share in (1.0, 0.5)
    )
    return (
        f"{' '.join(said)} In *turning*, half the spread takes an arm from {show(wide, 'force', system)} to"
        f" {show(narrow, 'force', system)}. **Only the weakest part counts, for one slow load on sound"
        f" metal**.{_cracks_seen(facts)}"
    )


def _cracks_seen(facts: Facts) -> str:
    """What a load that comes again and again does, as far as it is known."""
    try:
        part, use = max(crack_uses(facts, "out").items(), key=lambda each: each[1])
    except (NotKnown, ValueError):
        return " How it bears a load that comes again and again is *not known*, and that is not a pass."
    return (
        f" A load that comes two million times is another matter: by an estimate it takes the {part} through"
        f" {number(100 * use, 2)} % of what that detail of steel bears."
    )


def _kind(part: str) -> str:
    return part if part in STRONGER else "plate"


class RankingDrawing:
    """Left: load factors, the weakest part on top. Right: the bar from above with the forces on its
    brackets.
    """

    size_in, frames, widths = (10.4, 3.9), 2, (1.5, 1.0)
    MOST = 20.0
    N_PER_M = 20e3  # newtons drawn as one metre

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame of the bar follows it."""
        picture.frame(
            0,
            title="How many times the load until it yields",
            x_label="load factor",
            x=(0.0, self.MOST + (34.0 if picture.narrow else 15.0)),
            y_names=RANKS,
        )
        picture.bars("factors", 0, len(RANKS))
        picture.reference("one", 0)
        for i in range(len(RANKS)):
            picture.words(f"part {i}", 0)
        picture.shape("arms", 1, None, filled=False)
        picture.point("ball", 1, 4)
        for side in ("left", "right"):
            picture.point(f"{side} pin", 1, 0)
            picture.arrow(f"{side} force", 1, 1)
            picture.words(f"{side} words", 1, align="center")
        picture.words("ball words", 1, align="center")

    def update(self, picture: Picture, result: Ranking, system: str) -> None:
        """Move the parts to a result."""
        factors = [part.load_factor for part in result.parts]
        shown = [0.0 if factor is None else min(factor, self.MOST) for factor in factors]
        picture.stretch("factors", shown, [factor is not None and factor < 1 for factor in factors])
        picture.move("one", [1.0, 1.0], [-0.5, len(RANKS) - 0.5])
        for i, part in enumerate(result.parts):
            if part.load_factor is None:
                value = "not known"
            elif part.load_factor < 100:
                value = number(part.load_factor, 2)
            else:
                value = "over 100"
            picture.say(f"part {i}", f"{part.name}: {value}", max(shown[i], 1.0) + 0.4, i)
        half, length = result.half_spread_m, result.bar_length_m
        reach = math.ceil(2.0 * max(1.5, length)) / 2.0
        half_high = math.ceil(4.0 * max(0.9, half + 0.4)) / 4.0
        picture.frame(
            1,
            title="From above: force on each bracket",
            x=(-reach - 0.8, 0.3),
            y=(-half_high, half_high),
            equal=True,
            bare=True,
        )
        picture.move("arms", [0.0, -length, -length], [0.0, half, -half])
        picture.move("ball", [0.0], [0.0])
        picture.say("ball words", "ball", 0.0, -0.2)
        for side, sign, force in (("left", 1, result.loads.left), ("right", -1, result.loads.right)):
            pin = (-length, sign * half)
            picture.move(f"{side} pin", [pin[0]], [pin[1]])
            size = max(1.0, math.hypot(force.along_n, force.left_n) / (0.65 * self.N_PER_M))
            picture.aim(
                f"{side} force",
                pin,
                (pin[0] + force.along_n / self.N_PER_M / size, pin[1] + force.left_n / self.N_PER_M / size),
            )
            picture.say(
                f"{side} words",
                f"{side} {show(math.hypot(*force), 'force', system)}",
                -0.55 * reach,
                sign * (half_high - 0.15),
            )


def _whole(force_n: float) -> float:
    """A force without what is less than half a newton of rounding."""
    return 0.0 if abs(force_n) < 0.5 else force_n


def own_bracket_words(rig: Rig, road: Route, system: str) -> list[str]:
    """What the plan says of bar and brackets of a rig on a road."""
    facts, said = Facts(rig), [f"On the road {road.name}:"]
    try:
        for case, loads in whole_envelope(facts, road):
            along, left, up = (show(_whole(part), "force", system) for part in case.force)
            arms = " and ".join(
                show(_whole(arm), "force", system) for arm in (loads.left_arm_n, loads.right_arm_n)
            )
            said.append(f"{case.name}: along {along}, across {left}, upright {up}; arms {arms}.")
    except NotKnown as missing:
        said.append(f"Load cases: not known ({_named(missing.reason)}).")
    rules = (*attachment_rules(road), *joint_rules(road), *envelope_rules(facts, road))
    for limit in (answer(rule, facts) for rule in rules):
        told = limit.answer_text(system, _named)
        said.append(f"{limit.title}: {told}{' (rests on an assumed value)' if limit.assumed else ''}.")
    first = first_to_yield_words(facts, road)
    cracks = crack_words(facts, road)
    return [
        *said,
        *([] if "not known" in first else [first]),
        *([cracks] if cracks else []),
        f"At the first stop: {torque_words(facts, system)}.",
    ]
