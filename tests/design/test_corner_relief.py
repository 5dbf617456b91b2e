"""A cutter reaches all that was asked, and takes little more."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from traywright.design import relieved
from traywright.geometry import Region


def reached(region: Region, radius_mm: float) -> Region:
    return region.grown(-radius_mm).grown(radius_mm + 0.03)


def test_a_square_corner_takes_the_classic_bite():
    # the disc through the corner, its centre on the bisector: beyond each wall by r (1 - 1/sqrt 2)
    told = relieved(Region.rectangle(0, 0, 40, 40), 6.0)
    assert not told.narrow
    assert told.region.bounds_mm[0] == pytest.approx(-6.0 * (1 - 1 / math.sqrt(2)), abs=0.03)


def test_a_round_region_is_left_as_it_is():
    disc = Region.disc((0, 0), 30)
    assert relieved(disc, 6.0).region == disc


@pytest.mark.parametrize(("way", "kept"), [("x", 1), ("y", 0)])
def test_relief_along_one_axis_spares_the_other(way, kept):
    told = relieved(Region.rectangle(0, 0, 60, 40), 6.0, way)
    assert told.region.bounds_mm[kept] == pytest.approx(0.0, abs=0.03)
    assert reached(told.region, 6.0).contains(Region.rectangle(0, 0, 60, 40))


def test_a_slit_is_widened_and_said():
    told = relieved(Region.rectangle(0, 0, 60, 5), 6.0)
    assert told.narrow
    assert told.region.size_mm[1] >= 12.0


def test_a_neck_between_two_rooms_is_widened_and_said():
    rooms = Region.rectangle(0, 0, 40, 40).union(Region.rectangle(100, 0, 140, 40), Region.rectangle(30, 18, 110, 22))
    told = relieved(rooms, 6.0)
    assert told.narrow
    assert reached(told.region, 6.0).contains(rooms)


boxes = st.tuples(st.integers(0, 60), st.integers(0, 60), st.integers(13, 60), st.integers(13, 60))


@settings(max_examples=40)
@given(st.lists(boxes, min_size=1, max_size=3), st.sampled_from([3.0, 6.0]), st.sampled_from(["corner", "x", "y"]))
def test_all_that_was_asked_is_reached(told, radius_mm, way):
    region = Region.union_of([Region.rectangle(x, y, x + w, y + d) for x, y, w, d in told])
    assume(not region.is_empty)
    found = relieved(region, radius_mm, way).region
    assert found.contains(region)
    assert reached(found, radius_mm).contains(region)
    assert region.grown(radius_mm + 0.1).contains(found) or way != "corner"
