"""How solids of the schoolbook rest.

Centre of gravity of a half ball: 3/8 of the radius from its flat face. Source: common practice,
handbook tables of solids, from memory.
Platonic solids: each face is a resting pose and all are equal. Source: T. L. Heath, The Thirteen Books of
Euclid's Elements, 1908, book XIII, from memory.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from traywright.base.units import G_M_PER_S2
from traywright.parts.resting import resting_poses

GOLDEN = (1.0 + math.sqrt(5.0)) / 2.0
TETRA = [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)]
CUBE = [(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]
OCTA = [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]
ICOSA = [p for a in (-1, 1) for b in (-GOLDEN, GOLDEN) for p in ((0, a, b), (a, b, 0), (b, 0, a))]
DODECA = CUBE + [
    p for a in (-1 / GOLDEN, 1 / GOLDEN) for b in (-GOLDEN, GOLDEN) for p in ((0, a, b), (a, b, 0), (b, 0, a))
]


def in_radius(points):
    """Distance of the faces from the middle, by brute force over triples."""
    found = []
    for i, j, k in itertools.combinations(range(len(points)), 3):
        normal = np.cross(points[j] - points[i], points[k] - points[i])
        length = np.linalg.norm(normal)
        side = (points - points[i]) @ normal / max(length, 1e-9)
        if length > 1e-9 and min(side.max(), -side.min()) < 1e-9:
            found.append(abs(points[i] @ normal / length))
    return min(found)


@pytest.mark.parametrize(
    ("name", "corners", "faces", "edge_ratio"),
    [
        ("tetrahedron", TETRA, 4, 1.0),
        ("cube", CUBE, 6, 1.0),
        ("octahedron", OCTA, 8, 1.0),
        ("dodecahedron", DODECA, 12, 1.0),
        ("icosahedron", ICOSA, 20, 1.0),
    ],
)
def test_a_platonic_solid_rests_on_each_of_its_faces(name, corners, faces, edge_ratio):
    """Elements XIII: 4, 6, 8, 12 and 20 equal faces; the rise is mid radius less in radius."""
    points = 30.0 * np.array(corners, dtype=float)
    tall = in_radius(points)
    middles = (points[:, None] + points[None, :]) / 2.0
    long = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    edge = np.isclose(long, np.where(long > 1.0, long, math.inf).min())
    mid = float(np.linalg.norm(middles[edge], axis=1).min())
    poses = resting_poses(points, (0.0, 0.0, 0.0))
    assert len(poses) == faces
    for pose in poses:
        assert pose.height_mm == pytest.approx(tall, abs=1e-5)
        assert pose.rise_mm == pytest.approx(mid - tall, abs=1e-5)
        assert not pose.rolls


def half_ball(radius, steps=60):
    angles = np.linspace(0.0, math.pi / 2.0, steps)
    turns = np.linspace(0.0, 2.0 * math.pi, 4 * steps, endpoint=False)
    rings = [
        (radius * math.sin(a) * math.cos(t), radius * math.sin(a) * math.sin(t), radius * math.cos(a))
        for a in angles
        for t in turns
    ]
    return np.array(rings)


def test_a_half_ball_rests_flat_and_on_its_dome():
    """Flat: the rim is sqrt(1 + 9/64) R from the centre of gravity, 3/8 R high. Dome: 5/8 R high, the same rim."""
    radius = 40.0
    flat, dome = resting_poses(half_ball(radius), (0.0, 0.0, 0.375 * radius))
    rim = radius * math.sqrt(1.0 + 9.0 / 64.0)
    assert flat.down == (0.0, 0.0, -1.0)
    assert dome.down == (0.0, 0.0, 1.0)
    assert flat.height_mm == pytest.approx(0.375 * radius, abs=1e-5)
    assert flat.rise_mm == pytest.approx(rim - 0.375 * radius, abs=0.01)
    assert dome.height_mm == pytest.approx(0.625 * radius, abs=0.01)
    assert dome.rise_mm == pytest.approx(rim - 0.625 * radius, abs=0.02)
    energy = 2.0 * G_M_PER_S2 * (rim - 15.0) / 1000.0
    assert flat.tip_energy_j(2.0) == pytest.approx(energy, rel=0.001)


def test_a_cylinder_stands_and_rolls():
    """Radius 20, 50 long: three poses; standing it tips over its rim, lying it rolls and must climb to the same rim."""
    turns = np.linspace(0.0, 2.0 * math.pi, 96, endpoint=False)
    points = np.array([(x, 20.0 * math.cos(t), 20.0 * math.sin(t)) for x in (0.0, 50.0) for t in turns])
    lying, *ends = resting_poses(points, (25.0, 0.0, 0.0))
    rim = math.hypot(25.0, 20.0)
    assert lying.rolls
    assert lying.height_mm == pytest.approx(20.0, abs=0.02)
    assert lying.rise_mm == pytest.approx(rim - 20.0, abs=0.03)
    assert sorted(one.down for one in ends) == [(-1.0, 0.0, 0.0), (1.0, 0.0, 0.0)]
    for one in ends:
        assert one.rise_mm == pytest.approx(rim - 25.0, abs=0.02)
        assert one.tip_deg == pytest.approx(math.degrees(math.atan(20.0 / 25.0)), abs=0.05)
