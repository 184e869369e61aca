"""Lesson 10: what three ways to tow cost over the trips a reader takes. Prices are invented, in any one
currency; weights, tyres and speed are those of the rig.
"""

from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.l10_ways.ways import carrier
from towlib.lessons.slider_rows import load_panel
from towlib.physics.costs.owning_costs import (
    Cost,
    CostRange,
    Switch,
    break_even,
    cost_of_trips,
    owning_cost,
    switch_range,
)
from towlib.physics.costs.trip_costs import fuel_m3, towing_energy_j, wear_cost
from towlib.plan.other_ways import FLAT, METHODS, TRAILER, gross_kg, rear_on_road_kg
from towlib.rig.facts import Facts
from towlib.units import number, show

AIR_KG_M3 = 1.10  # at the middle height of an invented mountain road
ON_PISTONS, FUEL_J_M3 = 0.40, 32e9  # from memory: share of the fuel's energy that reaches the pistons; petrol
TYRE_PRICE, TYRE_LIFE_M, TYRES_ON_ROAD = (
    800,
    60e6,
    (4, 2, 0),
)  # invented price and life of four; tyres of the towed vehicle that roll
CLIMB_SHARE = 0.006  # invented mountain road: 6 m climbed for each kilometre
RESALE, UPKEEP = 0.40, (0.02, 0.06, 0.06)  # invented shares of the price: at the end; each year
HOW = ("bought", "hired")


class Change(NamedTuple):
    """From how many trips a way costs least, by the middle prices and by their ranges."""

    trips: float
    way: int  # in the order of METHODS
    range: Switch


class WaysCost(NamedTuple):
    """Everything the cost panel shows."""

    trips: int
    middle: tuple[Cost, ...]  # in the order of METHODS
    ranges: tuple[CostRange, ...]
    changes: tuple[
        Change, ...
    ]  # the way that costs least at first, then from how many trips which other one does


def _on_the_road(facts: Facts, method: str) -> tuple[float, float, float]:
    """What hangs behind: its mass, its rolling coefficient and what it adds to the drag area."""
    gross = gross_kg(facts, carrier(facts), method=method, way="out")
    own, area = facts.need("towed_vehicle.rolling_resistance"), facts.need("towed_vehicle.drag_area")
    if method == FLAT:
        return gross, own, area
    carried = facts.need("other_ways.carrier_rolling_resistance")
    if method == TRAILER:
        return gross, carried, facts.need("other_ways.trailer_drag_area")
    on_its_wheels = rear_on_road_kg(facts)
    return gross, (own * on_its_wheels + carried * (gross - on_its_wheels)) / gross, area


def fuel_of_trip_m3(facts: Facts, method: str, trip_m: float) -> float:
    """Fuel that one trip burns for what hangs behind."""
    behind_kg, rolling, area_m2 = _on_the_road(facts, method)
    work_j = towing_energy_j(
        behind_kg,
        distance_m=trip_m,
        climbed_m=CLIMB_SHARE * trip_m,
        rolling_coefficient=rolling,
        drag_area_m2=area_m2,
        speed_m_s=facts.need("conditions.cruise_speed"),
        air_density_kg_m3=AIR_KG_M3,
    )
    efficiency = ON_PISTONS * facts.need("tow_vehicle.gearbox.efficiency")
    return fuel_m3(work_j, efficiency=efficiency, fuel_energy_j_m3=FUEL_J_M3)


def costs(
    facts: Facts,
    *,
    trips_per_year: int,
    years: int,
    bar_price: int,
    dolly_price: int,
    trailer_price: int,
    dolly_and_trailer: str,
    dolly_hire: int,
    trailer_hire: int,
    trip_m: float,
    fuel_price: int,
    unsure: float,
) -> WaysCost:
    """Fixed cost and cost of a trip for each way, with a range of so much either way."""
    bought = (True, dolly_and_trailer == HOW[0], dolly_and_trailer == HOW[0])
    middle = []
    for i, (price, hire) in enumerate(
        ((bar_price, 0), (dolly_price, dolly_hire), (trailer_price, trailer_hire))
    ):
        fixed = (
            owning_cost(price, resale=RESALE * price, upkeep_per_year=UPKEEP[i] * price, years=years)
            if bought[i]
            else 0.0
        )
        each = (
            10.0 * fuel_price * fuel_of_trip_m3(facts, METHODS[i], trip_m)  # the price is that of 0.1 m³
            + wear_cost(TYRE_PRICE * TYRES_ON_ROAD[i] / 4.0, TYRE_LIFE_M, distance_m=trip_m)
            + (0.0 if bought[i] else hire)
        )
        middle.append(Cost(fixed, each))
    ranges = tuple(
        CostRange(*(Cost(c.fixed * factor, c.per_trip * factor) for factor in (1.0 - unsure, 1.0 + unsure)))
        for c in middle
    )
    return WaysCost(trips_per_year * years, tuple(middle), ranges, tuple(_changes(middle, ranges)))


def _changes(middle: list[Cost], ranges: tuple[CostRange, ...]) -> list[Change]:
    """Where the way that costs least changes, walking up the number of trips; the way at zero trips first."""
    now = min(range(len(middle)), key=lambda i: (*middle[i], i))
    found = [Change(0.0, now, Switch(0.0, 0.0))]
    while True:
        crossings = [(break_even(middle[now], cost), i) for i, cost in enumerate(middle)]
        ahead = [
            (crossing.trips, middle[i].per_trip, i)
            for crossing, i in crossings
            if crossing.trips is not None and crossing.lower_after == 1
        ]
        if not ahead:
            return found
        trips, _, following = min(ahead)
        found.append(Change(trips, following, switch_range(ranges[now], ranges[following])))
        now = following


def costs_words(result: WaysCost, system: str) -> str:
    """The sentence under the cost panel."""
    money = [cost_of_trips(cost, result.trips) for cost in result.middle]
    order = sorted(range(len(money)), key=money.__getitem__)
    ranked = ", ".join(
        f"{METHODS[i]} {number(money[i])} ({number(cost_of_trips(result.ranges[i].low, result.trips))} to "
        f"{number(cost_of_trips(result.ranges[i].high, result.trips))})"
        for i in order
    )
    later = [f"from {_trips(change)} {METHODS[change.way]}" for change in result.changes[1:]]
    least = f"{METHODS[result.changes[0].way]} costs least" + (
        f" at first, {', '.join(later)}" if later else " for any number of trips"
    )
    sure = cost_of_trips(result.ranges[order[0]].high, result.trips) <= cost_of_trips(
        result.ranges[order[1]].low, result.trips
    )
    count = f"{result.trips} trip{'s' if result.trips > 1 else ''}"
    return (
        f"After {count}, in money units: {ranked}; {least}."
        f" {'The two cheapest do not overlap' if sure else 'The two cheapest overlap: too close to call'}."
    )


def _trips(change: Change) -> str:
    """A number of trips with its range."""
    may_be, surely = change.range
    return (
        f"{number(change.trips, 2)} trips ({number(may_be or 0.0, 2)} to"
        f" {'never sure' if surely is None else number(surely, 2)})"
    )


def costs_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the cost panel."""
    starts = {
        slider.name: slider.argument(slider.start) for slider in load_panel("10_ways_to_tow", "cost").sliders
    }
    bought, hired = (costs(facts, **{**starts, "dolly_and_trailer": how}) for how in HOW)
    money = ", ".join(
        f"{method} {number(cost_of_trips(cost, bought.trips))}"
        for method, cost in zip(METHODS, bought.middle, strict=True)
    )
    first, *later = hired.changes
    change = (
        f" at first, from {_trips(later[0])} {METHODS[later[0].way]}" if later else " for any number of trips"
    )
    fuel = [show(fuel_of_trip_m3(facts, method, starts["trip_m"]), "volume", system) for method in METHODS]
    return (
        f"*Bought*, after {bought.trips} trips, in money units: {money}. *Hired*, {METHODS[first.way]} costs"
        f" least{change}. In brackets stands what your doubt makes of it: *may be* from the first number,"
        f" *surely* from the second. Fuel tells the ways apart least: one trip burns {fuel[0]} behind the"
        f" bar, {fuel[1]} with the dolly, {fuel[2]} with the trailer, on top of what the tow vehicle burns"
        " alone. **Price, storage and hire decide.**"
    )


class CostsDrawing:
    """Money over the number of trips, a band for each way, and where the cheapest changes."""

    size_in, frames = (10.0, 4.2), 1
    narrow_in = (4.9, 4.4)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the numbers."""
        self._frame(picture, 40.0, 5000.0)
        for i in range(len(METHODS)):
            picture.band(f"band {i}", 0, i)
        for i in range(len(METHODS)):
            picture.line(f"line {i}", 0, i)
            picture.words(f"name {i}", 0, style=i, bold=True)
        for k in (1, 2):
            picture.reference(f"at {k}", 0)
            picture.point(f"change {k}", 0, 4)
            picture.words(f"change words {k}", 0, bold=True)

    def _frame(self, picture: Picture, trips: float, money: float) -> None:
        picture.frame(
            0,
            title="Cost of each way (bands: as unsure as you say)",
            x_label="number of trips",
            y_label="money units",
            x=(0.0, (1.8 if picture.narrow else 1.28) * trips),  # room for the names
            y=(0.0, money),
        )

    def update(self, picture: Picture, result: WaysCost, system: str) -> None:
        """Move the parts to a result."""
        ends = (0.0, float(result.trips))
        # room for the widest band and the words above it, so that the frame stands still while the doubt is
        # moved
        top = round_up(1.68 * max(cost_of_trips(cost, result.trips) for cost in result.middle))
        self._frame(picture, ends[1], top)
        for i, (cost, one) in enumerate(zip(result.middle, result.ranges, strict=True)):
            picture.spread(
                f"band {i}",
                ends,
                [cost_of_trips(one.low, n) for n in ends],
                [cost_of_trips(one.high, n) for n in ends],
            )
            picture.move(f"line {i}", ends, [cost_of_trips(cost, n) for n in ends])
        places = apart(
            [cost_of_trips(cost, result.trips) for cost in result.middle],
            least=0.065 * top,
            low=0.03 * top,
            high=0.96 * top,
        )
        for i, place in enumerate(places):
            picture.say(f"name {i}", METHODS[i], 1.015 * ends[1], place)
        inside = [change for change in result.changes[1:] if change.trips < ends[1]]
        for k in (1, 2):
            if k > len(inside):
                for name in ("at", "change"):
                    picture.move(f"{name} {k}", [], [])
                picture.say(f"change words {k}", "", 0.0, 0.0)
                continue
            change, line = inside[k - 1], (1.0 - 0.075 * k + 0.02) * top
            picture.move(f"at {k}", [change.trips] * 2, [0.0, line + 0.02 * top])
            picture.move(
                f"change {k}", [change.trips], [cost_of_trips(result.middle[change.way], change.trips)]
            )
            picture.say(
                f"change words {k}",
                f"from {_trips(change)}: {METHODS[change.way]}",
                min(change.trips, 0.72 * ends[1]) + 0.01 * ends[1],
                line,
            )


def apart(places: list[float], *, least: float, low: float, high: float) -> list[float]:
    """The same places pushed apart so that words beside each other do not lie on one another, kept between
    low and high.
    """
    order = sorted(range(len(places)), key=places.__getitem__)
    spread = [min(max(places[i], low), high) for i in order]
    for k in range(1, len(spread)):
        spread[k] = max(spread[k], spread[k - 1] + least)
    spread[-1] = min(spread[-1], high)
    for k in range(len(spread) - 2, -1, -1):
        spread[k] = min(spread[k], spread[k + 1] - least)
    found = [0.0] * len(places)
    for place, i in zip(spread, order, strict=True):
        found[i] = place
    return found
