"""The table of rules for towing equipment: each says whom it binds, and its figures are those of the
functions.
"""

import re

import pytest

from towlib.handbook.tables import load_table
from towlib.physics.hitch import tow_bar_rule
from towlib.physics.hitch.coupling_strength import hitch_test_loads_lb
from towlib.physics.hitch.load_cases import ACROSS_G, ALONG_G, UPRIGHT_G

LB, LBF, INCH = 0.45359237, 4.4482216152605, 0.0254  # exact by definition
ROWS = {row["id"]: row for row in load_table("tow_bar_rules")}


def _figures(name):
    found = re.findall(r"(?<![\w.])(\d[\d,]*(?:\.\d+)?)(?![\w./])", ROWS[name]["asks"])
    return [float(each.replace(",", "")) for each in found]


@pytest.mark.parametrize(
    "table", ["tow_bar_rules", "chain_rules", "rear_lamps", "coupling_classes", "coupling_test_loads"]
)
def test_every_row_of_a_law_says_whom_it_binds(table):
    for row in load_table(table):
        assert len(row["binds"].strip()) > 5 and row["known_by"] == "read"
        assert "forum" not in row["source"] or row["id"] == "vsb1"  # no other copy of that circular was found


def test_the_figures_are_those_of_the_functions():
    rule = tow_bar_rule
    assert {rule.LIGHT_LBF, rule.HEAVY_FROM_LB, rule.HEAVY_SHARE} <= set(_figures("along"))
    assert {rule.LIGHT_BEAM_LBF, rule.HEAVY_FROM_LB, rule.HEAVY_BEAM_SHARE} <= set(_figures("beam"))
    assert _figures("sag") == [pytest.approx(rule.SAG_LOAD_N / LBF), pytest.approx(rule.MOST_SAG_M / INCH)]
    assert _figures("tracking") == [pytest.approx(rule.MOST_OFF_TRACK_M / INCH)]
    assert _figures("bumpers") == [pytest.approx(rule.BUMPER_MOST_KG / LB)]
    assert _figures("coupling_loads") == [ALONG_G, ACROSS_G, UPRIGHT_G]
    per_lb, plus, across, more, most = _figures("hitch_tests")
    assert hitch_test_loads_lb(2000)[1] == pytest.approx(2000 * per_lb + plus)
    assert hitch_test_loads_lb(2000)[3] == pytest.approx(2000 * across + more) and most == 5000


def test_only_one_rule_was_written_for_vehicles_on_their_own_wheels():
    own = {name for name, row in ROWS.items() if "on its own wheels" in row["binds"]}
    assert own == {name for name, row in ROWS.items() if re.search(r"393\.(71|17)", row["document"])}
