from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from papers.asked import papers_asked
from papers.reading import pages, words
from traywright.base import message
from traywright.papers.quote_sheet import money, quote_sheet


def test_who_decides_stands_on_the_quote():
    told = words(quote_sheet(papers_asked()).content)
    assert "Who decides" in told
    assert "The customer, on every assumption above" in told


def test_every_stop_that_shows_first_is_there_with_its_letter():
    asked = papers_asked(stops=3)
    told = words(quote_sheet(asked).content)
    for letter, one in zip("ABC", asked.first, strict=True):
        assert message(one.code, dict(one.parameters), one.fix).what in told
        assert letter in told.split()


def test_amounts_of_any_size_stay_in_their_column():
    asked = papers_asked()
    headline = replace(asked.quote.breaks[0], price=Decimal("123456789.01"), per_pack=Decimal("24691357.80"))
    told = pages(quote_sheet(replace(asked, quote=replace(asked.quote, breaks=(headline,)))).content)
    assert "123 456 789.01" in " ".join(told)


def test_money_has_two_places_and_a_true_minus():
    assert money(Decimal("-1079.5")) == "−1 079.50"
