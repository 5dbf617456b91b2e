"""Cost roll-up of each break and the price that leaves the margin asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from traywright.base import Figure, Finding, Given, Severity, derive, finding
from traywright.base.errors import QuoteError
from traywright.quoting.quote import Break, Making, PriceAsked, Quote, QuoteLine

_CENT = Decimal("0.01")


def money(amount: Decimal) -> Decimal:
    """An amount rounded half up to cents.

    Examples
    --------
    >>> money(Decimal("2.345"))
    Decimal('2.35')
    """
    return amount.quantize(_CENT, rounding=ROUND_HALF_UP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """One line before it has an id: quantity figure, rate and what it is for."""

    what: str
    detail: str
    quantity: Figure
    rate: Decimal

    @property
    def amount(self) -> Decimal:
        """Quantity times rate, in cents."""
        return money(Decimal(repr(self.quantity.value)) * self.rate)


def price(asked: PriceAsked) -> Quote:
    """The quote of a job: lines of the headline break, one price a break, cost per kit trip.

    Parameters
    ----------
    asked
        Quantities, rates and cards; each break has its own quantities from nesting and cutting.

    Returns
    -------
    Quote
        Money in the rates card's currency, rounded half up to cents on every line.

    Raises
    ------
    QuoteError
        QUO-001 if a card is priced in another currency than the offer; QUO-002 if the margin is 1 or more.

    Notes
    -----
    price = cost / (1 - margin); cost = (sum of lines x (1 + scrap on foam and machine)) x (1 + overhead). The price of
    a break is never under the minimum charge. Method: common practice, no source.
    """
    _check(asked)
    headline = next(one for one in asked.makings if one.packs == asked.packs)
    lines = tuple(
        QuoteLine(
            id=f"Q{number}",
            what=one.what,
            detail=one.detail,
            quantity=one.quantity.path,
            rate=one.rate,
            amount=one.amount,
        )
        for number, one in enumerate(_charges(asked, headline), start=1)
    )
    breaks = tuple(_break(asked, one) for one in asked.makings)
    return Quote(
        currency=asked.currency,
        packs=asked.packs,
        lines=lines,
        breaks=breaks,
        figures=tuple(_figures(asked, breaks)),
        findings=tuple(_findings(asked, breaks)),
    )


def _check(asked: PriceAsked) -> None:
    """Refuse mixed currencies and a margin that no price can leave."""
    priced = [(board.id, board.currency) for making in asked.makings for board, _ in making.boards]
    priced += [(asked.box.id, asked.box.currency), (asked.rates.id, asked.rates.currency)]
    priced += [(asked.divider.id, asked.divider.currency)] if asked.divider else []
    for card, currency in priced:
        if currency != asked.currency:
            raise QuoteError("QUO-001", card=card, currency=currency, wanted=asked.currency)
    if asked.rates.margin_ratio >= 1.0:
        raise QuoteError("QUO-002", margin=asked.rates.margin_ratio)


def _material(asked: PriceAsked, making: Making) -> Iterator[Charge]:
    """Boards and machine time: what scrap falls on."""
    for board, count in making.boards:
        yield Charge(what="board", detail=board.id, quantity=count, rate=board.price)
    yield Charge(what="machine", detail="", quantity=making.machine, rate=asked.rates.machine_per_h)


def _bench(asked: PriceAsked, making: Making) -> Iterator[Charge]:
    """Hands at the bench, glue, boxes and dividers."""
    rates = asked.rates
    for what, counted, key in (
        ("load", making.blanks, "load_h_per_board"),
        ("bond", making.joints, "bond_h_per_joint"),
        ("trim", making.bridges, "bridge_h"),
        ("pack", _packs(asked, making), "pack_h"),
    ):
        hours = derive(
            f"quoting/{making.packs}/{what}_h",
            counted.value * getattr(rates, key),
            "h",
            what=what,
            method="count times hours each",
            inputs=(counted, rates.given(key)),
            case=f"{making.packs}",
        )
        if hours.value > 0.0:
            yield Charge(what=what, detail="", quantity=hours, rate=rates.bench_per_h)
    if making.glue.value > 0.0:
        yield Charge(what="glue", detail="", quantity=making.glue, rate=rates.glue_per_m2)
    yield Charge(what="box", detail=asked.box.id, quantity=_packs(asked, making), rate=asked.box.price)
    if asked.divider is not None and asked.dividers_per_pack:
        yield Charge(
            what="divider",
            detail=asked.divider.id,
            quantity=_packs(asked, making, "dividers", asked.dividers_per_pack),
            rate=asked.divider.price,
        )


def _design(asked: PriceAsked, making: Making) -> Charge:
    """Design and programs, once a job."""
    hours = derive(
        f"quoting/{making.packs}/design_h",
        asked.rates.design_h,
        "h",
        what="design and programs",
        method="hours on the rates card",
        inputs=(asked.rates.given("design_h"),),
        case=f"{making.packs}",
    )
    return Charge(what="design", detail="", quantity=hours, rate=asked.rates.design_per_h)


def _packs(asked: PriceAsked, making: Making, what: str = "packs", each: int = 1) -> Figure:
    """Packs of a break, or things counted by pack."""
    given = dict(asked.packs_asked)[making.packs]
    return derive(
        f"quoting/{making.packs}/{what}",
        float(making.packs * each),
        "piece",
        what=what,
        method="packs asked times pieces each",
        inputs=(given,),
        case=f"{making.packs}",
    )


def _charges(asked: PriceAsked, making: Making) -> Iterator[Charge]:
    """All lines of one break in reading order."""
    yield from _material(asked, making)
    yield from _bench(asked, making)
    yield _design(asked, making)


def _cost(asked: PriceAsked, making: Making) -> Decimal:
    """Cost of one break with scrap and overhead."""
    material = sum((one.amount for one in _material(asked, making)), Decimal(0))
    others = sum((one.amount for one in _bench(asked, making)), Decimal(0)) + _design(asked, making).amount
    scrap = Decimal(repr(asked.rates.scrap_ratio))
    overhead = Decimal(repr(asked.rates.overhead_ratio))
    return money((material * (1 + scrap) + others) * (1 + overhead))


def _kit_trips(asked: PriceAsked, packs: int) -> float:
    """Kit trips that so many packs carry: what is asked, or what they can make if that is less."""
    if asked.loop is None:
        return 0.0
    return min(asked.loop.kit_trips.value, packs * asked.kits * asked.loop.trips_per_pack.value)


def _break(asked: PriceAsked, making: Making) -> Break:
    """Price of one break."""
    cost = _cost(asked, making)
    wanted = money(cost / (1 - Decimal(repr(asked.rates.margin_ratio))))
    charged = max(wanted, money(asked.rates.minimum_charge))
    trips = _kit_trips(asked, making.packs)
    return Break(
        packs=making.packs,
        cost=cost,
        price=charged,
        per_pack=money(charged / making.packs),
        per_kit_trip=money(charged / Decimal(repr(trips))) if trips else None,
    )


def _figures(asked: PriceAsked, breaks: tuple[Break, ...]) -> Iterator[Figure]:
    """Every quantity that a line names, and the price of each break with what it stands on."""
    if asked.loop is not None:
        yield from asked.loop.figures
    rates = asked.rates
    shares = (rates.given("scrap_ratio"), rates.given("overhead_ratio"), rates.given("margin_ratio"))
    for making, one in zip(asked.makings, breaks, strict=True):
        counted = tuple(charge.quantity for charge in _charges(asked, making))
        yield from dict.fromkeys(counted)
        yield from (making.blanks, making.joints, making.bridges)
        prices = tuple(_price_grounds(asked, making))
        total = derive(
            f"quoting/{making.packs}/price",
            float(one.price),
            asked.currency,
            what="price",
            method="lines with scrap and overhead, over one minus margin, not under the minimum charge",
            inputs=(*counted, *prices, *shares, rates.given("minimum_charge")),
            case=f"{making.packs}",
        )
        yield total
        if one.per_kit_trip is not None and asked.loop is not None:
            yield derive(
                f"quoting/{making.packs}/per_kit_trip",
                float(one.per_kit_trip),
                asked.currency,
                what="cost per kit trip",
                method="price over the kit trips that so many packs carry",
                inputs=(total, asked.loop.kit_trips, asked.loop.trips_per_pack),
                case=f"{making.packs}",
            )


def _price_grounds(asked: PriceAsked, making: Making) -> Iterator[Given]:
    """The cards' own prices as inputs."""
    for board, _ in making.boards:
        yield board.given("price")
    yield asked.box.given("price")
    if asked.divider is not None and asked.dividers_per_pack:
        yield asked.divider.given("price")
    for key in ("machine_per_h", "bench_per_h", "design_per_h", "glue_per_m2"):
        yield asked.rates.given(key)


def _findings(asked: PriceAsked, breaks: tuple[Break, ...]) -> Iterator[Finding]:
    """Notes on the price: minimum charge, and what is not calculated yet."""
    for one in breaks:
        if one.price == money(asked.rates.minimum_charge):
            yield finding(
                "QUO-010",
                Severity.NOTE,
                (f"{one.packs}",),
                price=str(one.price),
                currency=asked.currency,
                packs=one.packs,
            )
    yield finding("QUO-011", Severity.NOTE, ("quote",))
    if asked.loop is None:
        yield finding("QUO-012", Severity.NOTE, ("quote",))
    elif asked.packs < asked.loop.pool.value:
        yield finding(
            "QUO-013",
            Severity.WARN,
            ("quote",),
            figure=asked.loop.pool.path,
            packs=asked.packs,
            pool=int(asked.loop.pool.value),
        )
