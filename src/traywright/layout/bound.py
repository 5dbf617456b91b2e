"""How many outlines no layout can beat, by area, by points in a rectangle, or by colouring."""

from __future__ import annotations

import math

import shapely

from traywright.base.tolerance import SAME_MM, SNAP_MM, TIE_RATIO
from traywright.layout._bounds import Steps, upper_bound
from traywright.layout.asked import Kind, LayoutAsked

INNER_CHORDS = 64
"""Chords of a quarter circle whose area must not come out too large: they lie inside the arc."""
FAN_DEG = 0.25
"""Step of the turns that are tried where any turn is allowed."""


def count_bound(asked: LayoutAsked) -> int:
    """A count that no layout of the question can beat, in whole kits.

    Parameters
    ----------
    asked
        The question.

    Notes
    -----
    Each copy, grown by half the least spacing that any pair asks for, shares no area with any other and lies in the
    container without its rims, grown by as much: areas bound the kits. Equal discs are points: their centres keep a
    distance d in a rectangle of area A and perimeter P, and Oler's inequality bounds them by
    2 A / (sqrt(3) d^2) + P / (2 d) + 1. Equal rectangles that lie along the axes are bounded by a colouring
    (``_bounds``). A kind that goes in in no turn allowed leaves nothing.

    References
    ----------
    Oler (1961), An inequality in the geometry of numbers, Acta Math. 105 (from memory; checked against published
    packings of circles).
    """
    if not all(_goes_in(asked, one) for one in asked.kinds):
        return 0
    kits = _by_area(asked)
    if len(asked.kinds) == 1:
        for more in (_by_points(asked), _by_colouring(asked)):
            kits = min(kits, more // asked.kit_size)
    if asked.kits_most:
        kits = min(kits, asked.kits_most)
    return kits * asked.kit_size


def _inner_mm(asked: LayoutAsked, kind: Kind) -> tuple[float, float]:
    rim = asked.spacing.rim_of(kind.id)
    wide = asked.container.width_mm - rim.left_mm - rim.right_mm
    # the check lets half a snap step pass at each rim
    deep = asked.container.depth_mm - rim.front_mm - rim.back_mm
    return wide + 2.0 * SAME_MM, deep + 2.0 * SAME_MM


def _goes_in(asked: LayoutAsked, kind: Kind) -> bool:
    """True if the bare outline goes between the rims in a turn that is allowed."""
    wide, deep = _inner_mm(asked, kind)
    if min(wide, deep) <= SNAP_MM:
        return False
    turns = asked.turns_deg
    if asked.free_turn:
        return _goes_in_anyhow(kind, wide, deep)
    sizes = (kind.body().turned(turn).size_mm for turn in turns)
    return any(size[0] <= wide and size[1] <= deep for size in sizes)


def _goes_in_anyhow(kind: Kind, wide: float, deep: float) -> bool:
    """True unless no turn at all lets the outline in: between two turns tried a size changes by a known share only."""
    hull = kind.body().hull()
    left, front, right, back = hull.bounds_mm
    given = math.radians(FAN_DEG / 2.0) * math.hypot(right - left, back - front)
    for step in range(round(360.0 / FAN_DEG)):
        size = hull.turned(step * FAN_DEG).size_mm
        if size[0] <= wide + given and size[1] <= deep + given:
            return True
    return False


def _by_area(asked: LayoutAsked) -> int:
    """Kits by area."""
    least = _least_spacing_mm(asked)
    wide, deep = (max(_inner_mm(asked, one)[k] for one in asked.kinds) + least for k in (0, 1))
    kit = sum(one.in_kit * _grown_area_mm2(one, least / 2.0) for one in asked.kinds)
    return int(max(0.0, wide) * max(0.0, deep) / kit * (1.0 + TIE_RATIO))


def _least_spacing_mm(asked: LayoutAsked) -> float:
    """The least distance that the check of any two copies lets pass."""
    ids = [one.id for one in asked.kinds]
    least = min(
        max(min(asked.spacing.beside(a, b).each_mm()), min(asked.spacing.beside(b, a).each_mm()))
        for a in ids
        for b in ids
    )
    return max(0.0, least - SAME_MM)


def _grown_area_mm2(kind: Kind, by_mm: float) -> float:
    body = kind.body().shape
    return float(body.buffer(by_mm, quad_segs=INNER_CHORDS).area) if by_mm > SNAP_MM else float(body.area)


def _by_points(asked: LayoutAsked) -> int:
    """Copies of one kind by Oler's inequality for the discs that lie in them."""
    kind = asked.kinds[0]
    body = kind.body().shape.geoms[0]
    inner = shapely.maximum_inscribed_circle(body, tolerance=SNAP_MM)
    radius = float(inner.length)
    distance = 2.0 * radius + _least_spacing_mm(asked)
    if distance <= SNAP_MM:
        return 10**9
    wide, deep = _room_of_centres(asked, kind, radius)
    area, perimeter = wide * deep, 2.0 * (wide + deep)
    return int(2.0 * area / (math.sqrt(3.0) * distance**2) + perimeter / (2.0 * distance) + 1.0 + TIE_RATIO)


def _room_of_centres(asked: LayoutAsked, kind: Kind, radius_mm: float) -> tuple[float, float]:
    """The rectangle in which the centres of all inner discs lie."""
    wide, deep = _inner_mm(asked, kind)
    return max(0.0, wide - 2.0 * radius_mm), max(0.0, deep - 2.0 * radius_mm)


def _by_colouring(asked: LayoutAsked) -> int:
    """Copies of a rectangle that lies along the axes in every turn allowed."""
    kind, wall = asked.kinds[0], asked.spacing.wall
    size = kind.body().size_mm
    square = size[0] * size[1] - kind.body().area_mm2 <= SAME_MM * (size[0] + size[1])
    quarter = all(abs((turn + 45.0) % 90.0 - 45.0) < SNAP_MM for turn in asked.turns_deg)
    if asked.free_turn or not square or not quarter or not wall.alike or asked.spacing.pairs:
        return 10**9
    wide, deep = _inner_mm(asked, kind)
    steps = Steps(
        width=int((wide + wall.left_mm) / SNAP_MM),
        depth=int((deep + wall.left_mm) / SNAP_MM),
        item_width=round((size[0] + wall.left_mm) / SNAP_MM),
        item_depth=round((size[1] + wall.left_mm) / SNAP_MM),
    )
    return upper_bound(steps)
