"""Walls between loops, between a loop and the edge, and within a loop, that are thinner than the sheet's least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Given, Limit, Severity, finding
from traywright.base.tolerance import DRAWN_MM, SAME_MM
from traywright.design.drawn_shapes import Shape
from traywright.trays import Tray

SLENDER_RATIO = 3.0
"""A fin higher than this many of its widths tears.  # source: common practice, no source"""

FIN_MM = 3.0
"""A wall thinner than this is a fin.  # source: common practice, no source"""

POINTED_RATIO = 2.0
"""Farther than this many radii from where a disc fits it is a tongue, no corner: a corner of 60 degrees is as far.
# source: geometry of a corner, 1 / sin 30 degrees"""


NEAR_MM = 0.05
"""What lies so near to a wall touches it.  # source: five times DRAWN_MM, by which thin pieces are drawn in"""

Sides = tuple[BaseGeometry, BaseGeometry]
"""The two things that a thin wall stands between."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thin:
    """One thin wall: ``sort`` is web, rim or tongue; its place, width and height."""

    sort: str
    place_mm: tuple[float, float]
    wide_mm: float
    high_mm: float


def thin_walls(tray: Tray, shapes: tuple[Shape, ...], least_mm: float) -> tuple[Thin, ...]:
    """Thin walls of a tray, the thinnest first.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.
    least_mm
        Least wall of the sheet.

    Notes
    -----
    Exact distance of each two loops, and of each loop and the edge; the wall stands between their lower common depth
    and the floor that its middle lies on. A tongue or an island in one loop is what a disc of the least width leaves of
    the standing material; its width is the least across it, straight from wall to wall.
    """
    if not shapes:
        return ()
    sides = [*_webs(tray, shapes, least_mm), *_rims(tray, shapes, least_mm)]
    found = [one for one, _ in sides]
    found += _tongues(tray, shapes, least_mm, [each for _, each in sides])
    standing = (one for one in found if one.high_mm > SAME_MM)
    return tuple(sorted(standing, key=lambda one: (one.wide_mm, one.place_mm)))


def _webs(tray: Tray, shapes: tuple[Shape, ...], least_mm: float) -> list[tuple[Thin, Sides]]:
    """Walls between two loops."""
    fine = [one.fine for one in shapes]
    pairs = shapely.STRtree(fine).query(fine, predicate="dwithin", distance=least_mm - DRAWN_MM).T.tolist()
    found = []
    for one, other in sorted((a, b) for a, b in pairs if a < b):
        if float(fine[one].distance(fine[other])) > SAME_MM:
            deep_mm = min(shapes[one].asked_mm, shapes[other].asked_mm)
            line = shapely.shortest_line(fine[one], fine[other])
            found.append((_wall("web", line, deep_mm, shapes, tray), (fine[one], fine[other])))
    return found


def _rims(tray: Tray, shapes: tuple[Shape, ...], least_mm: float) -> list[tuple[Thin, Sides]]:
    """Walls between a loop and the edge of the tray."""
    outline = tray.outline.shape
    found: list[tuple[Thin, Sides]] = []
    for one in shapes:
        wide_mm = float(one.fine.distance(outline.boundary))
        if DRAWN_MM < wide_mm < least_mm - DRAWN_MM and outline.covers(one.fine):
            line = shapely.shortest_line(one.fine, outline.boundary)
            found.append((_wall("rim", line, one.asked_mm, shapes, tray), (one.fine, outline.boundary)))
    return found


def _wall(sort: str, line: BaseGeometry, deep_mm: float, shapes: Sequence[Shape], tray: Tray) -> Thin:
    """A wall across a line, from its foot up to the floor or top that the line's middle lies on."""
    middle = line.interpolate(0.5, normalized=True)
    foot_mm = min(deep_mm, tray.thickness_mm)
    top_mm = min(_bottom_mm(shapes, middle), tray.thickness_mm)
    place = (round(float(middle.x), 3), round(float(middle.y), 3))
    return Thin(sort=sort, place_mm=place, wide_mm=round(float(line.length), 3), high_mm=round(foot_mm - top_mm, 3))


def _bottom_mm(shapes: Sequence[Shape], at: shapely.Point) -> float:
    """Depth of the deepest loop at a place; 0 on the top."""
    return max((one.asked_mm for one in shapes if one.fine.covers(at)), default=0.0)


def _tongues(tray: Tray, shapes: tuple[Shape, ...], least_mm: float, known: Sequence[Sides]) -> list[Thin]:
    """Thin places at any level that no wall between two loops, or to the edge, explains."""
    told: list[BaseGeometry] = []
    found: list[Thin] = []
    for deep_mm in sorted({one.asked_mm for one in shapes}, reverse=True):
        opened = [one.region.shape for one in shapes if one.asked_mm >= deep_mm]
        stands = tray.outline.shape.difference(shapely.union_all(opened))
        for piece in thin_pieces(stands, least_mm / 2.0):
            if any(shapely.dwithin(piece, one, DRAWN_MM) for one in told) or any(
                shapely.dwithin(piece, here, NEAR_MM) and shapely.dwithin(piece, there, NEAR_MM)
                for here, there in known
            ):
                continue
            line = across(piece, stands, least_mm)
            if line is not None:
                told.append(line.interpolate(0.5, normalized=True))
                found.append(_wall("tongue", line, deep_mm, shapes, tray))
    return found


def thin_pieces(stands: BaseGeometry, radius_mm: float, pointed_ratio: float = POINTED_RATIO) -> list[BaseGeometry]:
    """Pieces that a disc leaves and that are no corners: far from where it fits, or between two such places.

    Parameters
    ----------
    stands
        A plane shape.
    radius_mm
        Radius of the disc.
    pointed_ratio
        How many radii from where the disc fits a corner may reach.
    """
    core = stands.buffer(DRAWN_MM - radius_mm, quad_segs=8)
    reached = core.buffer(radius_mm + DRAWN_MM, quad_segs=16)
    apart = shapely.get_parts(reached)
    corners = core.buffer(pointed_ratio * radius_mm + DRAWN_MM, quad_segs=16)
    shapely.prepare([core, corners, *apart])
    pieces = shapely.get_parts(stands.difference(reached))
    pieces = pieces[2.0 * shapely.area(pieces) > DRAWN_MM * shapely.length(pieces)]
    found = []
    for piece in pieces.tolist():
        between = len(apart) > 1 and int(shapely.dwithin(apart, piece, DRAWN_MM).sum()) > 1
        if between or not corners.covers(piece):
            found.append(piece)
    return sorted(found, key=lambda one: tuple(round(each, 3) for each in one.bounds))


def across(piece: BaseGeometry, stands: BaseGeometry, least_mm: float) -> BaseGeometry | None:
    """The shortest straight way through a thin piece, from the middle of one of its walls to the wall across.

    Parameters
    ----------
    piece
        A piece of a plane shape.
    stands
        The shape.
    least_mm
        Longest way looked for, mm.
    """
    wall = stands.boundary
    best = None
    for ring in (one for part in shapely.get_parts(piece).tolist() for one in (part.exterior, *part.interiors)):
        points = shapely.get_coordinates(ring)
        for start, end in pairwise(points):
            way, middle = end - start, (start + end) / 2.0
            length = float(np.hypot(*way))
            if length <= DRAWN_MM or wall.distance(shapely.Point(middle)) > DRAWN_MM:
                continue
            normal = np.array([-way[1], way[0]]) / length
            for side in (normal, -normal):
                ray = shapely.LineString([middle + side * 2.0 * DRAWN_MM, middle + side * least_mm])
                hits = ray.intersection(wall)
                if hits.is_empty or not stands.covers(shapely.Point(middle + side * 2.0 * DRAWN_MM)):
                    continue
                line = shapely.shortest_line(shapely.Point(middle), hits)
                best = line if best is None or line.length < best.length - SAME_MM else best
    return best


def judge_thin(tray: Tray, shapes: tuple[Shape, ...], least: Given) -> Iterator[Finding]:
    """Fins, webs, tongues and rims under the sheet's least wall, each with its place, width and height.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.
    least
        Least wall of the sheet with its ground.
    """
    walls = [(_sort_of(one), one) for one in thin_walls(tray, shapes, least.value)]
    limit = Limit(value=least.value, unit="mm", status=least.status, source=least.source)
    for sort, one in walls:
        slender = one.wide_mm < FIN_MM and one.high_mm > SLENDER_RATIO * one.wide_mm
        yield finding(
            "TRAY-038",
            Severity.WARN if slender else Severity.NOTE,
            (tray.id,),
            point_mm=one.place_mm,
            limit=limit,
            cause=f"{sort} {tray.id}",
            fix=sort,
            count=sum(each == sort for each, _ in walls),
            wide_mm=one.wide_mm,
            high_mm=one.high_mm,
            least_mm=least.value,
            place=f"({one.place_mm[0]:.1f}, {one.place_mm[1]:.1f})",
        )


def _sort_of(one: Thin) -> str:
    """What a thin wall is called: a fin where it is thinner than any web."""
    return one.sort if one.sort == "rim" or one.wide_mm >= FIN_MM else "fin"
