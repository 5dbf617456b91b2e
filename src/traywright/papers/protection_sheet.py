"""The protection sheet: verdict, the weakest three as pictures, every way of fall, what it rests on, who signs."""

from __future__ import annotations

from traywright.base import text
from traywright.papers.blocks import Block, heading, lines_at, paragraph, rule, stacked
from traywright.papers.falls import PICTURE_MM, FallKey, fall_picture, falls_of, falls_table, weakest
from traywright.papers.grounds import Book, book_of, counted, length, lettered
from traywright.papers.lettering import fitted, wrapped
from traywright.papers.marks import Lettering, Marks, moved
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.pdf import pdf_of
from traywright.papers.rests import rests_on, whole_pack
from traywright.papers.sheet import PORTRAIT_MM, Sheet, framed, paged
from traywright.papers.signs import severity_sign
from traywright.papers.told import (
    assumptions_section,
    cautions,
    counts_words,
    findings_section,
    overrides_section,
    signatures,
    told,
)
from traywright.papers.wall_table import walls_section

CAUTIONS = ("estimate", "batch", "thin", "climate", "not_modelled", "exceeded", "inspect", "lifting", "site")
PITCH_MM = 61.0


def _verdict(asked: PapersAsked, width_mm: float) -> tuple[Block, ...]:
    """The verdict in large letters, its counts beside."""
    word = asked.head.verdict
    note = text("protection_sheet", "note", verdict=text("verdict", "not_tested"))
    counts = counts_words(asked.findings)
    overrides = counted("overrides", len(asked.overrides))
    return (
        paragraph(word[:1].upper() + word[1:], width_mm, size_pt=21.0, voice="judgement", after_mm=0.6),
        paragraph(f"{note} · {counts}, {overrides}", width_mm, after_mm=2.0),
        rule(width_mm, after_mm=0.5),
    )


def _travel(key: FallKey, book: Book) -> float:
    """Travel at the slow rate, 0 where it is not known."""
    figure = key.figure(book, "travel", "slow")
    return figure.value if figure is not None else 0.0


def _pictures(asked: PapersAsked, book: Book) -> tuple[Block, ...]:
    """The weakest falls side by side: the tray cut open, sign, what, why."""
    chosen = weakest(asked)
    if not chosen:
        return ()
    marks: Marks = ()
    deep = 0.0
    for number, (letter, one, key) in enumerate(chosen):
        left = number * PITCH_MM
        lines = told(one)
        picture = fall_picture(asked, one, key, _travel(key, book))
        drop = text("protection_sheet", "picture", part=key.part, way=text("way", key.way), drop=key.drop)
        title, size = fitted(drop, PICTURE_MM[0] - 10.0, 9.5, "strong")
        words = lines_at(wrapped(lines.what, PICTURE_MM[0], 8.5), 8.5, ink="ink-2")
        marks += moved(picture, left, -PICTURE_MM[1])
        marks += moved(severity_sign(one.severity, letter), left + 4.6, -PICTURE_MM[1] - 5.0)
        marks += (
            Lettering(text=title, at_mm=(left + 10.0, -PICTURE_MM[1] - 6.2), size_pt=size, voice="strong"),
            *moved(words.marks, left, -PICTURE_MM[1] - 9.4),
        )
        deep = max(deep, words.height_mm)
    block = Block(height_mm=PICTURE_MM[1] + 9.4 + deep + 2.0, marks=marks)
    return (heading(counted("weakest", len(chosen))), block)


def _falls(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """The table of all falls, or the line that there is none."""
    title = heading(text("protection_sheet", "table_head"))
    if not falls_of(asked):
        return (title, paragraph(text("protection_sheet", "no_falls"), width_mm, voice="strong"))
    note = paragraph(text("protection_sheet", "rates"), width_mm, size_pt=8.0, ink="ink-2")
    return (title, *falls_table(asked, width_mm, book), note)


def protection_sheet(asked: PapersAsked) -> Paper:
    """The protection sheet as a PDF."""
    head, unit = asked.head, asked.head.length_shown
    inside = {
        "length": length(asked.box.inside_length_mm, unit),
        "width": length(asked.box.inside_width_mm, unit),
        "height": length(asked.box.inside_height_mm, unit),
    }
    sheet = Sheet(
        size_mm=PORTRAIT_MM,
        name=text("paper_name", "protection"),
        lines=(
            f"{head.title} · {head.customer}" if head.customer else head.title,
            text("protection_sheet", "subtitle", kits=counted("kits", asked.pack.kits), unit=unit, **inside),
        ),
        print_name=text("foot", "trays"),
        print_value=head.fingerprint_trays,
    )
    width, book = sheet.width_mm, book_of(asked)
    found = lettered(asked)
    first = [pair for pair in found if pair[1] in asked.first]
    others = [pair for pair in found if pair[1] not in asked.first]
    sign = (text("sign", "map"), text("sign", "foam"), text("sign", "date"))
    blocks = (
        *_verdict(asked, width),
        *_pictures(asked, book),
        *findings_section(first, text("protection_sheet", "findings_head"), width, book),
        *overrides_section(asked, width),
        *_falls(asked, width, book),
        *walls_section(asked, width, book),
        *whole_pack(asked, width, book),
        *rests_on(asked, width, book),
        *assumptions_section(asked, width),
        heading(text("protection_sheet", "cautions_head")),
        *cautions("caution_protection", CAUTIONS, width),
        stacked((heading(text("protection_sheet", "signs_head")), signatures(sign, width))),
        *findings_section(others, text("protection_sheet", "more_head"), width, book, brief=True),
    )
    content = pdf_of(
        framed(sheet, head, paged(blocks, sheet, head)),
        width_mm=PORTRAIT_MM[0],
        height_mm=PORTRAIT_MM[1],
        title=f"{sheet.name} {head.number} {head.revision}",
        subject=head.verdict,
    )
    return Paper(name="protection", file="papers/protection.pdf", content=content)
