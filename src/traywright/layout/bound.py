"""How many outlines no layout can beat: by area, by points in a rectangle, by lines that all must cross, by colouring.

Every bound is of the check that a layout passes, with the half snap step it gives: spacings are taken shorter by it
and the container wider. Where rows share slots a copy counts without them, so copies are taken without slots here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM, TIE_RATIO, TURN_DEG
from traywright.layout._bounds import Steps, upper_bound
from traywright.layout.asked import Kind, LayoutAsked
from traywright.layout.crossed import NO_BOUND, kits_by_lines
from traywright.layout.pairs import turned

INNER_CHORDS = 64
"""Chords of a quarter circle whose area must not come out too large: they lie inside the arc."""  # source: ours
FAN_DEG = 0.25
"""Step of the turns that are tried where any turn is allowed."""  # source: own timing


def count_bound(asked: LayoutAsked) -> int:
    """A count that no layout of the question can beat, in whole kits.

    Parameters
    ----------
    asked
        The question.

    Notes
    -----
    A kind that goes in in no turn allowed leaves nothing. Else the least of:

    Area. Two copies are nowhere nearer than the least spacing s that any pair asks for, so that copies grown by s / 2
    share no area. They lie in the container without its rims, grown by s / 2 with round corners. A copy stays w from
    a region with the wall w, so the part of the container that is nearer than w - s / 2 to the region is lost, and
    where w is less than s / 2 what lies deeper than s / 2 - w in it.

    Points. A disc in each copy, of one radius r for all: their centres keep d = 2 r + s in the rectangle without its
    rims and r, of area A and perimeter P, and Oler's inequality bounds points at a distance d in a convex set by
    2 A / (sqrt(3) d^2) + P / (2 d) + 1.

    Lines. See ``crossed``.

    Colouring. Equal rectangles along the axes without spacing (``_bounds``). With a spacing s corners may pass each
    other at s, each then less than s along both axes; what is shared by none is a rectangle longer by s / sqrt(2)
    both ways, whose corners lie on the outline grown by s / 2.

    References
    ----------
    Oler (1961), An inequality in the geometry of numbers, Acta Math. 105 (from memory; checked against published
    packings of circles). Barnes (1979): see ``_bounds``.
    """
    if not all(_goes_in(asked, one) for one in asked.kinds):
        return 0
    outlines = min(_by_points(asked), _by_colouring(asked))
    kits = min(_by_area(asked), _by_lines(asked), outlines // asked.kit_size)
    if asked.kits_most:
        kits = min(kits, asked.kits_most)
    return kits * asked.kit_size


def _room_mm(asked: LayoutAsked, kinds: Sequence[Kind]) -> tuple[float, float, float, float]:
    """Left, front, right, back of the rectangle in which kinds stay; the check lets half a snap step pass at a rim."""
    rims = [asked.spacing.rim_of(one.id) for one in kinds]
    return (
        min(one.left_mm for one in rims) - SAME_MM,
        min(one.front_mm for one in rims) - SAME_MM,
        asked.container.width_mm - min(one.right_mm for one in rims) + SAME_MM,
        asked.container.depth_mm - min(one.back_mm for one in rims) + SAME_MM,
    )


def _inner_mm(asked: LayoutAsked, kinds: Sequence[Kind]) -> tuple[float, float]:
    """Width and depth of that rectangle, 0 where rims leave nothing."""
    left, front, right, back = _room_mm(asked, kinds)
    return max(0.0, right - left), max(0.0, back - front)


def _size_mm(kind: Kind, turn_deg: float) -> tuple[float, float]:
    points = turned(shapely.get_coordinates(kind.body().shape.convex_hull), turn_deg)
    wide, deep = (points.max(axis=0) - points.min(axis=0)).tolist()
    return wide, deep


def _goes_in(asked: LayoutAsked, kind: Kind) -> bool:
    """True if the bare outline goes between the rims in a turn that is allowed."""
    wide, deep = _inner_mm(asked, (kind,))
    turns, given = asked.turns_deg, TIE_RATIO
    if asked.free_turn:
        # between two turns tried a width changes by no more than the outline's extent over half a step
        turns = tuple(step * FAN_DEG for step in range(round(360.0 / FAN_DEG)))
        given = math.radians(FAN_DEG / 2.0) * math.hypot(*kind.body().size_mm)
    sizes = (_size_mm(kind, turn) for turn in turns)
    return any(size[0] <= wide + given and size[1] <= deep + given for size in sizes)


def _least_spacing_mm(asked: LayoutAsked) -> float:
    """The least distance that the check of any two copies lets pass: below 0 where they may overlap by as much."""
    ids = [one.id for one in asked.kinds]
    beside = asked.spacing.beside
    return min(max(min(beside(a, b).each_mm()), min(beside(b, a).each_mm())) for a in ids for b in ids) - SAME_MM


def _by_area(asked: LayoutAsked) -> int:
    """Kits by area."""
    half = max(0.0, _least_spacing_mm(asked) / 2.0)
    wide, deep = _inner_mm(asked, asked.kinds)
    area = wide * deep + 2.0 * (wide + deep) * half + math.pi * half**2 - _taken_mm2(asked, half)
    kit = sum(one.in_kit * float(_alone(asked, one).area) for one in asked.kinds)
    return int(max(0.0, area) / kit * (1.0 + TIE_RATIO)) if kit > 0.0 else NO_BOUND


def _taken_mm2(asked: LayoutAsked, half_mm: float) -> float:
    """Area within the rims that no copy grown by half the least spacing can reach for the regions that are barred."""
    if not asked.container.no_go:
        return 0.0
    barred = [
        one.region.shape.buffer(one.wall_mm - SNAP_MM - half_mm, quad_segs=INNER_CHORDS)
        for one in asked.container.no_go
    ]
    return float(shapely.union_all(barred).intersection(shapely.box(*_room_mm(asked, asked.kinds))).area)


def _alone(asked: LayoutAsked, kind: Kind) -> BaseGeometry:
    """What of a copy no other shares: grown by half the least spacing, or without what the check lets overlap."""
    least = _least_spacing_mm(asked)
    return kind.body().shape.buffer(least / 2.0 if least > 0.0 else -2.0 * SAME_MM, quad_segs=INNER_CHORDS)


def _by_points(asked: LayoutAsked) -> int:
    """Copies by Oler's inequality for discs that lie in them."""
    radius = min(
        float(shapely.maximum_inscribed_circle(one.body().shape, tolerance=SNAP_MM).length) for one in asked.kinds
    )
    distance = 2.0 * radius + _least_spacing_mm(asked)
    if distance <= SNAP_MM:
        return NO_BOUND
    wide, deep = (max(0.0, side - 2.0 * radius) for side in _inner_mm(asked, asked.kinds))
    area, perimeter = wide * deep, 2.0 * (wide + deep)
    return int(2.0 * area / (math.sqrt(3.0) * distance**2) + perimeter / (2.0 * distance) + 1.0 + TIE_RATIO)


def _by_lines(asked: LayoutAsked) -> int:
    """Kits by lines along x and by lines along y."""
    half = max(0.0, _least_spacing_mm(asked) / 2.0)
    wide, deep = (side + 2.0 * half for side in _inner_mm(asked, asked.kinds))
    alone = [(one, _alone(asked, one)) for one in asked.kinds]
    if asked.free_turn or any(shape.is_empty for _, shape in alone):
        return NO_BOUND
    found = []
    for base, along, across in ((0.0, wide, deep), (90.0, deep, wide)):
        kinds = [(one.in_kit, [_turned(shape, turn + base) for turn in _turns(asked, one)]) for one, shape in alone]
        found.append(kits_by_lines(kinds, along, across))
    return min(found)


def _turned(shape: BaseGeometry, turn_deg: float) -> BaseGeometry:
    made: BaseGeometry = shapely.transform(shape, lambda points: turned(points, turn_deg))
    return made


def _turns(asked: LayoutAsked, kind: Kind) -> tuple[float, ...]:
    """The turns allowed in which a kind goes in."""
    wide, deep = _inner_mm(asked, (kind,))
    sizes = [(turn, _size_mm(kind, turn)) for turn in asked.turns_deg]
    return tuple(turn for turn, size in sizes if size[0] <= wide + TIE_RATIO and size[1] <= deep + TIE_RATIO)


def _by_colouring(asked: LayoutAsked) -> int:
    """Copies of a rectangle that lies along the axes in every turn allowed."""
    kind, least = asked.kinds[0], _least_spacing_mm(asked)
    size = kind.body().size_mm
    square = size[0] * size[1] - kind.body().area_mm2 <= SNAP_MM * SNAP_MM
    quarter = all(abs((turn + 45.0) % 90.0 - 45.0) < TURN_DEG for turn in asked.turns_deg)
    if len(asked.kinds) > 1 or asked.free_turn or not square or not quarter:
        return NO_BOUND
    longer = least / math.sqrt(2.0) if least > 0.0 else -4.0 * SAME_MM
    wide, deep = (side + max(0.0, longer) for side in _inner_mm(asked, asked.kinds))
    steps = Steps(
        width=int(wide / SNAP_MM * (1.0 + TIE_RATIO)),
        depth=int(deep / SNAP_MM * (1.0 + TIE_RATIO)),
        item_width=int((size[0] + longer) / SNAP_MM),
        item_depth=int((size[1] + longer) / SNAP_MM),
    )
    return upper_bound(steps) if min(steps.item_width, steps.item_depth) > 0 else NO_BOUND
