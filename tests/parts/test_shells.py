from __future__ import annotations

import numpy as np
import pytest

from traywright.geometry import Mesh, Region, extruded, mass_properties
from traywright.parts.shells import solids_apart


def block(x, y, z, side, *, inward=False):
    solid = extruded(Region.rectangle(x, y, x + side, y + side), z, z + side)
    return Mesh(solid.points_mm, solid.triangles[:, ::-1] if inward else solid.triangles)


def together(*meshes):
    start, points, triangles = 0, [], []
    for one in meshes:
        points.append(one.points_mm)
        triangles.append(one.triangles + start)
        start += len(one.points_mm)
    return Mesh(np.concatenate(points), np.concatenate(triangles))


def test_one_solid_stays_one():
    assert len(solids_apart(block(0, 0, 0, 10))) == 1


def test_a_void_stays_with_the_solid_round_it():
    found = solids_apart(together(block(0, 0, 0, 30), block(100, 0, 0, 20), block(105, 5, 5, 4, inward=True)))
    volumes = [mass_properties(solid).volume_mm3 for solid, _ in found]
    assert volumes == pytest.approx([27_000.0, 8_000.0 - 64.0])
    assert [int(picked.sum()) for _, picked in found] == [12, 24]


def test_a_solid_in_a_hollow_of_another_is_a_solid_of_its_own():
    found = solids_apart(together(block(0, 0, 0, 30), block(5, 5, 5, 20, inward=True), block(10, 10, 10, 5)))
    assert [round(mass_properties(solid).volume_mm3) for solid, _ in found] == [19_000, 125]
