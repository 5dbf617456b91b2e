"""Plain twin of the nearest spot of a surface: every point against every triangle."""

from __future__ import annotations

import math


def _minus(one, other):
    return [a - b for a, b in zip(one, other, strict=True)]


def _dot(one, other):
    return sum(a * b for a, b in zip(one, other, strict=True))


def _on_side(point, start, end):
    way = _minus(end, start)
    run = min(1.0, max(0.0, _dot(_minus(point, start), way) / _dot(way, way)))
    return [a + run * b for a, b in zip(start, way, strict=True)]


def _on_triangle(point, triangle):
    """Nearest spot of a triangle: inside it by least squares of two sides, or on one of its sides."""
    a, b, c = triangle
    u, v, w = _minus(b, a), _minus(c, a), _minus(point, a)
    uu, uv, vv, wu, wv = _dot(u, u), _dot(u, v), _dot(v, v), _dot(w, u), _dot(w, v)
    whole = uu * vv - uv * uv
    s, t = (wu * vv - wv * uv) / whole, (wv * uu - wu * uv) / whole
    tried = [_on_side(point, a, b), _on_side(point, b, c), _on_side(point, c, a)]
    if s >= 0.0 and t >= 0.0 and s + t <= 1.0:
        tried.append([a[i] + s * u[i] + t * v[i] for i in range(3)])
    return min(tried, key=lambda spot: math.dist(point, spot))


def nearest_spots(points, reach_mm, corners):
    """How far each point lies from a surface, its nearest triangle, and the nearest spot."""
    far, owner, spots = [], [], []
    for point in points:
        tried = [_on_triangle(point, triangle) for triangle in corners]
        best = min(range(len(tried)), key=lambda number: math.dist(point, tried[number]))
        gap = math.dist(point, tried[best])
        far.append(gap if gap <= reach_mm else math.inf)
        owner.append(best if gap <= reach_mm else -1)
        spots.append(tried[best] if gap <= reach_mm else point)
    return far, owner, spots
