"""No-fit regions against plain distances of the bare outlines; spacing bodies against their ellipses."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from layout.outlines import outline
from traywright.layout import Sides
from traywright.layout.no_fit_polygon import Cell, grown_cell, minkowski_sum, no_fit_region, spacing_body

WALL = Sides.all_round(8.0)
UNEQUAL = Sides(right_mm=9.0, back_mm=4.0, left_mm=6.0, front_mm=12.0)


def cell(name, turn=0.0, wall=WALL):
    return Cell(outline(name).shape.geoms[0], turn, wall)


def stood(one):
    return affinity.rotate(Polygon(one.outline.exterior), one.turn_deg, origin=(0.0, 0.0))


@pytest.mark.parametrize(
    ("name", "turns"),
    [
        ("l_bracket", (0.0, 180.0)),
        ("connecting_rod", (90.0, 180.0)),
        ("wrench", (17.0, 107.0)),
        ("c_clamp", (0.0, 0.0)),
    ],
)
def test_on_the_edge_two_outlines_stand_at_the_wall(name, turns):
    """Never nearer than the wall; no further than the chords of the spacing and of a coarser outline add."""
    here, there = (cell(name, turn) for turn in turns)
    edge = no_fit_region(here, there).shape.boundary
    for share in np.linspace(0.0, 1.0, 120, endpoint=False):
        spot = edge.interpolate(share, normalized=True)
        apart = stood(here).distance(affinity.translate(stood(there), spot.x, spot.y))
        assert 8.0 - 0.001 <= apart <= 8.0 + 0.05


@given(angle=st.floats(0.0, 360.0), turn=st.sampled_from([0.0, 90.0, 33.0]))
def test_a_spacing_body_lies_just_around_its_ellipses(angle, turn):
    body = spacing_body(UNEQUAL, turn)
    x, y = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    reach = ((UNEQUAL.right_mm if x > 0 else UNEQUAL.left_mm) * x, (UNEQUAL.back_mm if y > 0 else UNEQUAL.front_mm) * y)
    spot = affinity.rotate(shapely.Point(reach), turn, origin=(0.0, 0.0))
    assert body.buffer(0.0005).covers(spot)
    assert body.boundary.distance(spot) <= 0.02


def test_a_spacing_body_is_exact_along_its_axes():
    assert spacing_body(UNEQUAL).bounds == pytest.approx((-6.0, -12.0, 9.0, 4.0), abs=1e-4)


def test_unequal_sides_turn_with_the_copy():
    square = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    assert grown_cell(Cell(square, 0.0, UNEQUAL)).bounds_mm == pytest.approx((-6.0, -12.0, 19.0, 14.0), abs=1e-3)
    assert grown_cell(Cell(square, 180.0, UNEQUAL)).bounds_mm == pytest.approx((-19.0, -14.0, 6.0, 12.0), abs=1e-3)
    here, there = Cell(square, 0.0, UNEQUAL), Cell(square, 180.0, UNEQUAL)
    # there lies from -10 to 0: its right side, 9 mm, faces left; its left side, 6 mm, faces right
    left, front, right, back = no_fit_region(here, there).bounds_mm
    assert (left, right) == pytest.approx((-6.0, 10.0 + 9.0 + 10.0), abs=1e-3)
    assert (front, back) == pytest.approx((-12.0, 10.0 + 4.0 + 10.0), abs=1e-3)


def test_a_pocket_that_takes_a_copy_is_a_hole_of_the_region():
    """A bar of 10 x 10 goes into a cave of 34 x 34 behind a mouth of 12: 34 - 10 - 2 x 4 = 16 mm of play.

    Under the mouth, a millimetre beside its corners, it goes deeper by 4 - sqrt(4 x 4 - 1 x 1) = 0.127 mm.
    """
    cave = Polygon(
        [
            (0, 0),
            (60, 0),
            (60, 60),
            (36, 60),
            (36, 47),
            (47, 47),
            (47, 13),
            (13, 13),
            (13, 47),
            (24, 47),
            (24, 60),
            (0, 60),
        ]
    )
    wall = Sides.all_round(4.0)
    bar = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    (shell,) = no_fit_region(Cell(cave, 0.0, wall), Cell(bar, 0.0, wall)).rings()
    (hole,) = shell[1]
    assert Polygon(hole).bounds == pytest.approx((17.0, 17.0, 33.0, 33.0 + 4.0 - math.sqrt(15.0)), abs=0.01)


@settings(max_examples=15)
@given(seed=st.integers(0, 10**6))
def test_a_sum_holds_the_sums_of_points_and_no_other(seed):
    """Stars with hollows: a point lies in the sum just where one meets the other, turned over and carried there."""
    draw = np.random.default_rng(seed)
    stars = []
    for corners in (9, 7):
        angles = np.sort(draw.uniform(0.0, 2.0 * math.pi, corners))
        reach = draw.uniform(3.0, 20.0, corners)
        stars.append(shapely.make_valid(Polygon(np.column_stack([reach * np.cos(angles), reach * np.sin(angles)]))))
    one, other = (max(shapely.get_parts(each).tolist(), key=lambda part: part.area) for each in stars)
    found = minkowski_sum(one, other)
    over = affinity.scale(other, -1.0, -1.0, origin=(0.0, 0.0))
    for x, y in draw.uniform(-40.0, 40.0, (60, 2)).tolist():
        spot = shapely.Point(x, y)
        if found.boundary.distance(spot) > 0.001:
            assert found.covers(spot) == one.intersects(affinity.translate(over, x, y))
