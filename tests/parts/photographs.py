"""Computed photographs of plates on the marker sheet or beside a square, for tests."""

from __future__ import annotations

import math

import numpy as np
import shapely
import shapely.affinity

from traywright.parts import PHOTO_PAPERS, mark_region, photo_marks

PAPER = PHOTO_PAPERS[0]
WIDE, HIGH = 1440, 1080


def plate(seed=0):
    """A plate with a rounded end, a slot and a bevelled corner, on the white area of the sheet."""
    body = shapely.Polygon([(70, 60), (190, 60), (200, 72), (200, 120), (180, 140), (70, 140)])
    shape = body.union(shapely.Point(70, 100).buffer(40, quad_segs=64))
    shape = shape.difference(shapely.LineString([(90, 100), (150, 100)]).buffer(9, quad_segs=64))
    turned = shapely.affinity.rotate(shape, 180.0 * (seed % 2) + 5.0 * seed, origin=(115, 100))
    return shapely.affinity.translate(turned, 33.0, 5.0)


def camera(seed):
    """Turn (rows are the picture's right, down and forward), place, focal length and bends of a seeded camera."""
    draws = np.random.default_rng(seed)
    tilt, yaw, roll = (
        math.radians(one) for one in (draws.uniform(6, 20), draws.uniform(-180, 180), draws.uniform(-8, 8))
    )
    forward = np.array([math.sin(tilt) * math.cos(yaw), math.sin(tilt) * math.sin(yaw), -math.cos(tilt)])
    right = np.cross(forward, [math.sin(roll), math.cos(roll), 0.0])
    right = right / np.linalg.norm(right)
    turn = np.array([right, np.cross(forward, right), forward])
    focal = 1260.0
    far = 330.0
    return (
        turn,
        np.array([148.0, 105.0, 0.0]) - far * forward,
        focal,
        (draws.uniform(-0.1, 0.06), draws.uniform(-0.02, 0.02)),
    )


def rays(seed):
    """Directions in which the pixels look, and the camera's place."""
    turn, place, focal, (k1, k2) = camera(seed)
    x, y = np.meshgrid(np.arange(WIDE, dtype=float), np.arange(HIGH, dtype=float))
    seen = np.stack([(x - (WIDE - 1) / 2.0) / focal, (y - (HIGH - 1) / 2.0) / focal], axis=-1)
    straight = seen.copy()
    for _ in range(30):
        square = (straight**2).sum(axis=-1, keepdims=True)
        straight = seen / (1.0 + k1 * square + k2 * square**2)
    return np.concatenate([straight, np.ones((HIGH, WIDE, 1))], axis=-1) @ turn, place


def inside(shape, points):
    found = np.zeros(points.shape[:-1], dtype=bool)
    left, low, right, high = shape.bounds
    near = (points[..., 0] > left) & (points[..., 0] < right) & (points[..., 1] > low) & (points[..., 1] < high)
    shapely.prepare(shape)
    found[near] = shapely.contains_xy(shape, points[near][:, 0], points[near][:, 1])
    return found


def photograph(seed, shape, thickness_mm=0.0, *, dark=None, scale=1.0):
    """A grey picture of a plate on the sheet, its print scaled, with blur, shading and noise; 2 x 2 rays a pixel."""
    import cv2

    ways, place = rays(seed)
    black = shapely.union_all([mark_region(n).moved(x, y).shape for n, (x, y) in photo_marks(PAPER).items()])
    black = shapely.affinity.scale(black if dark is None else dark, scale, scale, origin=(0, 0))
    grey = np.zeros((HIGH, WIDE))
    for dx in (-0.25, 0.25):
        for dy in (-0.25, 0.25):
            shifted = cv2.warpAffine(
                ways, np.float64([[1, 0, -dx], [0, 1, -dy]]), (WIDE, HIGH), borderMode=cv2.BORDER_REPLICATE
            )
            reach = -place[2] / shifted[..., 2:]
            floor = (place + shifted * reach)[..., :2]
            told = np.where(inside(black, floor), 22.0, 228.0)
            on_paper = (floor[..., 0] > 0) & (floor[..., 0] < 297) & (floor[..., 1] > 0) & (floor[..., 1] < 210)
            told = np.where(on_paper, told, 120.0)
            for height in np.linspace(0.0, thickness_mm, 9 if thickness_mm else 1):
                at = (place + shifted * ((height - place[2]) / shifted[..., 2:]))[..., :2]
                told = np.where(inside(shape, at), 95.0 if height == thickness_mm else 60.0, told)
            grey += told / 4.0
    draws = np.random.default_rng(1000 + seed)
    shade = 1.0 - 0.15 * np.linspace(0.0, 1.0, WIDE)[None, :] * np.linspace(0.3, 1.0, HIGH)[:, None]
    grey = cv2.GaussianBlur(grey * shade, (0, 0), 0.9) + draws.normal(0.0, 2.0, grey.shape)
    return cv2.imencode(".png", np.clip(grey, 0, 255).astype(np.uint8))[1].tobytes()


def misses(plan, shape):
    """How far two outlines lie apart, both ways, mm, every half millimetre."""
    rings = [ring for shell, holes in plan.rings() for ring in (shell, *holes)]
    ours = shapely.MultiLineString([[*ring, ring[0]] for ring in rings])
    true = shapely.MultiLineString([one.coords for one in (shape.exterior, *shape.interiors)])

    def off(one, other):
        spots = [line.interpolate(at) for line in one.geoms for at in np.arange(0.0, line.length, 0.5)]
        return np.array([other.distance(spot) for spot in spots])

    return np.concatenate([off(ours, true), off(true, ours)])
