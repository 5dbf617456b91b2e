"""What a layout hands on: offers, each with its places, its count and how many no layout can beat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from traywright.geometry import Region


class Placement(NamedTuple):
    """Where one copy stands: turned counter-clockwise about its frame origin, which then stands at x, y."""

    kind: str
    x_mm: float
    y_mm: float
    turn_deg: float


class Slot(NamedTuple):
    """A lift slot that runs through a row: the rectangle it takes, container frame."""

    left_mm: float
    front_mm: float
    right_mm: float
    back_mm: float

    def region(self) -> Region:
        """The slot as a region."""
        return Region.rectangle(*self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One layout that passed the check of all distances.

    ``name`` is ``regular`` (rows that a person loads one after the other) or ``most``. ``placements`` stand row by row,
    those beside the rows last. ``bound`` is a count that no layout of the question can beat, the kits asked for at most
    included; ``proven`` is true if none holds more than ``count``. ``rows`` counts the rows of a regular offer, 0
    otherwise; ``slots`` run through its rows. ``least_wall_mm`` is the least distance of any two cells, infinite for
    one; ``fill_ratio`` the share of the container that cells and slots take.
    """

    name: str
    placements: tuple[Placement, ...]
    kits: int
    bound: int
    proven: bool
    rows: int
    slots: tuple[Slot, ...]
    least_wall_mm: float
    fill_ratio: float

    @property
    def count(self) -> int:
        """Outlines placed."""
        return len(self.placements)


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long a search may look, counted so that it repeats: in rounds of a million places weighed.

    ``seed`` is that of its draws. With no round only rows are laid out.
    """

    rounds: int = 100
    seed: int = 1
