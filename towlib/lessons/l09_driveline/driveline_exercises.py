"""Exercises of lesson 09."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.limits.driveline_layout import Layout, what_turns
from towlib.physics.driveline.gear_ties import wheel_rpm
from towlib.physics.turning.steering import toe_drag_n, toe_each_rad
from towlib.units import number, show

MILE_M = 1609.344
STANDING = "that would be so if the right half shaft stood; here the case stands, so the right side must turn"
TWICE = "twice: that is the right side when the case turns with the left wheel's shaft held"
WHOLE = "the whole toe was given to each wheel; each has half, and the drag goes with its square"


def _road(speed_m_s: float, radius_m: float, system: str) -> tuple[str, str, str, str]:
    """Speed, radius, metres or feet in a minute, and those of one turn of the wheel."""
    unit_m, unit = (1.0, "m") if system == "metric" else (0.3048, "ft")
    return (
        show(speed_m_s, "speed", system),
        show(radius_m, "size", system),
        f"{number(60 * speed_m_s / unit_m, 4)} {unit} a minute",
        f"{number(2 * math.pi * radius_m / unit_m, 4)} {unit}",
    )


def wheel_and_shaft(seed: int, system: str) -> Given:
    """How fast a shaft turns at a road speed."""
    drawn = numbers(seed, speed_kmh=(60, 110, 5), radius_mm=(320, 420, 10), ratio_hundredths=(355, 488, 19))
    speed_m_s, radius_m, ratio = (
        drawn["speed_kmh"] / 3.6,
        drawn["radius_mm"] / 1000,
        drawn["ratio_hundredths"] / 100,
    )
    wheel = wheel_rpm(speed_m_s, radius_m)
    shaft = ratio * wheel
    shown, slip = ("km/h", 3.6) if system == "metric" else ("mph", 3600 / MILE_M)
    speed, radius, a_minute, a_turn = _road(speed_m_s, radius_m, system)
    return Given(
        f"**{speed}**, hub to ground **{radius}**, final drive **{ratio:.2f}**. The hubs are closed and the"
        " shaft is in. How fast does the shaft turn?",
        (
            Question(
                "",
                "shaft_speed",
                shaft,
                {
                    "that is the wheel; the shaft turns faster by the final drive": wheel,
                    "divided by the final drive; the shaft is the fast one": wheel / ratio,
                    "the circumference is 2·pi·r, not pi·r": 2 * shaft,
                    f"{shown} were taken for metres in a second": slip * shaft,
                    "that is for each second; rpm counts each minute": shaft / 60,
                },
            ),
        ),
        f"The way in a minute over the way in a turn is turns in a minute: {a_minute} / {a_turn} ="
        f" {number(wheel, 3)} rpm at the wheel; times {ratio:.2f} that is **{number(shaft, 3)} rpm** at the"
        " shaft.",
    )


def one_hub(seed: int, system: str) -> Given:
    """How fast the half shaft of an open hub turns while the other hub is locked."""
    drawn = numbers(seed, speed_kmh=(40, 100, 5), radius_mm=(320, 420, 10))
    speed_m_s, radius_m = drawn["speed_kmh"] / 3.6, drawn["radius_mm"] / 1000
    wheel = wheel_rpm(speed_m_s, radius_m)
    found = what_turns(Layout(front_hubs="one side open", tyre_radius_m=radius_m), speed_m_s).motion
    speed, radius, a_minute, a_turn = _road(speed_m_s, radius_m, system)
    return Given(
        f"**{speed}**, hub to ground **{radius}**. The left front hub is locked, the right one free; transfer"
        " case in neutral, and the front shaft stays where it is because it is the heaviest to turn. How fast"
        " does the *right* half shaft turn? Write a minus when it turns backwards.",
        (
            Question(
                "",
                "shaft_speed",
                found.rpm["front right half shaft"],
                {STANDING: 0.0, TWICE: 2 * wheel},
            ),
        ),
        f"The wheel turns at {a_minute} / {a_turn} = {number(wheel, 3)} rpm. 2·n_case = n_left + n_right, and"
        f" the case stands with the shaft: 0 = {number(wheel, 3)} + n_right, so n_right ="
        f" **−{number(wheel, 3)} rpm**. It turns backwards as fast as the wheel forwards, on small gears"
        " whose oil supply is not known. Set hubs alike.",
    )


def toe_from_tape(seed: int, system: str) -> Given:
    """Drag of both front wheels from a toe measured with the tape."""
    drawn = numbers(seed, toe_mm=(4, 16, 1), across_mm=(640, 800, 20), stiffness_kn_rad=(20, 45, 5))
    toe_m, across_m, stiffness = (
        drawn["toe_mm"] / 1000,
        drawn["across_mm"] / 1000,
        1000 * drawn["stiffness_kn_rad"],
    )
    each = toe_each_rad(toe_m, across_m=across_m)
    drag_n = toe_drag_n(each, stiffness_n_rad=stiffness)
    toe, across, force = (
        show(toe_m, "size", system),
        show(across_m, "size", system),
        show(stiffness, "force", system, 4),
    )
    return Given(
        f"The distance between the front tyres is **{toe}** larger behind than in front, both measured across"
        f" a diameter of **{across}**; each tyre gives **{force}** of side force for each radian. What is the"
        " drag of both wheels?",
        (
            Question(
                "",
                "force",
                drag_n,
                {
                    WHOLE: toe_drag_n(2 * each, stiffness_n_rad=stiffness),
                    "that is the side force of one tyre; only its part along the road drags": (
                        stiffness * each
                    ),
                    "the toe went in as degrees; it must be radians": math.degrees(1) ** 2 * drag_n,
                },
            ),
        ),
        f"Each wheel has half: sin α = {toe} / (2 · {across}), so α = {math.degrees(each):.3f}° ="
        f" {each:.5f}. Drag: 2 · C · α · sin α = 2 · {force} · {each:.5f} · {math.sin(each):.5f} ="
        f" **{show(drag_n, 'force', system)}**.",
    )


EXERCISES = (
    Exercise("Wheel and shaft", wheel_and_shaft),
    Exercise("One hub forgotten", one_hub),
    Exercise("Toe from the tape", toe_from_tape),
)
