"""Outlines that are rectangles: laid out by their sizes, exactly, without a raster."""

from __future__ import annotations

import math
from typing import NamedTuple

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.asked import LayoutAsked
from traywright.layout.offer import Placement
from traywright.layout.place import same_turn, snapped_mm
from traywright.layout.rectangles import pack_rectangles


class Boxes(NamedTuple):
    """Rectangles in rows of one way, and as many as blocks and pinwheels take."""

    rows: tuple[tuple[Placement, ...], ...]
    most: tuple[Placement, ...]


def boxes_of(asked: LayoutAsked) -> Boxes | None:
    """The layouts of a question that is one of equal rectangles at one distance, else nothing.

    Parameters
    ----------
    asked
        The question.
    """
    if not _are_boxes(asked):
        return None
    lying = {quarter: _turn(asked, quarter) for quarter in (0, 1)}
    ways = [turn for turn in lying.values() if turn is not None]
    rows = max((_grid(asked, turn) for turn in ways), key=lambda one: sum(map(len, one)), default=())
    most = tuple(one for row in rows for one in row)
    if lying[0] is not None and lying[1] is not None:
        packed = _packed(asked, (lying[0], lying[1]))
        most = packed if len(packed) > len(most) else most
    return Boxes(rows, most)


def _are_boxes(asked: LayoutAsked) -> bool:
    kind, spacing = asked.kinds[0], asked.spacing
    plain = not (asked.container.no_go or spacing.pairs or kind.slots or asked.free_turn)
    if len(asked.kinds) > 1 or asked.kit_size > 1 or not plain or not spacing.wall.alike:
        return False
    cell = kind.cell()
    wide, deep = cell.size_mm
    quarter = all(any(same_turn(turn, 90.0 * k) for k in range(4)) for turn in asked.turns_deg)
    return quarter and wide * deep - cell.area_mm2 <= SAME_MM * (wide + deep)


def _turn(asked: LayoutAsked, quarter: int) -> float | None:
    """The first turn allowed that lays the rectangle along x (0) or across (1)."""
    ways = [turn for turn in asked.turns_deg if any(same_turn(turn, 90.0 * k) for k in (quarter, quarter + 2))]
    return min(ways, default=None)


def _inner_mm(asked: LayoutAsked) -> tuple[float, float, float, float]:
    """Left, front, width and depth of the container within its rims."""
    rim = asked.spacing.rim_of(asked.kinds[0].id)
    wide = asked.container.width_mm - rim.left_mm - rim.right_mm
    return rim.left_mm, rim.front_mm, wide, asked.container.depth_mm - rim.front_mm - rim.back_mm


def _placed(asked: LayoutAsked, turn_deg: float, corner_mm: tuple[float, float]) -> Placement:
    """The placement of a copy whose turned rectangle has its lower left corner there."""
    left, front, _, _ = _turned(asked, turn_deg).bounds_mm
    return Placement(
        asked.kinds[0].id,
        snapped_mm(corner_mm[0] - left),
        snapped_mm(corner_mm[1] - front),
        round(turn_deg % 360.0, 6) + 0.0,
    )


def _turned(asked: LayoutAsked, turn_deg: float) -> Region:
    return asked.kinds[0].cell().turned(turn_deg)


def best_grid(asked: LayoutAsked) -> tuple[tuple[Placement, ...], ...]:
    """Rows of one way whose bounding boxes keep the widest wall, in the turn that takes most; exact, for any outline.

    Parameters
    ----------
    asked
        The question; of several kinds, or with regions that nothing may enter, no grid is made.
    """
    if len(asked.kinds) > 1 or asked.container.no_go or asked.kinds[0].slots:
        return ()
    return max((_grid(asked, turn) for turn in asked.turns_deg), key=lambda one: sum(map(len, one)), default=())


def _grid(asked: LayoutAsked, turn_deg: float) -> tuple[tuple[Placement, ...], ...]:
    """Rows of one way in the middle of the container, at pitches of whole snap steps."""
    left, front, wide, deep = _inner_mm(asked)
    kind = asked.kinds[0].id
    wall = max(asked.spacing.beside(kind, kind).each_mm())
    size = _turned(asked, turn_deg).size_mm
    pitch = [math.ceil((one + wall - SAME_MM / 10.0) / SNAP_MM) * SNAP_MM for one in size]
    counts = [
        int((room - one + SAME_MM) / step) + 1 if room - one > -SAME_MM else 0
        for room, one, step in zip((wide, deep), size, pitch, strict=True)
    ]
    if min(counts) <= 0:
        return ()
    spare = [
        max(0.0, room - one - (count - 1) * step) / 2.0
        for room, one, count, step in zip((wide, deep), size, counts, pitch, strict=True)
    ]
    start = (snapped_mm(left + spare[0]), snapped_mm(front + spare[1]))
    return tuple(
        tuple(_placed(asked, turn_deg, (start[0] + x * pitch[0], start[1] + y * pitch[1])) for x in range(counts[0]))
        for y in range(counts[1])
    )


def _packed(asked: LayoutAsked, turns_deg: tuple[float, float]) -> tuple[Placement, ...]:
    left, front, wide, deep = _inner_mm(asked)
    size = _turned(asked, turns_deg[0]).size_mm
    if min(wide, deep) <= 0.0:
        return ()
    found = pack_rectangles(
        width_mm=wide,
        depth_mm=deep,
        item_width_mm=size[0],
        item_depth_mm=size[1],
        kerf_mm=asked.spacing.wall.left_mm,
        edge_mm=0.0,
    )
    return tuple(
        _placed(asked, turns_deg[1] if turn else turns_deg[0], (left + x, front + y)) for x, y, turn in found.placements
    )
