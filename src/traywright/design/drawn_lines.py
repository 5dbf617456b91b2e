"""Lines that a cutter follows: engraving on request."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import shapely

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import SAME_MM
from traywright.design.drawn_areas import QUARTER_CHORDS
from traywright.design.drawn_asked import DepthAsked, DrawnAsked
from traywright.design.drawn_floors import through_the_sheet
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
    layer = line.layer.strip().lower()
    by_layer = (one for one in rows if one.layer and one.layer.strip().lower() == layer)
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


def grooves_in_board(grooves: tuple[Shape, ...], asked: DrawnAsked) -> tuple[tuple[Shape, ...], list[Finding]]:
    """Grooves that end in the board; one that would go through is told and not cut.

    Parameters
    ----------
    grooves
        What cutters take that follow lines.
    asked
        For the board's thickness.
    """
    over = [one for one in grooves if one.asked_mm >= asked.thickness.value - SAME_MM]
    told = [through_the_sheet(one, len(over), asked.thickness.value) for one in over]
    return tuple(one for one in grooves if one not in over), told


def lines_outside(outlined: Sequence[Outlined], asked: DrawnAsked) -> list[Finding]:
    """Lines to engrave that lie outside every outline, or run over one.

    Parameters
    ----------
    outlined
        The outlines.
    asked
        The drawing and which lines are engraved.
    """
    frames = shapely.union_all([fine_of(one.outline) for one in outlined])
    found = []
    for one in asked.drawing.lines:
        path = shapely.LineString(one.contour.points_mm())
        if not is_engraved(one, asked) or frames.buffer(SAME_MM).covers(path):
            continue
        rest = path.difference(frames)
        spot = rest.interpolate(0.5, normalized=True) if rest.geom_type == "LineString" else rest.representative_point()
        words: dict[str, Any] = {"layer": one.layer, "count": 1, "place": f"({spot.x:.1f}, {spot.y:.1f})"}
        point = (round(float(spot.x), 3), round(float(spot.y), 3))
        if path.intersects(frames):
            far_mm = max(frames.distance(shapely.Point(at)) for at in shapely.get_coordinates(rest))
            words["far_mm"] = round(float(far_mm), 2)
            found.append(
                finding("TRAY-024", Severity.WARN, (one.layer,), point_mm=point, cause=f"line {one.id}", **words)
            )
        else:
            words["size"] = f"{path.length:.4g}"
            found.append(
                finding("TRAY-023", Severity.STOP, (one.layer,), point_mm=point, cause=f"line {one.id}", **words)
            )
    return found


def lines_cut(tray: str, grooves: Sequence[Shape], diameter_mm: float) -> list[Finding]:
    """Lines that are cut as lines, with the width that the cutter gives them.

    Parameters
    ----------
    tray
        Id of the tray.
    grooves
        What the cutter takes away along the lines.
    diameter_mm
        Diameter of the cutter that follows them.
    """
    if not grooves:
        return []
    layers = ", ".join(sorted({one.line.layer for one in grooves}))
    words: dict[str, Any] = {"count": len(grooves), "layers": layers, "diameter_mm": diameter_mm}
    x, y = grooves[0].place_mm
    point = (round(x, 3), round(y, 3))
    return [finding("TRAY-074", Severity.WARN, (tray,), point_mm=point, cause=f"lines {tray}", **words)]
