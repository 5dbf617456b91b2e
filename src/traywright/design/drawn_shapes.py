"""Loops of a drawing as shapes: which is an outline, what lies in what, how deep each is cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Severity, finding
from traywright.base.errors import DesignError
from traywright.base.tolerance import DRAWN_MM
from traywright.design.drawn_asked import DepthAsked, DrawnAsked
from traywright.geometry import Region
from traywright.parts import DrawnLine, is_named

FINE_MM = 0.0005
"""Chords of the shapes that areas are taken from: equal in area to their arcs, and a twentieth of 0.01 mm off them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A loop to cut, in tray millimetres: what it takes from the board, without islands and raised steps.

    ``fine`` is exact in area; ``depth`` tells how deep it is asked to go; ``islands`` counts what was left standing.
    """

    line: DrawnLine
    fine: BaseGeometry
    region: Region
    depth: DepthAsked

    @property
    def asked_mm(self) -> float:
        """Depth asked for; infinite for right through."""
        return float("inf") if self.depth.depth is None else self.depth.depth.value

    @property
    def place_mm(self) -> tuple[float, float]:
        """Middle of the loop's box."""
        left, front, right, back = self.line.contour.bounds_mm
        return ((left + right) / 2.0, (front + back) / 2.0)


def fine_of(line: DrawnLine) -> BaseGeometry:
    """What a loop encloses, exact in area."""
    return shapely.make_valid(Polygon(line.contour.points_mm(FINE_MM)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlined:
    """One tray's outline with the loops inside it, in the drawing's own place."""

    outline: DrawnLine
    loops: tuple[DrawnLine, ...]


def outlines_of(asked: DrawnAsked) -> tuple[tuple[Outlined, ...], tuple[Finding, ...]]:
    """The outlines of a drawing, left to right, each with its loops; loops outside all are told.

    Raises
    ------
    DesignError
        TRAY-022 if the drawing has no closed outline.
    """
    loops = asked.drawing.loops
    named = [one for one in loops if _is_outline(one, asked.outline_layer)]
    if not loops or (asked.outline_layer and not named):
        raise DesignError("TRAY-022", layer=asked.outline_layer or "-", layers=", ".join(asked.drawing.layers) or "-")
    shapes = {one.id: fine_of(one) for one in loops}
    frames = named or _largest(asked, shapes)
    wide = {one.id: shapes[one.id].buffer(DRAWN_MM, quad_segs=1) for one in frames}
    # an outline within an outline is an opening of it
    outer = [
        one
        for one in frames
        if not any(
            other.contour.area_mm2 > one.contour.area_mm2 and wide[other.id].covers(shapes[one.id]) for other in frames
        )
    ]
    found: dict[str, list[DrawnLine]] = {one.id: [] for one in outer}
    lost = []
    for one in loops:
        if one.id in found:
            continue
        shared = {frame.id: shapes[frame.id].intersection(shapes[one.id]).area for frame in outer}
        best = max(shared, key=lambda name: shared[name])
        if shared[best] > DRAWN_MM:
            found[best].append(one)
        else:
            lost.append(one)
    ordered = sorted(outer, key=lambda one: tuple(round(each, 2) for each in one.contour.bounds_mm[:2]))
    outlined = tuple(Outlined(outline=one, loops=tuple(found[one.id])) for one in ordered)
    findings = [_outside(one, len(lost)) for one in lost]
    findings += _overlaps(ordered, shapes)
    for tray in outlined:
        findings += _crossing(tray, shapes)
    return outlined, tuple(findings)


def _largest(asked: DrawnAsked, shapes: dict[str, BaseGeometry]) -> list[DrawnLine]:
    """The largest loop where no layer is called an outline, with its like on the same layer that hold loops too.

    Raises
    ------
    DesignError
        TRAY-022 if it holds none of the others: a pocket is not taken for an outline.
    """
    loops = asked.drawing.loops
    largest = max(loops, key=lambda one: (one.contour.area_mm2, one.id))
    if len(loops) == 1:
        return [largest]
    alike = [one for one in loops if one.layer == largest.layer]
    wide = {one.id: shapes[one.id].buffer(DRAWN_MM, quad_segs=1) for one in alike}
    holding = [one for one in alike if any(each is not one and wide[one.id].covers(shapes[each.id]) for each in loops)]
    if largest not in holding:
        raise DesignError("TRAY-022", layer="-", layers=", ".join(asked.drawing.layers))
    return holding


def _is_outline(line: DrawnLine, told: str) -> bool:
    """True for a loop on the layer of outlines."""
    return line.layer.lower() == told.lower() if told else is_named(line.layer, "outline")


def _outside(line: DrawnLine, count: int) -> Finding:
    """A loop that lies outside every outline."""
    left, front, right, back = line.contour.bounds_mm
    return finding(
        "TRAY-023",
        Severity.STOP,
        (line.layer,),
        point_mm=(round(left, 3), round(front, 3)),
        cause="outside",
        count=count,
        layer=line.layer,
        size=f"{right - left:.4g} x {back - front:.4g}",
        place=f"({left:.1f}, {front:.1f})",
    )


def _overlaps(outer: Sequence[DrawnLine], shapes: dict[str, BaseGeometry]) -> list[Finding]:
    """Outlines that share area: two trays cannot be cut from one place."""
    found = []
    for one, other in combinations(outer, 2):
        shared = shapes[one.id].intersection(shapes[other.id])
        if shared.area > DRAWN_MM:
            spot = shared.representative_point()
            place = f"({spot.x:.1f}, {spot.y:.1f})"
            point, at = (round(spot.x, 3), round(spot.y, 3)), (one.layer, other.layer)
            found.append(finding("TRAY-071", Severity.STOP, at, point_mm=point, cause="overlap", place=place))
    return found


def _crossing(tray: Outlined, shapes: dict[str, BaseGeometry]) -> list[Finding]:
    """Loops that run over the outline."""
    frame = shapes[tray.outline.id]
    over = [(one, shapes[one.id].difference(frame)) for one in tray.loops]
    over = [(one, rest) for one, rest in over if rest.area > DRAWN_MM and not rest.buffer(-DRAWN_MM).is_empty]
    found = []
    for one, rest in over:
        spot = rest.representative_point()
        far_mm = max(frame.distance(shapely.Point(at)) for at in shapely.get_coordinates(rest))
        found.append(
            finding(
                "TRAY-024",
                Severity.WARN,
                (one.layer,),
                point_mm=(round(spot.x, 3), round(spot.y, 3)),
                cause="crossing",
                count=len(over),
                layer=one.layer,
                far_mm=round(float(far_mm), 2),
                place=f"({spot.x:.1f}, {spot.y:.1f})",
            )
        )
    return found


def moved_to_tray(line: DrawnLine, tray: Outlined) -> DrawnLine:
    """A line in tray millimetres: the tray's origin is the lower left of its outline; nothing else is moved."""
    left, front, _, _ = tray.outline.contour.bounds_mm
    return replace(line, contour=line.contour.moved(-left, -front))
