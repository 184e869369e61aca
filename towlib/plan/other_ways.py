"""Four wheels down, dolly, open trailer: each held against the same limits of the same tow vehicle.

No limit is written twice: a way of towing only changes what is asked of the rules of
`limit_rules/weights.py`.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, NamedTuple

from towlib.limits.decision import answer
from towlib.limits.limit import NOT_KNOWN, OVER, Limit, Rule, by_closeness, rating
from towlib.limits.loads import ball_load_kg, tow_total_kg, towed_axles_kg, towed_total_kg
from towlib.limits.weights_limits import WEIGHT_RULES
from towlib.rig.facts import Facts, NotKnown
from towlib.units import show

FLAT, DOLLY, TRAILER = METHODS = ("four wheels down", "dolly", "open trailer")
USUAL_TONGUE_SHARE = (0.10, 0.15)  # common practice, no source: habit with trailers behind a ball

# what is asked of the rules of weights by a dolly or a trailer; tests insist that every rule stands in one of
# these rows
BY_BALL_LOAD = ("tow_gvwr", "tow_front_gawr", "tow_rear_gawr", "payload", "front_tyres", "rear_tyres")
BY_GROSS = ("tow_rating", "receiver", "ball_mount", "ball")
COMBINED = ("gcwr",)
OF_TOWED_VEHICLE = {DOLLY: ("towed_gvwr", "towed_rear_gawr", "towed_rear_tyres"), TRAILER: ("towed_gvwr",)}
FLAT_ONLY = ("tow_bar", "brackets", "towed_front_gawr", "towed_front_tyres")

Need = Callable[[str], Any]  # a value of the dolly or trailer by name; raises NotKnown


class OtherWays(NamedTuple):
    """Dolly and trailer in SI; None is not known. The names are some of those of the section other_ways of a
    rig, which also holds sizes and drag that are not asked for here.
    """

    dolly_mass: float | None = None
    dolly_gvwr: float | None = None  # dolly and what stands on it
    dolly_ball_load: float | None = None  # with the vehicle on it
    dolly_brakes: bool | None = None
    trailer_mass: float | None = None
    trailer_gvwr: float | None = None
    trailer_tongue_share: float | None = None  # ball load over the whole trailer's mass
    trailer_brakes: bool | None = None

    def need(self, name: str) -> Any:
        """The value; raises NotKnown with the field's path when there is none."""
        value = getattr(self, name)
        if value is None:
            raise NotKnown(f"other_ways.{name}")
        return value


class Overlaid(Facts):
    """The facts of a rig with a few values replaced; assumptions are still noted by the facts behind."""

    def __init__(self, behind: Facts, values: dict[str, Any]):
        super().__init__(behind.rig)
        self._behind, self._values = behind, values

    def have(self, path: str) -> Any:
        """The replaced value, else that of the facts behind."""
        return self._values[path] if path in self._values else self._behind.have(path)

    def moved(self, path: str) -> Any:
        """That of the facts behind; only the ball load is that of the replaced values."""
        return None if path == "hitch.ball_load" else self._behind.moved(path)


def _without_bar(facts: Facts) -> Facts:
    return Overlaid(facts, {"tow_bar.mass": 0.0, "towed_vehicle.bracket_ahead_of_front_axle": 0.0})


def gross_kg(facts: Facts, need: Need, *, method: str, way: str) -> float:
    """Everything that hangs behind: held against the tow rating, the receiver, the ball mount and the
    ball.
    """
    if method == FLAT:
        return towed_total_kg(facts, way)
    return towed_total_kg(_without_bar(facts), way) + need(
        "dolly_mass" if method == DOLLY else "trailer_mass"
    )


def rear_on_road_kg(facts: Facts, way: str = "out") -> float:
    """What the towed vehicle's rear tyres carry while its front wheels stand on a dolly."""
    return towed_axles_kg(_without_bar(facts), way)[1]


def ball_kg(facts: Facts, need: Need, *, method: str, way: str) -> float:
    """Vertical load on the ball, standing level."""
    if method == FLAT:
        return ball_load_kg(facts)
    if method == DOLLY:
        return need("dolly_ball_load")
    return need("trailer_tongue_share") * gross_kg(facts, need, method=method, way=way)


def _tow_side(facts: Facts, need: Need, *, method: str, way: str) -> Facts:
    """The facts with the ball load of this way of towing; the rules count half a bar's mass as ball load."""
    return (
        facts
        if method == FLAT
        else Overlaid(facts, {"tow_bar.mass": 2.0 * ball_kg(facts, need, method=method, way=way)})
    )


def combined_kg(facts: Facts, need: Need, *, method: str, way: str) -> float:
    """Both together: the ball load stands on the tow vehicle already and is counted once."""
    tow = tow_total_kg(_tow_side(facts, need, method=method, way=way), way)
    if method == FLAT:
        return tow + towed_total_kg(facts, way)
    return tow + gross_kg(facts, need, method=method, way=way) - ball_kg(facts, need, method=method, way=way)


def method_rules(need: Need, method: str) -> tuple[Rule, ...]:
    """The rules that hold for one way of towing."""
    if method not in METHODS:
        raise ValueError(f"the ways to tow are {', '.join(METHODS)}")
    standing = Rule(
        "standing_ball_load",
        "Receiver, vertical load, standing",
        "mass",
        lambda facts, way: ball_kg(facts, need, method=method, way=way),
        rating("hitch.receiver_vertical_rating"),
        "plate on the part",
        "Less weight on the tongue, within what the trailer's maker allows.",
    )
    if method == FLAT:
        return (*WEIGHT_RULES, standing)
    return (
        *(
            _asked(rule, need, method)
            for rule in WEIGHT_RULES
            if rule.key not in FLAT_ONLY
            and (not rule.key.startswith("towed_") or rule.key in OF_TOWED_VEHICLE[method])
        ),
        standing,
        _carrier_rule(need, method),
    )


def _asked(rule: Rule, need: Need, method: str) -> Rule:
    """A rule of weights with the demand of a dolly or trailer."""
    if rule.key in BY_BALL_LOAD:
        return rule._replace(
            demand=lambda facts, way: rule.demand(_tow_side(facts, need, method=method, way=way), way)
        )
    if rule.key in COMBINED:
        return rule._replace(demand=lambda facts, way: combined_kg(facts, need, method=method, way=way))
    if rule.key in BY_GROSS:
        asked = rule._replace(demand=lambda facts, way: gross_kg(facts, need, method=method, way=way))
        return (
            asked._replace(capacity=lambda facts, way: _tow_rating(rule, facts, need, method, way))
            if rule.key == "tow_rating"
            else asked
        )
    return rule._replace(demand=lambda facts, way: rule.demand(_without_bar(facts), way))


def _tow_rating(rule: Rule, facts: Facts, need: Need, method: str, way: str) -> float:
    brakes = need("dolly_brakes" if method == DOLLY else "trailer_brakes")
    return rule.capacity(Overlaid(facts, {"towed_vehicle.brakes_fitted": brakes}), way)


def _carrier_rule(need: Need, method: str) -> Rule:
    """The dolly's or the trailer's own plate."""
    if method == TRAILER:
        return Rule(
            "trailer_gvwr",
            "Trailer, total (GVWR)",
            "mass",
            lambda facts, way: gross_kg(facts, need, method=method, way=way),
            lambda facts, way: need("trailer_gvwr"),
            "plate of the trailer",
            "A trailer rated for more, or a lighter vehicle on it.",
        )
    return Rule(
        "dolly_gvwr",
        "Dolly with the front axle on it (GVWR)",
        "mass",
        lambda facts, way: need("dolly_mass") + towed_axles_kg(_without_bar(facts), way)[0],
        lambda facts, way: need("dolly_gvwr"),
        "plate of the dolly",
        "A dolly rated for more; mind its widest track and heaviest vehicle too.",
    )


def carrier(facts: Facts) -> Need:
    """What is known of the dolly and the trailer of a rig."""
    return lambda name: facts.need(f"other_ways.{name}")


def rules_of_way(method: str) -> tuple[Rule, ...]:
    """The limits of one way of towing as rules for any rig, with the dolly or trailer that the rig names: a ±
    of theirs counts.
    """

    def asked(number: int, side: str, facts: Facts, way: str) -> float:
        return getattr(method_rules(carrier(facts), method)[number], side)(facts, way)

    return tuple(
        rule._replace(demand=partial(asked, number, "demand"), capacity=partial(asked, number, "capacity"))
        for number, rule in enumerate(method_rules(OtherWays().need, method))
    )


def limits_of_way(facts: Facts, method: str) -> tuple[Limit, ...]:
    """Every limit of one way of towing, with the dolly or trailer that the rig names."""
    return tuple(answer(rule, facts) for rule in rules_of_way(method))


def method_words(limits: tuple[Limit, ...], system: str = "metric") -> str:
    """One way of towing in a few words: what is over, what is not known, else the tightest limit."""
    over, unknown = ([limit for limit in limits if limit.answer == word] for word in (OVER, NOT_KNOWN))
    first = by_closeness(list(limits))[0]
    if over:
        more = f", {len(unknown)} not known" if unknown else ""
        return (
            f"{len(over)} of {len(limits)} limits over{more}; the worst is {first.title},"
            f" {first.answer_text(system)}"
        )
    if unknown:
        return (
            f"none over, but {len(unknown)} of {len(limits)} not known, such as {first.title}"
            f" ({first.answer_text(system)})"
        )
    return (
        f"all {len(limits)} within; the tightest is {first.title}, {first.answer_text(system)} of"
        f" {show(first.capacity, first.kind, system)}"
    )


def other_ways_words(facts: Facts, system: str = "metric") -> tuple[str, ...]:
    """One line each for a dolly and a trailer of the rig file, held against the same tow vehicle; none that
    the file does not name.
    """
    lines = []
    for method, mass in ((DOLLY, "dolly_mass"), (TRAILER, "trailer_mass")):
        if facts.have(f"other_ways.{mass}") is not None:
            lines.append(f"Instead, {method}: {method_words(limits_of_way(facts, method), system)}.")
    return tuple(lines)
