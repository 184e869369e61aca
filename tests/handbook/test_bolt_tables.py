"""Bolt tables as published, tied to the thread formula, and traps of the head marks."""

import pytest

from towlib.errors import InputError
from towlib.handbook.bolt_tables import bolt_grades, bolt_sizes, bolt_strength, bolt_thread, length_counts
from towlib.handbook.tables import load_table
from towlib.physics.hitch.bolts import stress_area_m2

IN, KSI = 0.0254, 6894757.293168


@pytest.mark.parametrize("size", bolt_sizes())
def test_printed_area_agrees_with_the_thread(size):
    thread = bolt_thread(size)
    assert stress_area_m2(thread.diameter_m, thread.pitch_m, series=thread.series) == pytest.approx(
        thread.stress_area_m2, rel=5e-3
    )
    assert thread.size == size and thread.series == ("metric" if size[0] == "M" else "inch")


def test_sizes_as_named():
    half, twelve = bolt_thread("1/2-13"), bolt_thread("M12")
    assert (
        half.diameter_m == pytest.approx(0.0127)
        and half.pitch_m == pytest.approx(IN / 13)
        and half.stress_area_m2 / IN**2 == pytest.approx(0.1419)
    )
    assert twelve.diameter_m == pytest.approx(0.012) and twelve.pitch_m == pytest.approx(0.00175)
    assert bolt_thread("1/2-20") is None and bolt_thread("M12x1.25") is None and bolt_thread("") is None
    assert bolt_sizes()[0] == "1/4-20" and {"3/4-10", "M8", "M20"} <= set(bolt_sizes())


# SAE J429 table read at china-bolts.com; proof, yield, tensile ksi
@pytest.mark.parametrize(
    ("grade", "inches", "ksi"),
    [
        ("2", 0.5, (55, 57, 74)),
        ("5", 0.25, (85, 92, 120)),
        ("5", 1.0, (85, 92, 120)),
        ("5", 1.125, (74, 81, 105)),
        ("8", 0.75, (120, 130, 150)),
    ],
)
def test_inch_grades(grade, inches, ksi):
    found = bolt_strength(grade, inches * IN, 2 * IN)
    assert [stress / KSI for stress in found] == pytest.approx(ksi, rel=1e-9)


@pytest.mark.parametrize(
    ("inches", "ksi"),
    [
        (1.0, (55, 57, 74)),
        (6.0, (55, 57, 74)),
        (6.01, (33, 36, 60)),  # counts as grade 1: under the same table at china-bolts.com
        (9.0, (33, 36, 60)),
    ],
)
def test_long_bolts_of_grade_2_count_as_grade_1(inches, ksi):
    assert [stress / KSI for stress in bolt_strength("2", 0.5 * IN, inches * IN)] == pytest.approx(
        ksi, rel=1e-9
    )
    assert bolt_strength("2", 0.5 * IN) is None  # hangs on a length nobody gave
    assert length_counts("2") and not any(map(length_counts, ("5", "8", "8.8", "10.9", "12.9")))
    for grade, size in (("5", 0.5 * IN), ("8.8", 0.012)):
        assert bolt_strength(grade, size, inches * IN) == bolt_strength(grade, size)


def test_metric_grades_and_their_traps():
    # T10: 8.8 has 580 / 800 MPa up to 16 mm and 600 / 830 above; 10.9 has 830 MPa proof, not 0.9·1000
    small, large = bolt_strength("8.8", 0.016), bolt_strength("8.8", 0.020)
    assert (small.proof_pa, small.tensile_pa) == pytest.approx((580e6, 800e6)) and (
        large.proof_pa,
        large.tensile_pa,
    ) == pytest.approx((600e6, 830e6))
    assert bolt_strength("10.9", 0.012).proof_pa == pytest.approx(830e6)
    # ISO 898-1, read at slsbearings.com: M20 8.8 breaks at 203 kN, 10.9 at 255 kN; M12 8.8 proof 48.9 kN
    assert large.tensile_pa * bolt_thread("M20").stress_area_m2 == pytest.approx(203e3, rel=5e-3)
    assert bolt_strength("10.9", 0.020).tensile_pa * bolt_thread("M20").stress_area_m2 == pytest.approx(
        255e3, rel=5e-3
    )
    assert small.proof_pa * bolt_thread("M12").stress_area_m2 == pytest.approx(48.9e3, rel=5e-3)


def test_what_the_table_does_not_hold():
    assert (
        bolt_strength("12.9", 0.012) is None
        and bolt_strength("2", 1.0 * IN, 2 * IN) is None
        and bolt_strength("8.8", 0.030) is None
        and bolt_strength("8", 0.005) is None
    )
    assert bolt_grades() == ("2", "5", "8", "8.8", "10.9")
    for grade in bolt_grades():
        for size in bolt_sizes():
            found = bolt_strength(grade, bolt_thread(size).diameter_m, 2 * IN)
            assert found is None or 0 < found.proof_pa < found.yield_pa < found.tensile_pa


def test_every_row_is_used_and_sourced():
    assert len(load_table("bolt_threads")) == len(bolt_sizes())
    assert all(
        row["known_by"] in ("read", "computed")
        for name in ("bolt_threads", "bolt_grades")
        for row in load_table(name)
    )


def test_a_damaged_row_is_named(monkeypatch):
    from towlib.handbook import bolt_tables
    from towlib.handbook.tables import Row

    bad = Row({"size": "M9", "series": "fine"}, "bolt_threads.csv", 3)
    monkeypatch.setattr(bolt_tables, "load_table", lambda name: (bad,))
    with pytest.raises(InputError, match="bolt_threads.csv, line 3, field 'series': found 'fine'"):
        bolt_tables._threads.__wrapped__()
