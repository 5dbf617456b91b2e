"""Solids of revolution drawn as half sections, against the formulas of a handbook.

Source: I. N. Bronshtein, K. A. Semendyayev, Handbook of Mathematics, 1985, stereometry: cylinder, cone and its frustum,
ball, torus, from memory. The second rule of Pappus and Guldin gives all of them from one sum.
"""

from __future__ import annotations

import math

import pytest

from traywright.parts import ShapeAsked, examine, read_shape

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">'
AXIS = '<line x1="0" y1="100" x2="200" y2="100" stroke="#000"/>'


def turned(path):
    """Volume and centre along the axis of a half section; y of the page runs down, the axis is its lower edge."""
    content = f'{HEAD}<path d="{path}" fill="none" stroke="#000"/>{AXIS}</svg>'.encode()
    shape = read_shape(ShapeAsked(id="a", file_name="a.svg", turned=True), content)
    told = examine(shape).whole.properties
    return told.volume_mm3, told.centre_mm[0]


def test_a_cylinder():
    """pi r^2 h, the centre at h / 2."""
    assert turned("M0,100 V70 H80 V100 Z") == pytest.approx((math.pi * 900.0 * 80.0, 40.0), rel=1e-6)


def test_a_hollow_cylinder():
    """pi (R^2 - r^2) h."""
    assert turned("M10,90 V60 H70 V90 Z") == pytest.approx((math.pi * (1600.0 - 100.0) * 60.0, 40.0), rel=1e-6)


def test_a_cone():
    """pi r^2 h / 3, the centre a quarter of the height from the base."""
    assert turned("M0,100 V60 L90,100 Z") == pytest.approx((math.pi * 1600.0 * 90.0 / 3.0, 22.5), rel=1e-6)


def test_a_frustum():
    """pi h (R^2 + R r + r^2) / 3, the centre at h / 4 (R^2 + 2 R r + 3 r^2) / (R^2 + R r + r^2) from the base R."""
    volume = math.pi * 60.0 * (1600.0 + 800.0 + 400.0) / 3.0
    centre = 60.0 / 4.0 * (1600.0 + 1600.0 + 1200.0) / (1600.0 + 800.0 + 400.0)
    assert turned("M0,100 V60 L60,80 V100 Z") == pytest.approx((volume, centre), rel=1e-6)


def test_a_ball():
    """4/3 pi r^3; the half circle is a true arc."""
    volume, centre = turned("M20,100 A30,30 0 0 1 80,100 Z")
    assert volume == pytest.approx(4.0 / 3.0 * math.pi * 27_000.0, rel=1e-5)
    assert centre == pytest.approx(50.0, abs=0.001)


def test_a_torus():
    """2 pi^2 R r^2: a circle of radius 10 at 60 from the axis."""
    volume, centre = turned("M40,40 A10,10 0 0 1 60,40 A10,10 0 0 1 40,40 Z")
    # points of the section lie on a grid of 0.001 mm
    assert volume == pytest.approx(2.0 * math.pi**2 * 60.0 * 100.0, rel=3e-5)
    assert centre == pytest.approx(50.0, abs=0.001)


def test_a_stepped_shaft():
    """The sum of its cylinders: 40 x 30, 50 x 20, 30 x 10 (length x radius)."""
    parts = [(40.0, 30.0), (50.0, 20.0), (30.0, 10.0)]
    volumes = [math.pi * radius**2 * length for length, radius in parts]
    centre = (volumes[0] * 20.0 + volumes[1] * 65.0 + volumes[2] * 105.0) / sum(volumes)
    told = turned("M0,100 V70 H40 V80 H90 V90 H120 V100 Z")
    assert told == pytest.approx((sum(volumes), centre), rel=1e-6)
