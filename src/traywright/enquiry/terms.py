"""The head of a job, what pack, foam and machine are wished for, and the terms of the offer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from traywright.enquiry.border import DamageKind, Day, Flag, Hazard, Money, Name, Noun, Number, Said, Text, Whole

_CURRENCY = Field(pattern="^[A-Z]{3}$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Damage(Noun):
    """A damage that happened; ``kind`` names the check that answers it, ``part`` may be empty (all parts)."""

    said: Said
    part: Text = ""
    kind: DamageKind


@dataclass(frozen=True, slots=True, kw_only=True)
class JobHead(Noun):
    """The head of a job, printed on every paper; ``supersedes`` is ``NUMBER/REVISION`` of an earlier job or empty."""

    number: Name
    revision: Name
    supersedes: Text = ""
    title: Said
    customer: Text = ""
    dated: Day
    due: Day | None = None
    confidential: Literal["open", "local_only", "watermark"]
    length_shown: Literal["mm", "inch"]
    hazards: tuple[Hazard, ...]
    damage: tuple[Damage, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PackTerms(Noun):
    """What is asked of the pack; ``divider`` is a card or empty.

    ``packs`` counts spares too and is None where the loop tells how many; ``wall_mm`` None comes from protection.
    """

    boxes: Annotated[tuple[Said, ...], Field(min_length=1)]
    kits_per_pack: Whole
    packs: Whole | None = None
    divider: Text = ""
    wall_mm: Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoamWishes(Noun):
    """Foam cards that may be used, and what the foam must not touch."""

    allowed: Annotated[tuple[Said, ...], Field(min_length=1)]
    never_touch_materials: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopChoice(Noun):
    """Cards of the shop that makes it."""

    machine: Said
    dialect: Said
    rates: Said
    boards: Annotated[tuple[Said, ...], Field(min_length=1)]
    use_remnants: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferTerms(Noun):
    """Terms of the offer; breaks are numbers of packs."""

    currency: Annotated[str, _CURRENCY]
    breaks_packs: Annotated[tuple[Whole, ...], Field(min_length=1)]
    valid_days: Number
    damage_cost_per_part: Money
    tax_ratio: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Override(Noun):
    """A finding that someone answers for; printed on every paper, and the verdict becomes "not shown"."""

    finding: Annotated[str, Field(pattern="^[A-Z]{2,4}-[0-9]{3}$")]
    at: Said
    because: Said
    by: Said
    dated: Day
