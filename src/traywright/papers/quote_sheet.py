"""The quote."""

from __future__ import annotations

from traywright.base import text
from traywright.papers.marks import Lettering
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.pdf import pdf_of


def quote_sheet(asked: PapersAsked) -> Paper:
    """The quote as a PDF."""
    rows = [text("paper_name", "quote"), asked.head.verdict]
    rows += [f"{one.packs}: {one.price} {asked.quote.currency}" for one in asked.quote.breaks]
    page = tuple(
        Lettering(text=words, at_mm=(20.0, 270.0 - 8.0 * row), size_pt=11.0) for row, words in enumerate(rows)
    )
    told = pdf_of((page,), width_mm=210.0, height_mm=297.0, title=rows[0], subject=asked.head.number)
    return Paper(name="quote", file="papers/quote.pdf", content=told)
