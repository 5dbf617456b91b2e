"""The price of a drawing, worked by hand beside each assertion."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.quoting.asked import BOARD, RATES

from traywright.base import Given, Status, derive, message
from traywright.base.errors import QuoteError
from traywright.catalogue import load_cards
from traywright.quoting import SheetsAsked, price_sheets, sheet_share

QUANTITY = Given(ref="enquiry:drawing.quantity", value=4.0, unit="", status=Status.STATED, source="test")
KERF = Given(ref="card:router#kerf_mm", value=12.0, unit="mm", status=Status.INVENTED, source="test")


def figure(path, value, unit):
    return derive(path, value, unit, what=path, method="test", inputs=(QUANTITY,))


def asked(**more):
    """Two sheets at 30, two hours at 50, three loads, ten bridges, for four pieces."""
    told = {
        "currency": "EUR",
        "quantity": QUANTITY,
        "rates": RATES,
        "sheets": ((BOARD, figure("nesting/boards", 2.0, "board")),),
        "machine": figure("cutting/time", 2.0, "h"),
        "blanks": figure("nesting/blanks", 3.0, "board"),
        "bridges": figure("holddown/bridges", 10.0, "bridge"),
        "sheet": "whole",
    }
    return SheetsAsked(**{**told, **more})


def drawer(**more):
    """One piece of 558 x 398 from a sheet of 1200 x 600 at 38.00, six minutes of router time with the set-up."""
    cards = load_cards()
    board = cards.board("two-colour-1200x600x30")
    one = replace(QUANTITY, value=1.0)
    told = {
        "quantity": one,
        "rates": cards.rates("demo-rates"),
        "sheets": ((board, sheet_share(board, (558.0 + 12.0) * (398.0 + 12.0), one, KERF)),),
        "machine": figure("cutting/time", 0.1, "h"),
        "blanks": figure("nesting/blanks", 1.0, "board"),
        "bridges": figure("holddown/bridges", 4.0, "bridge"),
        "sheet": "share",
    }
    return asked(**{**told, **more})


def test_cost_and_price_by_hand() -> None:
    """Sheets 2 x 30 + 2 h x 50 = 160; scrap 10 % -> 176. Hands: 3 x 0.05 h = 0.15 h x 40 = 6; 10 x 0.01 h = 4.

    Drawing 0.25 h x 48 = 12. (176 + 6 + 4 + 12) x 1.2 = 237.60; over 1 - 0.25: 316.80; a quarter of it a piece: 79.20.
    """
    quote = price_sheets(asked())
    (only,) = quote.breaks
    assert (only.packs, only.cost, only.price) == (4, Decimal("237.60"), Decimal("316.80"))
    assert (only.per_pack, only.per_kit_trip) == (Decimal("79.20"), None)
    assert {one.what: one.amount for one in quote.lines} == {
        "board": Decimal("60.00"),
        "machine": Decimal("100.00"),
        "load": Decimal("6.00"),
        "trim": Decimal("4.00"),
        "drawing": Decimal("12.00"),
    }


def test_the_share_is_boxes_with_a_kerf_over_the_whole_sheet() -> None:
    """570 x 410 of 1200 x 600: 233 700 / 720 000."""
    ((_, share),) = drawer().sheets
    assert share.value == pytest.approx(233700 / 720000)
    assert set(share.inputs) == {
        "enquiry:drawing.quantity",
        "card:router#kerf_mm",
        "card:two-colour-1200x600x30#length_mm",
        "card:two-colour-1200x600x30#width_mm",
    }


def test_one_drawer_is_priced_at_the_minimum_charge() -> None:
    """Share 12.33 + router 5.50, scrap 3 % -> 18.36; load 3.80, bridges 0.46, drawing 12.00: 34.62 x 1.12 = 38.78.

    Over 0.70 that is 55.40, under the 120 of the rates card.
    """
    quote = price_sheets(drawer())
    (only,) = quote.breaks
    assert only.cost == pytest.approx(Decimal("38.78"), abs=Decimal("0.02"))
    assert only.price == Decimal("120.00")
    (note,) = [one for one in quote.findings if one.code == "QUO-010"]
    assert "120.00 EUR" in message(note.code, dict(note.parameters), note.fix).what
    assert quote.lines[0].what == "sheet_share"


def test_a_piece_above_the_minimum_charge_is_priced_by_its_lines() -> None:
    quote = price_sheets(drawer(machine=figure("cutting/time", 3.0, "h")))
    assert quote.breaks[0].price > Decimal("120.00")
    assert "QUO-010" not in {one.code for one in quote.findings}


def test_every_line_names_a_figure_and_every_figure_ends_at_the_cards() -> None:
    quote = price_sheets(drawer())
    paths = {one.path for one in quote.figures}
    assert {one.quantity for one in quote.lines} <= paths
    total = next(one for one in quote.figures if one.path == "quoting/sheets/price")
    leaves = {one for one in total.inputs if one not in paths}
    assert all(one.split(":")[0] in {"card", "table", "enquiry"} for one in leaves)
    assert "card:two-colour-1200x600x30#price" in leaves
    drawing = next(one for one in quote.figures if one.path == "quoting/sheets/drawing_h")
    assert drawing.inputs == ("table:quote_rules#drawing_h.value",)


def test_another_currency_and_a_margin_of_one_are_refused() -> None:
    for case, code in (
        (asked(currency="USD"), "QUO-001"),
        (asked(sheets=((replace(BOARD, currency="USD"), figure("n", 1.0, "board")),)), "QUO-001"),
        (asked(rates=replace(RATES, margin_ratio=1.0)), "QUO-002"),
    ):
        with pytest.raises(QuoteError) as refused:
            price_sheets(case)
        assert refused.value.code == code
