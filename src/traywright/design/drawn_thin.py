"""Walls between loops, and between a loop and the edge, that are thinner than the sheet's least."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import shapely

from traywright.base import Finding, Given, Limit, Severity, finding
from traywright.base.tolerance import DRAWN_MM, SAME_MM
from traywright.design.drawn_shapes import Shape
from traywright.trays import Tray

SLENDER_RATIO = 3.0
"""A fin higher than this many of its widths tears.  # source: common practice, no source"""

FIN_MM = 3.0
"""A wall thinner than this is a fin.  # source: common practice, no source"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thin:
    """One thin wall: ``sort`` is web or rim, place, width and height."""

    sort: str
    place_mm: tuple[float, float]
    wide_mm: float
    high_mm: float


def _bottom_mm(shapes: tuple[Shape, ...], at: shapely.Point) -> float:
    """Depth of the deepest loop at a place; 0 on the top."""
    return max((one.asked_mm for one in shapes if one.fine.covers(at)), default=0.0)


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
    and the floor that its middle lies on. Thin tongues within one loop are not looked for.
    """
    found = []
    for one, other in combinations(shapes, 2):
        wide_mm = float(one.fine.distance(other.fine))
        if SAME_MM < wide_mm < least_mm - SAME_MM:
            found.append(_wall("web", one, other.fine, min(one.asked_mm, other.asked_mm), shapes, tray))
    edge = tray.outline.shape.boundary
    for one in shapes:
        wide_mm = float(one.fine.distance(edge))
        if DRAWN_MM < wide_mm < least_mm - DRAWN_MM and tray.outline.shape.covers(one.fine):
            found.append(_wall("rim", one, edge, one.asked_mm, shapes, tray))
    return tuple(sorted((one for one in found if one.high_mm > SAME_MM), key=lambda one: (one.wide_mm, one.place_mm)))


def _wall(  # reason: a wall lies between two things of one tray
    sort: str, one: Shape, other: shapely.Geometry, deep_mm: float, shapes: tuple[Shape, ...], tray: Tray
) -> Thin:
    """A wall with its place, width and height."""
    line = shapely.shortest_line(one.fine, other)
    middle = line.interpolate(0.5, normalized=True)
    foot_mm = min(deep_mm, tray.thickness_mm)
    top_mm = min(_bottom_mm(shapes, middle), tray.thickness_mm)
    place = (round(float(middle.x), 3), round(float(middle.y), 3))
    return Thin(sort=sort, place_mm=place, wide_mm=round(float(line.length), 3), high_mm=round(foot_mm - top_mm, 3))


def judge_thin(tray: Tray, shapes: tuple[Shape, ...], least: Given) -> Iterator[Finding]:
    """Fins, webs and rims under the sheet's least wall, each with its place, width and height.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.
    least
        Least wall of the sheet with its ground.
    """
    walls = thin_walls(tray, shapes, least.value)
    limit = Limit(value=least.value, unit="mm", status=least.status, source=least.source)
    for one in walls:
        sort = "fin" if one.sort == "web" and one.wide_mm < FIN_MM else one.sort
        slender = one.wide_mm < FIN_MM and one.high_mm > SLENDER_RATIO * one.wide_mm
        same = [each for each in walls if each.sort == one.sort]
        yield finding(
            "TRAY-038",
            Severity.WARN if slender else Severity.NOTE,
            (tray.id,),
            point_mm=one.place_mm,
            limit=limit,
            cause=f"{sort} {tray.id}",
            fix=sort,
            count=len(same),
            wide_mm=one.wide_mm,
            high_mm=one.high_mm,
            least_mm=least.value,
            place=f"({one.place_mm[0]:.1f}, {one.place_mm[1]:.1f})",
        )
