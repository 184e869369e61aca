"""Lesson 08, battery: how long the key may stay on until the engine will not start, and what a feed does."""

from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.limits.electrics_limits import EXPONENTS
from towlib.physics.electric.battery import KeyOn, key_on, recharge_h, share_after
from towlib.units import show

WARM_C = 25.0
MOST_A, MOST_H = 15.0, 48.0
CURRENTS_A = (0.5, 0.75, *(1.0 + 0.5 * i for i in range(29)))


class Battery(NamedTuple):
    """Everything the fifth panel shows."""

    found: KeyOn
    draw_a: float
    feed_a: float
    day_h: float
    share: float  # of the charge left at the day's end
    hours: tuple[float, ...]  # the day, for the curve
    shares: tuple[float, ...]
    by_current_h: tuple[float, ...]  # hours at CURRENTS_A without a feed, as set
    new_warm_h: tuple[float, ...]
    recharge_h: float | None  # to put the day's charge back with 10 A; None when nothing is missing


def battery(
    *,
    capacity_ah: float,
    rated_h: float,
    kind: str,
    cold_cranking_a: float,
    engine_a: float,
    age_years: int,
    temperature_c: float,
    draw_a: float,
    feed_a: float,
    day_h: float,
) -> Battery:
    """A full battery with the key on for a day's drive."""
    printed = {
        "capacity_ah": capacity_ah,
        "rated_h": rated_h,
        "exponent": EXPONENTS[kind],
        "cold_cranking_a": cold_cranking_a,
        "engine_a": engine_a,
    }
    as_set = {**printed, "temperature_c": temperature_c, "age_years": float(age_years)}
    new = {**printed, "temperature_c": WARM_C, "age_years": 0.0}
    found = key_on(draw_a, feed_a=feed_a, **as_set)
    empty_h = _empty_h(found)
    hours = (0.0, min(24.0, empty_h), 24.0) if empty_h else (0.0, 24.0)
    share = share_after(day_h, found)
    curves = (
        tuple(min(MOST_H, key_on(current, feed_a=0.0, **which).hours or 0.0) for current in CURRENTS_A)
        for which in (as_set, new)
    )
    missing = (1.0 - share) * found.capacity_ah
    return Battery(
        found,
        draw_a,
        feed_a,
        day_h,
        share,
        hours,
        tuple(share_after(h, found) for h in hours),
        *curves,
        recharge_h(missing, charging_a=10.0) if missing > 0 else None,
    )


def _empty_h(found: KeyOn) -> float | None:
    """When the battery is quite empty; None when it never is."""
    if found.hours is None or found.net_a <= 0.0:
        return None
    return found.hours / (1.0 - found.lowest_share) if found.hours > 0.0 else found.capacity_ah / found.net_a


def battery_words(result: Battery, system: str) -> str:
    """The sentence under the fifth panel."""
    found = result.found
    if found.lowest_share >= 1.0:
        return (
            "As cold, as old and as small as this, even a full battery will not start the engine (an"
            f" estimate, from memory in part). It now holds {show(found.capacity_ah, 'charge', system)}."
        )
    start = f"{show(result.draw_a, 'current', system)} drawn, {show(result.feed_a, 'current', system)} fed: "
    if found.hours is None:
        return f"{start}the feed keeps up, and the battery stays full while the tow vehicle runs."
    room_h = found.hours - result.day_h
    verdict = f"{'within' if room_h >= 0 else 'over'} by {show(abs(room_h), 'hours', system, 2)}"
    return (
        f"{start}{show(found.hours, 'hours', system, 2)} until the engine may not start (estimate, from"
        f" memory in part); a day of {show(result.day_h, 'hours', system, 2)} is {verdict}. It leaves"
        f" {100 * result.share:.0f} % of {show(found.capacity_ah, 'charge', system, 2)};"
        f" {100 * found.lowest_share:.0f} % must stay. Putting it back takes"
        f" {show(result.recharge_h, 'hours', system, 2)} at 10 A."
    )


class BatteryDrawing:
    """Left: charge over the day. Right: hours over the current, as set and for a new warm battery."""

    size_in, frames = (10.0, 3.7), 2

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="Charge left with the key on",
            x_label="hours with the key on [h]",
            y_label="charge left [%]",
            x=(0.0, 25.0),
            y=(0.0, 116.0),
        )
        self._hours(picture, MOST_H)
        picture.line("charge", 0, 0)
        picture.reference("lowest", 0)
        picture.words("lowest words", 0, align="right")
        picture.reference("day", 0)
        for align in ("left", "right"):
            picture.words(f"day {align}", 0, align=align)
        picture.point("end", 0, 1)
        for name, style in (("new", 2), ("set", 0)):
            picture.line(name, 1, style)
            picture.words(f"{name} name", 1, style=style, bold=True, align="right")
        picture.reference("day there", 1)
        picture.words("day there words", 1, align="right")
        picture.point("here", 1, 1)
        for align in ("left", "right"):
            picture.words(f"here {align}", 1, align=align)

    def _hours(self, picture: Picture, top: float) -> None:
        picture.frame(
            1,
            title="Hours until it may not start",
            x_label="current out of the battery [A]",
            y_label="hours [h]",
            x=(0.0, MOST_A + 1.0),
            y=(0.0, top),
        )

    def update(self, picture: Picture, result: Battery, system: str) -> None:
        """Move the parts to a result."""
        found = result.found
        picture.move("charge", result.hours, [100 * share for share in result.shares])
        low = 100 * min(found.lowest_share, 1.04)
        picture.move("lowest", [0.0, 25.0], [low, low])
        words = "even full it will not start" if found.lowest_share >= 1.0 else f"{low:.0f} % must stay"
        picture.say("lowest words", words, 24.8, low + (5.0 if low < 95.0 else -5.0))
        picture.move("day", [result.day_h] * 2, [0.0, 116.0])
        late, words = result.day_h > 14.0, f"day {show(result.day_h, 'hours', system, 2)}"
        picture.say("day left", "" if late else words, result.day_h + 0.3, 110.0)
        picture.say("day right", words if late else "", result.day_h - 0.3, 110.0)
        picture.move("end", [result.day_h], [100 * result.share])
        top = min(MOST_H, round_up(max(result.new_warm_h[2], 1.45 * result.day_h)))
        self._hours(picture, top)
        for name, hours in (("new", result.new_warm_h), ("set", result.by_current_h)):
            inside = [(a, h) for a, h in zip(CURRENTS_A, hours, strict=True) if h <= top]
            picture.move(name, [a for a, _ in inside], [h for _, h in inside])
        picture.say(
            "new name",
            "dash and dot: new, 25 °C" if system == "metric" else "dash and dot: new, 77 °F",
            15.7,
            0.94 * top,
        )
        picture.say("set name", "full line: as set", 15.7, 0.86 * top)
        picture.move(
            "day there", [0.0, MOST_A + 1.0], [result.day_h] * 2 if result.day_h <= top else [top, top]
        )
        picture.say("day there words", "day" if result.day_h <= top else "", 15.7, result.day_h + 0.04 * top)
        shown = found.hours is not None and 0.0 < found.net_a <= MOST_A and found.hours <= top
        picture.move("here", [found.net_a] if shown else [], [found.hours] if shown else [])
        below = shown and found.net_a > 2.5  # under the curves there is room
        picture.say(
            "here right",
            show(found.hours, "hours", system, 2) if below else "",
            found.net_a - 0.35,
            max(0.04, (found.hours or 0.0) / top - 0.06) * top,
        )
        beside = (
            "the feed keeps up"
            if found.hours is None
            else show(found.hours, "hours", system, 2)
            if shown and not below
            else ""
        )
        picture.say(
            "here left",
            beside,
            found.net_a + 1.2 if shown else 4.5,
            min(0.95 * top, found.hours + 0.02 * top) if shown else 0.5 * top,
        )
