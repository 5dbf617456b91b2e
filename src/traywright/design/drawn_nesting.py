"""Loops in loops: islands, steps down and up, and loops that cross; what each loop takes from the board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Severity, finding, natural_key
from traywright.base.tolerance import DRAWN_MM
from traywright.design.drawn_asked import DepthAsked
from traywright.design.drawn_shapes import Outlined, Shape, fine_of, moved_to_tray
from traywright.geometry import Region
from traywright.parts import DrawnLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Nested:
    """A loop in its place among the others, in tray millimetres.

    ``inside_mm`` is what is cut inside it, 0 for an island; ``around_mm`` what is cut around it, 0 for the top;
    ``standing`` are the loops straight inside that end less deep.
    """

    line: DrawnLine
    depth: DepthAsked
    fine: BaseGeometry
    inside_mm: float
    around_mm: float
    standing: tuple[DrawnLine, ...]

    @property
    def sort(self) -> str:
        """How it stands in the loop around it: island, step (down), raised, or empty."""
        if not self.around_mm or abs(self.inside_mm - self.around_mm) < DRAWN_MM:
            return ""
        return "island" if not self.inside_mm else "step" if self.inside_mm > self.around_mm else "raised"


def shapes_of(tray: Outlined, depths: dict[str, DepthAsked]) -> tuple[tuple[Shape, ...], tuple[Finding, ...]]:
    """The loops of a tray as they are cut, in tray millimetres, by place, with islands and steps told.

    Parameters
    ----------
    tray
        An outline with its loops.
    depths
        The depth of each loop by its id.

    Notes
    -----
    A loop rules what it encloses. Straight inside a loop of its own layer and depth it turns over what is cut there: an
    island in a pocket, a pocket in an island. A deeper loop in a shallower one is a step down and needs nothing done; a
    shallower loop wholly inside a deeper one is a raised step: it is left out of the deeper one. Loops that cross are
    united, and the deepest wins. What lies over the outline is not cut.
    """
    found = _nested(tray, depths)
    frame = moved_to_tray(tray.outline, tray)
    edge = fine_of(frame)
    cut = (_cut(one, edge, frame) for one in found if one.inside_mm)
    shapes = [one for one in cut if not one.region.is_empty]
    inside = [one for one in found if one.sort]
    findings = [_told(one, sum(each.sort == one.sort for each in inside)) for one in inside]
    ordered = sorted(shapes, key=lambda one: tuple(round(each, 3) for each in one.line.contour.bounds_mm))
    return tuple(ordered), tuple(findings)


def _nested(tray: Outlined, depths: dict[str, DepthAsked]) -> list[Nested]:
    """Each loop of a tray with its depth after what lies around it, the largest first."""
    lines = sorted(tray.loops, key=lambda one: (-round(one.contour.area_mm2, 4), natural_key(one.id)))
    moved = [moved_to_tray(one, tray) for one in lines]
    fine = [fine_of(one) for one in moved]
    parents = _parents(fine)
    inside: list[float] = []
    standing: list[list[DrawnLine]] = [[] for _ in lines]
    for place, one in enumerate(moved):
        above, asked_mm = parents[place], _asked_mm(depths[one.id])
        if above < 0:
            inside.append(asked_mm)
            continue
        same = _kind_of(moved[above], depths) == _kind_of(one, depths)
        inside.append(0.0 if same and inside[above] else asked_mm)
        if inside[place] < inside[above]:
            standing[above].append(one)
    return [
        Nested(
            line=one,
            depth=depths[one.id],
            fine=fine[place],
            inside_mm=inside[place],
            around_mm=inside[parents[place]] if parents[place] >= 0 else 0.0,
            standing=tuple(standing[place]),
        )
        for place, one in enumerate(moved)
    ]


def _parents(fine: Sequence[BaseGeometry]) -> list[int]:
    """For each shape, largest first, the number of the smallest one before it that holds it; -1 for none."""
    tree = shapely.STRtree(fine)
    wide = [one.buffer(DRAWN_MM, quad_segs=1) for one in fine]
    shapely.prepare(wide)
    found = []
    for place, shape in enumerate(fine):
        near = sorted((int(one) for one in tree.query(shape) if one < place), reverse=True)
        # of two alike neither lies in the other: they cross
        around = (one for one in near if wide[one].covers(shape) and not wide[place].covers(fine[one]))
        found.append(next(around, -1))
    return found


def _asked_mm(depth: DepthAsked) -> float:
    """Depth by which loops are compared; infinite for right through."""
    return float("inf") if depth.depth is None else depth.depth.value


def _kind_of(line: DrawnLine, depths: dict[str, DepthAsked]) -> tuple[str, float]:
    """What a loop in a loop must share to be an island of it: layer and depth."""
    return (line.layer.lower(), _asked_mm(depths[line.id]))


def _cut(one: Nested, edge: BaseGeometry, frame: DrawnLine) -> Shape:
    """What a loop takes away: without what stands in it, and inside the outline only."""
    fine, region = one.fine, one.line.contour.region()
    if one.standing:
        fine = fine.difference(shapely.union_all([fine_of(each) for each in one.standing]))
        region = region.difference(Region.union_of([each.contour.region() for each in one.standing]))
    if not edge.covers(one.fine):
        fine = fine.intersection(edge)
        if not edge.buffer(DRAWN_MM, quad_segs=1).covers(one.fine):
            region = region.intersection(frame.contour.region())
    return Shape(line=one.line, fine=fine, region=region, depth=one.depth)


def _told(one: Nested, count: int) -> Finding:
    """A loop in a loop, as it was understood."""
    left, front, right, back = one.line.contour.bounds_mm
    x, y = (left + right) / 2.0, (front + back) / 2.0
    return finding(
        "TRAY-025",
        Severity.NOTE,
        (one.line.layer,),
        point_mm=(round(x, 3), round(y, 3)),
        cause=one.sort,
        fix=one.sort,
        count=count,
        layer=one.line.layer,
        place=f"({x:.1f}, {y:.1f})",
        size=f"{right - left:.4g} x {back - front:.4g}",
    )
