"""Limits are tested far from what is usual as well; what is asked there has tests of its own."""

import pytest


@pytest.fixture(autouse=True, scope="module")
def _values_are_meant(values_are_meant):
    return values_are_meant
