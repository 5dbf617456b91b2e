"""The check that each layout passes at the end: bare outlines and exact distances, nothing of any search."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from shapely.strtree import STRtree

from traywright.base.tolerance import SAME_MM, SNAP_MM, TURN_DEG
from traywright.layout.asked import Kind, LayoutAsked, Sides
from traywright.layout.gauge import gauge_ratio
from traywright.layout.offer import Placement, Slot


class Fault(NamedTuple):
    """One thing that a layout does not keep: ``pair``, ``rim``, ``no-go``, ``slot``, ``turn`` or ``kit``.

    ``here`` and ``there`` are numbers of placements, of a region or of a slot; -1 where there is none.
    """

    kind: str
    here: int
    there: int
    needed_mm: float
    actual_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What the check of a layout says: its faults, and the least distance of any two cells (infinite for one)."""

    faults: tuple[Fault, ...]
    least_wall_mm: float


def check_layout(asked: LayoutAsked, placements: Sequence[Placement], slots: Sequence[Slot] = ()) -> Checked:
    """Every fault of a layout against its question.

    Parameters
    ----------
    asked
        The question.
    placements
        Where the copies stand.
    slots
        Slots that run through rows; with them a copy's own slots must lie within these, and count for nothing else.

    Notes
    -----
    Two copies keep their spacing if they share no area and each stands as far from the other as its own sides ask for,
    in its own frame. Half a snap step is given.
    """
    cells = [_stood(_cell(asked.kind(one.kind), alone=not slots), one) for one in placements]
    pairs = list(_pairs(asked, placements, cells))
    faults = [
        *(one for one, _ in pairs if one is not None),
        *_rims(asked, placements, cells),
        *_no_go(asked, cells, slots),
        *_slots(asked, placements, cells, slots),
        *_turns(asked, placements),
        *_kits(asked, placements),
    ]
    return Checked(faults=tuple(faults), least_wall_mm=min((mm for _, mm in pairs), default=math.inf))


def _cell(kind: Kind, *, alone: bool) -> BaseGeometry:
    region = kind.cell() if alone else kind.body()
    return region.shape.geoms[0]


def _stood(shape: BaseGeometry, one: Placement) -> BaseGeometry:
    turned = affinity.rotate(shape, one.turn_deg, origin=(0.0, 0.0))
    return affinity.translate(turned, one.x_mm, one.y_mm)


def _pairs(
    asked: LayoutAsked, placements: Sequence[Placement], cells: Sequence[BaseGeometry]
) -> Iterator[tuple[Fault | None, float]]:
    """For each two copies that stand near: the fault, if there is one, and their distance."""
    reach = max([*asked.spacing.wall.each_mm(), *(side for one in asked.spacing.pairs for side in one.wall.each_mm())])
    shapely.prepare(cells)
    tree = STRtree(cells)
    for number, cell in enumerate(cells):
        box = shapely.box(*cell.bounds).buffer(reach + SNAP_MM, join_style="mitre")
        for other in sorted(int(k) for k in tree.query(box)):
            if other > number:
                yield _pair(asked, placements, cells, (number, other))
    if len(cells) > 1:
        yield None, _least_mm(cells)


def _least_mm(cells: Sequence[BaseGeometry]) -> float:
    """The least distance of any two cells, near or far."""
    tree = STRtree(cells)
    _, apart = tree.query_nearest(cells, exclusive=True, return_distance=True, all_matches=False)
    return float(apart.min())


def _pair(
    asked: LayoutAsked, placements: Sequence[Placement], cells: Sequence[BaseGeometry], numbers: tuple[int, int]
) -> tuple[Fault | None, float]:
    here, there = (cells[k] for k in numbers)
    one, other = (placements[k] for k in numbers)
    apart = float(here.distance(there))
    needs = (asked.spacing.beside(one.kind, other.kind), asked.spacing.beside(other.kind, one.kind))
    if apart <= 0.0 and _overlap(here, there):
        return Fault("pair", *numbers, max(max(need.each_mm()) for need in needs), -1.0), apart
    for need, (own, beside, turn) in zip(
        needs, ((here, there, one.turn_deg), (there, here, other.turn_deg)), strict=True
    ):
        needed, actual = _need(own, beside, need, turn, apart)
        if actual < needed - SAME_MM:
            return Fault("pair", *numbers, needed, actual), apart
    return None, apart


def _overlap(here: BaseGeometry, there: BaseGeometry) -> bool:
    """True if two areas share more than a sliver half a snap step thin."""
    return bool(here.buffer(-SAME_MM / 2.0).intersects(there.buffer(-SAME_MM / 2.0)))


def _need(
    own: BaseGeometry, beside: BaseGeometry, need: Sides, turn_deg: float, apart_mm: float
) -> tuple[float, float]:
    """What is needed and what is there, mm; where it differs by direction both as if along the widest side."""
    widest = max(need.each_mm())
    if need.alike:
        return widest, apart_mm
    if apart_mm <= 0.0:
        return 0.0, 0.0
    rings = [
        shapely.get_coordinates(shapely.get_exterior_ring(affinity.rotate(one, -turn_deg, origin=(0.0, 0.0))))[:-1]
        for one in (own, beside)
    ]
    ratio = gauge_ratio(rings[0], rings[1], need)
    # half a snap step in whichever direction it lies, told along the widest side
    least = max(min(need.each_mm()), SNAP_MM)
    return widest, min(widest, ratio * widest + SAME_MM * (widest / least - 1.0))


def _rims(asked: LayoutAsked, placements: Sequence[Placement], cells: Sequence[BaseGeometry]) -> Iterator[Fault]:
    container = asked.container
    for number, (one, cell) in enumerate(zip(placements, cells, strict=True)):
        rim = asked.spacing.rim_of(one.kind)
        left, front, right, back = cell.bounds
        sides = (
            (rim.left_mm, left),
            (rim.front_mm, front),
            (rim.right_mm, container.width_mm - right),
            (rim.back_mm, container.depth_mm - back),
        )
        yield from (
            Fault("rim", number, side, needed, actual)
            for side, (needed, actual) in enumerate(sides)
            if actual < needed - SAME_MM
        )


def _no_go(asked: LayoutAsked, cells: Sequence[BaseGeometry], slots: Sequence[Slot]) -> Iterator[Fault]:
    shapes = [*cells, *(shapely.box(*one) for one in slots)]
    for number, region in enumerate(asked.container.no_go):
        for here, cell in enumerate(shapes):
            apart = float(cell.distance(region.region.shape)) if not region.region.is_empty else math.inf
            shared = apart <= 0.0 and _overlap(cell, region.region.shape)
            if shared or apart < region.wall_mm - SAME_MM:
                yield Fault("no-go", here, number, region.wall_mm, -1.0 if shared else apart)


def _slots(
    asked: LayoutAsked, placements: Sequence[Placement], cells: Sequence[BaseGeometry], slots: Sequence[Slot]
) -> Iterator[Fault]:
    """A copy's own slots lie in slots given; of every other slot it, and that slot's own, stay as far off as a wall."""
    if not slots:
        return
    wall = max(asked.spacing.wall.each_mm())
    boxes = [shapely.box(*one) for one in slots]
    own: list[set[int]] = []
    for number, one in enumerate(placements):
        held = [_holding(boxes, shape) for shape in _own_slots(asked.kind(one.kind), one)]
        yield from (Fault("slot", number, -1, 0.0, 0.0) for each in held if not each)
        own.append(set().union(*held))
    for k, box in enumerate(boxes):
        beside = {j for held in own if k in held for j in held} | {k}
        near = [(number, cell) for number, cell in enumerate(cells) if k not in own[number]]
        near += [(j, other) for j, other in enumerate(boxes) if j not in beside]
        for number, shape in near:
            apart = float(shape.distance(box))
            if apart < wall - SAME_MM:
                yield Fault("slot", number, k, wall, apart)


def _holding(boxes: Sequence[BaseGeometry], shape: BaseGeometry) -> set[int]:
    return {k for k, box in enumerate(boxes) if box.buffer(2.0 * SNAP_MM).covers(shape)}


def _own_slots(kind: Kind, one: Placement) -> Iterator[BaseGeometry]:
    """Each slot of a copy as long as its outline."""
    left, _, right, _ = kind.outline.bounds_mm
    for slot in kind.slots:
        half = slot.width_mm / 2.0
        yield _stood(shapely.box(left, slot.line_mm - half, right, slot.line_mm + half), one)


def _turns(asked: LayoutAsked, placements: Sequence[Placement]) -> Iterator[Fault]:
    """Each copy stands in a turn that is allowed, where the turn is free after all are turned back by one angle."""
    bases = [0.0]
    if asked.free_turn and placements:
        bases = [placements[0].turn_deg - turn for turn in asked.turns_deg]
    wrong = [
        [number for number, one in enumerate(placements) if not _allowed(asked, one.turn_deg - base)] for base in bases
    ]
    yield from (Fault("turn", number, -1, 0.0, 0.0) for number in min(wrong, key=len))


def _allowed(asked: LayoutAsked, turn_deg: float) -> bool:
    return any(abs((turn_deg - one + 180.0) % 360.0 - 180.0) < 2.0 * TURN_DEG for one in asked.turns_deg)


def _kits(asked: LayoutAsked, placements: Sequence[Placement]) -> Iterator[Fault]:
    """Whole kits only, and no more than asked for."""
    counts = Counter(one.kind for one in placements)
    kits = {counts[kind.id] / kind.in_kit for kind in asked.kinds}
    most = asked.kits_most or math.inf
    if len(kits) > 1 or not all(one.is_integer() and one <= most for one in kits):
        yield Fault("kit", -1, -1, 0.0, 0.0)
