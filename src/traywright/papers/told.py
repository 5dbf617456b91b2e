"""Findings, assumptions, overrides and cautions as blocks of a page: the same on every paper."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from traywright.base import Finding, Severity, message, text
from traywright.base.messages import Message
from traywright.papers.blocks import (
    FACTS_PT,
    SMALL_PT,
    Block,
    Cell,
    Column,
    heading,
    indented,
    lines_at,
    paragraph,
    stacked,
    table,
)
from traywright.papers.grounds import Book, counted, ground_line, status_word
from traywright.papers.lettering import width_of_mm, wrapped
from traywright.papers.marks import HAIR_MM, Lettering, Marks, Stroke, moved
from traywright.papers.paper import AnyAsked
from traywright.papers.signs import placed_sign

SIGN_MM = 11.0  # source: own choice: room of a sign with its letter
_HYPHEN_MINUS = re.compile(r"(?<![\w-])-(?=\d)")
MOST_PLACES = 6  # source: common practice, no source: more places than a line takes


def told(finding: Finding) -> Message:
    """The three lines of a finding with its parameters."""
    lines = message(finding.code, {"at": places_of(finding), **dict(finding.parameters)}, finding.fix)
    what, why, fix = (_HYPHEN_MINUS.sub("−", one) for one in (lines.what, lines.why, lines.fix))
    return replace(lines, what=what, why=why, fix=fix)


def places_of(finding: Finding) -> str:
    """Where a finding holds, in words; long lists are cut with their count.

    Examples
    --------
    >>> from traywright.base import finding
    >>> places_of(finding("PRO-013", Severity.NOTE, ("T1.C1", "T1.C2")))
    'T1.C1, T1.C2'
    """
    shown = ", ".join(finding.at[:MOST_PLACES])
    left = len(finding.at) - MOST_PLACES
    return text("paper", "more_places", places=shown, count=left) if left > 0 else shown


def _tail(finding: Finding, book: Book) -> str:
    """Places, code and figure in one line."""
    parts = [f"[{finding.code}]"]
    if finding.at:
        parts.append(text("paper", "at", places=places_of(finding)))
    if book.number(finding.figure):
        parts.append(text("paper", "figure", number=book.number(finding.figure)))
    return " · ".join(parts)


def finding_block(letter: str, finding: Finding, width_mm: float, book: Book, *, brief: bool = False) -> Block:
    """One finding: sign with letter, what, severity word and why, what to do, places.

    Parameters
    ----------
    letter, finding
        The finding and its letter.
    width_mm
        Width of the column.
    book
        Figures with their numbers.
    brief
        True to leave the why away.
    """
    lines = told(finding)
    inner = width_mm - SIGN_MM
    word = text("severity", finding.severity.word)
    parts = [paragraph(lines.what, inner, voice="strong", after_mm=0.4)]
    if not brief:
        parts.append(paragraph(text("paper", "finding", word=word, why=lines.why), inner, ink="ink-2", after_mm=0.4))
    parts.append(paragraph(lines.fix if not brief else f"{word}. {lines.fix}", inner, after_mm=0.2))
    parts.append(paragraph(_tail(finding, book), inner, size_pt=SMALL_PT, ink="ink-2", after_mm=0.0))
    body = indented(stacked(parts), SIGN_MM)
    height = body.height_mm + 2.6
    hair = Stroke(points_mm=((0.0, -height + 1.0), (width_mm, -height + 1.0)), ink="hair", width_mm=HAIR_MM)
    sign = placed_sign(finding.severity, letter, 4.7)
    return Block(height_mm=height, marks=(*sign, *body.marks, hair))


def findings_section(
    found: Sequence[tuple[str, Finding]], title: str, width_mm: float, book: Book, *, brief: bool = False
) -> tuple[Block, ...]:
    """A heading with its findings; nothing where there are none."""
    if not found:
        return ()
    return (
        heading(title),
        *(finding_block(letter, one, width_mm, book, brief=brief) for letter, one in found),
    )


def counts_words(found: Sequence[Finding]) -> str:
    """How many stops, warnings and notes."""
    stops, warnings, notes = (sum(one.severity is severity for one in found) for severity in Severity)
    return ", ".join((counted("stops", stops), counted("warnings", warnings), counted("notes", notes)))


def overrides_section(asked: AnyAsked, width_mm: float) -> tuple[Block, ...]:
    """Every override with who answers for it; nothing where there is none."""
    if not asked.overrides:
        return ()
    lines = [
        paragraph(text("paper", "override", code=code, place=place, why=why, by=by), width_mm, voice="strong")
        for code, place, why, by in asked.overrides
    ]
    return (heading(text("paper", "overrides_head")), *lines)


def assumptions_section(asked: AnyAsked, width_mm: float) -> tuple[Block, ...]:
    """The table of what was assumed, with its ground and what it acts on."""
    if not asked.assumptions:
        return ()
    columns = (
        Column(title=text("assumption", "field"), width_mm=width_mm * 0.33),
        Column(title=text("assumption", "taken"), width_mm=width_mm * 0.21),
        Column(title=text("assumption", "ground"), width_mm=width_mm * 0.13),
        Column(title=text("assumption", "effect"), width_mm=width_mm * 0.33),
    )
    rows = [
        (
            one.field,
            Cell(text=one.taken or text("paper", "none"), voice="strong", ground=one.status),
            text("ground", one.status),
            one.effect,
        )
        for one in asked.assumptions
    ]
    return (heading(text("assumption", "head")), *table(columns, rows, size_pt=8.5))


def ground_key(width_mm: float) -> Block:
    """The key of the lines that numbers stand on."""
    first = lines_at((text("paper", "ground_key"),), SMALL_PT, ink="ink-2")
    marks: Marks = first.marks
    left = width_of_mm(text("paper", "ground_key"), SMALL_PT) + 4.0
    down = first.marks[0].at_mm[1] if isinstance(first.marks[0], Lettering) else 0.0
    from traywright.base import Status  # noqa: PLC0415  # reason: only here

    for status in Status:
        words = status_word(status) if status is not Status.INVENTED else f"[{status_word(status)}]"
        if left + width_of_mm(words, SMALL_PT) > width_mm:
            left, down = 0.0, down - 4.6
        mark = Lettering(text=words, at_mm=(left, down), size_pt=SMALL_PT)
        marks += (mark, *ground_line(status.word, words, mark, SMALL_PT))
        left += width_of_mm(words, SMALL_PT) + 5.0
    return Block(height_mm=-down + 3.0, marks=marks)


def cautions(group: str, keys: Sequence[str], width_mm: float, *, size_pt: float = FACTS_PT) -> tuple[Block, ...]:
    """The cautions of a group, one a line with a dash."""
    return dashed([text(group, key) for key in keys], width_mm, size_pt=size_pt)


def dashed(lines: Sequence[str], width_mm: float, *, size_pt: float = FACTS_PT) -> tuple[Block, ...]:
    """Sentences, each with a dash before it."""
    step = 4.0
    blocks = []
    for one in lines:
        told_lines = lines_at(wrapped(one, width_mm - step, size_pt), size_pt, left_mm=step)
        dash = lines_at(("–",), size_pt)
        blocks.append(replace(told_lines, height_mm=told_lines.height_mm + 0.9, marks=(*dash.marks, *told_lines.marks)))
    return tuple(blocks)


def signatures(words: Sequence[str], width_mm: float) -> Block:
    """Lines to sign on, side by side."""
    wide = width_mm / len(words)
    marks: Marks = ()
    for number, one in enumerate(words):
        left = number * wide
        marks += (Stroke(points_mm=((left, -16.0), (left + wide - 6.0, -16.0))),)
        marks += moved(lines_at(wrapped(one, wide - 6.0, SMALL_PT), SMALL_PT, ink="ink-2").marks, left, -16.8)
    return Block(height_mm=26.0, marks=marks)
