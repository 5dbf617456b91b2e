"""The price of a small job, worked by hand beside each assertion."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.quoting.asked import asked_price

from traywright.base.errors import QuoteError
from traywright.quoting import money, price


def test_cost_and_price_by_hand() -> None:
    """2 boards at 30 + 1 h at 50 = 110; scrap 10 % -> 121; bench and design below; overhead 20 %; margin 25 %.

    Bench at 40: 4 loads x 0.05 h = 0.2 h = 8; 2 joints x 0.5 h = 1 h = 40; 8 bridges x 0.01 h = 0.08 h = 3.20;
    2 packs x 0.25 h = 0.5 h = 20; glue 1.5 m² x 4 = 6; boxes 2 x 31 = 62; dividers 2 x 2 = 4; design 1 h x 48 = 48.
    Cost (121 + 8 + 40 + 3.20 + 20 + 6 + 62 + 4 + 48) x 1.2 = 312.20 x 1.2 = 374.64; price 374.64 / 0.75 = 499.52.
    """
    quote = price(asked_price())
    (only,) = quote.breaks
    assert only.cost == Decimal("374.64")
    assert only.price == Decimal("499.52")
    assert only.per_pack == Decimal("249.76")


def test_lines_add_up_to_the_cost() -> None:
    """The lines before scrap and overhead: 110 + 8 + 40 + 3.20 + 20 + 6 + 62 + 4 + 48 = 301.20."""
    quote = price(asked_price())
    assert sum(one.amount for one in quote.lines) == Decimal("301.20")
    assert [one.id for one in quote.lines] == [f"Q{place}" for place in range(1, len(quote.lines) + 1)]


def test_every_line_names_a_figure_of_the_quote() -> None:
    quote = price(asked_price())
    paths = {one.path for one in quote.figures} | {"nesting/boards"}
    assert {one.quantity for one in quote.lines} <= paths | {"cutting/time"}


def test_minimum_charge_is_never_undercut() -> None:
    asked = asked_price()
    quote = price(replace(asked, rates=replace(asked.rates, minimum_charge=Decimal(900))))
    assert quote.breaks[0].price == Decimal("900.00")
    assert "QUO-010" in {one.code for one in quote.findings}


def test_a_margin_of_one_is_refused() -> None:
    asked = asked_price()
    with pytest.raises(QuoteError) as refused:
        price(replace(asked, rates=replace(asked.rates, margin_ratio=1.0)))
    assert refused.value.code == "QUO-002"


def test_another_currency_is_refused() -> None:
    asked = asked_price()
    with pytest.raises(QuoteError) as refused:
        price(replace(asked, box=replace(asked.box, currency="USD")))
    assert refused.value.code == "QUO-001"


def test_without_a_loop_no_cost_per_kit_trip() -> None:
    quote = price(replace(asked_price(), loop=None))
    assert quote.breaks[0].per_kit_trip is None
    assert "QUO-012" in {one.code for one in quote.findings}


def test_cost_per_kit_trip_counts_only_trips_that_are_made() -> None:
    """Loop asks 100 x 10 x 1 = 1000 kit trips; 2 packs of 3 kits make 2 x 3 x (50 days / 10) = 30 at most."""
    quote = price(asked_price())
    assert quote.breaks[0].per_kit_trip == money(Decimal("499.52") / 30)
