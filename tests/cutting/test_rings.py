from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.cutting.rings import contour_paths, shrunk, swept_by
from traywright.geometry import Region

RADIUS = 6.0


def paths_of(shape, step_mm, target=None):
    place = shrunk(shape, RADIUS)
    return contour_paths(target or shape, place, radius_mm=RADIUS, step_mm=step_mm), place


@settings(max_examples=25)
@given(st.integers(14, 160), st.integers(14, 120), st.floats(4.0, 11.0), st.integers(0, 89), st.booleans())
def test_rings_reach_all_that_the_cutter_can_and_no_more(width, depth, step_mm, turn, island):
    shape = Region.rectangle(0, 0, width, depth)
    if island and min(width, depth) > 40:
        shape = shape.difference(Region.disc(shape.centre_mm, min(width, depth) / 6.0))
    shape = shape.turned(turn).shape
    runs, place = paths_of(shape, step_mm)
    swept = swept_by([path for run in runs for path in run], RADIUS)
    assert place.buffer(RADIUS).difference(swept).buffer(-0.06).is_empty
    assert swept.difference(shape).area < 0.02 * shape.length


def test_the_wall_comes_last():
    runs, place = paths_of(shapely.box(0, 0, 80, 60), 7.0)
    assert len(runs) == 1
    assert shapely.LineString(runs[0][-1]).equals(shapely.LineString(place.exterior.coords)) or math.isclose(
        shapely.LineString(runs[0][-1]).length, place.exterior.length
    )
    lengths = [shapely.LineString(path).length for path in runs[0]]
    assert lengths == sorted(lengths)


def test_two_wide_places_joined_by_a_neck_are_each_cleared_from_inside():
    shape = shapely.union_all([shapely.box(0, 0, 60, 60), shapely.box(60, 22, 90, 38), shapely.box(90, 0, 150, 60)])
    runs, _ = paths_of(shape, 7.0)
    (run,) = runs
    left = [path[:, 0].max() < 60 for path in run]
    right = [path[:, 0].min() > 90 for path in run]
    assert sum(left) >= 2
    assert sum(right) >= 2
    assert not left[-1]
    assert not right[-1]


def test_only_what_is_left_is_visited():
    shape = shapely.box(0, 0, 300, 40)
    whole, _ = paths_of(shape, 7.0)
    part, _ = paths_of(shape, 7.0, target=shapely.box(250, 0, 300, 40))
    far = min(path[:, 0].min() for run in part for path in run)
    assert far > 250.0 - RADIUS - 0.1
    assert sum(shapely.LineString(p).length for r in part for p in r) < 0.4 * sum(
        shapely.LineString(p).length for r in whole for p in r
    )


@pytest.mark.parametrize("width", [12.0, 12.002])
def test_a_place_no_wider_than_a_line_is_one_way(width):
    runs, _ = paths_of(shapely.box(0, 0, 100, width + 0.02), 7.0)
    ((path,),) = runs
    assert len(path) == 2


@pytest.mark.parametrize("over_mm", [0.005, 0.02, 0.04])
def test_a_hole_a_little_over_two_cutters_wide_keeps_no_hair_in_its_middle(over_mm):
    hole = Region.disc((50.0, 50.0), 2.0 * RADIUS + over_mm).shape
    runs, _ = paths_of(hole, 7.2)
    swept = swept_by([path for run in runs for path in run], RADIUS)
    assert swept.covers(shapely.Point(50.0, 50.0))
