"""Where one cell must not stand beside another: exact regions of offsets, pockets that a cell could sit in included."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.layout.asked import Sides
from traywright.layout.coarse import coarser

Points = NDArray[np.float64]

NODE_MM = SNAP_MM / 20.0
"""Step on which crossing lines are joined: far below the snap step."""
SIDES_LEAST, SIDES_MOST = 32, 128
"""Sides of the polygon that stands for a spacing; a multiple of four, so that four of them lie along the axes."""
MOST_CORNERS = 200
"""Corners of an outline; one with more is drawn coarser, from outside."""  # source: own timing


class Cell(NamedTuple):
    """An outline at a turn about its own frame origin, and the spacing that it asks for by its own sides."""

    outline: Polygon
    turn_deg: float
    wall: Sides


def spacing_body(wall: Sides, turn_deg: float = 0.0) -> Polygon:
    """The spacing around a point as a polygon that is nowhere too thin, turned with its frame.

    Notes
    -----
    Four quarters of ellipses with the two spacings as half axes, each between tangents: along the four axes of the
    frame the polygon is exact, elsewhere it lies at most about ``ARC_CHORD_MM`` outside. Spacings of zero collapse it.

    Examples
    --------
    >>> body = spacing_body(Sides.all_round(8.0))
    >>> body.bounds
    (-8.0, -8.0, 8.0, 8.0)
    """
    widest = max(wall.each_mm())
    wanted = math.pi / math.acos(1.0 / (1.0 + ARC_CHORD_MM / max(widest, ARC_CHORD_MM)))
    sides = min(SIDES_MOST, max(SIDES_LEAST, 4 * math.ceil(wanted / 4.0)))
    angles = (np.arange(sides) + 0.5) * 2.0 * math.pi / sides
    out = 1.0 / math.cos(math.pi / sides)
    x, y = out * np.cos(angles), out * np.sin(angles)
    body = np.column_stack([
        np.where(x > 0.0, wall.right_mm, wall.left_mm) * np.clip(x, -1.0, 1.0) if False else _along(x, wall.right_mm, wall.left_mm),
        _along(y, wall.back_mm, wall.front_mm),
    ])
    return affinity.rotate(Polygon(body), turn_deg, origin=(0.0, 0.0))
