"""The federal tow-bar rule, against the figures of its own text: 49 CFR 393.71(d) and (h), read in a stored
copy of the code.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.basics.cases import Cases, for_all
from towlib.physics.hitch import tow_bar_rule
from towlib.physics.hitch.tow_bar_rule import beam_load_n, longitudinal_load_n

LB, LBF, INCH = 0.45359237, 4.4482216152605, 0.0254  # exact by definition


@pytest.mark.parametrize(
    ("pounds", "along", "beam"),
    [
        (1_500, 6_500, 3_000),  # the table's row "less than 5,000", column of new bars
        (3_395, 6_500, 3_000),
        (4_999, 6_500, 3_000),
        (5_000, 6_500, 3_000),  # note 1: 1.3 and 0.6 times 5,000 are the same figures
        (5_200, 6_760, 3_120),  # 1.3 · 5,200; 0.6 · 5,200
        (9_999, 12_998.7, 5_999.4),
        (15_000, 19_500, 9_000),
    ],
)
def test_the_table_of_the_rule(pounds, along, beam):
    assert longitudinal_load_n(pounds * LB) == pytest.approx(along * LBF, rel=1e-9)
    assert beam_load_n(pounds * LB) == pytest.approx(beam * LBF, rel=1e-9)


def test_the_other_figures_of_the_rule():
    # (h)(4): 50 lb at the centre, 0.25 in; (h)(7): 3 in to either side; (d): 5,000 lb; (h)(10): two chains
    assert pytest.approx(50 * LBF) == tow_bar_rule.SAG_LOAD_N
    assert pytest.approx(INCH / 4) == tow_bar_rule.MOST_SAG_M
    assert pytest.approx(3 * INCH) == tow_bar_rule.MOST_OFF_TRACK_M
    assert pytest.approx(5_000 * LB) == tow_bar_rule.BUMPER_MOST_KG
    assert tow_bar_rule.LEAST_CHAINS == 2


@given(st.floats(1.0, 2e4), st.floats(0.0, 5e3))
def test_more_weight_is_never_asked_less(kg, more):
    assert longitudinal_load_n(kg + more) >= longitudinal_load_n(kg) * (1 - 1e-12)
    assert beam_load_n(kg + more) >= beam_load_n(kg) * (1 - 1e-12)


def test_many_cases_at_once():
    kilograms = np.array([1_000.0, 2_300.0, 2_200.0, 4_000.0])
    for rule in (longitudinal_load_n, beam_load_n):
        found = for_all(4, lambda which, rule=rule: rule(Cases(kilograms[which])))
        assert found == pytest.approx([rule(kg) for kg in kilograms])


@pytest.mark.parametrize("rule", [longitudinal_load_n, beam_load_n])
@pytest.mark.parametrize("kg", [0.0, -1.0])
def test_no_weight_is_refused(rule, kg):
    with pytest.raises(ValueError, match=r"^the towed mass must be above zero$"):
        rule(kg)
