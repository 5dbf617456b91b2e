"""The price, line by line."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from traywright.base import Figure, Finding


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
    """Price of one quantity of packs."""

    packs: int
    cost: Decimal
    price: Decimal
    per_pack: Decimal
    per_kit_trip: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """The whole price; ``packs`` is the headline break."""

    currency: str
    packs: int
    lines: tuple[QuoteLine, ...]
    breaks: tuple[Break, ...]
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]
