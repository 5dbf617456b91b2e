"""The check that each layout passes at the end: bare outlines and exact distances, nothing of any search."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM, TURN_DEG
from traywright.layout.asked import Kind, LayoutAsked, Sides
from traywright.layout.offer import Placement, Slot
from traywright.layout.pairs import Fault, Standing, between, distances, shared_mm, turned

Run = tuple[int, Slot]
"""A slot through a row and its number."""

__all__ = ["Checked", "Fault", "check_layout"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What the check of a layout says.

    ``faults`` in the order pairs, rims, no-go, slots, turns, kits. ``least_wall_mm`` is the least distance of any two
    cells, infinite for one. ``least_spare_mm`` is the least of what is there beyond what is needed, over all pairs,
    rims and no-go regions: below zero by no more than the tolerance in a layout without faults of distances.
    """

    faults: tuple[Fault, ...]
    least_wall_mm: float
    least_spare_mm: float


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
    in its own frame; where the four sides differ, by the gauge of the body of four quarter ellipses. Half a snap step
    is given: in a wall of one width the distance may be short by it, in one of four widths each half axis is. Beside a
    side without spacing, and where none is needed at all, outlines may touch: there a copy counts without the outer
    half snap step of its own outline.

    A slot keeps from every cell and slot of other rows what each kind in its row asks for towards the other, and what
    that one asks for towards it. Its own row touches it. ``together`` is a wish and not checked.
    """
    cells = {kind.id: (kind.body() if slots else kind.cell()).shape for kind in asked.kinds}
    stands = tuple(_standing(cells[one.kind], k, one) for k, one in enumerate(placements) if _stands(asked, one))
    runs = tuple((len(placements) + k, slot) for k, slot in enumerate(slots) if all(map(math.isfinite, slot)))
    apart = distances(asked, stands)
    kept = [*_rims(asked, stands, runs), *_no_go(asked, stands, runs)]
    taken = {number for number, *_ in (*stands, *runs)}
    faults = [
        *apart.faults,
        *(one for one in kept if not one.actual_mm >= one.needed_mm - SAME_MM),
        *_slots(asked, stands, runs),
        *_turns(asked, stands),
        *_kits(asked, stands),
        *(Fault("kit", k, -1, 0.0, 0.0) for k in range(len(placements) + len(slots)) if k not in taken),
    ]
    spare = min([apart.spare_mm, *(one.actual_mm - one.needed_mm for one in kept if one.here < len(placements))])
    return Checked(faults=tuple(faults), least_wall_mm=apart.least_mm, least_spare_mm=spare)


def _stands(asked: LayoutAsked, one: Placement) -> bool:
    """True if a placement names a kind that is there and its numbers are finite."""
    return any(one.kind == kind.id for kind in asked.kinds) and all(math.isfinite(value) for value in one[1:])


def _standing(cell: BaseGeometry, number: int, one: Placement) -> Standing:
    at_mm = (one.x_mm, one.y_mm)
    return Standing(number, one.kind, one.turn_deg, at_mm, _stood(cell, one.turn_deg, at_mm))


def _stood(shape: BaseGeometry, turn_deg: float, at_mm: tuple[float, float]) -> BaseGeometry:
    moved: BaseGeometry = shapely.transform(shape, lambda points: turned(points, turn_deg) + np.array(at_mm))
    return moved


def _rims(asked: LayoutAsked, stands: Sequence[Standing], runs: Sequence[Run]) -> Iterator[Fault]:
    """What each copy has at each side of the container; slots only stay inside."""
    container = asked.container
    needs: list[tuple[int, Sides, tuple[float, float, float, float]]] = [
        *((one.number, asked.spacing.rim_of(one.kind), one.shape.bounds) for one in stands),
        *((number, Sides.all_round(0.0), slot) for number, slot in runs),
    ]
    for number, rim, (left, front, right, back) in needs:
        actual = (left, front, container.width_mm - right, container.depth_mm - back)
        needed = (rim.left_mm, rim.front_mm, rim.right_mm, rim.back_mm)
        yield from (Fault("rim", number, side, needed[side], actual[side]) for side in range(4))


def _no_go(asked: LayoutAsked, stands: Sequence[Standing], runs: Sequence[Run]) -> Iterator[Fault]:
    """What each copy and slot has towards each region that nothing may enter."""
    shapes = [(one.number, one.shape) for one in stands]
    shapes += [(number, slot.region().shape) for number, slot in runs]
    regions = [(number, one) for number, one in enumerate(asked.container.no_go) if not one.region.is_empty]
    for there, barred in regions:
        for here, shape in shapes:
            apart = float(shape.distance(barred.region.shape))
            shared = shared_mm(shape, barred.region.shape) if apart <= 0.0 else 0.0
            yield Fault("no-go", here, there, barred.wall_mm, -shared if shared else apart)


def _slots(asked: LayoutAsked, stands: Sequence[Standing], runs: Sequence[Run]) -> Iterator[Fault]:
    """A copy's own slots lie in slots given; whatever is not of a slot's row keeps its spacing from it."""
    if not runs:
        return
    own: dict[int, set[int]] = {}
    for one in stands:
        held = [_holding(runs, shape) for shape in _own_slots(asked.kind(one.kind), one)]
        own[one.number] = {number for each in held for number in each}
        yield from (Fault("slot", one.number, -1, 0.0, 0.0) for each in held if not each)
    rows = {number: [one for one in stands if number in own[one.number]] for number, _ in runs}
    yield from (Fault("slot", number, -1, 0.0, 0.0) for number, row in rows.items() if not row)
    cut = {number: _as_cut(number, slot, rows[number]) for number, slot in runs}
    for number, slot in cut.items():
        friends = {friend for one in rows[number] for friend in own[one.number]}
        others = [one for one in stands if number not in own[one.number]]
        others += [one for other, each in cut.items() if other > number and other not in friends for one in each]
        yield from sorted(frozenset(_beside_slot(asked, slot, others)))


def _as_cut(number: int, slot: Slot, row: Sequence[Standing]) -> list[Standing]:
    """A slot as something of each kind in its row, in each of their turns: so much is asked for beside it."""
    first = {(one.kind, one.turn_deg): one for one in row}
    return [one._replace(number=number, shape=shapely.box(*slot)) for _, one in sorted(first.items())]


def _beside_slot(asked: LayoutAsked, slot: Sequence[Standing], others: Sequence[Standing]) -> Iterator[Fault]:
    for here in slot:
        for there in others:
            for forward, needed, actual in between(asked, here, there).missed_mm:
                first, second = (here, there) if forward else (there, here)
                yield Fault("slot", first.number, second.number, needed, actual)


def _holding(runs: Sequence[Run], shape: BaseGeometry) -> set[int]:
    """The slots in which a shape lies, to the snap step."""
    return {number for number, slot in runs if shapely.box(*slot).buffer(SNAP_MM, join_style="mitre").covers(shape)}


def _own_slots(kind: Kind, one: Standing) -> Iterator[BaseGeometry]:
    """Each slot of a copy as long as its outline."""
    left, _, right, _ = kind.outline.bounds_mm
    for slot in kind.slots:
        half = slot.width_mm / 2.0
        yield _stood(shapely.box(left, slot.line_mm - half, right, slot.line_mm + half), one.turn_deg, one.at_mm)


def _turns(asked: LayoutAsked, stands: Sequence[Standing]) -> Iterator[Fault]:
    """Each copy stands in a turn that is allowed, where the turn is free after all are turned back by one angle."""
    bases = [stands[0].turn_deg - turn for turn in asked.turns_deg] if asked.free_turn and stands else [0.0]
    wrong = [[one.number for one in stands if not _allowed(asked, one.turn_deg - base)] for base in bases]
    yield from (Fault("turn", number, -1, 0.0, 0.0) for number in min(wrong, key=len))


def _allowed(asked: LayoutAsked, turn_deg: float) -> bool:
    return any(abs((turn_deg - one + 180.0) % 360.0 - 180.0) < 2.0 * TURN_DEG for one in asked.turns_deg)


def _kits(asked: LayoutAsked, stands: Sequence[Standing]) -> Iterator[Fault]:
    """Whole kits only, and no more than asked for."""
    counts = Counter(one.kind for one in stands)
    kits = {counts[kind.id] / kind.in_kit for kind in asked.kinds}
    most = asked.kits_most or math.inf
    if len(kits) > 1 or not all(one.is_integer() and one <= most for one in kits):
        yield Fault("kit", -1, -1, 0.0, 0.0)
