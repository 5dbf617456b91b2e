"""The picture of a drawing job: each tray from above with its depths, and the boards it is cut from."""

from __future__ import annotations

import math
from collections.abc import Sequence

from traywright.base import text
from traywright.nesting import place_on_board
from traywright.nesting.setup import BoardLayout, Setup
from traywright.papers.drawing import plan, scale_for, scale_words
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import fitted
from traywright.papers.marks import THICK_MM, Area, Lettering, Marks, area_of, box, moved
from traywright.papers.overview import SIZE_MM
from traywright.papers.paper import DrawnPapersAsked, Paper
from traywright.papers.sheet import band_words
from traywright.papers.signs import datum
from traywright.papers.svg import svg_of
from traywright.trays.tray import Tray

TRAYS_MM = (8.0, 12.0, 202.0, 174.0)
BOARDS_MM = (206.0, 12.0, 272.0, 174.0)
"""Fields of trays and of boards: left, low, right, high."""
MOST_TRAYS, MOST_BOARDS = 4, 2
WORDS_MM = 7.0
"""Room of the words above a picture."""
AIR_MM = 5.0


def _cells(
    field: tuple[float, float, float, float], count: int, columns: int
) -> tuple[tuple[float, float, float, float], ...]:
    """A field in equal cells: left, low, width, height, row by row from the top."""
    left, low, right, high = field
    rows = math.ceil(count / columns)
    wide, deep = (right - left) / columns, (high - low) / rows
    return tuple(
        (left + wide * (number % columns), high - deep * (number // columns + 1), wide, deep) for number in range(count)
    )


def _words(words: str, width_mm: float, at_mm: tuple[float, float]) -> Lettering:
    """Words above a picture, as wide as its cell."""
    told, size = fitted(words, width_mm, 9.5)
    return Lettering(text=told, at_mm=at_mm, size_pt=size)


def _tray(tray: Tray, cell: tuple[float, float, float, float]) -> Marks:
    """A tray from above, its words above it."""
    left, low, wide, deep = cell
    width, depth = tray.outline.size_mm
    from_left, from_front, _, _ = tray.outline.bounds_mm
    scale = scale_for((width, depth), (wide - AIR_MM, deep - WORDS_MM - AIR_MM))
    high = low + deep - WORDS_MM
    drawn = moved(plan(tray, {}, scale, labels="depth"), left - from_left * scale, high - (depth + from_front) * scale)
    words = text(
        "drawn_overview",
        "tray",
        tray=tray.id,
        width=f"{width:.6g}",
        depth=f"{depth:.6g}",
        thickness=f"{tray.thickness_mm:g}",
        scale=scale_words(scale),
    )
    return (*drawn, _words(words, wide - AIR_MM, (left, high + 2.5)))


def _board(
    asked: DrawnPapersAsked, layout: BoardLayout, setup: Setup, cell: tuple[float, float, float, float]
) -> Marks:
    """A board with its pieces and their loops, datum at its corner, its words above it."""
    left, low, wide, deep = cell
    width, depth = layout.blank.size_mm
    from_left, from_front, _, _ = layout.blank.bounds_mm
    plies = {one.id: one for one in asked.plies}
    scale = scale_for((width, depth), (wide - AIR_MM, deep - WORDS_MM - AIR_MM))
    marks: Marks = (area_of(layout.blank, scale, fill="foam-1", width_mm=THICK_MM),)
    for piece in layout.pieces:
        ply = plies[piece.ply]
        marks += (area_of(place_on_board(ply.region, piece, ply), scale, fill="foam", width_mm=0.35),)
        for one in sorted(ply.features, key=lambda each: -each.floor.lowest_mm):
            ink = depth_ink(ply.thickness_mm - max(one.floor.lowest_mm, 0.0), ply.thickness_mm)
            region = place_on_board(one.region, piece, ply).simpler(0.05 / scale)
            marks += (area_of(region, scale, fill=ink, width_mm=0.1),)
    marks += moved(datum(1.8), from_left * scale, from_front * scale)
    high = low + deep - WORDS_MM
    words = text(
        "drawn_overview",
        "board_one" if layout.count == 1 else "board",
        layout=setup.id,
        width=f"{width:.6g}",
        depth=f"{depth:.6g}",
        count=layout.count,
        scale=scale_words(scale),
    )
    placed = moved(marks, left - from_left * scale + 2.0, high - (depth + from_front) * scale)
    return (*placed, _words(words, wide - AIR_MM, (left, high + 2.5)))


def _more(left_over: int, at_mm: tuple[float, float]) -> Marks:
    """How many are not shown."""
    if left_over <= 0:
        return ()
    return (Lettering(text=text("drawn_overview", "more", count=left_over), at_mm=at_mm, size_pt=8.0, ink="ink-2"),)


def _trays(trays: Sequence[Tray]) -> Marks:
    """The first trays, one large or several in rows."""
    shown = trays[:MOST_TRAYS]
    wide = all(one.outline.size_mm[0] >= one.outline.size_mm[1] for one in shown)
    columns = 2 if len(shown) > 2 or (len(shown) == 2 and not wide) else 1
    marks: Marks = ()
    for tray, cell in zip(shown, _cells(TRAYS_MM, len(shown), columns), strict=True):
        marks += _tray(tray, cell)
    return marks + _more(len(trays) - len(shown), (TRAYS_MM[0], 8.5))


def _boards(asked: DrawnPapersAsked) -> Marks:
    """The first boards, one below the other."""
    setups = {one.board_layout: one for one, _, _, _ in asked.made}
    layouts = [one for one in asked.boards.layouts if one.id in setups]
    shown = layouts[:MOST_BOARDS]
    marks: Marks = ()
    for layout, cell in zip(shown, _cells(BOARDS_MM, len(shown), 1), strict=True):
        marks += _board(asked, layout, setups[layout.id], cell)
    return marks + _more(len(layouts) - len(shown), (BOARDS_MM[0], 8.5))


def drawn_overview(asked: DrawnPapersAsked) -> Paper:
    """The trays from above with their depths and the boards as they are cut, true to scale, as an SVG.

    Parameters
    ----------
    asked
        Everything the papers of a drawing show.
    """
    head = asked.head
    title = text("drawing", "overview", number=head.number, revision=head.revision, title=head.title)
    frame = Area(rings_mm=(box(1.5, 1.5, SIZE_MM[0] - 1.5, SIZE_MM[1] - 1.5),), width_mm=THICK_MM)
    told, size = fitted(title, SIZE_MM[0] - 16.0, 12.0, "judgement")
    marks: Marks = (frame, Lettering(text=told, at_mm=(8.0, 180.5), size_pt=size, voice="judgement"))
    band, size = fitted(band_words(head), SIZE_MM[0] / 2.0, 9.5, "strong")
    if band:
        marks += (Lettering(text=band, at_mm=(272.0, 4.5), size_pt=size, voice="strong", ink="red", anchor="right"),)
    marks += _trays([one.tray for one in asked.trays]) + _boards(asked)
    content = svg_of(marks, width_mm=SIZE_MM[0], height_mm=SIZE_MM[1], title=title)
    return Paper(name="overview", file="papers/overview.svg", content=content)
