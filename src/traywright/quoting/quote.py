"""The price, line by line, and what it is asked from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from traywright.base import Figure, Finding, Given
from traywright.catalogue.cards import Board, Box, Divider, Rates
from traywright.quoting.loop_plan import LoopPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """What one quantity of packs takes to make, all packs together.

    ``boards`` pairs a board card with the figure that counts whole boards; ``blanks`` counts boards clamped,
    ``bridges`` links to trim, ``joints`` bonded joints and ``glue`` their area in m²; ``machine`` is hours.
    """

    packs: int
    boards: tuple[tuple[Board, Figure], ...]
    machine: Figure
    blanks: Figure
    bridges: Figure
    joints: Figure
    glue: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceAsked:
    """Everything a price is made from; ``makings`` has one entry a break, ``packs`` is the headline break."""

    currency: str
    packs: int
    kits: int
    makings: tuple[Making, ...]
    rates: Rates
    box: Box
    divider: Divider | None
    dividers_per_pack: int
    loop: LoopPlan | None
    packs_asked: tuple[tuple[int, Given | Figure], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """One line of the price at the headline break: quantity times rate.

    ``quantity`` is the path of a figure; ``what`` a key of the message group ``quote``.
    """

    id: str
    what: str
    detail: str
    quantity: str
    rate: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """Price of one quantity of packs; ``per_kit_trip`` is None where no loop is known."""

    packs: int
    cost: Decimal
    price: Decimal
    per_pack: Decimal
    per_kit_trip: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """The whole price; ``packs`` is the headline break."""

    currency: str
    packs: int
    lines: tuple[QuoteLine, ...]
    breaks: tuple[Break, ...]
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]
