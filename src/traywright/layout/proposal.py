"""A layout's question put to an engine that packs a strip, and the engine's answer put back into the container.

Such an engine knows a strip of fixed height that it makes as short as it can, outlines without holes with their turns,
and one least distance of all outlines to each other and to the strip's edges. Its answer is a proposal: nothing here
checks it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region, Ring
from traywright.layout.asked import Kind, LayoutAsked
from traywright.layout.offer import Placement
from traywright.layout.place import refuse_lengths, snapped_mm

ROUNDING_MM = 2.0 * SNAP_MM
"""Added to the wall: two copies whose places are rounded come nearer by up to one diagonal of the snap step."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripItem:
    """Copies of one outline: its ring counter-clockwise about its frame origin, and the turns in which it goes in."""

    kind: str
    ring: Ring
    copies: int
    turns_deg: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripAsked:
    """A strip ``height_mm`` high, and the length within which its answer is of use.

    ``apart_mm`` lies between all outlines and to all edges of the strip, so the strip reaches past the container
    where the rim is less. The strip's front left corner stands at ``corner_mm`` of the container.
    """

    height_mm: float
    length_mm: float
    apart_mm: float
    corner_mm: float
    items: tuple[StripItem, ...]

    @property
    def hopeless(self) -> bool:
        """True if no packing can be short enough: by an outline's size, or by the area of all."""
        if not all(one.turns_deg for one in self.items):
            return True
        room_mm2 = (self.height_mm - self.apart_mm) * (self.length_mm - self.apart_mm)
        return sum(one.copies * _grown_mm2(one.ring, self.apart_mm) for one in self.items) > room_mm2


class StripPlace(NamedTuple):
    """Where the engine puts one copy: turned counter-clockwise about its frame origin, then moved, from the corner."""

    kind: str
    x_mm: float
    y_mm: float
    turn_deg: float


def strip_asked(asked: LayoutAsked, kits: int, *, grace_mm: float = 0.0) -> StripAsked:
    """The layout's question as one about a strip along x.

    Parameters
    ----------
    asked
        What is asked of the layout; a free turn is left out, only its stated turns are tried.
    kits
        Whole kits to be packed, 1 or more.
    grace_mm
        How much longer and higher than the container the answer may be, 0 or more.

    Raises
    ------
    LayoutError
        LAY-001 for a count or a grace that cannot be; LAY-031 for what such an engine does not know: no-go regions,
        sides or pairs with spacings of their own, slots, kinds kept together.

    Examples
    --------
    >>> from traywright.layout.asked import Container, Sides, Spacing
    >>> plate = Kind(id="plate", outline=Region.rectangle(0, 0, 40, 20))
    >>> eight = Sides.all_round(8.0)
    >>> spacing = Spacing(wall=eight, rim=eight)
    >>> asked = LayoutAsked(kinds=(plate,), container=Container(width_mm=160, depth_mm=100), spacing=spacing)
    >>> strip = strip_asked(asked, 9)
    >>> strip.height_mm, strip.length_mm, strip.apart_mm, strip.hopeless
    (100.004, 160.004, 8.002, False)
    """
    if kits < 1:
        raise LayoutError("LAY-001", name="kits", value=kits)
    refuse_lengths({}, {"grace_mm": grace_mm})
    unknown = _unknown_to_engine(asked)
    if unknown:
        raise LayoutError("LAY-031", feature=unknown)
    apart = asked.spacing.wall.right_mm + ROUNDING_MM
    past = apart - asked.spacing.rim.right_mm  # how far the strip reaches past the container at each edge
    height = asked.container.depth_mm + grace_mm + 2.0 * past
    length = asked.container.width_mm + grace_mm + 2.0 * past
    return StripAsked(
        height_mm=height,
        length_mm=length,
        apart_mm=apart,
        corner_mm=-past,
        items=tuple(_item(one, asked, kits, (length - 2.0 * apart, height - 2.0 * apart)) for one in asked.kinds),
    )


def placements_of(strip: StripAsked, places: Iterable[StripPlace]) -> tuple[Placement, ...]:
    """The engine's places in the container, on the snap step and in the turns allowed, sorted by kind, y, x.

    Parameters
    ----------
    strip
        What the engine was asked.
    places
        What it answered; its turns are single precision, the nearest allowed one is meant.
    """
    turns = {one.kind: one.turns_deg for one in strip.items}
    found = [
        Placement(
            one.kind,
            snapped_mm(one.x_mm + strip.corner_mm),
            snapped_mm(one.y_mm + strip.corner_mm),
            _nearest_turn_deg(turns[one.kind], one.turn_deg),
        )
        for one in places
    ]
    return tuple(sorted(found, key=lambda one: (one.kind, one.y_mm, one.x_mm, one.turn_deg)))


def _nearest_turn_deg(turns_deg: tuple[float, ...], told_deg: float) -> float:
    return min(turns_deg, key=lambda turn: abs(math.remainder(turn - told_deg, 360.0)))


def _unknown_to_engine(asked: LayoutAsked) -> str:
    """What a strip engine does not know of the question; empty if it knows all."""
    spacing = asked.spacing
    unequal = not (spacing.wall.alike and spacing.rim.alike)
    own_rim = any(sides != spacing.rim for _, sides in spacing.rims)
    found = {
        "no-go regions": bool(asked.container.no_go),
        "unequal sides": unequal,
        "walls of pairs": bool(spacing.pairs),
        "rims of kinds": own_rim,
        "row slots": any(one.slots for one in asked.kinds),
        "kinds kept together": asked.together and len(asked.kinds) > 1,
    }
    return next((name for name, there in found.items() if there), "")


def _item(kind: Kind, asked: LayoutAsked, kits: int, room_mm: tuple[float, float]) -> StripItem:
    """The kind's cell with the turns in which one copy goes into the room at all."""
    cell = kind.cell()
    ((ring, _),) = cell.rings()
    turns = []
    for turn in asked.turns_deg:
        wide, deep = cell.turned(turn).size_mm
        if wide <= room_mm[0] + SAME_MM and deep <= room_mm[1] + SAME_MM:
            turns.append(turn)
    return StripItem(kind=kind.id, ring=ring, copies=kits * kind.in_kit, turns_deg=tuple(turns))


def _grown_mm2(ring: Ring, apart_mm: float) -> float:
    """Area that one copy takes with half the distance round it; chords inside the arcs, so that it errs downward."""
    return float(Region.polygon(ring).shape.buffer(apart_mm / 2.0).area)
