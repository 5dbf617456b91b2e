from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Mesh, Region, extruded, fused, section_at, shadow, turned_about_x


def turned(mesh, seed):
    turn, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    turn = turn if np.linalg.det(turn) > 0.0 else turn[:, ::-1]
    return Mesh(np.round(mesh.points_mm @ turn.T, 6), mesh.triangles)


def union_of_triangles(mesh):
    """The plain way: every triangle laid flat, all united."""
    flat = mesh.corners_mm[:, :, :2]
    across = np.cross(flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0])
    # on a grid far below a snap step: some unions of slivers fail without one
    return shapely.union_all(shapely.polygons(flat[np.abs(across) > 1e-9]), grid_size=1e-6)


SPOOL = turned_about_x(Region.polygon([(0, 4), (40, 4), (40, 30), (34, 30), (34, 10), (6, 10), (6, 30), (0, 30)]), 0.1)


@given(st.integers(0, 10_000))
@settings(max_examples=25)
def test_the_shadow_is_the_union_of_all_triangles_laid_flat(seed):
    solid = turned(SPOOL, seed)
    plain = union_of_triangles(solid)
    found = shadow(solid)
    assert found.area_mm2 == pytest.approx(plain.area, abs=0.002 * plain.length)
    assert found.shape.symmetric_difference(plain).area < 0.002 * plain.length


def test_what_can_be_looked_through_is_a_hole_and_what_cannot_is_not():
    looked_along = Mesh(SPOOL.points_mm[:, [1, 2, 0]], SPOOL.triangles)
    ring = shadow(looked_along)
    assert ring.area_mm2 == pytest.approx(math.pi * (30.0**2 - 4.0**2), rel=0.005)
    assert ring.filled().area_mm2 > ring.area_mm2 + 40.0
    assert shadow(SPOOL).area_mm2 == pytest.approx(2 * (2 * 6 * 30 + 28 * 10), rel=0.001)


def test_bodies_one_over_the_other_count_once():
    lower, upper = extruded(Region.rectangle(0, 0, 30, 20), 0, 5), extruded(Region.rectangle(20, 10, 50, 40), 9, 15)
    both, _ = fused([lower, upper], [np.zeros(12, dtype=int), np.ones(12, dtype=int)])
    assert shadow(both).area_mm2 == pytest.approx(600 + 900 - 100)
    assert section_at(both, 7.0).is_empty


def test_no_triangle_casts_no_shadow():
    upright = Mesh(np.array([[0, 0, 0], [1, 0, 0], [0, 0, 1]]), np.array([[0, 1, 2]]))
    assert shadow(upright).is_empty
