"""Lesson 03: load cases of the bar, and what yields first in a bracket. Both vehicles and the bracket are
invented.
"""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.handbook.bolt_tables import bolt_strength, bolt_thread
from towlib.physics.basics.road_load import GRAVITY_M_S2, grade_sine
from towlib.physics.hitch.attachment import ALONG, Attachment, BoltPlace, Part, first_to_yield
from towlib.physics.hitch.bar_geometry import half_angle_rad
from towlib.physics.hitch.bolts import shear_load_n
from towlib.physics.hitch.load_cases import (
    BracketLoads,
    Case,
    Yardstick,
    bracket_reactions,
    braking,
    over_an_edge,
    pull_away,
    together,
    turning,
    yardsticks,
)
from towlib.units import from_si, number, show, unit_label

# the invented light off-roader of data/rigs/demo_comfortable.toml, and the pickup before it
TOW_MASS_KG, FRONT_SHARE, WHEELBASE_M, WHEEL_RADIUS_M, ROLLING = 2735.0, 0.52, 2.36, 0.35, 0.015
BAR_LENGTH_M, BRACKET_AHEAD_M = 1.50, 0.48
START_M_S2 = 1.5  # a brisk start; common practice, no source
EDGE_CASE, STEEL_PA = "wheels over an edge", 250e6
CASES = (
    "pulling away uphill",
    "braking, level",
    "braking downhill",
    "turning",
    "braking in a curve",
    EDGE_CASE,
)
HALF_UP_M, HALF_ACROSS_M, PIN_OFF_M = (
    0.030,
    0.040,
    0.060,
)  # bolt pattern of the invented bracket, pin to plate
RANKS = ("weakest", "second", "third", "fourth", "fifth", "sixth")


class LoadCases(NamedTuple):
    """Everything the first panel shows."""

    cases: tuple[Case, ...]
    yardsticks: dict[str, Yardstick]


def load_cases(
    *,
    towed_mass_kg: float,
    deceleration_m_s2: float,
    grade: float,
    side_acceleration_m_s2: float,
    edge_height_m: float,
    bar_slope_rad: float,
    own_brake_share: float,
) -> LoadCases:
    """What the ball does to the coupler in six cases; the grade is climbed in one and descended in
    another.
    """
    sloped = {"slope_rad": bar_slope_rad}

    def slowing(slowing_m_s2: float, along: float) -> Case:
        needed_n = towed_mass_kg * (slowing_m_s2 + GRAVITY_M_S2 * grade_sine(along))
        return braking(
            towed_mass_kg,
            -along,
            deceleration_m_s2=slowing_m_s2,
            rolling_coefficient=ROLLING,
            own_brake_n=own_brake_share * needed_n,
            **sloped,
        )

    curve = turning(
        towed_mass_kg,
        side_acceleration_m_s2,
        centre_ahead_of_rear_axle_m=FRONT_SHARE * WHEELBASE_M,
        ball_to_rear_axle_m=BAR_LENGTH_M + BRACKET_AHEAD_M + WHEELBASE_M,
    )
    found = (
        pull_away(towed_mass_kg, grade, acceleration_m_s2=START_M_S2, rolling_coefficient=ROLLING, **sloped),
        slowing(deceleration_m_s2, 0.0),
        slowing(deceleration_m_s2, grade),
        curve,
        together("", slowing(deceleration_m_s2 / 2.0, 0.0), curve),
        over_an_edge(
            FRONT_SHARE * towed_mass_kg * GRAVITY_M_S2,
            edge_height_m=edge_height_m,
            wheel_radius_m=WHEEL_RADIUS_M,
            **sloped,
        ),
    )
    marks = {mark.name: mark for mark in yardsticks(TOW_MASS_KG, towed_mass_kg, **sloped)}
    return LoadCases(tuple(case._replace(name=name) for name, case in zip(CASES, found, strict=True)), marks)


def load_cases_words(result: LoadCases, system: str) -> str:
    """The sentence under the first panel."""
    pull = max(result.cases, key=lambda case: case.force.along_n)
    push = min(result.cases, key=lambda case: case.force.along_n)
    side = max(abs(case.force.left_n) for case in result.cases)
    pushed = (
        f"the largest push {show(-push.force.along_n, 'force', system)} ({push.name})"
        if push.force.along_n < 0
        else "nothing pushes"
    )
    return (
        f"The largest pull is {show(pull.force.along_n, 'force', system)} ({pull.name}), {pushed}, the side"
        f" force {show(side, 'force', system)}; the D-value of this pair would be"
        f" {show(result.yardsticks['D-value'].force.along_n, 'force', system)}."
    )


class LoadCasesDrawing:
    """Three columns of bars: along the bar, across it, upright."""

    size_in, frames, widths = (10.8, 3.7), 3, (1.9, 1.0, 1.0)
    LIMITS_N = (30e3, 12e3, 6e3)
    TITLES = ("Along the bar: push ←   → pull", "Across (* from memory)", "Upright: down ←   → up")
    MARKS = ((0, "D-value", "D"), (0, "1.5 g along", "1.5 g"), (1, "0.5 g across", "0.5 g*"))

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        for i, limit_n in enumerate(self.LIMITS_N):
            limit = from_si(limit_n, "force", system)
            picture.frame(
                i,
                title=self.TITLES[i],
                x_label=f"force on the coupler [{unit_label('force', system)}]",
                x=(-limit, limit) if i != 1 else (0.0, limit),
                y_names=CASES if i == 0 else [""] * len(CASES),
            )
            picture.bars(f"bars {i}", i, len(CASES))
            picture.reference(f"zero {i}", i)
            for row in range(len(CASES)):
                picture.words(f"right {i} {row}", i)
                picture.words(f"left {i} {row}", i, align="right")
        for _, name, _ in self.MARKS:
            frame = 1 if "across" in name else 0
            picture.reference(f"{name} pull", frame)
            picture.words(f"{name} words", frame)
            if frame == 0:
                picture.reference(f"{name} push", frame)

    def update(self, picture: Picture, result: LoadCases, system: str) -> None:
        """Move the parts to a result."""
        rows = (-0.5, len(CASES) - 0.5)
        for i, limit_n in enumerate(self.LIMITS_N):
            limit = from_si(limit_n, "force", system)
            values = [from_si(case.force[i], "force", system) for case in result.cases]
            picture.stretch(
                f"bars {i}", [max(-limit, min(limit, value)) for value in values], [False] * len(values)
            )
            picture.move(f"zero {i}", [0.0, 0.0], rows)
            for row, value in enumerate(values):
                self._value(picture, (i, row), value, limit)
        for i, name, short in self.MARKS:
            place = from_si(result.yardsticks[name].force[i], "force", system)
            inside = place <= from_si(self.LIMITS_N[i], "force", system)
            picture.move(f"{name} pull", [place, place] if inside else [], rows if inside else [])
            if i == 0:
                picture.move(f"{name} push", [-place, -place] if inside else [], rows if inside else [])
            picture.say(f"{name} words", f" {short}" if inside else "", place, -0.4)

    @staticmethod
    def _value(picture: Picture, where: tuple[int, int], value: float, limit: float) -> None:
        """The number on the free side of the zero line, or beyond the bar where there is only one side."""
        frame, row = where
        gap, text = 0.03 * limit, f"{abs(value):,.0f}"
        on_left = frame != 1 and value > 0
        picture.say(f"left {frame} {row}", text if on_left else "", -gap, row)
        picture.say(
            f"right {frame} {row}", "" if on_left else text, gap + (value if frame == 1 else 0.0), row
        )


class FirstToYield(NamedTuple):
    """Everything the ranking shows."""

    parts: tuple[Part, ...]
    loads: BracketLoads
    half_spread_m: float
    case: str


@lru_cache(maxsize=8)
def _fixed_case(name: str) -> Case:
    """A case of the invented pair at the starts of the first panel."""
    shown = load_cases(
        towed_mass_kg=1530.0,
        deceleration_m_s2=5.0,
        grade=0.08,
        side_acceleration_m_s2=3.0,
        edge_height_m=0.06,
        bar_slope_rad=0.0,
        own_brake_share=0.0,
    )
    if name in shown.yardsticks:
        return Case(name, shown.yardsticks[name].force, 1.0)
    return shown.cases[CASES.index(name)]


def pattern(bolts_run: str) -> tuple[BoltPlace, ...]:
    """Four bolts of the invented bracket, the pin 60 mm ahead of the plate or of the bolts' middle."""
    corners = [(across, up) for up in (-HALF_UP_M, HALF_UP_M) for across in (-HALF_ACROSS_M, HALF_ACROSS_M)]
    if bolts_run == ALONG:
        return tuple(BoltPlace(PIN_OFF_M, up, across) for across, up in corners)
    return tuple(BoltPlace(PIN_OFF_M + HALF_ACROSS_M + across, up, 0.012) for across, up in corners)


def bracket(
    *,
    bolt_size: str,
    bolt_grade: str,
    threads_in_plane: bool,
    plate_thickness_m: float,
    edge_distance_m: float,
    pin_diameter_m: float,
    bolts_run: str,
) -> Attachment:
    """The invented bracket with these sizes; its weld is not known."""
    thread = bolt_thread(bolt_size)
    strength = bolt_strength(bolt_grade, thread.diameter_m) if thread else None
    if thread is None or strength is None:
        raise ValueError(f"the tables hold no bolt {bolt_size} of grade {bolt_grade}")
    shear_n = shear_load_n(
        thread.diameter_m,
        thread.pitch_m,
        series=thread.series,
        strength_pa=strength.yield_pa,
        threads_in_plane=threads_in_plane,
    )
    return Attachment(
        pattern(bolts_run),
        bolts_run,
        thread.diameter_m,
        strength.yield_pa * thread.stress_area_m2,
        shear_n,
        plate_thickness_m=plate_thickness_m,
        plate_yield_pa=STEEL_PA,
        hole_diameter_m=thread.diameter_m + 0.001,
        edge_distance_m=edge_distance_m,
        plate_width_m=2.0 * (HALF_UP_M + edge_distance_m),
        pin_diameter_m=pin_diameter_m,
        pin_yield_pa=STEEL_PA,
    )


def ranking(*, load_case: str, spread_m: float, **built) -> FirstToYield:
    """Which part of the brackets yields first in a load case."""
    beta = half_angle_rad(spread_m, arm_length_m=math.hypot(BAR_LENGTH_M, spread_m / 2.0))
    case = _fixed_case(load_case)
    loads = bracket_reactions(case.force, half_angle_rad=beta)
    parts = first_to_yield([(loads.left, 1.0), (loads.right, -1.0)], bracket(**built))
    return FirstToYield(parts, loads, spread_m / 2.0, load_case)


def ranking_words(result: FirstToYield, system: str) -> str:
    """The sentence under the ranking."""
    first = result.parts[0]
    if first.load_factor is None:
        raise ValueError(f"nothing can be ranked, because of this: {first.why}")
    arm = max(result.loads.left_arm_n, result.loads.right_arm_n, key=abs)
    answer = (
        f"holds {number(first.load_factor, 2)} times this load before it yields"
        if first.load_factor >= 1
        else f"yields at {number(100 * first.load_factor, 2)} % of this load"
    )
    return (
        f"First to yield: {first.name}, which {answer}. The worse arm carries"
        f" {show(abs(arm), 'force', system)} of {'pull' if arm > 0 else 'push'} ({result.case}); welds,"
        " cracks and the frame are not in the ranking."
    )


class RankingDrawing:
    """Left: load factors, the weakest part on top. Right: the bar from above with the forces on its
    brackets.
    """

    size_in, frames, widths = (10.8, 3.7), 2, (1.6, 1.0)
    MOST = 20.0
    N_PER_M = 20e3  # newtons drawn as one metre

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="How many times the load until it yields",
            x_label="load factor",
            x=(0.0, self.MOST + 13.0),
            y_names=RANKS,
        )
        picture.bars("factors", 0, len(RANKS))
        picture.reference("one", 0)
        for i in range(len(RANKS)):
            picture.words(f"part {i}", 0)
        picture.frame(
            1,
            title="From above, to scale: forces on the brackets",
            x=(-2.25, 0.2),
            y=(-0.95, 0.95),
            equal=True,
            bare=True,
        )
        picture.shape("arms", 1, None, filled=False)
        picture.point("ball", 1, 4)
        for side in ("left", "right"):
            picture.point(f"{side} pin", 1, 0)
            picture.arrow(f"{side} force", 1, 1)
            picture.words(f"{side} words", 1, align="right")
        picture.words("ball words", 1, align="center")

    def update(self, picture: Picture, result: FirstToYield, system: str) -> None:
        """Move the parts to a result."""
        factors = [part.load_factor for part in result.parts]
        shown = [0.0 if factor is None else min(factor, self.MOST) for factor in factors]
        picture.stretch("factors", shown, [factor is not None and factor < 1 for factor in factors])
        picture.move("one", [1.0, 1.0], [-0.5, len(RANKS) - 0.5])
        for i, part in enumerate(result.parts):
            value = (
                "not known"
                if part.load_factor is None
                else number(part.load_factor, 2)
                if part.load_factor < 100
                else "over 100"
            )
            picture.say(f"part {i}", f"{part.name}: {value}", max(shown[i], 1.0) + 0.4, i)
        half = result.half_spread_m
        picture.move("arms", [0.0, -BAR_LENGTH_M, -BAR_LENGTH_M], [0.0, half, -half])
        picture.move("ball", [0.0], [0.0])
        picture.say("ball words", "ball", 0.0, -0.2)
        for side, sign, force in (("left", 1, result.loads.left), ("right", -1, result.loads.right)):
            pin = (-BAR_LENGTH_M, sign * half)
            picture.move(f"{side} pin", [pin[0]], [pin[1]])
            size = max(1.0, math.hypot(force.along_n, force.left_n) / (0.65 * self.N_PER_M))
            picture.aim(
                f"{side} force",
                pin,
                (pin[0] + force.along_n / self.N_PER_M / size, pin[1] + force.left_n / self.N_PER_M / size),
            )
            picture.say(
                f"{side} words", f"{side} {show(math.hypot(*force), 'force', system)}", -0.3, sign * 0.8
            )
