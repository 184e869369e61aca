"""Whatever figures a rig file may hold, the plan, the report, the JSON and the sheet are made: no traceback,
nothing that is not a number.
"""

import json
import math
import random

import pytest

from towlib.plan.trip import make_plan
from towlib.print.field_lists import rig_fields
from towlib.print.plan_json import plan_json
from towlib.print.report import report
from towlib.print.sheet import sheet_html
from towlib.rig.measured import Measured, WholeNumber, rule_of
from towlib.rig.model import BracketBolt, Load, Rig, field_info, load_rig, row_of
from towlib.road.route import load_route


def _put(part, path, value):
    head, _, rest = path.partition(".")
    return part.model_copy(update={head: _put(getattr(part, head), rest, value) if rest else value})


def _random_rig(draw: random.Random, rig: Rig) -> Rig:
    for field in rig_fields():
        if (
            row_of(field.path)
            or field.path in ("name", "invented")
            or field.path.endswith(("name", "curve"))
            or draw.random() > 0.35
        ):
            continue
        info = field_info(field.path)
        measured, whole = rule_of(info, Measured), rule_of(info, WholeNumber)
        if not field.required and draw.random() < 0.25:
            value = None
        elif measured:
            spread = draw.random()
            value = {0: measured.low, 1: measured.high}.get(
                int(spread * 12), measured.low + (measured.high - measured.low) * draw.random() ** 3
            )
        elif whole:
            value = draw.randint(whole.low, whole.high)
        elif field.kind == "choice":
            value = draw.choice(field.choices)
        elif field.kind == "yes or no":
            value = draw.random() < 0.5
        elif field.kind == "ratio":
            value = draw.uniform(0.05, 10) if "resistance" not in field.path else draw.uniform(0.002, 0.4)
        else:
            value = tuple(sorted((draw.uniform(0.3, 8) for _ in range(draw.randint(1, 12))), reverse=True))
        rig = _put(rig, field.path, value)
    loads = tuple(
        Load(
            name="x",
            mass=f"{draw.uniform(0.1, 1000):.1f} kg",
            vehicle=draw.choice(["tow", "towed"]),
            behind_front_axle=f"{draw.uniform(-3, 12):.2f} m",
            way=draw.choice(["both", "out", "back"]),
        )
        for _ in range(draw.randint(0, 5))
    )
    bolts = tuple(
        BracketBolt(
            **{
                name: f"{draw.choice([0, draw.uniform(-600, 600)]):.0f} mm"
                for name in BracketBolt.model_fields
            }
        )
        for _ in range(draw.randint(1, 6))
    )
    plane = draw.random() < 0.5  # half of them in one plane, as a bracket's are
    bracket = rig.bracket.model_copy(
        update={
            "bolts": draw.choice(
                [
                    None,
                    tuple(bolt.model_copy(update={"behind_pin": 0.07}) for bolt in bolts) if plane else bolts,
                ]
            )
        }
    )
    return rig.model_copy(update={"load": loads, "bracket": bracket})


@pytest.mark.parametrize("seed", range(60))
def test_every_rig_gets_a_plan(seed):
    draw = random.Random(seed)
    rig = _random_rig(draw, load_rig(f"data/rigs/demo_{draw.choice(['comfortable', 'overloaded'])}.toml"))
    route = load_route(f"data/routes/{draw.choice(['short_steep_pass.csv', 'rolling_road.csv'])}")
    plan = make_plan(rig, route)
    data = json.loads(plan_json(plan), parse_constant=lambda name: pytest.fail(name))
    for limit in plan.limits:
        for value in (limit.demand, limit.capacity):
            assert value is None or math.isfinite(value)
        assert (limit.answer == "not known") == bool(limit.missing)
    assert len(data["limits"]) == len(plan.limits)
    for system in ("metric", "us"):
        assert "Traceback" not in report(plan, system)
    assert "<svg" in sheet_html(plan) or plan.road_missing
