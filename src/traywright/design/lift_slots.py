"""Lift slots: where fingers take a part, across its long axis and astride its centre of gravity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import natural_key
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Table
from traywright.design.openings import CellShape
from traywright.design.rules import rule
from traywright.design.seats import Seats
from traywright.geometry import Region
from traywright.trays import Cell

OFFSETS = 10  # places tried a side of the centre of gravity, up to the largest offset of the table
SAME_LINE_MM = 1.0  # source: two slots so nearly in line are cut as one


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """Where the lift slot of one kind of part goes, in the pose frame.

    ``strip`` is the slot's width over the part and the finger room a side; ``offset_mm`` how far its middle lies off
    the centre of gravity along the part; ``keeps_seats`` is false where no allowed place leaves enough of each seat.
    """

    strip: Region
    along_x: bool
    middle_mm: float
    width_mm: float
    offset_mm: float
    keeps_seats: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One lift slot of a tray and the cells it serves."""

    region: Region
    cells: tuple[str, ...]
    short_mm: float


def grip_of(shape: CellShape, seats: Seats, rules: Table, cutter_radius_mm: float) -> Grip:
    """The place nearest to the centre of gravity that leaves the asked share of every seat.

    Parameters
    ----------
    shape, seats
        The cell of the part and where the part rests in it.
    rules
        Table ``design_rules``.
    cutter_radius_mm
        Radius of the cutter; a slot is never narrower than the cutter.
    """
    pose = shape.pose
    along_x = pose.size_mm[0] >= pose.size_mm[1]
    two = pose.part.mass_kg >= rule(rules, "two_fingers_from").value
    width = max(rule(rules, "two_finger_width" if two else "finger_width").value, 2.0 * cutter_radius_mm)
    length = pose.size_mm[0 if along_x else 1]
    centre = pose.centre_of_gravity_mm[0 if along_x else 1]
    most = rule(rules, "grip_offset").value * length
    reach = rule(rules, "finger_reach").value
    steps = sorted(range(-OFFSETS, OFFSETS + 1), key=lambda one: (abs(one), -one))
    strips = [(one * most / OFFSETS, _strip(shape, centre + one * most / OFFSETS, width, reach)) for one in steps]
    kept, floor = rule(rules, "seat_kept").value, shape.lowest_mm
    good = next(((offset, strip) for offset, strip in strips if _keeps(seats, strip, floor, kept)), None)
    offset, strip = good or strips[0]
    return Grip(
        strip=strip,
        along_x=along_x,
        middle_mm=centre + offset,
        width_mm=width,
        offset_mm=offset,
        keeps_seats=good is not None,
    )


def _strip(shape: CellShape, middle_mm: float, width_mm: float, reach_mm: float) -> Region:
    """The slot over the part: as long as its opening is wide there, and the finger room a side."""
    left, front, right, back = shape.opening.bounds_mm
    along_x = shape.pose.size_mm[0] >= shape.pose.size_mm[1]
    low, high = middle_mm - width_mm / 2.0, middle_mm + width_mm / 2.0
    across = Region.rectangle(low, front, high, back) if along_x else Region.rectangle(left, low, right, high)
    over = shape.opening.intersection(across)
    box = over.bounds_mm if not over.is_empty else across.bounds_mm
    if along_x:
        return Region.rectangle(low, box[1] - reach_mm, high, box[3] + reach_mm)
    return Region.rectangle(box[0] - reach_mm, low, box[2] + reach_mm, high)


def _keeps(seats: Seats, strip: Region, floor_mm: float, share: float) -> bool:
    """True if every seat over the slot's floor keeps its share outside the slot."""
    left = seats.without(strip).each
    return all(
        before.floor_mm < floor_mm + SAME_MM or after.area_mm2 >= share * before.area_mm2
        for before, after in zip(seats.each, left, strict=True)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """The wanted slot of one cell in the tray: between ``low`` and ``high`` across, from ``start`` to ``end``."""

    cell: Cell
    opening: Region
    along_y: bool
    low_mm: float
    high_mm: float
    start_mm: float
    end_mm: float

    @property
    def region(self) -> Region:
        """The strip as a region of the tray."""
        if self.along_y:
            return Region.rectangle(self.low_mm, self.start_mm, self.high_mm, self.end_mm)
        return Region.rectangle(self.start_mm, self.low_mm, self.end_mm, self.high_mm)


def slots_of(
    placed: Sequence[tuple[Cell, Region]],
    grip: Grip,
    outline: Region,
    *,
    fin_mm: float,
    cutter_radius_mm: float,
) -> tuple[Slot, ...]:
    """The lift slots of a tray, first cell first; neighbours whose slots line up share one.

    Parameters
    ----------
    placed
        Cells of one kind of part with their openings at the top, tray frame.
    grip
        Where the slot of that part goes.
    outline
        Outline of the tray.
    fin_mm
        Least foam from a slot to another cell's opening, another slot and the tray's edge.
    cutter_radius_mm
        A slot's ends are as round as the cutter leaves them.
    """
    strips = [_placed(cell, opening, grip) for cell, opening in placed]
    rows = _rows(strips, fin_mm)
    inside = outline.grown(-fin_mm, square=True)
    found: list[Slot] = []
    for row in rows:
        others = [one.opening.grown(fin_mm) for one in strips if one not in row]
        cut = [one.region.grown(fin_mm) for one in found]
        wanted = _across(row).intersection(inside)
        free = wanted.difference(Region.union_of([*others, *cut])) if others or cut else wanted
        reached = free.opened(cutter_radius_mm)
        own = [one for one in reached.pieces() if any(one.overlaps(each.opening) for each in row)]
        region = Region.union_of(own) if own else Region.empty()
        found.append(
            Slot(
                region=region,
                cells=tuple(one.cell.id for one in row),
                short_mm=max(_short_mm(one, region, cutter_radius_mm) for one in row),
            )
        )
    return tuple(one for one in found if not one.region.is_empty)


def _placed(cell: Cell, opening: Region, grip: Grip) -> _Strip:
    """The wanted slot of one cell."""
    x_mm, y_mm, _ = cell.at_mm
    left, front, right, back = grip.strip.turned(cell.turn_deg).moved(x_mm, y_mm).bounds_mm
    along_y = grip.along_x == (round(cell.turn_deg / 90.0) % 2 == 0)
    low, high, start, end = (left, right, front, back) if along_y else (front, back, left, right)
    return _Strip(cell=cell, opening=opening, along_y=along_y, low_mm=low, high_mm=high, start_mm=start, end_mm=end)


def _rows(strips: list[_Strip], fin_mm: float) -> list[list[_Strip]]:
    """Strips that share a slot: in line, and with less than a fin between their ends."""
    rows: list[list[_Strip]] = []
    for one in sorted(strips, key=lambda each: (each.along_y, each.low_mm, each.start_mm)):
        row = next((each for each in rows if _joins(each[-1], one, fin_mm)), None)
        if row is None:
            rows.append([one])
        else:
            row.append(one)
    return sorted(rows, key=lambda row: min(natural_key(one.cell.id) for one in row))


def _joins(last: _Strip, one: _Strip, fin_mm: float) -> bool:
    """True if a strip goes on where another ends."""
    in_line = abs(last.low_mm - one.low_mm) < SAME_LINE_MM and abs(last.high_mm - one.high_mm) < SAME_LINE_MM
    return (
        in_line
        and last.along_y == one.along_y
        and 0.0 < one.end_mm - last.end_mm
        and one.start_mm - last.end_mm < fin_mm
    )


def _across(row: list[_Strip]) -> Region:
    """One slot over all strips of a row."""
    boxes = [one.region.bounds_mm for one in row]
    return Region.rectangle(
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _short_mm(strip: _Strip, slot: Region, radius_mm: float) -> float:
    """Finger room that a cell misses at the worse of its two sides, mean over the slot's width, mm."""
    missing = strip.region.opened(radius_mm).difference(slot)
    middle = (strip.start_mm + strip.end_mm) / 2.0
    box = strip.region.bounds_mm
    near = (box[0], box[1], box[2], middle) if strip.along_y else (box[0], box[1], middle, box[3])
    first = missing.intersection(Region.rectangle(*near)).area_mm2
    return max(first, missing.area_mm2 - first) / (strip.high_mm - strip.low_mm)
