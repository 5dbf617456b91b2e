"""The slots that run through the rows of a layout, from its first cell to its last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region
from traywright.layout.asked import LayoutAsked
from traywright.layout.offer import Placement, Slot
from traywright.layout.place import snapped_mm


class Slotted(NamedTuple):
    """The copies of one row that keep their places, and the slots through them."""

    placements: tuple[Placement, ...]
    slots: tuple[Slot, ...]


def slotted(asked: LayoutAsked, row: Sequence[Placement]) -> Slotted:
    """One row with its slots, which end before a region that nothing may enter; a copy whose own meet one is left out.

    Parameters
    ----------
    asked
        The question.
    row
        Copies of one row, all with their slots on the same lines.
    """
    kept, found = [], []
    for run in _runs(asked, row):
        kept += run
        count = len(asked.kind(run[0].kind).slots)
        found += [_through(asked, run, number) for number in range(count)]
    return Slotted(tuple(kept), tuple(found))


def _runs(asked: LayoutAsked, row: Sequence[Placement]) -> Iterator[list[Placement]]:
    """Neighbours whose common slots keep clear of every region that nothing may enter."""
    run: list[Placement] = []
    for one in sorted(row, key=lambda it: (it.x_mm, it.y_mm)):
        if not _clear(asked, [one]):
            continue
        if run and not _clear(asked, [*run, one]):
            yield run
            run = []
        run.append(one)
    if run:
        yield run


def _clear(asked: LayoutAsked, run: Sequence[Placement]) -> bool:
    count = len(asked.kind(run[0].kind).slots)
    slots = [_through(asked, run, number).region() for number in range(count)]
    barred = asked.container.no_go
    return all(
        one.distance_mm(other.region) >= other.wall_mm - SAME_MM and not one.overlaps(other.region)
        for one in slots
        for other in barred
    )


def _through(asked: LayoutAsked, run: Sequence[Placement], number: int) -> Slot:
    """The rectangle that one slot of all copies of a run takes, within the container."""
    # a copy turned round has its slots the other way round: what lies on one line is one slot
    boxes = [sorted(_boxes(asked, one), key=lambda box: (box[1], box[0]))[number] for one in run]
    container = asked.container
    return Slot(
        snapped_mm(max(0.0, min(box[0] for box in boxes))),
        snapped_mm(max(0.0, min(box[1] for box in boxes))),
        snapped_mm(min(container.width_mm, max(box[2] for box in boxes))),
        snapped_mm(min(container.depth_mm, max(box[3] for box in boxes))),
    )


def _boxes(asked: LayoutAsked, one: Placement) -> list[tuple[float, float, float, float]]:
    """What each slot of one copy takes, container frame."""
    kind = asked.kind(one.kind)
    left, _, right, _ = kind.outline.bounds_mm
    return [
        Region.rectangle(left - slot.reach_mm, slot.line_mm - half, right + slot.reach_mm, slot.line_mm + half)
        .turned(one.turn_deg)
        .moved(one.x_mm, one.y_mm)
        .bounds_mm
        for slot in kind.slots
        for half in (slot.width_mm / 2.0,)
    ]
