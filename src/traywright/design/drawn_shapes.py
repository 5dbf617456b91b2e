"""Loops of a drawing as shapes: which is an outline, what lies in what, how deep each is cut."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Severity, finding, natural_key
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
    frames = named or [max(loops, key=lambda one: (one.contour.area_mm2, one.id))]
    shapes = {one.id: fine_of(one) for one in loops}
    # an outline within an outline is an opening of it
    outer = [
        one
        for one in frames
        if not any(other is not one and shapes[other.id].buffer(DRAWN_MM).covers(shapes[one.id]) for other in frames)
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
    ordered = sorted(outer, key=lambda one: tuple(round(each, 3) for each in one.contour.bounds_mm))
    outlined = tuple(Outlined(outline=one, loops=tuple(found[one.id])) for one in ordered)
    findings = [_outside(one, len(lost), Severity.STOP) for one in lost]
    for tray in outlined:
        findings += _crossing(tray, shapes)
    return outlined, tuple(findings)


def _is_outline(line: DrawnLine, told: str) -> bool:
    """True for a loop on the layer of outlines."""
    return line.layer.lower() == told.lower() if told else is_named(line.layer, "outline")


def _outside(line: DrawnLine, count: int, severity: Severity) -> Finding:
    """A loop that lies outside every outline."""
    left, front, right, back = line.contour.bounds_mm
    return finding(
        "TRAY-023",
        severity,
        (line.layer,),
        point_mm=(round(left, 3), round(front, 3)),
        cause="outside",
        count=count,
        layer=line.layer,
        size=f"{right - left:.4g} x {back - front:.4g}",
        place=f"({left:.1f}, {front:.1f})",
    )


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


def shapes_of(tray: Outlined, depths: dict[str, DepthAsked]) -> tuple[tuple[Shape, ...], tuple[Finding, ...]]:
    """The loops of a tray as they are cut, in tray millimetres, with islands and steps told.

    Parameters
    ----------
    tray
        An outline with its loops.
    depths
        The depth of each loop by its id.

    Notes
    -----
    Within one depth a loop in a loop is an island, a loop in that a pocket again. A deeper loop inside a shallower one
    is a step down and needs nothing done; a shallower loop wholly inside a deeper one is a raised step: it is left out
    of the deeper one. Loops that cross are united, and the deepest wins.
    """
    left, front, _, _ = tray.outline.contour.bounds_mm
    lines = sorted(tray.loops, key=lambda one: (-one.contour.area_mm2, natural_key(one.id)))
    fine = {one.id: fine_of(one) for one in lines}
    asked = {one.id: _rank_mm(depths[one.id]) for one in lines}
    holds = {
        one.id: [each for each in lines if each is not one and fine[one.id].buffer(DRAWN_MM).covers(fine[each.id])]
        for one in lines
    }
    island = {
        one.id: sum(1 for above in lines if one in holds[above.id] and asked[above.id] == asked[one.id]) % 2 == 1
        for one in lines
    }
    shapes, steps = [], []
    for one in lines:
        if island[one.id]:
            steps.append(("island", one))
            continue
        cut = fine[one.id]
        for inner in holds[one.id]:
            raised = asked[inner.id] < asked[one.id]
            if raised or (island[inner.id] and asked[inner.id] == asked[one.id]):
                cut = cut.difference(fine[inner.id])
            same = asked[inner.id] == asked[one.id]
            if not same:
                steps.append(("raised" if raised else "step", inner))
        moved = shapely.affinity.translate(cut, -left, -front)
        contour = one.contour.moved(-left, -front)
        line = DrawnLine(id=one.id, layer=one.layer, colour=one.colour, contour=contour, drawn_as=one.drawn_as)
        region = contour.region() if cut is fine[one.id] else _coarse(one, holds[one.id], island, asked, (left, front))
        shapes.append(Shape(line=line, fine=moved, region=region, depth=depths[one.id]))
    told = {kind: [line for each, line in steps if each == kind] for kind in ("island", "raised", "step")}
    findings = [_told(kind, line, len(told[kind])) for kind in told for line in dict.fromkeys(told[kind])]
    ordered = sorted(shapes, key=lambda one: tuple(round(each, 3) for each in one.line.contour.bounds_mm))
    return tuple(ordered), tuple(findings)


def _rank_mm(depth: DepthAsked) -> float:
    """Depth by which loops are compared."""
    return float("inf") if depth.depth is None else depth.depth.value


def _coarse(
    one: DrawnLine,
    inside: list[DrawnLine],
    island: dict[str, bool],
    asked: dict[str, float],
    origin_mm: tuple[float, float],
) -> Region:
    """The region of a loop without its islands and raised steps."""
    left, front = origin_mm
    region = one.contour.moved(-left, -front).region()
    for inner in inside:
        standing = asked[inner.id] < asked[one.id] or (island[inner.id] and asked[inner.id] == asked[one.id])
        region = region.difference(inner.contour.moved(-left, -front).region()) if standing else region
    return region


def _told(kind: str, line: DrawnLine, count: int) -> Finding:
    """A loop in a loop, as it was understood."""
    left, front, right, back = line.contour.bounds_mm
    x, y = (left + right) / 2.0, (front + back) / 2.0
    return finding(
        "TRAY-025",
        Severity.NOTE,
        (line.layer,),
        point_mm=(round(x, 3), round(y, 3)),
        cause=kind,
        fix=kind,
        count=count,
        layer=line.layer,
        place=f"({x:.1f}, {y:.1f})",
        size=f"{right - left:.4g} x {back - front:.4g}",
    )
