"""Binary STL files of parts in any number of triangles, drawn by formula."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
STEPS = (
    (0.0, 46.0),
    (14.0, 46.0),
    (14.0, 20.0),
    (60.0, 20.0),
    (60.0, 24.0),
    (122.0, 24.0),
    (122.0, 16.0),
    (168.0, 16.0),
)
"""Half section of a turned part: x and radius, mm."""


def _quads(points: Array) -> Array:
    """Triangles of a net of points that closes on itself the second way, shape (rows, columns, 3)."""
    right = np.roll(points, -1, axis=1)
    a, b, c, d = points[:-1], right[:-1], points[1:], right[1:]
    return np.concatenate([np.stack([a, c, b], axis=2), np.stack([b, c, d], axis=2)]).reshape(-1, 3, 3)


def _binary(triangles: Array) -> bytes:
    wide = np.linalg.norm(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1)
    kept = triangles[wide > 0.0]
    rows = np.zeros(len(kept), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("mark", "<u2")])
    rows["corners"] = kept
    return b"\0" * 80 + np.uint32(len(kept)).tobytes() + rows.tobytes()


def _around(x: Array, radius: Array, columns: int) -> Array:
    turns = np.arange(columns) * (2.0 * math.pi / columns)
    return np.stack(
        [np.repeat(x[:, None], columns, axis=1), np.outer(radius, np.cos(turns)), np.outer(radius, np.sin(turns))],
        axis=2,
    )


def turned(triangles: int) -> bytes:
    """A stepped shaft of 168 mm, its walls and faces cut into rows so that the number is met."""
    columns = max(12, 4 * round(math.sqrt(triangles) / 8.0))
    rows = max(1, round(triangles / 2 / columns / (len(STEPS) + 1)))
    corners = np.array([(0.0, 0.0), *STEPS, (168.0, 0.0)])
    shares = np.arange(rows)[:, None] / rows
    line = np.concatenate([one + shares * (other - one) for one, other in itertools.pairwise(corners)])
    line = np.concatenate([line, corners[-1:]])
    net = _around(line[:, 0], line[:, 1], columns)
    return _binary(_quads(net)[:, ::-1])


def rounded(triangles: int) -> bytes:
    """An egg-like ellipsoid of 120 x 90 x 60 mm: every point lies on the hull."""
    rows = max(4, round(math.sqrt(triangles / 4.0)))
    angles = np.linspace(0.0, math.pi, rows + 1)
    radius = np.sin(angles)
    radius[-1] = 0.0  # the poles are one point each
    net = _around(-np.cos(angles), radius, 2 * rows)
    return _binary(_quads(net * np.array([60.0, 45.0, 30.0]))[:, ::-1])
