"""Corners tighter than the cutter, and recesses that it cannot enter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from traywright.base import Finding, Severity, finding
from traywright.design.drawn_areas import QUARTER_CHORDS, remains_of
from traywright.design.drawn_asked import DrawnAsked
from traywright.design.drawn_shapes import Shape
from traywright.trays import Tray


def judge_corners(tray: Tray, shapes: tuple[Shape, ...], asked: DrawnAsked, radius_mm: float) -> Iterator[Finding]:
    """Each corner that keeps foam, with its place and size, and each recess narrower than the cutter.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.
    asked
        For the choice of corners.
    radius_mm
        Radius of the smallest cutter.
    """
    narrow = [one for one in shapes if one.fine.buffer(-radius_mm + NARROW_MM, quad_segs=QUARTER_CHORDS).is_empty]
    for one in narrow:
        x, y = one.place_mm
        area: Any = one.fine
        yield finding(
            "TRAY-036",
            Severity.STOP,
            (tray.id, one.line.layer),
            point_mm=(round(x, 3), round(y, 3)),
            cause="narrow",
            count=len(narrow),
            layer=one.line.layer,
            wide_mm=round(2.0 * float(shapely.maximum_inscribed_circle(area).length), 2),
            diameter_mm=2.0 * radius_mm,
            place=f"({x:.1f}, {y:.1f})",
        )
    if asked.corner == "relief":
        return
    levels = sorted({one.asked_mm for one in shapes})
    opened = tuple((one, shapely.union_all([each.fine for each in shapes if each.asked_mm >= one])) for one in levels)
    closed = [one.fine for one in narrow]
    left = [spot for spot in remains_of(opened, radius_mm) if not any(each.covers(spot) for each in closed)]
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
            place=f"({spot.x:.1f}, {spot.y:.1f})",
        )


NARROW_MM = 0.005
"""A recess as wide as the cutter takes it.  # source: half of what a drawing is held to, DRAWN_MM"""
