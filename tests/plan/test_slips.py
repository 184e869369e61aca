"""No single slip of a unit or a decimal point turns a limit that is over or not known into *within* unasked.

What is counted: every number of both invented rigs with its point one place too far either way, with the
other unit of its kind, and worked out for the other unit. A slip that is still plausible is invisible, and
harmless: it gives no limit a pass that it did not have.
"""

import tomllib
from collections import Counter
from pathlib import Path

import pytest

from tests.plan.slips import slips, with_slip
from tests.rigs import DEMOS, limits_of
from towlib.errors import InputError
from towlib.limits.limit import WITHIN
from towlib.rig.model import rig_from_data
from towlib.rig.plausible import questions
from towlib.road.route import load_route


@pytest.mark.parametrize("demo", DEMOS)
def test_no_single_slip_makes_a_limit_within_without_a_question(demo):
    road, file = load_route("data/routes/short_steep_pass.csv"), Path(f"data/rigs/{demo}.toml")
    data = tomllib.loads(file.read_text(encoding="utf-8"))
    closed = tuple(each.key for each in limits_of(rig_from_data(data), road) if each.answer != WITHIN)
    told, asked_elsewhere, wrongly_passed = Counter(), [], []
    for slip in slips(file):
        try:
            rig = rig_from_data(with_slip(data, slip))
        except InputError:
            told["refused"] += 1
            continue
        about = {path for question in questions(rig) for path in question.paths}
        if about:
            told["asked"] += 1
            row = slip.path.rpartition(".")[0] if slip.path.rpartition(".")[2].isdigit() else slip.path
            asked_elsewhere += [] if row in about else [slip]
            continue
        told["invisible"] += 1
        now = limits_of(rig, road, closed) if closed else []
        wrongly_passed += [(slip, each) for each in now if each.answer == WITHIN]
    assert not wrongly_passed and not asked_elsewhere
    assert (
        told["invisible"] < 0.1 * told.total()
    )  # most slips are noticed: a tenth of them may look plausible
    print(dict(told))
