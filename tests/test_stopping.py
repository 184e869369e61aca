"""Stopping distances against OpenStax, the road-design handbook and a state statute."""

import pytest

from towlib.physics import stopping


@pytest.mark.parametrize(("deceleration", "braking_m", "total_m"), [
    # OpenStax College Physics, module m42099: 30.0 m/s, dry 7.00 and wet 5.00 m/s², reaction 0.500 s
    (7.00, 64.3, 79.3), (5.00, 90.0, 105.0)])
def test_openstax_stops(deceleration, braking_m, total_m):
    assert stopping.stopping_distance_m(30, deceleration_m_s2=deceleration) == pytest.approx(braking_m, abs=0.05)
    assert stopping.stopping_distance_m(30, deceleration_m_s2=deceleration, reaction_s=0.5) == pytest.approx(total_m, abs=0.05)


@pytest.mark.parametrize(("deceleration_ft_s2", "distance_ft"), [
    # N.J. Stat. 39:3-68 (14 and 9.5 ft/s² from 20 mph), v²/2a computed: 30.73 and 45.29 ft
    (14, 30.73), (9.5, 45.29)])
def test_statute_from_twenty_mph(deceleration_ft_s2, distance_ft):
    ours = stopping.stopping_distance_m(20 * 0.44704, deceleration_m_s2=deceleration_ft_s2 * 0.3048) / 0.3048
    assert ours == pytest.approx(distance_ft, abs=0.005)


@pytest.mark.parametrize(("mph", "level", "down3", "down6", "down9", "up3", "up6", "up9"), [
    # AASHTO Green Book 7th ed. s3.1.2 formula, read in a public study note; grade columns computed independently
    (30, 196.5, 204.6, 214.5, 226.6, 189.7, 183.8, 178.8), (45, 359.4, 377.8, 399.9, 427.2, 344.0, 330.9, 319.5),
    (60, 565.5, 598.1, 637.4, 685.9, 538.1, 514.7, 494.6), (70, 726.8, 771.2, 824.7, 890.8, 689.5, 657.7, 630.3)])
def test_sight_distance(mph, level, down3, down6, down9, up3, up6, up9):
    ours = [stopping.sight_distance_ft(mph, grade=g) for g in (0, -0.03, -0.06, -0.09, 0.03, 0.06, 0.09)]
    assert ours == [pytest.approx(value, abs=0.051) for value in (level, down3, down6, down9, up3, up6, up9)]


def test_a_towed_vehicle_without_brakes_lengthens_the_stop_in_proportion():
    # by hand: 7.0 × 2,400 / 3,900 = 4.3077 m/s²
    assert stopping.pair_deceleration_m_s2(tow_mass_kg=2400, towed_mass_kg=1500, tow_deceleration_m_s2=7.0) == pytest.approx(4.3077, abs=5e-5)


def test_no_deceleration_left_is_said_plainly():
    with pytest.raises(ValueError, match="does not stop"):
        stopping.stopping_distance_m(20, deceleration_m_s2=-0.1)
