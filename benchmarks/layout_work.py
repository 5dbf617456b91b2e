"""Layouts that are timed: so many outlines placed, and outlines of so many corners."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from traywright.geometry import Region
from traywright.layout import Container, Effort, Kind, LayoutAsked, Sides, Spacing, lay_out

Work = Callable[[], object]
WALL_MM = 8.0
QUARTERS_DEG = (0.0, 90.0, 180.0, 270.0)
ONCE = Effort(rounds=10)


def bracket() -> Region:
    """An L of 95 x 75, legs 24 wide."""
    return Region.polygon([(0, 0), (95, 0), (95, 24), (24, 24), (24, 75), (0, 75)])


def star(corners: int) -> Region:
    """A round body of so many corners with seven hollows, 80 across."""
    turn = np.arange(corners) * 2.0 * math.pi / corners
    radius_mm = 34.0 + 6.0 * np.cos(7.0 * turn)
    points = np.column_stack([radius_mm * np.cos(turn), radius_mm * np.sin(turn)])
    return Region.polygon([(float(x), float(y)) for x, y in points])


def outlines_placed(count: int) -> Work:
    """Layout of a container that takes about so many brackets."""
    side_mm = math.sqrt(count * 6000.0)
    return _laid(bracket(), 1.25 * side_mm, side_mm / 1.25)


def outline_corners(corners: int) -> Work:
    """Layout of a tray's worth of outlines of so many corners."""
    return _laid(star(corners), 560.0, 360.0)


def _laid(outline: Region, width_mm: float, depth_mm: float) -> Work:
    wall = Sides.all_round(WALL_MM)
    asked = LayoutAsked(
        kinds=(Kind(id="one", outline=outline),),
        container=Container(width_mm=width_mm, depth_mm=depth_mm),
        spacing=Spacing(wall=wall, rim=wall),
        turns_deg=QUARTERS_DEG,
    )
    return lambda: lay_out(asked, ONCE)
