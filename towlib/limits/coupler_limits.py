"""The coupler on its ball: of one size, its latch closed, and every pin of the bar clipped."""

from towlib.limits.driveline_limits import whole, yes
from towlib.limits.limit import YES_NO, Rule, in_both_systems
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import value_at

BALL, COUPLER = "hitch.ball_diameter", "tow_bar.coupler_size"
# balls that are sold, by the stamp on them; common practice, no source. The two that are nearest to each
# other differ by 0.8 mm: what differs by less than half of that is one size.
SIZES_M = {"1-7/8 in": 0.047625, "50 mm": 0.050, "2 in": 0.0508, "2-5/16 in": 0.0587375}
ONE_SIZE_M = 0.0004


def unlike_m(facts: Facts, way: str) -> float:
    """How far the ball is from the one that the coupler is made for; a ball that is only assumed is none."""
    difference: float = abs(_given_m(facts, BALL) - _given_m(facts, COUPLER))
    return difference


def _given_m(facts: Facts, path: str) -> float:
    if value_at(facts.rig, path) is None and path not in facts.drawn_values():
        raise NotKnown(path)
    given: float = facts.need(path)
    return given


def size_name(diameter_m: float) -> str:
    """A ball's size as it is stamped; in both systems of units where no such ball is sold.

    >>> size_name(0.0476), size_name(0.049)
    ('1-7/8 in', '49 mm (1.93 in)')
    """
    name, sold_m = min(SIZES_M.items(), key=lambda each: abs(each[1] - diameter_m))
    return name if abs(sold_m - diameter_m) <= ONE_SIZE_M else in_both_systems(diameter_m, "size")


def size_advice(facts: Facts) -> str:
    """The ball that goes with this coupler, where another one is fitted."""
    coupler_m = facts.need(COUPLER)
    if unlike_m(facts, "out") <= ONE_SIZE_M:
        return "Ball and coupler are of one size."
    what = (
        "this one is too small and slips out of it"
        if facts.need(BALL) < coupler_m
        else "over this one its latch does not close"
    )
    return f"Fit a ball of {size_name(coupler_m)}, which the coupler is made for: {what}."


def size_words(facts: Facts) -> str:
    """What a checklist says of ball and coupler; nothing assumed counts."""
    try:
        ball_m, coupler_m = (_given_m(facts, path) for path in (BALL, COUPLER))
    except NotKnown:
        return "Read the size on ball and coupler: the same?"
    if abs(ball_m - coupler_m) <= ONE_SIZE_M:
        return f"Ball {size_name(ball_m)}, coupler for {size_name(coupler_m)}."
    return f"Ball {size_name(ball_m)}, coupler for {size_name(coupler_m)}: do NOT couple."


COUPLER_RULES = (
    Rule(
        "coupler_size",
        "Coupler and ball of one size",
        "size",
        unlike_m,
        lambda facts, way: ONE_SIZE_M,
        "stamps on coupler and ball; what differs by less than sizes that are sold do is one size",
        "Fit a ball of the size the coupler is made for: off a smaller one it jumps.",
        per_way=False,
    ),
    Rule(
        "coupler_latch",
        "Latch of the coupler closed and pinned",
        YES_NO,
        whole,
        yes("tow_bar.latch_closed"),
        "looked at, and pulled up by hand",
        "Lift the bar off, look into the coupler, close it over the ball again and put its pin or clip in; a"
        " latch that does not close goes to scrap.",
        per_way=False,
    ),
    Rule(
        "bar_pins",
        "Pins of the bar in and clipped",
        YES_NO,
        whole,
        yes("tow_bar.pins_clipped"),
        "looked at, one by one",
        "Put every pin in and a clip through each, of the size its maker names.",
        per_way=False,
    ),
)
