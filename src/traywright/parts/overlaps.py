"""Straight edges of one layer that lie on each other, whole or in part, made one."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from traywright.base.tolerance import DRAWN_MM, SNAP_MM
from traywright.geometry import Edge, Point
from traywright.parts.drawing_limits import MOST_PAIRINGS, check_count
from traywright.parts.pieces import Doubled, Piece, in_order, without_same

DIRECTIONS = 3142
"""Directions that straight edges are sorted by before they are compared.  # source: ours: a thousandth of a radian"""


def without_doubles(pieces: Iterable[Piece]) -> tuple[list[Piece], list[Doubled]]:
    """Edges, each once, and what was dropped: the same edge again, and where straight ones lie on each other.

    Parameters
    ----------
    pieces
        Edges of one layer and colour, in any order and sense.

    Raises
    ------
    PartError
        PART-029 if more lie on each other than in any drawing.
    """
    kept, dropped = without_same(in_order(pieces))
    straight = [one for one in kept if not one.edge.is_arc]
    bent = [one for one in kept if one.edge.is_arc]
    for shift in (0.0, 0.5):  # neighbours that fall to two directions once fall to one the other time
        straight, overlaps = _merged_by_direction(in_order(straight), shift)
        dropped += overlaps
    return in_order((*straight, *bent)), dropped


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A straight edge in a frame that lies along its direction: how far it runs along, how far off it lies."""

    piece: Piece
    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float


def _laid(piece: Piece, way: Point) -> _Laid:
    """An edge in the frame of a direction, run along it."""
    (cos, sin), ends = way, piece.ends_mm
    first, last = (x * cos + y * sin for x, y in ends)
    if first > last:
        return _laid(piece.turned(), way)
    low, high = sorted(y * cos - x * sin for x, y in ends)
    return _Laid(piece=piece, from_mm=first, to_mm=last, low_mm=low, high_mm=high)


def _merged_by_direction(pieces: list[Piece], shift: float) -> tuple[list[Piece], list[Doubled]]:
    """Edges of about one direction, compared with each other."""
    step = math.pi / DIRECTIONS
    by_direction: dict[int, list[Piece]] = defaultdict(list)
    for one in pieces:
        (ax, ay), (bx, by) = one.ends_mm
        way = math.atan2(by - ay, bx - ax) % math.pi
        by_direction[math.floor(way / step + shift) % DIRECTIONS].append(one)
    kept, overlaps, compared = [], [], 0
    for direction, alike in sorted(by_direction.items()):
        turn = (direction + 0.5 - shift) * step
        for row in _rows([_laid(one, (math.cos(turn), math.sin(turn))) for one in alike]):
            found, doubled, tried = _swept(row)
            kept += found
            overlaps += doubled
            compared += tried
            check_count(compared, MOST_PAIRINGS)
    return kept, overlaps


def _rows(edges: list[_Laid]) -> Iterator[list[_Laid]]:
    """Edges that lie about equally far off, together."""
    row: list[_Laid] = []
    high = -math.inf
    for one in sorted(edges, key=lambda each: (each.low_mm, each.from_mm)):
        if row and one.low_mm > high + SNAP_MM:
            yield row
            row, high = [], -math.inf
        row.append(one)
        high = max(high, one.high_mm)
    if row:
        yield row


def _swept(row: list[_Laid]) -> tuple[list[Piece], list[Doubled], int]:
    """One row from end to end: an edge that lies on one still running makes that one longer."""
    done: list[Piece] = []
    overlaps: list[Doubled] = []
    running: list[_Laid] = []
    tried = 0
    for one in sorted(row, key=lambda each: (each.from_mm, each.to_mm, each.low_mm)):
        over = [each for each in running if each.to_mm <= one.from_mm]
        done += [each.piece for each in over]
        running = [each for each in running if each.to_mm > one.from_mm]
        tried += len(running)
        check_count(tried, MOST_PAIRINGS)
        on = next((each for each in running if _lies_on(one.piece.edge, each.piece.edge)), None)
        shared_mm = min(on.to_mm, one.to_mm) - one.from_mm if on else 0.0
        if on is None or shared_mm <= DRAWN_MM:
            running.append(one)
            continue
        overlaps.append(_overlap(one, shared_mm))
        running[running.index(on)] = _longer(on, one)
    return [*done, *(each.piece for each in running)], overlaps, tried


def _lies_on(one: Edge, other: Edge) -> bool:
    """True if the ends of the shorter edge lie on the straight line of the longer one."""
    short, long = sorted((one, other), key=lambda each: each.chord_mm)
    (ax, ay), (bx, by), length = long.start_mm, long.end_mm, long.chord_mm
    return all(
        abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) <= SNAP_MM * length for x, y in (short.start_mm, short.end_mm)
    )


def _overlap(one: _Laid, shared_mm: float) -> Doubled:
    """What an edge shares with one that started before it."""
    (ax, ay), (bx, by) = one.piece.ends_mm
    share = shared_mm / 2.0 / (one.to_mm - one.from_mm)
    return Doubled(at_mm=(ax + (bx - ax) * share, ay + (by - ay) * share), length_mm=shared_mm)


def _longer(on: _Laid, one: _Laid) -> _Laid:
    """Two edges that lie on each other as one, between their outermost ends."""
    if one.to_mm <= on.to_mm:
        return on
    start, end = on.piece.edge.start_mm, one.piece.edge.end_mm
    piece = replace(on.piece, edge=Edge(start_mm=start, end_mm=end, bulge_ratio=0.0))
    low, high = min(on.low_mm, one.low_mm), max(on.high_mm, one.high_mm)
    return _Laid(piece=piece, from_mm=on.from_mm, to_mm=one.to_mm, low_mm=low, high_mm=high)
