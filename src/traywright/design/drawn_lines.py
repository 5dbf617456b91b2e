"""Lines that a cutter follows: engraving on request."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely

from traywright.base import Finding, Severity, finding
from traywright.design.drawn_areas import QUARTER_CHORDS
from traywright.design.drawn_asked import DepthAsked, DrawnAsked
from traywright.design.drawn_shapes import FINE_MM, Outlined, Shape, fine_of, moved_to_tray
from traywright.geometry import Region
from traywright.parts import DrawnLine


def row_for(line: DrawnLine, rows: Sequence[DepthAsked]) -> DepthAsked | None:
    """The row of a table that holds for a line: its layer's before its colour's.

    Parameters
    ----------
    line
        A loop or an open line.
    rows
        The table.
    """
    by_layer = (one for one in rows if one.layer and one.layer.lower() == line.layer.lower())
    by_colour = (one for one in rows if not one.layer and one.colour and one.colour == line.colour)
    return next(by_layer, None) or next(by_colour, None)


def is_engraved(line: DrawnLine, asked: DrawnAsked) -> bool:
    """True where a cutter follows the line: a loop only where it is given no depth as a pocket."""
    row = row_for(line, asked.engrave)
    pocket = line.contour.closed and row_for(line, asked.depths) is not None
    return row is not None and row.depth is not None and not pocket


def without_engraved(tray: Outlined, asked: DrawnAsked) -> Outlined:
    """A tray's loops without those that are followed as lines."""
    return replace(tray, loops=tuple(one for one in tray.loops if not is_engraved(one, asked)))


def grooves_of(tray: Outlined, asked: DrawnAsked, radius_mm: float) -> tuple[Shape, ...]:
    """What a cutter takes away that follows the lines on one tray, inside its outline.

    Parameters
    ----------
    tray
        An outline with all its loops.
    asked
        The drawing and which lines are engraved.
    radius_mm
        Radius of the cutter that follows them, mm.
    """
    edge = fine_of(moved_to_tray(tray.outline, tray))
    found = []
    for one in (*tray.loops, *asked.drawing.lines):
        row = row_for(one, asked.engrave)
        if row is None or not is_engraved(one, asked):
            continue
        line = moved_to_tray(one, tray)
        points = line.contour.points_mm(FINE_MM)
        path = shapely.LinearRing(points) if line.contour.closed else shapely.LineString(points)
        groove = path.buffer(radius_mm, quad_segs=QUARTER_CHORDS).intersection(edge)
        if not groove.is_empty:
            found.append(Shape(line=line, fine=groove, region=Region(groove), depth=row))
    return tuple(found)


def lines_left(asked: DrawnAsked) -> list[Finding]:
    """Open lines that nobody asked to engrave are not cut, and told."""
    left = [one for one in asked.drawing.lines if not is_engraved(one, asked)]
    if not left:
        return []
    layers = sorted({one.layer for one in left})
    x, y, _ = left[0].contour.corners[0]
    return [
        finding(
            "TRAY-035",
            Severity.NOTE,
            tuple(layers),
            point_mm=(round(x, 3), round(y, 3)),
            cause="open",
            count=len(left),
            layers=", ".join(layers),
        )
    ]
