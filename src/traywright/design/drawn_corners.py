"""Corners tighter than the cutter, and places that it cannot enter."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import DRAWN_MM, SAME_MM
from traywright.design.drawn_areas import Deep
from traywright.design.drawn_asked import DrawnAsked
from traywright.design.drawn_shapes import Shape
from traywright.design.drawn_thin import across, thin_pieces
from traywright.trays import Tray

NARROW_MM = 0.005
"""A recess as wide as the cutter takes it.  # source: half of what a drawing is held to, DRAWN_MM"""


def judge_corners(
    tray: Tray,
    deep: Deep,
    remains: Sequence[BaseGeometry],
    *,
    shut: Sequence[Shape],
    asked: DrawnAsked,
    radius_mm: float,
) -> Iterator[Finding]:
    """Each corner that keeps foam, with its place and size, and each recess narrower than the cutter.

    Parameters
    ----------
    tray
        The tray.
    deep
        Its loops with the depth at which they end.
    remains
        What the smallest cutter leaves.
    shut
        Loops that the cutter cannot enter; they are not cut.
    asked
        For the choice of corners.
    radius_mm
        Radius of the smallest cutter.
    """
    shapes = [one for one, _ in deep]
    narrow = list(shut)
    necks = _necks(tuple(pair for pair in deep if pair[0] not in shut), radius_mm, narrow)
    count = len(narrow) + len(necks)
    for one in narrow:
        area: Any = one.fine
        wide_mm = 2.0 * float(shapely.maximum_inscribed_circle(area).length)
        yield _too_narrow(tray, one, one.place_mm, wide_mm=wide_mm, radius_mm=radius_mm, count=count)
    for one, line in necks:
        middle = line.interpolate(0.5, normalized=True)
        place = (float(middle.x), float(middle.y))
        yield _too_narrow(tray, one, place, wide_mm=float(line.length), radius_mm=radius_mm, count=count)
    closed = [one.fine.buffer(DRAWN_MM) for one in narrow] + [line.buffer(DRAWN_MM) for _, line in necks]
    left = [
        spot for spot in remains if not any(each.covers(spot) or spot.buffer(DRAWN_MM).covers(each) for each in closed)
    ]
    total = sum(spot.area for spot in left)
    for corner in left:
        spot = corner.representative_point()
        yield finding(
            "TRAY-037",
            Severity.WARN if asked.corner == "leave" else Severity.NOTE,
            (tray.id,),
            point_mm=(round(spot.x, 3), round(spot.y, 3)),
            figure=f"design/{tray.id}/corner_left",
            cause=f"corners {tray.id}",
            count=len(left),
            left_mm2=round(corner.area, 3),
            total_mm2=round(total, 1),
            diameter_mm=2.0 * radius_mm,
            size=size_of(corner, shapes, radius_mm),
            place=f"({spot.x:.1f}, {spot.y:.1f})",
        )


def shut_loops(deep: Deep, radius_mm: float, air: BaseGeometry, *, ramped: bool) -> tuple[Shape, ...]:
    """Loops into which the cutter finds no way, not even through what is open around them as deep, or from outside.

    Parameters
    ----------
    deep
        Loops with the depth at which they end.
    radius_mm
        Radius of the smallest cutter.
    air
        What is open outside the outline.
    ramped
        True for a solid, where a hole must be wide enough for a ramp.
    """
    found = []
    for one, deep_mm in deep:
        own = one.fine.buffer(NARROW_MM - radius_mm, quad_segs=8)
        if not own.is_empty and not (ramped and _is_spot(own, radius_mm)):
            continue
        opened = shapely.union_all([air, *(each.fine for each, at in deep if at >= deep_mm - SAME_MM)])
        ways = [each for each in shapely.get_parts(opened).tolist() if shapely.dwithin(each, one.fine, SAME_MM)]
        inside = shapely.union_all([each.buffer(NARROW_MM - radius_mm, quad_segs=8) for each in ways])
        spot = ramped and _is_spot(inside, radius_mm)
        if inside.is_empty or spot or float(inside.distance(one.fine)) > SAME_MM:
            found.append(one)
    return tuple(found)


RAMP_ROOM_RATIO = 0.4
"""Room for a ramp over the cutter's radius: a hole of 1.2 diameters.  # source: as cutting plans spirals, CUT-007"""


def _is_spot(inside: BaseGeometry, radius_mm: float) -> bool:
    """True if the cutter's centre has no room for a ramp."""
    if inside.is_empty:
        return True
    left, front, right, back = inside.bounds
    return max(right - left, back - front) < RAMP_ROOM_RATIO * radius_mm - SAME_MM


def _too_narrow(  # reason: one word for each place in the sentence
    tray: Tray, one: Shape, place: tuple[float, float], *, wide_mm: float, radius_mm: float, count: int
) -> Finding:
    """A place that the cutter cannot enter."""
    x, y = place
    return finding(
        "TRAY-036",
        Severity.STOP,
        (tray.id, one.line.layer),
        point_mm=(round(x, 3), round(y, 3)),
        cause=f"narrow {tray.id}",
        count=count,
        layer=one.line.layer,
        wide_mm=round(wide_mm, 2),
        diameter_mm=2.0 * radius_mm,
        place=f"({x:.1f}, {y:.1f})",
    )


def _necks(deep: Deep, radius_mm: float, narrow: Sequence[Shape]) -> list[tuple[Shape, BaseGeometry]]:
    """Places within what is open at a level that are narrower than the cutter, each with the way across."""
    found: list[tuple[Shape, BaseGeometry]] = []
    told: list[BaseGeometry] = [one.fine for one in narrow]
    for depth_mm in sorted({round(at, 6) for _, at in deep}, reverse=True):
        here = [one for one, at in deep if at >= depth_mm - SAME_MM]
        opened = shapely.union_all([one.region.shape for one in here])
        for piece in thin_pieces(opened, radius_mm, ACUTE_RATIO):
            line = across(piece, opened, 2.0 * radius_mm)
            if line is None or any(line.distance(one) < DRAWN_MM for one in told):
                continue
            told.append(piece)
            found.append((min(here, key=lambda one: (float(one.fine.distance(line)), one.line.id)), line))
    return found


ACUTE_RATIO = 4.0
"""A corner as sharp as 29 degrees is still a corner, what reaches farther is a narrow place.
# source: geometry of a corner, 1 / sin of half the angle"""


def size_of(corner: BaseGeometry, shapes: Sequence[Shape], radius_mm: float) -> str:
    """The size of a corner: ``R3`` for a drawn radius, else its angle in degrees, from the area that is left.

    Parameters
    ----------
    corner
        What the cutter leaves.
    shapes
        The loops of the tray.
    radius_mm
        Radius of the cutter.
    """
    points = shapely.get_coordinates(corner)
    for one in shapes:
        if not one.line.contour.edges or not shapely.dwithin(one.fine, corner, DRAWN_MM):
            continue
        for edge in one.line.contour.edges:
            if not edge.is_arc or edge.radius_mm > radius_mm - SAME_MM:
                continue
            off = np.hypot(*(points - np.array(edge.centre_mm)).T) - edge.radius_mm
            if int((np.abs(off) < DRAWN_MM).sum()) > 2:
                return f"R{edge.radius_mm:.4g}"
    return f"{angle_of_corner_deg(corner.area, radius_mm):.0f}°"


def angle_of_corner_deg(left_mm2: float, radius_mm: float) -> float:
    """Angle of a corner of straight walls in which a cutter leaves an area: r² (cot(a / 2) - (pi - a) / 2).

    Examples
    --------
    >>> round(angle_of_corner_deg(16.0 * (1.0 - math.pi / 4.0), 4.0), 6)
    90.0
    """
    low, high = 0.0, math.pi
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        area = radius_mm**2 * (1.0 / math.tan(middle / 2.0) - (math.pi - middle) / 2.0)
        low, high = (middle, high) if area > left_mm2 else (low, middle)
    return math.degrees(low)


HALVINGS = 50  # source: half a turn down to the last digit of a float
