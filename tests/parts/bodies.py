"""Generated bodies for tests of likeness: turned by a seed, tessellated anew, bolts, brackets."""

from __future__ import annotations

import math

import numpy as np

from traywright.geometry import Mesh, Region, combined, extruded


def turn_of(seed):
    """A turn drawn by a seed."""
    q, r = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    return q * np.sign(np.linalg.det(q))


def turned(mesh, seed, shift=(40.0, -25.0, 300.0)):
    return Mesh(mesh.points_mm @ turn_of(seed).T + np.array(shift), mesh.triangles)


def mirror(mesh):
    return Mesh(mesh.points_mm * np.array([1.0, 1.0, -1.0]), mesh.triangles[:, ::-1])


def spun(mesh, angle_deg):
    """A mesh turned about z: before it is cut on, so that its chords lie elsewhere."""
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return Mesh(mesh.points_mm @ np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]).T, mesh.triangles)


def ring(sides, radius, x=0.0, y=0.0, start_deg=0.0):
    angles = np.arange(sides) * 2.0 * math.pi / sides + math.radians(start_deg)
    return Region.polygon([(x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles])


def rod(diameter, bottom, top, x=0.0, y=0.0, *, sides=96, start_deg=0.0):
    return extruded(ring(sides, diameter / 2.0, x, y, start_deg), bottom, top)


def block(x, y, z, at=(0.0, 0.0, 0.0)):
    return extruded(Region.rectangle(at[0], at[1], at[0] + x, at[1] + y), at[2], at[2] + z)


def bolt(diameter, length, *, sides=48, start_deg=0.0):
    """A bolt with a hexagonal head of common proportions."""
    head = extruded(ring(6, 1.5 * diameter / math.sqrt(3.0)), -0.65 * diameter, 0.0)
    return combined([head, rod(diameter, -0.1, length, sides=sides, start_deg=start_deg)])


def washer(bore, outer, thickness, sides=64):
    return combined([rod(outer, 0.0, thickness, sides=sides)], [rod(bore, -1.0, thickness + 1.0, sides=sides)])


def nut(diameter):
    hexagon = extruded(ring(6, 1.5 * diameter / math.sqrt(3.0)), 0.0, 0.8 * diameter)
    return combined([hexagon], [rod(0.85 * diameter, -1.0, diameter + 1.0)])


def bracket(hole_y=6.0, *, sides=64, start_deg=0.0):
    """An angle bracket whose hole stands to one side: left and right differ."""
    angle = combined([block(40, 20, 4), block(4, 20, 30)])
    return combined([angle], [rod(5.0, -1.0, 5.0, 25.0, hole_y, sides=sides, start_deg=start_deg)])
