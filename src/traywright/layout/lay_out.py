"""Two offers for one question: regular rows, and the most that is found; each checked pair by pair."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SNAP_MM
from traywright.geometry import Region
from traywright.layout.asked import LayoutAsked
from traywright.layout.bound import count_bound
from traywright.layout.boxes import best_grid, boxes_of
from traywright.layout.check import check_layout
from traywright.layout.most import most_copies
from traywright.layout.offer import Effort, Offer, Placement, Slot
from traywright.layout.place import same_turn
from traywright.layout.regular import Rows, best_rows
from traywright.layout.row_slots import slotted

STEPS_MM = (0.02, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0)
"""Steps a raster may have: whole parts and multiples of a millimetre, so that exact fits stay exact."""
STEPS_OF_A_SIDE = 250.0
"""Steps along the longest side of the largest outline, nearly."""  # source: own trials
MOST_OFFSETS = 40_000_000
"""Offsets on all maps of a raster."""  # source: own memory, 200 MB with their depths
COPIES_MOST = 20_000
"""Copies by the bound that one layout is made for."""  # source: own timing, half a minute
MOST_PLACES = 4_000_000
"""Places of one pose on a raster."""  # source: own timing
TIE_MM = SNAP_MM / 1000.0
"""Noise of a distance that floats make."""
FREE_ANGLES = 24
"""Shared angles that are tried where the turn is free."""  # source: own trials
FREE_KEPT = 2
"""Shared angles that are looked at closely."""  # source: own timing
COARSE = 4.0
"""How much coarser the raster is on which shared angles are compared."""  # source: own timing


class Found(NamedTuple):
    """A layout before it is told: its copies row by row, those beside the rows last, and its slots."""

    rows: tuple[tuple[Placement, ...], ...]
    loose: tuple[Placement, ...]
    slots: tuple[Slot, ...]

    def copies(self) -> tuple[Placement, ...]:
        """All copies, row by row."""
        return (*(one for row in self.rows for one in row), *self.loose)


def lay_out(asked: LayoutAsked, effort: Effort) -> tuple[Offer, Offer]:
    """A regular layout and the one with the most copies that was found, both checked.

    Parameters
    ----------
    asked
        The question.
    effort
        How long to look; the same question with the same effort gives the same offers.

    Returns
    -------
    tuple
        The offers ``regular`` and ``most``; each empty if not one copy, or not one kit, goes in.

    Raises
    ------
    LayoutError
        LAY-004 if a layout does not pass the check of all distances: a fault of ours.

    Examples
    --------
    >>> from traywright.geometry import Region
    >>> from traywright.layout.asked import Container, Kind, Sides, Spacing
    >>> wall = Sides.all_round(8.0)
    >>> disc = Kind(id="ring", outline=Region.disc((0.0, 0.0), 35.0))
    >>> asked = LayoutAsked(
    ...     kinds=(disc,), container=Container(width_mm=250, depth_mm=172), spacing=Spacing(wall=wall, rim=wall)
    ... )
    >>> [(one.name, one.count) for one in lay_out(asked, Effort(rounds=1))]
    [('regular', 6), ('most', 6)]
    """
    bound = count_bound(asked)
    if bound > COPIES_MOST:
        raise LayoutError("LAY-011", bound=bound, most=COPIES_MOST)
    if bound == 0:
        return _told(asked, "regular", Found((), (), ()), 0), _told(asked, "most", Found((), (), ()), 0)
    boxes = boxes_of(asked)
    bases = _bases(asked, bound)
    regular = max((_regular(asked, base, bound) for base in bases), key=lambda one: len(one.copies()))
    grid = boxes.rows if boxes else best_grid(asked)
    if grid and sum(map(len, grid)) >= len(regular.copies()) + (not boxes):
        regular = Found(grid, (), ())
    start = boxes.most if boxes and len(boxes.most) > len(regular.copies()) else regular.copies()
    start = _whole(asked, start)
    copies = start
    if not asked.together and not boxes:
        step_mm = step_of(asked, poses_of_a_kind=len(asked.turns_deg))
        copies = most_copies(asked, bases, start, step_mm, bound, effort)
    most = Found((), copies, ()) if len(copies) > len(regular.copies()) else regular
    return _told(asked, "regular", regular, bound), _told(asked, "most", most, bound)


def step_of(asked: LayoutAsked, *, poses_of_a_kind: int, every_place: bool = True) -> float:
    """The raster's step: fine beside the largest outline, coarse enough for the memory that is there.

    Rows alone need maps only, not every place of the container.
    """
    sizes = [one.cell().size_mm for one in asked.kinds]
    side = max(max(one) for one in sizes)
    reach = 2.0 * max(math.hypot(*one) for one in sizes) + max(asked.spacing.wall.each_mm())
    poses = len(asked.kinds) * poses_of_a_kind
    least = poses * reach / math.sqrt(MOST_OFFSETS)
    if every_place or asked.container.no_go:
        least = max(least, math.sqrt(asked.container.width_mm * asked.container.depth_mm / MOST_PLACES))
    wanted = max(side / STEPS_OF_A_SIDE, least)
    fine = [one for one in STEPS_MM if one >= least]
    return min(fine or STEPS_MM[-1:], key=lambda one: abs(math.log(one / wanted)))


def _bases(asked: LayoutAsked, bound: int) -> tuple[float, ...]:
    """Shared angles to be looked at: 0, or where the turn is free the best of a fan on a coarse raster."""
    if not asked.free_turn:
        return (0.0,)
    span = 90.0 if all(any(same_turn(t + 90.0, u) for u in asked.turns_deg) for t in asked.turns_deg) else 180.0
    fan = [span * number / FREE_ANGLES for number in range(FREE_ANGLES)]
    step_mm = COARSE * step_of(asked, poses_of_a_kind=len(asked.turns_deg))
    found = [(best_rows(asked, base, step_mm, bound), base) for base in fan]
    ranked = sorted(found, key=lambda one: (-len(one[0].copies()) if one[0] else 0, one[1]))
    return tuple(sorted({0.0, *(base for _, base in ranked[:FREE_KEPT])}))


def _regular(asked: LayoutAsked, base_deg: float, bound: int) -> Found:
    step_mm = step_of(asked, poses_of_a_kind=min(2, len(asked.turns_deg)), every_place=False)
    rows = best_rows(asked, base_deg, step_mm, bound)
    if rows is None:
        return Found((), (), ())
    return _with_slots(asked, rows)


def _with_slots(asked: LayoutAsked, rows: Rows) -> Found:
    *told, loose = rows.placements(asked)
    if not any(one.slots for one in asked.kinds):
        return Found(tuple(told), loose, ())
    done = [slotted(asked, row) if asked.kind(row[0].kind).slots else (row, ()) for row in told]
    return Found(tuple(tuple(row) for row, _ in done if row), (), tuple(one for _, slots in done for one in slots))


def _told(asked: LayoutAsked, name: str, found: Found, bound: int) -> Offer:
    """The layout as an offer, after the check."""
    copies = _whole(asked, found.copies())
    left = set(copies)
    rows = [kept for row in found.rows if (kept := [one for one in row if one in left])]
    slots = found.slots and tuple(
        slot for row in rows if asked.kind(row[0].kind).slots for slot in slotted(asked, row).slots
    )
    checked = check_layout(asked, copies, slots)
    if checked.faults:
        raise LayoutError("LAY-004", count=len(copies), wall_mm=max(asked.spacing.wall.each_mm()))
    return Offer(
        name=name,
        placements=copies,
        kits=len(copies) // asked.kit_size,
        bound=bound,
        proven=len(copies) == bound,
        rows=len(rows),
        slots=slots,
        least_wall_mm=_rounded_down(checked.least_wall_mm),
        fill_ratio=_taken_mm2(asked, copies, slots) / (asked.container.width_mm * asked.container.depth_mm),
    )


def _taken_mm2(asked: LayoutAsked, copies: Sequence[Placement], slots: Sequence[Slot]) -> float:
    """Area that cells take, each with its own slots, or with the slots that run through the rows."""
    if not slots:
        areas_mm2 = {kind.id: kind.cell().area_mm2 for kind in asked.kinds}
        return sum(areas_mm2[one.kind] for one in copies)
    bodies = {kind.id: kind.body() for kind in asked.kinds}
    stood = [bodies[one.kind].turned(one.turn_deg).moved(one.x_mm, one.y_mm) for one in copies]
    return Region.union_of([*stood, *(one.region() for one in slots)]).area_mm2


def _rounded_down(length_mm: float) -> float:
    """A length to the snap step below, so that none is told wider than it is; the noise of floats aside."""
    return round(math.floor((length_mm + TIE_MM) / SNAP_MM) * SNAP_MM, 6) if math.isfinite(length_mm) else length_mm


def _whole(asked: LayoutAsked, copies: Sequence[Placement]) -> tuple[Placement, ...]:
    """The copies of whole kits only, in their order."""
    kits = min(sum(one.kind == kind.id for one in copies) // kind.in_kit for kind in asked.kinds)
    kits = min(kits, asked.kits_most) if asked.kits_most else kits
    left = {kind.id: kits * kind.in_kit for kind in asked.kinds}
    kept = []
    for one in copies:
        if left[one.kind]:
            left[one.kind] -= 1
            kept.append(one)
    return tuple(kept)
