"""What stands on a page one below the other: headings, paragraphs, tables, ticks; and how they flow over pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from traywright.papers.grounds import ground_line
from traywright.papers.lettering import MM_PER_PT, wrapped
from traywright.papers.marks import HAIR_MM, THIN_MM, Area, Lettering, Marks, Stroke, box, moved

FACTS_PT = 9.5  # source: look of the house: facts on paper
SMALL_PT = 8.0  # source: look of the house: least on paper
HEADING_PT = 13.0  # source: look of the house: judgement on paper
LEADING_RATIO = 1.32  # source: common practice, no source: distance of lines over size of letters
DROP_RATIO = 1.0  # source: common practice, no source: first base line below the top, over size of letters


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Marks below (0, 0), y downwards negative, with their height.

    ``keep`` holds the block together with the next; ``head`` is put above it where a page begins with it.
    """

    height_mm: float
    marks: Marks
    keep: bool = False
    head: tuple[Block, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a table: text, or marks of a size drawn from their upper left corner."""

    text: str = ""
    voice: str = "facts"
    ink: str = "ink"
    below: str = ""
    marks: Marks = ()
    height_mm: float = 0.0
    ground: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table; ``anchor`` is left or right."""

    title: str
    width_mm: float
    anchor: str = "left"


def line_height_mm(size_pt: float) -> float:
    """Distance of two lines of text."""
    return size_pt * MM_PER_PT * LEADING_RATIO


def lines_at(
    lines: Sequence[str],
    size_pt: float,
    *,
    left_mm: float = 0.0,
    voice: str = "facts",
    ink: str = "ink",
    anchor: str = "left",
) -> Block:
    """Lines of text one below the other."""
    step = line_height_mm(size_pt)
    first = size_pt * MM_PER_PT * DROP_RATIO
    marks = tuple(
        Lettering(text=one, at_mm=(left_mm, -first - step * row), size_pt=size_pt, voice=voice, ink=ink, anchor=anchor)
        for row, one in enumerate(lines)
    )
    return Block(height_mm=step * len(lines), marks=marks)


def heading(words: str, *, size_pt: float = HEADING_PT) -> Block:
    """A heading that stays with what follows."""
    told = lines_at((words,), size_pt, voice="judgement")
    return Block(height_mm=told.height_mm + 3.4, marks=moved(told.marks, 0.0, -2.0), keep=True)


def paragraph(
    words: str,
    width_mm: float,
    *,
    size_pt: float = FACTS_PT,
    voice: str = "facts",
    ink: str = "ink",
    after_mm: float = 1.6,
) -> Block:
    """A paragraph as wide as asked."""
    told = lines_at(wrapped(words, width_mm, size_pt, voice), size_pt, voice=voice, ink=ink)
    return replace(told, height_mm=told.height_mm + after_mm)


def stacked(blocks: Sequence[Block]) -> Block:
    """Blocks one below the other as one that is not broken."""
    marks: list[object] = []
    down = 0.0
    for one in blocks:
        marks.extend(moved(one.marks, 0.0, -down))
        down += one.height_mm
    return Block(height_mm=down, marks=tuple(marks))  # type: ignore[arg-type]  # reason: marks of blocks are marks


def indented(block: Block, by_mm: float) -> Block:
    """The block moved to the right."""
    return replace(block, marks=moved(block.marks, by_mm, 0.0))


def space(height_mm: float) -> Block:
    """Nothing, so high."""
    return Block(height_mm=height_mm, marks=())


def rule(width_mm: float, *, line_mm: float = THIN_MM, after_mm: float = 2.0) -> Block:
    """A line across."""
    line = Stroke(points_mm=((0.0, 0.0), (width_mm, 0.0)), width_mm=line_mm)
    return Block(height_mm=after_mm, marks=(line,))


def tick(words: str, width_mm: float, *, size_pt: float, side_mm: float = 4.4) -> Block:
    """A square to tick with what it stands for."""
    square = Area(rings_mm=(box(0.0, -side_mm - 0.6, side_mm, -0.6),), width_mm=0.4)
    told = lines_at(wrapped(words, width_mm - side_mm - 2.4, size_pt), size_pt, left_mm=side_mm + 2.4)
    return Block(height_mm=max(told.height_mm, side_mm + 0.6) + 1.4, marks=(square, *told.marks))


def _cell(cell: Cell, column: Column, size_pt: float) -> Block:
    """One cell, its marks from the upper left corner of the column."""
    if cell.marks:
        return Block(height_mm=cell.height_mm, marks=cell.marks)
    right = column.anchor == "right"
    inner = column.width_mm - (4.0 if right else 1.6)
    lines = wrapped(cell.text, inner, size_pt, cell.voice) if cell.text else ()
    edge = inner if right else 0.0
    told = lines_at(lines, size_pt, left_mm=edge, voice=cell.voice, ink=cell.ink, anchor=column.anchor)
    marks = told.marks
    if cell.ground and lines:
        marks += ground_line(cell.ground, lines[-1], told.marks[-1], size_pt)  # type: ignore[arg-type]  # reason: text
    height = told.height_mm
    if cell.below:
        small = lines_at(
            wrapped(cell.below, inner, SMALL_PT), SMALL_PT, left_mm=edge, ink="ink-2", anchor=column.anchor
        )
        marks += moved(small.marks, 0.0, -height)
        height += small.height_mm
    return Block(height_mm=height, marks=marks)


def row(cells: Sequence[Cell | str], columns: Sequence[Column], *, size_pt: float = FACTS_PT) -> Block:
    """One row of a table with a hair line below."""
    marks: Marks = ()
    high, left = 0.0, 0.0
    for one, column in zip(cells, columns, strict=True):
        told = _cell(Cell(text=one) if isinstance(one, str) else one, column, size_pt)
        marks += moved(told.marks, left, -0.9)
        high = max(high, told.height_mm)
        left += column.width_mm
    height = high + 2.2
    hair = Stroke(points_mm=((0.0, -height + 0.3), (left, -height + 0.3)), ink="hair", width_mm=HAIR_MM)
    return Block(height_mm=height, marks=(*marks, hair))


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[Cell | str]], *, size_pt: float = FACTS_PT
) -> tuple[Block, ...]:
    """A table whose head comes again where it goes on."""
    titles = row([Cell(text=one.title, ink="ink-2") for one in columns], columns, size_pt=max(SMALL_PT, size_pt - 1.5))
    width = sum(one.width_mm for one in columns)
    line = Stroke(points_mm=((0.0, -titles.height_mm + 0.3), (width, -titles.height_mm + 0.3)), width_mm=THIN_MM)
    head = Block(height_mm=titles.height_mm, marks=(*titles.marks, line), keep=True)
    return (head, *(replace(row(one, columns, size_pt=size_pt), head=(head,)) for one in rows))


def _group(blocks: Sequence[Block], start: int) -> int:
    """End of the run of blocks that stay together from ``start``."""
    end = start
    while end < len(blocks) - 1 and blocks[end].keep:
        end += 1
    return end + 1


def flowed(blocks: Sequence[Block], first_mm: float, rest_mm: float) -> tuple[Block, ...]:
    """Blocks put on pages one below the other, each page's as one block.

    Parameters
    ----------
    blocks
        What is to be placed, in reading order.
    first_mm, rest_mm
        Room on the first page and on each that follows.

    Notes
    -----
    A run that stays together is not broken unless it is higher than a page; a block higher than a page gets one of
    its own.

    Examples
    --------
    >>> [page.height_mm for page in flowed([space(30.0), space(30.0), space(30.0)], 50.0, 70.0)]
    [30.0, 60.0]
    """
    pages: list[list[Block]] = [[]]
    used, at = 0.0, 0
    while at < len(blocks):
        end = _group(blocks, at)
        run = list(blocks[at:end])
        high = sum(one.height_mm for one in run)
        room = first_mm if len(pages) == 1 else rest_mm
        if used + high > room and (used > 0.0 or (len(pages) == 1 and high <= rest_mm)):
            pages.append([])
            used = 0.0
            run = [*run[0].head, *run]
            high = sum(one.height_mm for one in run)
        pages[-1].extend(run)
        used += high
        at = end
    return tuple(stacked(page) for page in pages)
