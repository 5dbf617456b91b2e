"""Ranges of numbers that people type."""

from __future__ import annotations

import math

import pytest

from traywright.catalogue import believable, float_of


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf, -math.inf, 1e9])
def test_a_mass_that_nobody_can_mean_is_out_of_range(value):
    assert not believable("mass_kg").holds(value)


def test_the_owner_decides_where_one_key_means_two_things():
    assert believable("height_mm", owner="lift").holds(0.0)
    assert not believable("height_mm").holds(0.0)


def test_a_longer_unit_wins_over_a_shorter_one():
    assert believable("feed_mm_per_s").unit == "mm/s"
    assert not believable("feed_mm_per_s").holds(20000.0)


def test_a_whole_number_too_large_for_a_float_is_infinite():
    assert float_of(-(10**400)) == -math.inf
