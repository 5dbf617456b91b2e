"""Rows that a person can load one after the other: along either side of the container, in each pair of turns."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import permutations
from typing import NamedTuple

from traywright.layout.asked import LayoutAsked
from traywright.layout.fill import filled
from traywright.layout.no_fit import Pose, Raster, on_raster, poses_of, raster_of
from traywright.layout.offer import Placement
from traywright.layout.place import same_turn
from traywright.layout.row_states import Motif, RowsAsked, Steps, motifs, rows_of, short_rows_of
from traywright.layout.stack import best_stack, chained_stack

NOWHERE_LOW = -(10**9)
"""A step below all places."""
FILLED_PLACES = 8_000_000
"""Places of a pose up to which what rows leave free is filled."""  # source: own memory
KIT_MOTIFS = 4
"""Motifs of two poses tried where several kinds share the container."""  # source: own timing
ORDERS = 6
"""Orders of kinds from front to back that are tried."""  # source: own timing
LINE_MM = 1.0
"""Step of the offsets along y that are tried for a motif, at least a raster step."""  # source: own trials


class Rows(NamedTuple):
    """Rows in the container, as poses and places in steps.

    ``loose`` are copies beside the rows; ``along_x`` is false where the rows run along y.
    """

    poses: tuple[Pose, ...]
    raster: Raster
    rows: tuple[tuple[Steps, ...], ...]
    loose: tuple[Steps, ...]
    along_x: bool

    def copies(self) -> tuple[Steps, ...]:
        """All copies, row by row, then those beside the rows."""
        return (*(one for row in self.rows for one in row), *self.loose)

    def placements(self, asked: LayoutAsked) -> tuple[tuple[Placement, ...], ...]:
        """The copies of each row, and last those beside the rows, in the middle of the container."""
        # slots may end at the container's side where the copies do not
        slotted = any(one.slots for one in asked.kinds)
        dx, dy = (0, 0) if slotted else _spare(self.raster, self.copies())
        return tuple(
            tuple(on_raster(asked, self.poses, self.raster, (pose, x + dx, y + dy)) for pose, x, y in row)
            for row in (*self.rows, self.loose)
        )


def _spare(raster: Raster, copies: Sequence[Steps]) -> tuple[int, int]:
    """Half of the room that is left on one side, so that both sides share it; none where places are barred."""
    if raster.ground or not copies:
        return 0, 0
    place = raster.places
    left = min(x - int(place[pose, 0]) for pose, x, _ in copies)
    right = min(int(place[pose, 1]) - x for pose, x, _ in copies)
    front = min(y - int(place[pose, 2]) for pose, _, y in copies)
    back = min(int(place[pose, 3]) - y for pose, _, y in copies)
    return (right - left) // 2, (back - front) // 2


def best_rows(asked: LayoutAsked, base_deg: float, step_mm: float, most: int) -> Rows | None:
    """The rows with the most copies, or with the most whole kits; nothing if not one goes in.

    Parameters
    ----------
    asked
        The question.
    base_deg
        What all turns are turned on by.
    step_mm
        Step of the raster.
    most
        Copies that no layout can beat, or that were asked for at most.
    """
    slotted = any(one.slots for one in asked.kinds)
    turns = sorted({(turn + base_deg) % 360.0 for turn in asked.turns_deg})
    found: Rows | None = None
    for some in _pairs_of(turns):
        poses = poses_of(asked, some, bodies=slotted)
        raster = raster_of(asked, poses, step_mm)
        for along_x in (True, False):
            question = _question(asked, poses, raster, along_x=along_x)
            if question is None:
                continue
            rows = _rows(asked, poses, question, most)
            loose = _loose(question.raster, rows, most) if rows and len(asked.kinds) == 1 and not slotted else ()
            told = Rows(poses, raster, _turned(rows, along_x=along_x), _turned((loose,), along_x=along_x)[0], along_x)
            if rows and (found is None or len(told.copies()) > len(found.copies())):
                found = told
    return found


def _pairs_of(turns_deg: Sequence[float]) -> list[tuple[float, ...]]:
    """Turns and their opposites: what may stand in one row."""
    found: list[tuple[float, ...]] = []
    for turn in turns_deg:
        opposite = next((one for one in turns_deg if same_turn(one, turn + 180.0)), None)
        if opposite is None or opposite > turn:
            found.append((turn,) if opposite is None else (turn, opposite))
    return found


def _question(asked: LayoutAsked, poses: Sequence[Pose], raster: Raster, *, along_x: bool) -> RowsAsked | None:
    """The question with its rows along x, or nothing if slots would not run along them."""
    seen = raster if along_x else raster.across()
    slots = []
    for pose in poses:
        kind = asked.kinds[pose.kind]
        lines = []
        for slot in kind.slots:
            middle = _line_mm(pose, slot.line_mm, along_x=along_x)
            if middle is None:
                return None
            half = slot.width_mm / 2.0
            lines.append(((middle - half) / raster.step_mm, (middle + half) / raster.step_mm))
        slots.append(tuple(lines))
    if any(slots):
        across_mm = asked.container.depth_mm if along_x else asked.container.width_mm
        seen = _slots_inside(seen, slots, across_mm)
    walls = (asked.spacing.wall, *(one.wall for one in asked.spacing.pairs))
    return RowsAsked(seen, tuple(slots), max(max(one.each_mm()) for one in walls) / raster.step_mm)


def _slots_inside(raster: Raster, slots: Sequence[Sequence[tuple[float, float]]], across_mm: float) -> Raster:
    """The question with places only at which all slots of a pose lie in the container."""
    origin, step = raster.origin_mm[1], raster.step_mm
    low, high = [], []
    for lines in slots:
        fronts, backs = ([one[k] for one in lines] for k in (0, 1))
        low.append(math.ceil(-min(fronts) - origin / step) if lines else NOWHERE_LOW)
        high.append(math.floor((across_mm - origin) / step - max(backs)) if lines else -NOWHERE_LOW)
    return raster.narrowed(low, high)


def _line_mm(pose: Pose, line_mm: float, *, along_x: bool) -> float | None:
    """Where a slot lies across the rows from the pose's centre, if it runs along them."""
    x, y = pose.from_centre_mm
    quarter = round(pose.turn_deg / 90.0)
    if not same_turn(pose.turn_deg, 90.0 * quarter) or (quarter % 2 == 0) != along_x:
        return None
    return {0: y + line_mm, 1: x - line_mm, 2: y - line_mm, 3: x + line_mm}[quarter % 4]


def _rows(asked: LayoutAsked, poses: Sequence[Pose], question: RowsAsked, most: int) -> tuple[tuple[Steps, ...], ...]:
    line_steps = max(1, round(LINE_MM / question.raster.step_mm))
    by_kind = [[k for k, one in enumerate(poses) if one.kind == kind] for kind in range(len(asked.kinds))]
    if len(by_kind) == 1:
        rows = [row for one in motifs(question, by_kind[0], line_steps) for row in rows_of(question, one)]
        found = _standing(question.raster, best_stack(question.raster, rows, most))
        return _whole_kits(found, asked.kit_size)
    return _kit_rows(asked, question, by_kind, most)


def _standing(raster: Raster, rows: tuple[tuple[Steps, ...], ...]) -> tuple[tuple[Steps, ...], ...]:
    """The rows without the copies that would stand where nothing may."""
    kept = [tuple(one for one in row if raster.stands_free(*one)) for row in rows]
    return tuple(one for one in kept if one)


def _whole_kits(rows: tuple[tuple[Steps, ...], ...], kit_size: int) -> tuple[tuple[Steps, ...], ...]:
    """The rows without what is over whole kits, taken from the back."""
    over = sum(len(one) for one in rows) % kit_size
    kept = list(rows)
    while over and kept:
        last = kept.pop()
        if len(last) > over:
            kept.append(last[: len(last) - over])
        over -= min(over, len(last))
    return tuple(kept)


def _kit_rows(
    asked: LayoutAsked, question: RowsAsked, by_kind: Sequence[Sequence[int]], most: int
) -> tuple[tuple[Steps, ...], ...]:
    """Rows of one kind each, kind after kind, with the most whole kits: looked for by halving."""
    line_steps = 2 * max(1, round(LINE_MM / question.raster.step_mm))
    kinds = [_kit_motifs(question, poses, line_steps) for poses in by_kind]
    found: tuple[tuple[Steps, ...], ...] = ()
    low, high = 0, most // asked.kit_size
    while low < high:
        kits = (low + high + 1) // 2
        tried = _kits_in_rows(asked, question, kinds, kits)
        found, low, high = (tried, kits, high) if tried else (found, low, kits - 1)
    return found


def _kits_in_rows(
    asked: LayoutAsked, question: RowsAsked, kinds: Sequence[Sequence[Motif]], kits: int
) -> tuple[tuple[Steps, ...], ...]:
    """Rows of so many kits in one of the orders, or nothing."""
    wanted = [one.in_kit * kits for one in asked.kinds]
    groups = [
        [row for one in some for row in short_rows_of(question, one, count)]
        for some, count in zip(kinds, wanted, strict=True)
    ]
    for order in _orders(asked):
        tried = chained_stack(question.raster, [groups[k] for k in order], [wanted[k] for k in order])
        if tried and sum(map(len, _standing(question.raster, tried))) == sum(wanted):
            return tried
    return ()


def _kit_motifs(question: RowsAsked, poses: Sequence[int], line_steps: int) -> list[Motif]:
    """Motifs of one pose, and the best few of two."""
    every = motifs(question, poses, line_steps)
    pairs = [one for one in every if len(one.members) > 1]
    return [*(one for one in every if len(one.members) == 1), *pairs[:KIT_MOTIFS]]


def _orders(asked: LayoutAsked) -> Iterator[tuple[int, ...]]:
    """Orders of the kinds from front to back, the heavier towards the middle; all, where none is heavier."""
    numbers = range(len(asked.kinds))
    if max(one.mass_kg for one in asked.kinds) > 0.0:
        heavy = sorted(numbers, key=lambda k: (-asked.kinds[k].mass_kg, k))
        yield (*reversed(heavy[1::2]), *heavy[0::2])
        yield (*reversed(heavy[0::2]), *heavy[1::2])
        return
    for tried, order in enumerate(permutations(numbers)):
        if tried >= ORDERS:
            return
        yield order


def _loose(raster: Raster, rows: tuple[tuple[Steps, ...], ...], most: int) -> tuple[Steps, ...]:
    standing = tuple(one for row in rows for one in row)
    first_x, last_x, first_y, last_y = (int(one) for one in raster.places[0])
    if (last_x - first_x) * (last_y - first_y) > FILLED_PLACES:
        return ()
    return filled(raster, standing, most)[len(standing) :]


def _turned(rows: Sequence[Sequence[Steps]], *, along_x: bool) -> tuple[tuple[Steps, ...], ...]:
    """The rows as the container sees them."""
    return tuple(tuple(one if along_x else (one[0], one[2], one[1]) for one in row) for row in rows)
