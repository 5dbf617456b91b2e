"""Mass moments of inertia of plain solids from the tables of handbooks.

SOURCE: Beer, Johnston, Mazurek: Vector Mechanics for Engineers, Statics (2010), inside cover, "Mass moments of inertia
of common geometric shapes"; hollow cylinder and torus after Dubbel: Taschenbuch für den Maschinenbau (2014), table of
mass moments of inertia. Edition, place and formulas are quoted from memory. The solids are meshes, integrated triangle
by triangle, which shares nothing with the closed forms.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from traywright.base import Given, Status
from traywright.geometry import Mesh, Region, extruded, mass_properties, turned_about_x
from traywright.parts.balance import BodyWeight, balance

STEEL = Given(ref="enquiry:d", value=7850.0, unit="kg/m3", status=Status.STATED, source="handbook")
CHORD_MM = 0.002


def told(mesh):
    return balance("part", (BodyWeight(name="part", properties=mass_properties(mesh), density=STEEL),))


def turned(*points):
    return turned_about_x(Region.polygon(points), CHORD_MM)


def held(mesh, volume_mm3, along, across):
    """Moments about the axis of turning and across it; a radius R that is short by c makes them short by 5 c/R."""
    found, kg = told(mesh), volume_mm3 * 7850.0 / 1e9
    short = 5.0 * CHORD_MM / float(mesh.points_mm[:, 1].max())
    assert found.mass_kg == pytest.approx(kg, rel=short)
    np.testing.assert_allclose(np.diag(found.inertia_kg_mm2), [kg * along, kg * across, kg * across], rtol=2.0 * short)
    np.testing.assert_allclose(
        np.array(found.inertia_kg_mm2) - np.diag(np.diag(found.inertia_kg_mm2)), 0.0, atol=1e-6 * kg * across
    )


def test_cylinder():
    """m R²/2 along, m (3 R² + L²)/12 across: Beer, Johnston, circular cylinder."""
    radius, length = 20.0, 90.0
    held(
        turned((0, 0), (length, 0), (length, radius), (0, radius)),
        math.pi * radius**2 * length,
        radius**2 / 2,
        (3 * radius**2 + length**2) / 12,
    )


def test_hollow_cylinder():
    """m (R² + r²)/2 along, m (3 R² + 3 r² + L²)/12 across: Dubbel, hollow cylinder."""
    outer, inner, length = 30.0, 18.0, 40.0
    held(
        turned((0, inner), (length, inner), (length, outer), (0, outer)),
        math.pi * (outer**2 - inner**2) * length,
        (outer**2 + inner**2) / 2,
        (3 * (outer**2 + inner**2) + length**2) / 12,
    )


def test_cone():
    """3 m R²/10 along, 3 m (4 R² + h²)/80 across through the centre of gravity: Beer, Johnston, circular cone with the
    parallel axis taken to h/4."""
    radius, height = 25.0, 60.0
    mesh = turned((0, 0), (height, 0), (0, radius))
    held(mesh, math.pi * radius**2 * height / 3, 0.3 * radius**2, 3 * (4 * radius**2 + height**2) / 80)
    assert told(mesh).centre_of_gravity_mm[0] == pytest.approx(height / 4, abs=0.01)


def test_sphere():
    """2 m R²/5: Beer, Johnston, sphere."""
    radius = 30.0
    angles = np.linspace(0.0, math.pi, 600)
    mesh = turned(*zip((radius * np.cos(angles)).tolist(), (radius * np.abs(np.sin(angles))).tolist(), strict=True))
    held(mesh, 4 / 3 * math.pi * radius**3, 0.4 * radius**2, 0.4 * radius**2)


def test_torus():
    """m (4 R² + 3 r²)/4 along, m (4 R² + 5 r²)/8 across: Dubbel, ring of round section."""
    ring, section = 40.0, 8.0
    angles = np.linspace(0.0, 2 * math.pi, 600, endpoint=False)
    points = zip((section * np.cos(angles)).tolist(), (ring + section * np.sin(angles)).tolist(), strict=True)
    held(
        turned(*points),
        2 * math.pi**2 * ring * section**2,
        (4 * ring**2 + 3 * section**2) / 4,
        (4 * ring**2 + 5 * section**2) / 8,
    )


def test_block_however_it_is_turned():
    """m (b² + c²)/12: Beer, Johnston, rectangular prism; a plane solid is exact. Principal moments do not hang on how
    the block lies, and the axes turn with it."""
    a, b, c = 60.0, 35.0, 20.0
    block = extruded(Region.rectangle(0, 0, a, b), 0.0, c)
    kg = a * b * c * 7850.0 / 1e9
    exact = sorted([kg * (b * b + c * c) / 12, kg * (a * a + c * c) / 12, kg * (a * a + b * b) / 12])
    np.testing.assert_allclose(told(block).principal_kg_mm2, exact, rtol=1e-9)
    one, other = math.radians(33.0), math.radians(71.0)
    turn = np.array([[math.cos(one), -math.sin(one), 0], [math.sin(one), math.cos(one), 0], [0, 0, 1]]) @ np.array(
        [[1, 0, 0], [0, math.cos(other), -math.sin(other)], [0, math.sin(other), math.cos(other)]]
    )
    found = told(Mesh(block.points_mm @ turn.T + [7.0, -300.0, 12.0], block.triangles))
    np.testing.assert_allclose(found.principal_kg_mm2, exact, rtol=1e-7)
    np.testing.assert_allclose(np.abs(np.array(found.axes) @ turn), np.eye(3), atol=1e-6)
