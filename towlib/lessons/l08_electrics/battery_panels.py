"""Lesson 08, battery: how long the key may stay on until the engine will not start, and what a feed does."""

from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.electrics_limits import battery_with_key_on
from towlib.physics.electric.battery import KeyOn, recharge_h, share_after
from towlib.rig.facts import Facts
from towlib.units import show

WARM_C = 25.0
MOST_A, MOST_H = 15.0, 48.0
CURRENTS = 33  # places of the curves
CHARGER_A = 10.0


class Battery(NamedTuple):
    """Everything the fifth panel shows."""

    found: KeyOn
    draw_a: float
    feed_a: float
    day_h: float
    share: float  # of the charge left at the day's end
    hours: tuple[float, ...]  # the day, for the curve
    shares: tuple[float, ...]
    currents_a: tuple[float, ...]
    by_current_h: tuple[float, ...]  # hours at currents_a without a feed, as set
    new_warm_h: tuple[float, ...]
    recharge_h: float | None  # to put the day's charge back with 10 A; None when nothing is missing
    disconnected: bool  # as the rig file says: then nothing of this applies


def _key_on(facts: Facts, **values: float) -> KeyOn:
    return battery_with_key_on(with_values(facts, {f"battery.{name}": v for name, v in values.items()}))


def battery(facts: Facts) -> Battery:
    """A full battery with the key on for a day's drive."""
    found, day_h = battery_with_key_on(facts), facts.need("battery.hours_a_day")
    draw_a = facts.need("battery.key_on_current")
    most_a, shown_h = max(MOST_A, round_up(draw_a)), max(24.0, round_up(day_h))
    empty_h = _empty_h(found)
    hours = (0.0, min(shown_h, empty_h), shown_h) if empty_h else (0.0, shown_h)
    share = share_after(day_h, found)
    currents = tuple(0.5 + (most_a - 0.5) * (i / (CURRENTS - 1)) ** 1.5 for i in range(CURRENTS))

    def by_current(**which: float) -> tuple[float, ...]:
        found = (_key_on(facts, key_on_current=a, feed_current=0.0, **which) for a in currents)
        return tuple(min(MOST_H, each.hours or 0.0) for each in found)

    missing = (1.0 - share) * found.capacity_ah
    return Battery(
        found,
        draw_a,
        facts.need("battery.feed_current"),
        day_h,
        share,
        hours,
        tuple(share_after(h, found) for h in hours),
        currents,
        by_current(),
        by_current(coldest=WARM_C, age_years=0.0),
        recharge_h(missing, charging_a=CHARGER_A) if missing > 0 else None,
        facts.have("battery.disconnected") is True,
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
            " estimate, in part not checked against a document). It now holds"
            f" {show(found.capacity_ah, 'charge', system)}."
        )
    start = f"{show(result.draw_a, 'current', system)} drawn, {show(result.feed_a, 'current', system)} fed: "
    if result.disconnected:
        start = f"Your rig says it is disconnected while towed; were it not: {start}"
    if found.hours is None and result.draw_a == 0.0:
        return f"{start}nothing runs the battery down, and it stays full."
    if found.hours is None:
        return f"{start}the feed keeps up, and the battery stays full while the tow vehicle runs."
    room_h = found.hours - result.day_h
    verdict = f"{'within' if room_h >= 0 else 'over'} by {show(abs(room_h), 'hours', system, 2)}"
    return (
        f"{start}{show(found.hours, 'hours', system, 2)} until the engine may not start (an estimate); a day"
        f" of {show(result.day_h, 'hours', system, 2)} is {verdict}. It leaves {100 * result.share:.0f} % of"
        f" {show(found.capacity_ah, 'charge', system, 2)}; {100 * found.lowest_share:.0f} % must stay."
        f" Putting it back takes {show(result.recharge_h, 'hours', system, 2)} at {CHARGER_A:.0f} A."
    )


def battery_rooms(result: Battery) -> dict[str, float]:
    """Charge that a start leaves, and hours left after the day."""
    found = result.found
    starts = {"start": 1.0 - found.lowest_share}
    return starts if found.hours is None else {**starts, "day": found.hours - result.day_h}


def battery_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fifth panel."""
    draw_a = facts.need("battery.key_on_current")
    if draw_a == 0.0:
        return "Nothing is drawn with the key on: the battery stays full, however long the day."
    here, new, half, fed = (
        _key_on(facts, feed_current=0.0),
        _key_on(facts, feed_current=0.0, coldest=WARM_C, age_years=0.0),
        _key_on(facts, feed_current=0.0, key_on_current=draw_a / 2),
        _key_on(facts, feed_current=draw_a / 2),
    )
    plain_h = facts.need("battery.capacity") / draw_a

    def hours(found: KeyOn) -> str:
        return show(found.hours, "hours", system, 2)

    same = " as well, for only the difference counts" if fed.hours == half.hours else ""
    return (
        f"Capacity over current promises {show(plain_h, 'hours', system, 2)}; {hours(here)} are left until"
        f" the engine may not start. Age and cold leave {show(here.capacity_ah, 'charge', system, 2)} of the"
        f" {show(facts.need('battery.capacity'), 'charge', system, 2)} printed, a large current gets less out"
        f" of it, and {100 * here.lowest_share:.0f} % must stay for the starter. New and warm:"
        f" {hours(new)}. Half the current: {hours(half)}; a feed of half the current:"
        f" {hours(fed)}{same}. **Draw less, or feed it.**"
    )


class BatteryDrawing:
    """Left: charge over the day. Right: hours over the current, as set and for a new warm battery."""

    size_in, frames = (10.2, 3.8), 2

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the rig."""
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

    def update(self, picture: Picture, result: Battery, system: str) -> None:
        """Move the parts to a result."""
        found = result.found
        shown_h, most_a = 1.04 * result.hours[-1], result.currents_a[-1]
        picture.frame(
            0,
            title="Charge left with the key on",
            x_label="hours with the key on [h]",
            y_label="charge left [%]",
            x=(0.0, shown_h),
            y=(0.0, 116.0),
        )
        picture.move("charge", result.hours, [100 * share for share in result.shares])
        late = result.day_h > 0.55 * shown_h
        low = 100 * min(found.lowest_share, 1.04)
        picture.move("lowest", [0.0, shown_h], [low, low])
        words = "even full it will not start" if found.lowest_share >= 1.0 else f"{low:.0f} % must stay"
        picture.say(
            "lowest words",
            words,
            0.5 * shown_h if late else 0.99 * shown_h,
            low + (6.0 if low < 95.0 else -6.0),
        )
        picture.move("day", [result.day_h] * 2, [0.0, 116.0])
        words = f"day {show(result.day_h, 'hours', system, 2)}"
        picture.say("day left", "" if late else words, result.day_h + 0.012 * shown_h, 109.0)
        picture.say("day right", words if late else "", result.day_h - 0.012 * shown_h, 109.0)
        picture.move("end", [result.day_h], [100 * result.share])
        top = min(MOST_H, round_up(max(result.new_warm_h[len(result.currents_a) // 5], 1.45 * result.day_h)))
        picture.frame(
            1,
            title="Hours until it may not start",
            x_label="current out of the battery [A]",
            y_label="hours [h]",
            x=(0.0, most_a + 1.0),
            y=(0.0, top),
        )
        for name, hours in (("new", result.new_warm_h), ("set", result.by_current_h)):
            inside = [(a, h) for a, h in zip(result.currents_a, hours, strict=True) if h <= top]
            picture.move(name, [a for a, _ in inside], [h for _, h in inside])
        right = most_a + 0.7
        warm = "25 °C" if system == "metric" else "77 °F"
        picture.say("new name", f"dash and dot: new, {warm}", right, 0.93 * top)
        picture.say("set name", "full line: as set", right, 0.84 * top)
        shown_day = result.day_h <= top
        picture.move("day there", [0.0, most_a + 1.0], [min(result.day_h, top)] * 2)
        picture.say("day there words", "day" if shown_day else "", right, result.day_h + 0.045 * top)
        shown = found.hours is not None and 0.0 < found.net_a <= most_a and found.hours <= top
        picture.move("here", [found.net_a] if shown else [], [found.hours] if shown else [])
        below = shown and found.net_a > 0.17 * most_a  # under the curves there is room
        picture.say(
            "here right",
            show(found.hours, "hours", system, 2) if below else "",
            found.net_a - 0.025 * most_a,
            max(0.05, (found.hours or 0.0) / top - 0.07) * top,
        )
        if found.hours is None:
            beside = "the feed keeps up"
        elif shown and not below:
            beside = show(found.hours, "hours", system, 2)
        else:
            beside = ""
        picture.say(
            "here left",
            beside,
            found.net_a + 0.08 * most_a if shown else 0.3 * most_a,
            min(0.75 * top, (found.hours or 0.0) + 0.02 * top) if shown else 0.5 * top,
        )
