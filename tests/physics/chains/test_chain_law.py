"""What published rules ask of safety chains, against the texts as read."""

import pytest

from towlib.physics.chains.chain_law import chain_break_lb, marked_chains, marked_load_kg


# COMAR 11.13.08 classes (read), chain forces 2,000, 3,500 and 5,000 lb, class 4 the gross weight (read in a
# secondary page)
@pytest.mark.parametrize(
    ("towed_lb", "break_lb"),
    [
        (1500, 2000),
        (2000, 2000),
        (2001, 3500),
        (3500, 3500),
        (3501, 5000),
        (5000, 5000),
        (5001, 5001),
        (10_000, 10_000),
    ],
)
def test_chain_force_by_class(towed_lb, break_lb):
    assert chain_break_lb(towed_lb) == break_lb


# VSB 1 as read: to 2.5 t at least one chain, to 3.5 t two of 4177-35, above two of grade T
@pytest.mark.parametrize(
    ("towed_kg", "wanted"),
    [
        (1000, (1, 10)),
        (1001, (1, 16)),
        (1600, (1, 16)),
        (2500, (1, 25)),
        (2501, (2, 35)),
        (3500, (2, 35)),
        (3501, (2, None)),
    ],
)
def test_marked_chains(towed_kg, wanted):
    assert marked_chains(towed_kg) == wanted


def test_what_is_not_in_the_rules():
    for call in (lambda: chain_break_lb(10_001), lambda: marked_chains(0), lambda: marked_load_kg(20)):
        with pytest.raises(ValueError):
            call()
    assert [marked_load_kg(mark) for mark in (10, 16, 25, 35)] == [1000, 1600, 2500, 3500]
