"""Outlines that are discs: laid out by their centres, exactly, whatever way round they lie."""

from __future__ import annotations

import math
from typing import NamedTuple

import shapely
from shapely import affinity

from traywright.layout.asked import LayoutAsked
from traywright.layout.discs import discs_in_rectangle
from traywright.layout.offer import Effort, Placement
from traywright.layout.place import snapped_mm

ROUND_RATIO = 0.998  # source: area of a regular 64-gon over that of its circle, 0.9984
"""Share of the circle around it that an outline takes at least to count as a disc: a ring of 64 corners or more."""


class _Disc(NamedTuple):
    """The circle around an outline: its centre from the frame origin as the outline lies, and its radius."""

    x_mm: float
    y_mm: float
    radius_mm: float


def more_discs(
    asked: LayoutAsked, start: tuple[Placement, ...], bound: int, effort: Effort
) -> tuple[Placement, ...] | None:
    """The start or a layout of more discs; nothing if the question is not one of equal discs at one distance.

    Parameters
    ----------
    asked
        The question.
    start
        A layout that stands.
    bound
        Copies that no layout can beat.
    effort
        How long to look for each further one.
    """
    disc = _disc(asked)
    if disc is None:
        return None
    best, kind, rim = start, asked.kinds[0], asked.spacing.rim_of(asked.kinds[0].id)
    turn = round(asked.turns_deg[0] % 360.0, 6) + 0.0
    while len(best) + kind.in_kit <= bound:
        centres = discs_in_rectangle(
            disc.radius_mm,
            asked.spacing.beside(kind.id, kind.id).left_mm,
            asked.container.width_mm,
            asked.container.depth_mm,
            (rim.left_mm, rim.front_mm, rim.right_mm, rim.back_mm),
            count=len(best) + kind.in_kit,
            effort=effort,
        )
        if not centres:
            break
        best = tuple(Placement(kind.id, snapped_mm(x - disc.x_mm), snapped_mm(y - disc.y_mm), turn) for x, y in centres)
    return best


def _disc(asked: LayoutAsked) -> _Disc | None:
    """The disc that all copies are, if they are and nothing but one distance is asked for."""
    kind = asked.kinds[0]
    wall = asked.spacing.beside(kind.id, kind.id)
    if len(asked.kinds) > 1 or asked.container.no_go or kind.slots or not wall.alike:
        return None
    cell = affinity.rotate(kind.cell().shape, asked.turns_deg[0], origin=(0.0, 0.0))
    around = float(shapely.minimum_bounding_radius(cell))
    if cell.area < ROUND_RATIO * math.pi * around * around:
        return None
    centre = shapely.minimum_bounding_circle(cell).centroid
    x, y = snapped_mm(centre.x), snapped_mm(centre.y)
    return _Disc(x, y, around + math.hypot(centre.x - x, centre.y - y))
