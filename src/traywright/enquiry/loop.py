"""The way of a pack: out, through the process, and back; and how people lift it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from traywright.enquiry.border import Between, Flag, Noun, Number, Said, Text, Whole


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopStep(Noun):
    """One step of the way: a leg on the road, or a stay.

    ``handling`` is a card (legs only); ``temperature_c`` from and to; ``repacked_by`` who packs again after a stay.
    """

    kind: Literal["leg", "stay"]
    name: Said
    days: Number
    distance_km: Number | None = None
    handling: Text = ""
    temperature_c: Between | None = None
    in_the_box: Flag = True
    repacked_by: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop(Noun):
    """How many kits go round, how often, for how long."""

    kits_per_week: Number
    weeks_per_year: Number
    years: Number
    stockout_ratio: Number
    spare_packs: Whole
    queue_days: Number
    kits_stay_together: Flag
    step: tuple[LoopStep, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift(Noun):
    """One place where the pack is lifted, in the terms of the lifting equation (NIOSH 94-110)."""

    at: Said
    people: Whole
    hand_distance_mm: Number
    height_mm: Number
    travel_mm: Number
    twist_deg: Number
    lifts_per_min: Number
    hours: Number
    coupling: Literal["good", "fair", "poor"]
