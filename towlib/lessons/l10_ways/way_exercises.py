"""Exercises of lesson 10."""

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.costs.owning_costs import Cost, break_even
from towlib.units import show


def trailer_behind_the_axle(seed: int, system: str) -> Given:
    """What a trailer's share on the ball means for the rear axle."""
    drawn = numbers(
        seed,
        vehicle_kg=(1200, 1900, 50),
        trailer_kg=(500, 1000, 50),
        share_pct=(10, 15, 1),
        wheelbase_m=(2.8, 3.8, 0.1),
        overhang_m=(1.0, 1.4, 0.1),
    )
    vehicle, trailer, per_cent = drawn["vehicle_kg"], drawn["trailer_kg"], drawn["share_pct"]
    wheelbase, overhang = drawn["wheelbase_m"], drawn["overhang_m"]
    gross, share, lever = vehicle + trailer, per_cent / 100, overhang / wheelbase
    ball = share * gross
    gain = ball * (1 + lever)
    ball_traps = {
        "the share counts for the whole trailer, not for the vehicle on it alone": share * vehicle,
        "the trailer carries something as well": share * trailer,
    }
    gain_traps = {
        "that is the ball load; behind the axle it lifts the front, and the rear carries that too": ball,
        "that is only what the front axle loses": ball * lever,
        "the lever is overhang over wheelbase, not the other way round": ball * (1 + 1 / lever),
    }
    said = {
        name: show(value, "mass", system)
        for name, value in (
            ("vehicle", vehicle),
            ("trailer", trailer),
            ("ball", ball),
            ("gain", gain),
            ("front", gain - ball),
        )
    }
    lengths = show(wheelbase, "length", system), show(overhang, "length", system)
    return Given(
        f"A vehicle of **{said['vehicle']}** stands on a trailer of **{said['trailer']}**, **{per_cent:.0f}"
        f" %** of the whole on the ball. The tow vehicle's wheelbase is **{lengths[0]}**, the ball"
        f" **{lengths[1]}** behind its rear axle.",
        (
            Question("(a) How much stands on the ball?", "mass", ball, ball_traps),
            Question("(b) How much does the *rear axle* gain?", "mass", gain, gain_traps),
        ),
        f"(a) V = s · (M + m) = {share:.2f} · ({said['trailer']} + {said['vehicle']}) = **{said['ball']}**."
        f" (b) Moments about the front axle: V · (L + o) / L = {said['ball']} · ({lengths[0]} + {lengths[1]})"
        f" / {lengths[0]} = **{said['gain']}**; the front axle loses {said['front']}.",
    )


def until_it_has_paid(seed: int, system: str) -> Given:
    """After how much road a bought bar and a hired trailer have cost the same."""
    drawn = numbers(
        seed,
        bar=(800, 2000, 100),
        bar_trip=(30, 60, 5),
        hire_day=(40, 80, 5),
        days=(2, 5, 1),
        fuel_trip=(35, 65, 5),
        trip_km=(300, 900, 50),
    )
    bar, bar_trip, fuel = drawn["bar"], drawn["bar_trip"], drawn["fuel_trip"]
    hired, trip_m = drawn["hire_day"] * drawn["days"] + fuel, 1000 * drawn["trip_km"]
    trips = break_even(Cost(0, hired), Cost(bar, bar_trip)).trips
    assert trips is not None  # hired costs more a trip than the bar, whatever is drawn
    traps = {
        "the bar costs something each trip too: divide by the difference": bar / hired * trip_m,
        "the two costs of a trip were added; what counts is their difference": (
            bar / (hired + bar_trip) * trip_m
        ),
        "a trip is out and back already": 2 * trips * trip_m,
    }
    one_day = drawn["hire_day"] + fuel - bar_trip
    if one_day > 0:
        traps["the hire runs for every day of the trip"] = bar / one_day * trip_m
    trip, road = show(trip_m, "distance", system), show(trips * trip_m, "distance", system)
    return Given(
        f"A bar costs **{bar:.0f}** money units in all and **{bar_trip:.0f}** for each trip. A hired trailer"
        f" costs **{drawn['hire_day']:.0f}** a day for **{drawn['days']:.0f}** days and **{fuel:.0f}** of"
        f" fuel for each trip. A trip is **{trip}** out and back. After how much *road* have both cost the"
        " same?",
        (Question("", "distance", trips * trip_m, traps),),
        f"One trip with the trailer costs {drawn['days']:.0f} · {drawn['hire_day']:.0f} + {fuel:.0f} ="
        f" {hired:.0f}, with the bar {bar_trip:.0f}. N = F / (v_trailer − v_bar) = {bar:.0f} / ({hired:.0f} −"
        f" {bar_trip:.0f}) = {trips:.1f} trips of {trip} each: **{road}**.",
    )


EXERCISES = (
    Exercise("A trailer behind your axle", trailer_behind_the_axle),
    Exercise("How far until it has paid?", until_it_has_paid),
)
