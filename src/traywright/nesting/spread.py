"""Pieces spread over sheets: full sheets of one kind, and sheets that several kinds share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from traywright.base.tolerance import SNAP_MM
from traywright.layout import LIES, RectangleLayout, fill_shelves, pack_rectangles, snapped_mm
from traywright.nesting.blank import Blank
from traywright.nesting.kinds import PlyCount
from traywright.nesting.screws import SCREW_HEAD_MM
from traywright.trays.tray import Ply

SHELVED_MOST = 400
"""Pieces up to which it is tried whether all kinds share sheets better than each alone.  # source: own timing, 1 s"""


class Spot(NamedTuple):
    """Where the rectangle around a ply lies: its lower left corner as turned, and its size at turn 0."""

    x_mm: float
    y_mm: float
    turn_deg: int
    ply: str
    wide_mm: float
    deep_mm: float

    @property
    def right_mm(self) -> float:
        """Its right edge."""
        return self.x_mm + (self.deep_mm if self.turn_deg else self.wide_mm)

    @property
    def back_mm(self) -> float:
        """Its back edge."""
        return self.y_mm + (self.wide_mm if self.turn_deg else self.deep_mm)


Sheet = tuple[Spot, ...]
Sheets = tuple[Sheet, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What lies on the bed and what pieces keep from it and from each other."""

    blank: Blank
    edge_mm: float
    kerf_mm: float

    @property
    def rims_mm(self) -> tuple[float, ...]:
        """Distances from the edges to try: room for a screw head beside the cutter's way, then the board's edge."""
        held = self.kerf_mm + SCREW_HEAD_MM
        return (held, self.edge_mm) if held > self.edge_mm else (self.edge_mm,)

    @property
    def inside_mm2(self) -> float:
        """Area within the board's edge and with one kerf, mm²; a snap step is added for sizes that just fit."""
        grown = self.kerf_mm - 2.0 * self.edge_mm + SNAP_MM
        return (self.blank.width_mm + grown) * (self.blank.depth_mm + grown)

    def left_of(self, sheet: Sheet) -> tuple[str, float, float]:
        """The larger rectangle that stays along the right or the back: its side, width and depth, mm.

        Parameters
        ----------
        sheet
            What lies on the blank, one piece or more.
        """
        wide = self.blank.width_mm - max(one.right_mm for one in sheet) - self.kerf_mm
        deep = self.blank.depth_mm - max(one.back_mm for one in sheet) - self.kerf_mm
        right = ("right", snapped_mm(max(wide, 0.0)), self.blank.depth_mm)
        back = ("back", self.blank.width_mm, snapped_mm(max(deep, 0.0)))
        return max(right, back, key=lambda one: round(one[1] * one[2], 3))

    def left_mm2(self, sheet: Sheet) -> float:
        """Area of that rectangle, mm²."""
        _, wide, deep = self.left_of(sheet)
        return round(wide * deep, 3)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Packed:
    """As many of one kind as a sheet holds, and the rim they keep."""

    layout: RectangleLayout
    rim_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """One way to lay all pieces; ``rim`` is the number of the rim they keep, the widest first."""

    rim: int
    sheets: Sheets


def goes_on(ply: Ply, room: Room) -> bool:
    """True if one of a ply lies on the blank, clear of its edges.

    Parameters
    ----------
    ply
        What is wanted.
    room
        The blank, its edge and the kerf.
    """
    return bool(_shelved([ply], room, rim_mm=room.edge_mm))


def spread(laid: Sequence[PlyCount], room: Room) -> tuple[Sheets, int]:
    """The sheets in the order they are cut, and the most of one size that no sheet can beat (0 where not asked).

    Parameters
    ----------
    laid
        Kinds and counts; each goes on a sheet alone.
    room
        The blank, its edge and the kerf.
    """
    together = _together(laid, room, most=1)
    if together:
        return together, 0
    packed = {one.ply.id: _packed(one.ply, room) for one in laid}
    sheets = _kind_by_kind(laid, packed, room)
    if len(laid) > 1 and sum(one.count for one in laid) <= SHELVED_MOST:
        shared = _together(laid, room, most=len(sheets))
        sheets = min((one for one in (sheets, shared) if one), key=lambda one: (len(one), len(set(one))))
    sizes = {tuple(sorted(one.ply.region.size_mm)) for one in laid}
    return sheets, packed[laid[0].ply.id].layout.bound if len(sizes) == 1 else 0


def _packed(ply: Ply, room: Room) -> _Packed:
    """As many of one kind as a sheet holds, with the wide rim where it costs no piece."""
    width, depth = ply.region.size_mm
    found = [
        _Packed(
            layout=pack_rectangles(
                width_mm=room.blank.width_mm,
                depth_mm=room.blank.depth_mm,
                item_width_mm=width,
                item_depth_mm=depth,
                kerf_mm=room.kerf_mm,
                edge_mm=rim,
            ),
            rim_mm=rim,
        )
        for rim in room.rims_mm
    ]
    return max(found, key=lambda one: one.layout.count)


def _kind_by_kind(laid: Sequence[PlyCount], packed: Mapping[str, _Packed], room: Room) -> Sheets:
    """Full sheets of each kind, then the rests together."""
    full: list[Sheet] = []
    rests: list[PlyCount] = []
    for one in laid:
        most = packed[one.ply.id].layout.count
        runs, rest = divmod(one.count, most)
        if runs:
            full += [_one_sheet(PlyCount(ply=one.ply, count=most), packed[one.ply.id], room)] * runs
        if rest:
            rests.append(PlyCount(ply=one.ply, count=rest))
    if not rests:
        return tuple(full)
    alone = tuple(_one_sheet(one, packed[one.ply.id], room) for one in rests)
    shared = _together(rests, room, most=len(rests)) if len(rests) > 1 else ()
    return (*full, *(shared or alone))


def _one_sheet(wanted: PlyCount, packed: _Packed, room: Room) -> Sheet:
    """One sheet with so many of one kind: rows one way or the other, or the first of the packed layout."""
    wide, deep = wanted.ply.region.size_mm
    places = packed.layout.placements[: wanted.count]
    first = tuple(Spot(one.x_mm, one.y_mm, one.turn_deg, wanted.ply.id, wide, deep) for one in places)
    rim = room.rims_mm.index(packed.rim_mm)
    ways = [*_ways([wanted], room), _Way(rim=rim, sheets=(first,))]
    return _best(ways, room, most=1)[0]


def _together(laid: Sequence[PlyCount], room: Room, *, most: int) -> Sheets:
    """All pieces in shelves on so many sheets at most, or nothing."""
    sizes = ((one.ply.region.size_mm, one.count) for one in laid)
    taken = sum(n * (wide + room.kerf_mm) * (deep + room.kerf_mm) for (wide, deep), n in sizes)
    if taken > most * room.inside_mm2:
        return ()
    return _best(_ways(laid, room), room, most=most)


def _ways(laid: Sequence[PlyCount], room: Room) -> Iterator[_Way]:
    """All pieces in shelves, each way that is tried."""
    plies = [one.ply for one in laid for _ in range(one.count)]
    for rim, rim_mm in enumerate(room.rims_mm):
        for lie, columns in product(LIES, (False, True)):
            yield _Way(rim=rim, sheets=_shelved(plies, room, rim_mm=rim_mm, lie=lie, columns=columns))


def _shelved(plies: Sequence[Ply], room: Room, *, rim_mm: float, lie: str = LIES[0], columns: bool = False) -> Sheets:
    """All pieces in shelves; nothing if one goes on no sheet."""
    sizes = [one.region.size_mm for one in plies]
    sheets = fill_shelves(
        sizes,
        width_mm=room.blank.width_mm,
        depth_mm=room.blank.depth_mm,
        kerf_mm=room.kerf_mm,
        edge_mm=rim_mm,
        lie=lie,
        columns=columns,
    )
    return tuple(
        tuple(sorted(Spot(one.x_mm, one.y_mm, one.turn_deg, plies[one.item].id, *sizes[one.item]) for one in sheet))
        for sheet in sheets
    )


def _best(ways: Iterable[_Way], room: Room, *, most: int) -> Sheets:
    """The way with fewest sheets, then the widest rim, then the largest remnant on the last one, then the first."""
    fit = [one for one in ways if 0 < len(one.sheets) <= most]
    best = min(fit, key=lambda one: (len(one.sheets), one.rim, -room.left_mm2(one.sheets[-1])), default=None)
    return best.sheets if best else ()
