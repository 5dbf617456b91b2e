"""The price of a drawing that is cut as it is: sheet, router minutes, set-up, never below the minimum charge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from traywright.base import Figure, Finding, Given, Severity, derive, finding
from traywright.base.errors import QuoteError
from traywright.catalogue import table
from traywright.catalogue.cards import Board, Rates
from traywright.quoting.price import Charge, money
from traywright.quoting.quote import Break, Quote, QuoteLine

RULES = "quote_rules"
SHARE = "share"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetsAsked:
    """Everything the price of a drawing is made from.

    ``sheets`` pairs a board card with the figure that counts whole sheets or their share; ``machine`` is hours,
    ``blanks`` counts boards clamped, ``bridges`` links to trim; ``sheet`` is ``share`` or ``whole``.
    """

    currency: str
    quantity: Given
    rates: Rates
    sheets: tuple[tuple[Board, Figure], ...]
    machine: Figure
    blanks: Figure
    bridges: Figure
    sheet: str


def sheet_share(board: Board, area_mm2: float, quantity: Given, kerf: Given) -> Figure:
    """Share of a sheet that pieces with their kerf take; above 1 where they take more than one sheet.

    Parameters
    ----------
    board
        The sheet.
    area_mm2
        Area of the boxes of all pieces with one kerf each, mm².
    quantity
        How many are asked for.
    kerf
        Width of the kerf with its ground.
    """
    sides = tuple(board.given(key) for key in ("length_mm", "width_mm"))
    return derive(
        f"quoting/sheets/{board.id}/share",
        area_mm2 / (board.length_mm * board.width_mm),
        "board",
        what="share of a sheet",
        method="boxes of the pieces with a kerf, over the whole sheet",
        inputs=(quantity, kerf, *sides),
        of=board.id,
    )


def price_sheets(asked: SheetsAsked) -> Quote:
    """The quote of a drawing job: one quantity, no loop.

    Parameters
    ----------
    asked
        Quantities, rates and cards.

    Returns
    -------
    Quote
        Money in the rates card's currency, rounded half up to cents on every line; ``packs`` is the quantity.

    Raises
    ------
    QuoteError
        QUO-001 if a card is priced in another currency than the offer; QUO-002 if the margin is 1 or more.

    Notes
    -----
    price = cost / (1 - margin), not under the minimum charge; cost = ((sheet + router) x (1 + scrap) + hands) x
    (1 + overhead). Method: common practice, no source.
    """
    cards: tuple[Rates | Board, ...] = (asked.rates, *(board for board, _ in asked.sheets))
    for card in cards:
        if card.currency != asked.currency:
            raise QuoteError("QUO-001", card=card.id, currency=card.currency, wanted=asked.currency)
    if asked.rates.margin_ratio >= 1.0:
        raise QuoteError("QUO-002", margin=asked.rates.margin_ratio)
    material, hands = tuple(_material(asked)), tuple(_hands(asked))
    one = _break(asked, material, hands)
    charges = (*material, *hands)
    return Quote(
        currency=asked.currency,
        packs=one.packs,
        lines=tuple(
            QuoteLine(
                id=f"Q{number}",
                what=each.what,
                detail=each.detail,
                quantity=each.quantity.path,
                rate=each.rate,
                amount=each.amount,
            )
            for number, each in enumerate(charges, start=1)
        ),
        breaks=(one,),
        figures=(
            *dict.fromkeys(each.quantity for each in charges),
            asked.blanks,
            asked.bridges,
            _total(asked, one, charges),
        ),
        findings=tuple(_findings(asked, one)),
    )


def _material(asked: SheetsAsked) -> Iterator[Charge]:
    """Sheets and router time: what scrap falls on."""
    for board, count in asked.sheets:
        what = "sheet_share" if asked.sheet == SHARE else "board"
        yield Charge(what=what, detail=board.id, quantity=count, rate=board.price)
    yield Charge(what="machine", detail="", quantity=asked.machine, rate=asked.rates.machine_per_h)


def _hands(asked: SheetsAsked) -> Iterator[Charge]:
    """Loading, trimming, and making the program of a drawing."""
    rates = asked.rates
    for what, counted, key in (("load", asked.blanks, "load_h_per_board"), ("trim", asked.bridges, "bridge_h")):
        hours = derive(
            f"quoting/sheets/{what}_h",
            counted.value * getattr(rates, key),
            "h",
            what=what,
            method="count times hours each",
            inputs=(counted, rates.given(key)),
        )
        if hours.value > 0.0:
            yield Charge(what=what, detail="", quantity=hours, rate=rates.bench_per_h)
    each = table(RULES).given("drawing_h", "value")
    hours = derive(
        "quoting/sheets/drawing_h",
        each.value,
        "h",
        what="taking the drawing over",
        method="once a job, by the rule",
        inputs=(each,),
    )
    yield Charge(what="drawing", detail="", quantity=hours, rate=rates.design_per_h)


def _break(asked: SheetsAsked, material: tuple[Charge, ...], hands: tuple[Charge, ...]) -> Break:
    """The price of the quantity."""
    rates, packs = asked.rates, round(asked.quantity.value)
    scrap, overhead = Decimal(repr(rates.scrap_ratio)), Decimal(repr(rates.overhead_ratio))
    first = sum((one.amount for one in material), Decimal(0))
    rest = sum((one.amount for one in hands), Decimal(0))
    cost = money((first * (1 + scrap) + rest) * (1 + overhead))
    wanted = money(cost / (1 - Decimal(repr(rates.margin_ratio))))
    charged = max(wanted, money(rates.minimum_charge))
    return Break(packs=packs, cost=cost, price=charged, per_pack=money(charged / packs), per_kit_trip=None)


def _total(asked: SheetsAsked, one: Break, charges: tuple[Charge, ...]) -> Figure:
    """The price as a figure."""
    rates = asked.rates
    keys = ("scrap_ratio", "overhead_ratio", "margin_ratio", "minimum_charge")
    hours = ("machine_per_h", "bench_per_h", "design_per_h")
    return derive(
        "quoting/sheets/price",
        float(one.price),
        asked.currency,
        what="price",
        method="lines with scrap and overhead, over one minus margin, not under the minimum charge",
        inputs=(
            *dict.fromkeys(each.quantity for each in charges),
            *(board.given("price") for board, _ in asked.sheets),
            *(rates.given(key) for key in (*keys, *hours)),
        ),
    )


def _findings(asked: SheetsAsked, one: Break) -> Iterator[Finding]:
    """The minimum charge, and what is not calculated yet."""
    if one.price == money(asked.rates.minimum_charge):
        yield finding(
            "QUO-010", Severity.NOTE, ("quote",), price=str(one.price), currency=asked.currency, packs=one.packs
        )
    yield finding("QUO-011", Severity.NOTE, ("quote",))
