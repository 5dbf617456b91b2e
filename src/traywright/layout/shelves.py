"""Rectangles of several sizes on equal sheets, in shelves: rows as deep as their deepest rectangle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SAME_MM
from traywright.layout.place import refuse_lengths, snapped_mm

LIES = ("as_given", "flat", "upright")
"""How rectangles lie: as given, or each with its longer side along the shelf (``flat``) or across it (``upright``)."""


class ShelfPlace(NamedTuple):
    """Where one rectangle of the list lies: its number in the list from 0, and its lower left corner as turned."""

    item: int
    x_mm: float
    y_mm: float
    turn_deg: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Box:
    """A rectangle as it lies, kerf added, along and across the shelf."""

    item: int
    long_mm: float
    deep_mm: float
    turn_deg: int


class _Shelf:
    """One row of a sheet while it fills."""

    __slots__ = ("across_mm", "deep_mm", "filled_mm", "sheet")

    def __init__(self, sheet: int, across_mm: float, deep_mm: float) -> None:
        self.sheet, self.across_mm, self.deep_mm = sheet, across_mm, deep_mm
        self.filled_mm = 0.0


def fill_shelves(  # noqa: PLR0913  # reason: sheet, two spacings and how they lie are one question
    sizes_mm: Sequence[tuple[float, float]],
    *,
    width_mm: float,
    depth_mm: float,
    kerf_mm: float,
    edge_mm: float,
    lie: str = "as_given",
    columns: bool = False,
) -> tuple[tuple[ShelfPlace, ...], ...]:
    """Sheets with rectangles in shelves from the front left corner, the deepest first.

    Parameters
    ----------
    sizes_mm
        Width and depth of each rectangle at turn 0, above 0.
    width_mm, depth_mm
        Each sheet along x and y, above 0; its lower left corner is the origin.
    kerf_mm
        Least distance of two rectangles along x or along y, 0 or more.
    edge_mm
        Least distance of a rectangle to the sheet's edge, 0 or more.
    lie
        One of ``LIES``; a rectangle that goes on only the other way is turned.
    columns
        True: shelves run along y, the widest rectangle first.

    Returns
    -------
    tuple
        One tuple of places a sheet; empty if one rectangle goes on no sheet at all.

    Raises
    ------
    LayoutError
        LAY-001 if a length is not finite or not in its range.

    Notes
    -----
    First fit by falling depth: each rectangle goes to the first shelf that has room, else to a new shelf on the first
    sheet that has room, else to a new sheet. Equal depths go by length, then by their order.

    References
    ----------
    First fit by decreasing height, the usual heuristic of strip packing (from memory).

    Examples
    --------
    >>> (sheet,) = fill_shelves([(40, 20), (50, 30)], width_mm=120, depth_mm=80, kerf_mm=4, edge_mm=10)
    >>> sheet
    (ShelfPlace(item=1, x_mm=10.0, y_mm=10.0, turn_deg=0), ShelfPlace(item=0, x_mm=64.0, y_mm=10.0, turn_deg=0))
    """
    above_zero = {"width_mm": width_mm, "depth_mm": depth_mm}
    for number, (wide, deep) in enumerate(sizes_mm):
        above_zero |= {f"width_mm[{number}]": wide, f"depth_mm[{number}]": deep}
    refuse_lengths(above_zero, {"kerf_mm": kerf_mm, "edge_mm": edge_mm})
    if lie not in LIES:
        raise LayoutError("LAY-001", name="lie", value=lie)
    room = (width_mm - 2.0 * edge_mm + kerf_mm, depth_mm - 2.0 * edge_mm + kerf_mm)
    room = room[::-1] if columns else room
    boxes = [
        _box(number, size, room, kerf_mm=kerf_mm, lie=lie, columns=columns) for number, size in enumerate(sizes_mm)
    ]
    if any(one is None for one in boxes):
        return ()
    ordered = sorted((one for one in boxes if one), key=lambda one: (-one.deep_mm, -one.long_mm, one.item))
    return _filled(ordered, room, edge_mm, columns=columns)


def _box(
    number: int, size_mm: tuple[float, float], room_mm: tuple[float, float], *, kerf_mm: float, lie: str, columns: bool
) -> _Box | None:
    """The rectangle as it lies on the shelf, or nothing if it goes on neither way."""
    wide, deep = size_mm[0] + kerf_mm, size_mm[1] + kerf_mm
    straight = (deep, wide, 0) if columns else (wide, deep, 0)
    turned = (straight[1], straight[0], 90)
    ways = [straight, turned]
    if lie != "as_given" and (straight[0] < straight[1]) == (lie == "flat"):
        ways = [turned, straight]
    for along, across, turn in ways:
        if along <= room_mm[0] + SAME_MM and across <= room_mm[1] + SAME_MM:
            return _Box(item=number, long_mm=along, deep_mm=across, turn_deg=turn)
    return None


def _filled(
    boxes: Sequence[_Box], room_mm: tuple[float, float], edge_mm: float, *, columns: bool
) -> tuple[tuple[ShelfPlace, ...], ...]:
    """The boxes on their shelves, in the order given."""
    shelves: list[_Shelf] = []
    used: list[float] = []  # depth of each sheet that its shelves take
    found: list[list[ShelfPlace]] = []
    for box in boxes:
        shelf = next((one for one in shelves if _goes_on(box, one, room_mm[0])), None)
        if shelf is None:
            sheet = next((n for n, deep in enumerate(used) if deep + box.deep_mm <= room_mm[1] + SAME_MM), len(used))
            if sheet == len(used):
                used.append(0.0)
                found.append([])
            shelf = _Shelf(sheet, used[sheet], box.deep_mm)
            used[sheet] += box.deep_mm
            shelves.append(shelf)
        at = (snapped_mm(edge_mm + shelf.filled_mm), snapped_mm(edge_mm + shelf.across_mm))
        x, y = at[::-1] if columns else at
        found[shelf.sheet].append(ShelfPlace(box.item, x, y, box.turn_deg))
        shelf.filled_mm += box.long_mm
    return tuple(tuple(one) for one in found)


def _goes_on(box: _Box, shelf: _Shelf, long_mm: float) -> bool:
    return box.deep_mm <= shelf.deep_mm + SAME_MM and shelf.filled_mm + box.long_mm <= long_mm + SAME_MM
