"""The pack: one box with its trays, pads and dividers, from the bottom up."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One thing in the stack; ``kind`` is a tray kind or ``divider``, ``id`` a tray id or a divider card id."""

    kind: str
    id: str
    bottom_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One box as packed. Frame: that of the trays, z 0 at the box's inside bottom.

    ``payload_kg`` counts parts, ``foam_kg`` trays and pads, ``gross_kg`` all with the box.
    """

    box: str
    kits: int
    layers: tuple[Layer, ...]
    payload_kg: float
    foam_kg: float
    divider_kg: float
    gross_kg: float
    gap_nominal_mm: float
    gap_rss_mm: float
    gap_worst_mm: float
    centre_of_gravity_mm: tuple[float, float, float]
