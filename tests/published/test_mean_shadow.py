"""Mean shadow of a convex solid over all directions: a quarter of its surface.

Source: A. Cauchy, Memoire sur la rectification des courbes et la quadrature des surfaces courbes, 1850; the theorem
is quoted from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from traywright.geometry import Mesh, Region, extruded, shadow, turned_about_x


def even_directions(count):
    """Directions spread evenly over a ball (golden angle)."""
    up = 1.0 - (2.0 * np.arange(count) + 1.0) / count
    turn = math.pi * (3.0 - math.sqrt(5.0)) * np.arange(count)
    flat = np.sqrt(1.0 - up * up)
    return np.column_stack([flat * np.cos(turn), flat * np.sin(turn), up])


def frame(way):
    side = np.eye(3)[int(np.argmin(np.abs(way)))]
    first = np.cross(way, side) / np.linalg.norm(np.cross(way, side))
    return np.array([first, np.cross(way, first), way])


def surface_mm2(mesh):
    corners = mesh.corners_mm
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(across, axis=1).sum() / 2.0)


@pytest.mark.parametrize(
    "solid",
    [
        extruded(Region.rectangle(0, 0, 60, 40), 0, 25),
        turned_about_x(Region.rectangle(0, 0, 50, 20), 0.5),
        turned_about_x(Region.polygon([(0, 0), (40, 0), (0, 25)]), 0.5),
    ],
    ids=["block", "cylinder", "cone"],
)
def test_the_mean_shadow_of_a_convex_solid_is_a_quarter_of_its_surface(solid):
    """Cauchy's theorem; 400 directions give the mean to 0.2 %."""
    areas = [
        shadow(Mesh(np.round(solid.points_mm @ frame(way).T, 6), solid.triangles)).area_mm2
        for way in even_directions(400)
    ]
    assert np.mean(areas) == pytest.approx(surface_mm2(solid) / 4.0, rel=0.002)
