from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Region, extruded, split_by_plane, split_by_region


def areas(corners):
    return np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2


def normals(corners):
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return across / np.linalg.norm(across, axis=1)[:, None]


def soup(seed):
    return np.random.default_rng(seed).uniform(-10, 10, (20, 3, 3))


@given(st.integers(0, 10_000), st.floats(-8, 8))
@settings(max_examples=40)
def test_a_plane_loses_no_area_and_turns_nothing(seed, at):
    corners = soup(seed)
    low, low_of, high, high_of = split_by_plane(corners, (0.6, 0.0, 0.8), at)
    got = np.bincount(low_of, areas(low), 20) + np.bincount(high_of, areas(high), 20)
    # 0.0005 mm beside the plane counts as in it
    np.testing.assert_allclose(got, areas(corners), atol=0.05)
    assert (low @ [0.6, 0.0, 0.8] <= at + 0.0006).all()
    assert (high @ [0.6, 0.0, 0.8] >= at - 0.0006).all()
    large = areas(low) > 0.01
    assert (np.einsum("ij,ij->i", normals(low[large]), normals(corners)[low_of[large]]) > 0.99).all()


@given(st.integers(0, 10_000))
@settings(max_examples=25)
def test_a_region_loses_no_area(seed):
    corners = soup(seed)
    zone = Region.disc((1.0, 0.5), 5.0).difference(Region.rectangle(-1, -1, 2, 2))
    inside, inside_of, outside, outside_of = split_by_region(corners, zone)
    got = np.bincount(inside_of, areas(inside), 20) + np.bincount(outside_of, areas(outside), 20)
    np.testing.assert_allclose(got, areas(corners), rtol=1e-6, atol=1e-6)
    for piece, is_in in ((inside, True), (outside, False)):
        big = piece[areas(piece) > 0.01]
        assert all(zone.holds(tuple(one[:2])) == is_in for one in big.mean(axis=1))


def test_a_wall_is_cut_where_it_crosses_the_edge():
    box = extruded(Region.rectangle(0, 0, 10, 6), 0, 4)
    inside, _, outside, _ = split_by_region(box.corners_mm, Region.rectangle(3, -1, 7, 7))
    # two bands of the faces and two pieces of the long walls, 4 wide
    assert areas(inside).sum() == 2 * 4 * 6 + 2 * 4 * 4
    assert np.isclose(areas(outside).sum(), 2 * 6 * 6 + 2 * 6 * 4 + 2 * 6 * 4)


def test_a_wall_along_the_edge_is_outside():
    wall = np.array([[[0.0, 0, 0], [5, 0, 0], [5, 0, 3]]])
    inside, _, outside, _ = split_by_region(wall, Region.rectangle(0, 0, 5, 5))
    assert (len(inside), len(outside)) == (0, 1)


def test_a_turned_frame_cuts_along_its_own_axes():
    box = extruded(Region.rectangle(0, 0, 10, 6), 0, 4)
    along_x = np.array([[0.0, 1, 0], [0, 0, 1], [1, 0, 0]])
    inside, _, _, _ = split_by_region(box.corners_mm, Region.rectangle(1, 1, 5, 3), along_x)
    assert np.isclose(areas(inside).sum(), 2 * 4 * 2)


def test_a_triangle_in_the_plane_lies_before_it():
    flat = np.array([[[0.0, 0, 2], [1, 0, 2], [0, 1, 2]]])
    low, _, high, _ = split_by_plane(flat, (0.0, 0.0, 1.0), 2.0)
    assert (len(low), len(high)) == (1, 0)
