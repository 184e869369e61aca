"""Limits and plans built by hand, for tests of what is told of them: no road is driven."""

import numpy as np

from towlib.limits.limit import ASKED, ASSUMED, TOO_CLOSE, YES_NO, Doubt, Limit
from towlib.plan.trip import Plan
from towlib.rig.model import load_rig
from towlib.road.route import Route

DEMO = load_rig("data/rigs/demo_comfortable.toml")
ROAD = Route(
    "A made road",
    "made.csv",
    np.array([0.0, 1000.0, 2000.0]),
    np.array([100.0, 150.0, 100.0]),
    np.array([0.05, -0.05]),
    np.array([np.nan, np.nan]),
)
PATH = "hitch.ball_rating"
ASSUMED_PATH = "tow_bar.mass"


def made(key, demand=8.0, capacity=10.0, **other):
    """A limit by its two figures; its title is its key in capitals."""
    known = demand is not None and capacity is not None
    given = {"kind": "mass", "source": "plate", "way": "out", "missing": "" if known else PATH, "assumed": ()}
    return Limit(key=key, title=key.upper(), demand=demand, capacity=capacity, **(given | other))


def within(key="within", **other):
    return made(key, 8.0, 10.0, **other)


def over(key="over", **other):
    return made(key, 13.0, 10.0, **other)


def unknown(key="unknown", **other):
    return made(key, None, 10.0, **other)


TURNS = {"doubt": Doubt(ASSUMED, ASSUMED_PATH), "missing": ASSUMED_PATH, "assumed": (ASSUMED_PATH,)}


def likely_over(key="likely_over", **other):
    return over(key, **(TURNS | other))


def likely_within(key="likely_within", **other):
    return within(key, **(TURNS | other))


def too_close(key="too_close", **other):
    return within(key, doubt=Doubt(TOO_CLOSE, PATH), missing=PATH, **other)


def asked(key="asked", **other):
    return within(key, doubt=Doubt(ASKED, PATH, "1.34 kg on an axle?"), missing=PATH, **other)


def yes_no(key="yes_no", fulfilled=True, **other):
    """Asked is yes (1); what is so is yes (1) or no (0)."""
    return made(key, 1.0, 1.0 if fulfilled else 0.0, kind=YES_NO, **other)


def plan_of(*limits, **other):
    """A plan with these limits, in this order."""
    given = {
        "rig": DEMO,
        "route": ROAD,
        "limits": tuple(limits),
        "legs": (),
        "road_missing": "",
        "assumed": (),
    }
    return Plan(**(given | other))
