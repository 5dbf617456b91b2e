"""The quote: what it costs at each quantity, what that rests on, what fails, and what is left out."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from traywright.base import Severity, text
from traywright.papers.blocks import Block, Cell, Column, heading, paragraph, rule, table
from traywright.papers.grounds import Book, book_of, bracketed, counted, lettered, told_value, unit_word
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.pdf import pdf_of
from traywright.papers.sheet import PORTRAIT_MM, Sheet, framed, paged
from traywright.papers.told import (
    assumptions_section,
    cautions,
    counts_words,
    findings_section,
    ground_key,
    overrides_section,
    signatures,
)

DECIDES = ("customer", "shop", "test")
EXCLUSIONS = ("tax", "delivery", "tests", "parts", "figures", "changes")


def money(amount: Decimal) -> str:
    """An amount as papers print it, thousands apart.

    Examples
    --------
    >>> money(Decimal("4321.04"))
    '4 321.04'
    """
    return f"{amount:,.2f}".replace(",", " ").replace("-", "−")


def _breaks(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """Price of each quantity."""
    currency = asked.quote.currency
    columns = (
        Column(title=text("quote_sheet", "packs"), width_mm=width_mm * 0.16, anchor="right"),
        Column(title=text("quote_sheet", "price", currency=currency), width_mm=width_mm * 0.28, anchor="right"),
        Column(title=text("quote_sheet", "per_pack", currency=currency), width_mm=width_mm * 0.28, anchor="right"),
        Column(title=text("quote_sheet", "per_trip", currency=currency), width_mm=width_mm * 0.28, anchor="right"),
    )
    rows = []
    for one in asked.quote.breaks:
        voice = "strong" if one.packs == asked.quote.packs else "facts"
        path = f"quoting/{one.packs}/price"
        status = book.figures[path].status.word if path in book.figures else ""
        trip = text("paper", "not_calculated") if one.per_kit_trip is None else money(one.per_kit_trip)
        trip_number = book.number(f"quoting/{one.packs}/per_kit_trip")
        rows.append(
            (
                Cell(text=str(one.packs), voice=voice),
                Cell(text=bracketed(money(one.price), status), voice=voice, ground=status, below=book.number(path)),
                Cell(text=bracketed(money(one.per_pack), status), voice=voice, ground=status),
                Cell(text=bracketed(trip, status) if trip_number else trip, voice=voice, below=trip_number),
            )
        )
    return (heading(text("quote_sheet", "breaks_head")), *table(columns, rows, size_pt=11.0))


def _lines(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """Line by line at the headline quantity, down to its price."""
    shares = (0.31, 0.24, 0.15, 0.14, 0.16)
    keys = ("line", "quantity", "ground", "rate", "amount")
    columns = tuple(
        Column(
            title=text("quote_sheet", key),
            width_mm=width_mm * share,
            anchor="left" if key in {"line", "ground"} else "right",
        )
        for key, share in zip(keys, shares, strict=True)
    )
    rows: list[tuple[Cell | str, ...]] = []
    for one in asked.quote.lines:
        figure = book.figures[one.quantity]
        told = f"{told_value(figure.value, figure.unit)} {unit_word(figure.unit, figure.value)}"
        rows.append(
            (
                Cell(text=text("quote", one.what), below=one.detail),
                Cell(
                    text=bracketed(told, figure.status.word),
                    ground=figure.status.word,
                    below=book.number(one.quantity),
                ),
                text("ground", figure.status.word),
                money(one.rate),
                money(one.amount),
            )
        )
    headline = next(one for one in asked.quote.breaks if one.packs == asked.quote.packs)
    total = sum((one.amount for one in asked.quote.lines), Decimal(0))
    rows.append((text("quote_sheet", "sum"), "", "", "", money(total)))
    rows.append((text("quote_sheet", "on_top"), "", "", "", money(headline.price - total)))
    rows.append(
        (
            Cell(text=text("quote_sheet", "price_of", packs=counted("packs", headline.packs)), voice="strong"),
            "",
            "",
            "",
            Cell(text=money(headline.price), voice="strong"),
        )
    )
    return (heading(counted("lines_head", headline.packs)), *table(columns, rows))


def _validity(asked: PapersAsked, width_mm: float) -> tuple[Block, ...]:
    """How long it holds and when it is due."""
    head = asked.head
    until = (date.fromisoformat(head.dated) + timedelta(days=head.valid_days)).isoformat()
    words = text("quote_sheet", "valid", days=head.valid_days, dated=head.dated, until=until)
    due = text("quote_sheet", "due", due=head.due) if head.due else text("quote_sheet", "no_due")
    return (
        heading(text("quote_sheet", "validity_head")),
        paragraph(words, width_mm),
        paragraph(due, width_mm),
    )


def _verdict(asked: PapersAsked, width_mm: float) -> tuple[Block, ...]:
    """The verdict first, with its counts."""
    return (
        paragraph(asked.head.verdict[:1].upper() + asked.head.verdict[1:], width_mm, size_pt=16.0, voice="judgement"),
        paragraph(f"{counts_words(asked.findings)}; {text('verdict', 'not_tested')}", width_mm),
        rule(width_mm),
    )


def _more(asked: PapersAsked, width_mm: float) -> tuple[Block, ...]:
    """How many findings stand on the protection sheet only."""
    left = len(asked.findings) - len(asked.first)
    return (paragraph(counted("more", left), width_mm),) if left > 0 else ()


def quote_sheet(asked: PapersAsked) -> Paper:
    """The quote as a PDF: breaks, lines, assumptions, what fails, exclusions, validity."""
    head = asked.head
    sheet = Sheet(
        size_mm=PORTRAIT_MM,
        name=text("paper_name", "quote"),
        lines=(
            f"{head.title} · {head.customer}" if head.customer else head.title,
            text("paper", "kits_in_box", kits=counted("kits", asked.pack.kits), packs=counted("packs", asked.packs)),
        ),
        print_name=text("foot", "offer"),
        print_value=head.fingerprint_offer,
    )
    width, book = sheet.width_mm, book_of(asked)
    found = lettered(asked)
    shown = [pair for pair in found if pair[1] in asked.first]
    stops = [pair for pair in shown if pair[1].severity is Severity.STOP]
    warnings = [pair for pair in shown if pair[1].severity is Severity.WARN]
    blocks = (
        *_verdict(asked, width),
        *_breaks(asked, width, book),
        *_lines(asked, width, book),
        ground_key(width),
        *_validity(asked, width),
        *overrides_section(asked, width),
        *findings_section(stops, text("quote_sheet", "stops_head"), width, book, brief=True),
        *findings_section(warnings, text("quote_sheet", "warnings_head"), width, book, brief=True),
        *_more(asked, width),
        *assumptions_section(asked, width),
        heading(text("quote_sheet", "exclusions_head")),
        *cautions("quote_exclusion", EXCLUSIONS, width),
        heading(text("quote_sheet", "decides_head")),
        *cautions("quote_decides", DECIDES, width),
        signatures((text("sign", "offered"), text("sign", "ordered"), text("sign", "date")), width),
    )
    content = pdf_of(
        framed(sheet, head, paged(blocks, sheet, head)),
        width_mm=PORTRAIT_MM[0],
        height_mm=PORTRAIT_MM[1],
        title=f"{sheet.name} {head.number} {head.revision}",
        subject=head.verdict,
    )
    return Paper(name="quote", file="papers/quote.pdf", content=content)
