"""Outlines that are not closed: the gap is named, and no hole is taken for the part."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from traywright.base.errors import PartError
from traywright.geometry import Point
from traywright.parts.drawing import Drawing, DrawnLine
from traywright.parts.nested import shapes_of

WIDE_GAP = "PART-037"
"""What the reader calls a gap that it did not close."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gap:
    """Where a line is open, how wide, and what it would enclose if it were closed."""

    layer: str
    at_mm: Point
    gap_mm: float
    would_mm2: float


def _own_gaps(lines: Sequence[DrawnLine]) -> Iterator[_Gap]:
    """The gap between the two ends of each open line."""
    if not lines:
        return
    areas = shapely.area(shapes_of([replace(one.contour, closed=True) for one in lines]))
    for one, area_mm2 in zip(lines, areas.tolist(), strict=True):
        start, end = one.contour.corners[0][:2], one.contour.corners[-1][:2]
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        yield _Gap(layer=one.layer, at_mm=middle, gap_mm=math.dist(start, end), would_mm2=area_mm2)


def _gaps_between(drawing: Drawing) -> Iterator[_Gap]:
    """Gaps of loops that are in several pieces, as the reader found them."""
    for told in drawing.findings:
        if told.code != WIDE_GAP or told.point_mm is None:
            continue
        words = dict(told.parameters)
        layer = str(words["layer"])
        points = np.concatenate([one.contour.points_mm() for one in drawing.lines if one.layer == layer])
        whole = shapely.convex_hull(shapely.MultiPoint(points))
        at_mm = (float(told.point_mm[0]), float(told.point_mm[1]))
        yield _Gap(layer=layer, at_mm=at_mm, gap_mm=float(words["gap_mm"]), would_mm2=float(whole.area))


def check_closed(part_id: str, drawing: Drawing) -> None:
    """Refuse a drawing without a loop, or one whose open lines would enclose more than its largest loop.

    Parameters
    ----------
    part_id
        Named in errors.
    drawing
        As read.

    Raises
    ------
    PartError
        PART-094 with the gap, PART-009 if there is no line either.
    """
    gaps = [*_own_gaps(drawing.lines), *_gaps_between(drawing)]
    largest_mm2 = max((one.contour.area_mm2 for one in drawing.loops), default=0.0)
    # the line that would enclose most; of the gaps of one loop the widest
    widest = max(gaps, key=lambda one: (one.would_mm2, one.gap_mm, one.at_mm), default=None)
    if widest is None and not drawing.loops:
        raise PartError("PART-009", part=part_id)
    if widest is not None and (not drawing.loops or widest.would_mm2 > largest_mm2):
        x_mm, y_mm = (round(each, 3) + 0.0 for each in widest.at_mm)
        words = {"x_mm": x_mm, "y_mm": y_mm, "gap_mm": round(widest.gap_mm, 3)}
        raise PartError("PART-094", part=part_id, loops=len(drawing.loops), layer=widest.layer, **words)
