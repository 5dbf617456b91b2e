"""The compiled loops of the layout room against their plain twins."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from traywright.layout import _kernels_apart, _kernels_maps, _kernels_rows
from twins import layout_rows, overlap_maps
from twins import separated as plain_separated

HALF = 30
STEP_MM = 1.0


def star(draw_radii, seed):
    turn = np.arange(len(draw_radii)) * 2.0 * np.pi / len(draw_radii) + seed
    return np.column_stack([np.cos(turn), np.sin(turn)]) * np.array(draw_radii)[:, None]


radii = st.lists(st.floats(2.0, 9.0), min_size=3, max_size=9)


def raster(rings, there):
    sides = np.vstack([np.hstack([one, np.roll(one, -1, axis=0)]) for one in rings])
    corners = np.array([one[0] for one in rings])
    return _kernels_maps.overlap_map(sides, corners, there, STEP_MM, HALF)


@settings(max_examples=40)
@given(radii, radii, st.floats(0.1, 1.0))
def test_a_map_tells_where_two_outlines_meet(here, there, seed):
    rings, moving = [star(here, seed)], star(there, 0.3)
    found, plain = raster(rings, moving), overlap_maps.overlap_map(rings, moving, STEP_MM, HALF)
    assert np.array_equal(found, plain)


def test_a_hole_that_the_other_goes_into_stays_free():
    rings = [np.array(box(-12, -12, 12, 12).exterior.coords)[:-1], np.array(box(-8, -8, 8, 8).exterior.coords)[:-1]]
    moving = np.array(box(-3, -3, 3, 3).exterior.coords)[:-1] + 0.013
    found = raster(rings, moving)
    assert np.array_equal(found, overlap_maps.overlap_map(rings, moving, STEP_MM, HALF))
    assert not found[HALF, HALF]
    assert found[HALF + 9, HALF]


def test_an_area_inside_the_other_is_an_overlap():
    small, large = np.array(box(-1, -1, 1, 1).exterior.coords)[:-1], np.array(box(-9, -9, 9, 9).exterior.coords)[:-1]
    assert raster([small], large + 0.013)[HALF, HALF]
    assert raster([large], small + 0.013)[HALF, HALF]


@settings(max_examples=30)
@given(radii, st.floats(0.1, 1.0))
def test_lifts_and_taken_places(here, seed):
    marks = raster([star(here, seed)], star(here, seed + 0.5))
    assert np.array_equal(_kernels_maps.lifts(marks), overlap_maps.lifts(marks))
    place = np.array([7, -2])
    found, plain = np.zeros((25, 18), dtype=bool), np.zeros((25, 18), dtype=bool)
    _kernels_maps.taken_map(marks, place, -3, -9, found)
    overlap_maps.taken_map(marks, place, -3, -9, plain)
    assert np.array_equal(found, plain)
    assert found.any()


def two_poses(here):
    ring = star(here, 0.4)
    poses = (ring, -ring)
    return np.array([[raster([a], b * (1.0 - 1e-6)) for b in poses] for a in poses])


@settings(max_examples=15)
@given(radii)
def test_pitches_of_pairs(here):
    maps = two_poses(here)
    offsets = np.arange(-12, 13, 3)
    found = _kernels_rows.pair_motifs(maps, 0, 1, offsets, 2 * HALF)
    assert np.array_equal(found, layout_rows.pair_motifs(maps, 0, 1, offsets, 2 * HALF))
    assert len(found)


@settings(max_examples=15)
@given(radii, st.integers(0, 1000))
def test_rows_over_rows_and_their_stacks(here, seed):
    maps = two_poses(here)
    draws = np.random.default_rng(seed)
    lift = np.array([[_kernels_maps.lifts(maps[a, b]) for b in (0, 1)] for a in (0, 1)])
    counts = draws.integers(1, 4, size=6)
    rows = np.zeros((6, 3, 3), dtype=np.int64)
    for number, count in enumerate(counts):
        xs = np.sort(draws.integers(0, 60, size=count))
        rows[number, :count] = np.column_stack(
            [draws.integers(0, 2, size=count), xs, draws.integers(-3, 4, size=count)]
        )
    between = _kernels_rows.row_lifts(lift, counts, rows)
    assert np.array_equal(between, layout_rows.row_lifts(lift, counts, rows))
    first, highest = draws.integers(0, 6, size=6), draws.integers(30, 60, size=6)
    # a row that needs nothing over another could be stacked without end
    between = np.maximum(between, 1)
    best, under = _kernels_rows.stacks(counts, first, highest, between, 12)
    assert np.array_equal(best, layout_rows.stacks(counts, first, highest, between, 12))
    assert (under[best >= _kernels_rows.NOWHERE] == -1).all()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_separation_moves_as_its_twin_does(seed):
    ring = star([9.0, 4.0, 8.0, 3.0, 9.0, 5.0], 0.4)
    maps = np.array([[raster([a], b) for b in (ring, -ring)] for a in (ring, -ring)])
    depth = (maps * (1.0 + 9.0 / (1.0 + np.hypot(*np.mgrid[-HALF : HALF + 1, -HALF : HALF + 1])))).astype(np.float32)
    places = np.array([[0, 40, 0, 12], [0, 40, 0, 12]])
    draws = np.random.default_rng(seed)
    start = np.column_stack([draws.integers(0, 2, 5), draws.integers(0, 41, 5), draws.integers(0, 13, 5)])
    poses = np.tile([0, 2], (5, 1))
    ground = np.zeros((2, 0, 0), dtype=np.float32)
    found, left, _ = _kernels_apart.separated(depth, ground, places, poses, start, 5, 10**9, seed)
    plain, plain_left = plain_separated.separated(depth, ground, places, poses, start, 5, math.inf, seed)
    assert [tuple(one) for one in found.tolist()] == plain
    assert left == pytest.approx(plain_left)


def test_separation_leaves_a_barred_region():
    square = Polygon(box(-4, -4, 4, 4))
    ring = np.array(square.exterior.coords)[:-1]
    maps = raster([ring], ring * 0.999)[None, None]
    depth = maps.astype(np.float32)
    places = np.array([[0, 30, 0, 0]])
    ground = np.zeros((1, 31, 1), dtype=np.float32)
    ground[0, :16, 0] = np.arange(16, 0, -1)
    start = np.array([[0, 2, 0], [0, 3, 0]])
    found, left, _ = _kernels_apart.separated(depth, ground, places, np.tile([0, 1], (2, 1)), start, 200, 10**9, 1)
    assert left == 0.0
    assert min(found[:, 1]) >= 16
    assert abs(int(found[0, 1]) - int(found[1, 1])) >= 8


def test_separation_ends_when_it_has_weighed_enough():
    ring = np.array(box(-9, -9, 9, 9).exterior.coords)[:-1]
    depth = raster([ring], ring * 0.999)[None, None].astype(np.float32)
    start = np.zeros((3, 3), dtype=np.int64)
    settings = (depth, np.zeros((1, 0, 0), np.float32), np.array([[0, 12, 0, 12]]), np.tile([0, 1], (3, 1)), start)
    _, left, all_weighed = _kernels_apart.separated(*settings, 50, 10**9, 1)
    _, _, weighed = _kernels_apart.separated(*settings, 50, 500, 1)
    assert left > 0.0
    assert 500 <= weighed < all_weighed
