"""Stopping distances against OpenStax, the road-design handbook and a state statute."""

import pytest

from towlib.physics.brakes import stopping


@pytest.mark.parametrize(
    ("deceleration", "braking_m", "total_m"),
    [
        # OpenStax College Physics, module m42099: 30.0 m/s, dry 7.00 and wet 5.00 m/s², reaction 0.500 s
        (7.00, 64.3, 79.3),
        (5.00, 90.0, 105.0),
    ],
)
def test_openstax_stops(deceleration, braking_m, total_m):
    assert stopping.stopping_distance_m(30, deceleration_m_s2=deceleration) == pytest.approx(
        braking_m, abs=0.05
    )
    assert stopping.stopping_distance_m(30, deceleration_m_s2=deceleration, reaction_s=0.5) == pytest.approx(
        total_m, abs=0.05
    )


@pytest.mark.parametrize(
    ("deceleration_ft_s2", "distance_ft"),
    [
        # N.J. Stat. 39:3-68 (14 and 9.5 ft/s² from 20 mph), v²/2a computed: 30.73 and 45.29 ft
        (14, 30.73),
        (9.5, 45.29),
    ],
)
def test_statute_from_twenty_mph(deceleration_ft_s2, distance_ft):
    ours = stopping.stopping_distance_m(20 * 0.44704, deceleration_m_s2=deceleration_ft_s2 * 0.3048) / 0.3048
    assert ours == pytest.approx(distance_ft, abs=0.005)


@pytest.mark.parametrize(
    ("mph", "level", "down3", "down6", "down9", "up3", "up6", "up9"),
    [
        # AASHTO Green Book 7th ed. s3.1.2 formula, read in a public study note; grade columns computed
        # independently
        (40, 300.3, 314.8, 332.3, 353.9, 288.2, 277.8, 268.8),
        (55, 492.0, 519.4, 552.5, 593.2, 469.0, 449.4, 432.4),
        (30, 196.5, 204.6, 214.5, 226.6, 189.7, 183.8, 178.8),
        (45, 359.4, 377.8, 399.9, 427.2, 344.0, 330.9, 319.5),
        (60, 565.5, 598.1, 637.4, 685.9, 538.1, 514.7, 494.6),
        (70, 726.8, 771.2, 824.7, 890.8, 689.5, 657.7, 630.3),
    ],
)
def test_sight_distance(mph, level, down3, down6, down9, up3, up6, up9):
    ours = [stopping.sight_distance_ft(mph, grade=g) for g in (0, -0.03, -0.06, -0.09, 0.03, 0.06, 0.09)]
    assert ours == [pytest.approx(value, abs=0.051) for value in (level, down3, down6, down9, up3, up6, up9)]


def test_a_towed_vehicle_without_brakes_lengthens_the_stop_in_proportion():
    # by hand: 7.0 × 2,400 / 3,900 = 4.3077 m/s²
    assert stopping.pair_deceleration_m_s2(
        tow_mass_kg=2400, towed_mass_kg=1500, tow_deceleration_m_s2=7.0
    ) == pytest.approx(4.3077, abs=5e-5)


def test_no_deceleration_left_is_said_plainly():
    with pytest.raises(ValueError, match="does not stop"):
        stopping.stopping_distance_m(20, deceleration_m_s2=-0.1)


@pytest.mark.parametrize(
    ("mph", "design_ft"),
    [
        # design column of the Green Book 7th ed. as read in a public study note: rounded up to 5 ft
        (15, 80),
        (20, 115),
        (25, 155),
        (30, 200),
        (35, 250),
        (40, 305),
        (45, 360),
        (50, 425),
        (55, 495),
        (60, 570),
        (65, 645),
        (70, 730),
        (75, 820),
        (80, 910),
    ],
)
def test_sight_distance_lies_just_under_the_design_column(mph, design_ft):
    assert design_ft - 6.5 < stopping.sight_distance_ft(mph) <= design_ft


def test_sight_distance_takes_the_whole_quotient():
    # 11.2/32.2 = 0.3478: with 0.35 the published study note gets 708.3 ft for 65 mph at -5 %; the formula
    # itself 711.7
    assert stopping.sight_distance_ft(65, grade=-0.05) == pytest.approx(711.7, abs=0.05)
    with pytest.raises(ValueError, match="does not stop"):
        stopping.sight_distance_ft(30, grade=-0.40)


def test_the_pull_of_the_grade_is_a_sine():
    # by hand: 2,400 × 7/3,900 - 9.80665 × 0.148340 = 4.3077 - 1.4547 = 2.8530 on 15 % down
    ours = stopping.pair_deceleration_m_s2(
        tow_mass_kg=2400, towed_mass_kg=1500, tow_deceleration_m_s2=7.0, grade=-0.15
    )
    assert ours == pytest.approx(2.8530, abs=5e-5)
    with pytest.raises(ValueError, match="above zero"):
        stopping.pair_deceleration_m_s2(tow_mass_kg=0, towed_mass_kg=1500, tow_deceleration_m_s2=7.0)


def test_own_brakes_of_the_towed_vehicle_help_by_hand():
    # by hand: (2,400 kg × 7 m/s² + 3,000 N) / 3,900 kg = 5.0769 m/s²
    ours = stopping.pair_deceleration_m_s2(
        tow_mass_kg=2400, towed_mass_kg=1500, tow_deceleration_m_s2=7.0, towed_brake_n=3000.0
    )
    assert ours == pytest.approx(19_800 / 3900)
