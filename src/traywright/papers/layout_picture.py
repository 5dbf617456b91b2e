"""The picture of a layout: both offers side by side, to scale, outlines numbered in the order of loading."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from shapely.ops import polylabel

from traywright.base import text
from traywright.geometry import Region
from traywright.layout import Container, Kind, LayoutAsked, Offer, Placement, Sides, Slot
from traywright.papers.blocks import SMALL_PT, line_height_mm, lines_at, paragraph, stacked
from traywright.papers.drawing import scale_for, scale_words, scaled, size_across, size_up
from traywright.papers.hatching import cross_in, lines_in
from traywright.papers.lettering import MM_PER_PT, fitted, width_of_mm, wrapped
from traywright.papers.marks import THICK_MM, THIN_MM, Area, Lettering, Marks, area_of, box, moved
from traywright.papers.svg import svg_of

SMALL_MM, LARGE_MM = (280.0, 150.0), (440.0, 270.0)
"""Width of the paper and most height of a tray on it, for few copies and for many.  # source: own choice"""
FEW = 60
"""Copies up to which the small paper is taken.  # source: own choice"""
EDGE_MM, GAP_MM, SIZES_MM = 8.0, 12.0, 10.0
"""Air to the frame, between the two trays, and for the size beside the first."""
TITLE_MM = 20.0
NUMBER_PT = (9.5, 8.0)  # source: look of the house: facts on paper, and the least
FINE_MM = 0.05
"""How far a drawn outline may be off on paper; far under a line's width."""
SLOT_PITCH_MM = 1.4
LETTERS = 26
MOST_NAMED = 3


class _Number(NamedTuple):
    """Where a kind's number stands in its own frame, how large, and whether it has room there."""

    x_mm: float
    y_mm: float
    size_pt: float
    fits: bool


def _sides_words(sides: Sides) -> str:
    """A spacing in words: one length, or right, back, left and front."""
    right, back, left, front = (f"{one:g}" for one in sides.each_mm())
    if sides.alike:
        return right
    return text("layout_picture", "four", right=right, back=back, left=left, front=front)


def placed(outline: Region, at: Placement) -> Region:
    """An outline as a copy of it stands in the container.

    Examples
    --------
    >>> placed(Region.rectangle(0, 0, 4, 2), Placement("a", 10.0, 5.0, 90.0)).bounds_mm
    (8.0, 5.0, 10.0, 9.0)
    """
    return outline.turned(at.turn_deg).moved(at.x_mm, at.y_mm)


def _bands(spots_mm: Sequence[tuple[float, float]], apart_mm: float, axis: int) -> tuple[tuple[int, ...], ...]:
    """Numbers of spots in bands across one axis, each sorted along the band."""
    bands: list[list[int]] = []
    for one in sorted(range(len(spots_mm)), key=lambda one: (spots_mm[one][axis], spots_mm[one][1 - axis], one)):
        if bands and spots_mm[one][axis] - spots_mm[bands[-1][0]][axis] <= apart_mm:
            bands[-1].append(one)
        else:
            bands.append([one])
    return tuple(tuple(sorted(band, key=lambda one: (spots_mm[one][1 - axis], one))) for band in bands)


def _by_slot(
    slots: Sequence[Slot], boxes: Sequence[tuple[float, float, float, float]], spots_mm: Sequence[tuple[float, float]]
) -> tuple[tuple[int, ...], ...]:
    """Numbers of copies by the slot that runs through each, sorted along it."""
    along = 0 if slots[0].right_mm - slots[0].left_mm >= slots[0].back_mm - slots[0].front_mm else 1
    across = 1 - along
    ordered = sorted(slots, key=lambda one: (one[across], one))
    rows: list[list[int]] = [[] for _ in ordered]
    for number in sorted(range(len(boxes)), key=lambda one: (spots_mm[one][along], spots_mm[one][across], one)):
        low, high = boxes[number][across], boxes[number][across + 2]
        shared = [min(high, one[across + 2]) - max(low, one[across]) for one in ordered]
        rows[shared.index(max(shared))].append(number)
    return tuple(tuple(one) for one in rows if one)


def loading_rows(asked: LayoutAsked, offer: Offer) -> tuple[tuple[int, ...], ...]:
    """The copies of an offer in the order in which they are loaded, row by row from the front (or from the left).

    Parameters
    ----------
    asked
        The question.
    offer
        One of its answers.

    Returns
    -------
    tuple
        Rows of numbers into the offer's placements: the copies on one lift slot, or where none runs, lines of copies
        along x; along y if there are as many as the offer has rows, and not along x.
    """
    hulls = {one.id: one.outline.hull() for one in asked.kinds}
    boxes = [placed(hulls[one.kind], one).bounds_mm for one in offer.placements]
    spots = [((left + right) / 2.0, (front + back) / 2.0) for left, front, right, back in boxes]
    if not boxes:
        return ()
    if offer.slots:
        return _by_slot(offer.slots, boxes, spots)
    half = [min(one[axis + 2] - one[axis] for one in boxes) / 2.0 for axis in (0, 1)]
    along_x, along_y = _bands(spots, half[1], 1), _bands(spots, half[0], 0)
    return along_y if len(along_y) == offer.rows != len(along_x) else along_x


def _letter(number: int) -> str:
    """A letter for a kind: a, b to z, then aa, ab and so on.

    Examples
    --------
    >>> _letter(0), _letter(27)
    ('a', 'ab')
    """
    last = chr(ord("a") + number % LETTERS)
    return _letter(number // LETTERS - 1) + last if number >= LETTERS else last


def _number_of(kind: Kind, widest: str, scale_ratio: float) -> _Number:
    """Where the number of a kind stands: in the middle of its area if there is room, else where it is roomiest."""
    outline = kind.outline.filled().simpler(FINE_MM / scale_ratio)
    found = polylabel(outline.shape.geoms[0], max(outline.size_mm) / 100.0)
    spots = [outline.centre_mm, (float(found.x), float(found.y))]
    for size in NUMBER_PT:
        # it is written upright in each turn: the room is a square as wide as the word
        half = (width_of_mm(widest, size, "strong") + 0.4) / 2.0 / scale_ratio
        for x, y in spots:
            if outline.contains(Region.rectangle(x - half, y - half, x + half, y + half)):
                return _Number(x, y, size, fits=True)
    return _Number(*spots[1], NUMBER_PT[-1], fits=False)


def _upright(word: str, copy: Placement, home: _Number, scale_ratio: float) -> Lettering:
    """The number of one copy, upright wherever it is turned."""
    turn = math.radians(copy.turn_deg)
    x = copy.x_mm + home.x_mm * math.cos(turn) - home.y_mm * math.sin(turn)
    y = copy.y_mm + home.x_mm * math.sin(turn) + home.y_mm * math.cos(turn)
    # half the height of a figure below its middle
    at = (x * scale_ratio, y * scale_ratio - 0.36 * home.size_pt * MM_PER_PT)
    return Lettering(text=word, at_mm=at, size_pt=home.size_pt, voice="strong", anchor="middle", halo=not home.fits)


def _is_clear(word: Lettering, told: Sequence[Lettering]) -> bool:
    """True if a number stands on no other."""
    wide, high = width_of_mm(word.text, word.size_pt, "strong") + 0.8, word.size_pt * MM_PER_PT
    x, y = word.at_mm
    return all(abs(x - one.at_mm[0]) > wide or abs(y - one.at_mm[1]) > high for one in told)


def _numbers(asked: LayoutAsked, offer: Offer, scale_ratio: float) -> Marks:
    """The number of each copy; of many without room in their outlines, the first and the last of each row."""
    several = len(asked.kinds) > 1
    letters = {one.id: _letter(number) if several else "" for number, one in enumerate(asked.kinds)}
    widest = "8" * len(str(offer.count))
    at_home = {one.id: _number_of(one, widest + letters[one.id], scale_ratio) for one in asked.kinds}
    told: list[Lettering] = []
    number = 0
    for row in loading_rows(asked, offer):
        for each in row:
            number += 1
            copy = offer.placements[each]
            home = at_home[copy.kind]
            word = _upright(f"{number}{letters[copy.kind]}", copy, home, scale_ratio)
            at_an_end = offer.count <= FEW or each in {row[0], row[-1]}
            if home.fits or (at_an_end and _is_clear(word, told)):
                told.append(word)
    return tuple(told)


def _cut(region: Region, scale_ratio: float) -> Marks:
    """A slot: a tint with slanted lines."""
    lines = lines_in(scaled(region, scale_ratio), pitch_mm=SLOT_PITCH_MM, angle_deg=45.0, ink="ink-2")
    return (area_of(region, scale_ratio, fill="foam-2", width_mm=0.18), *lines)


def _tray(asked: LayoutAsked, offer: Offer, scale_ratio: float) -> Marks:
    """The tray from above with what stands in it, its front left corner at the origin."""
    box_of = asked.container
    whole = Region.rectangle(0.0, 0.0, box_of.width_mm, box_of.depth_mm)
    marks: list[Marks] = [(area_of(whole, scale_ratio, fill="foam", width_mm=THICK_MM),)]
    for one in box_of.no_go:
        inside = one.region.intersection(whole)
        marks.append((area_of(inside, scale_ratio, fill="sheet", ink="red", width_mm=0.18),))
        marks.append(cross_in(scaled(inside, scale_ratio)))
    marks += [_cut(one.region().intersection(whole), scale_ratio) for one in offer.slots]
    for kind in asked.kinds:
        own = kind.notches if offer.slots else kind.cell().difference(kind.outline.filled())
        drawn = kind.outline.filled().simpler(FINE_MM / scale_ratio)
        for copy in (one for one in offer.placements if one.kind == kind.id):
            marks.append(() if own.is_empty else _cut(placed(own, copy), scale_ratio))
            marks.append((area_of(placed(drawn, copy), scale_ratio, fill="part", width_mm=THIN_MM),))
    return (*(mark for some in marks for mark in some), *_numbers(asked, offer, scale_ratio))


def _count_words(asked: LayoutAsked, offer: Offer) -> str:
    """How many stand in the tray."""
    if not offer.count:
        return text("layout_picture", "none" if asked.kit_size == 1 else "none_kit")
    key = {0: "count", 1: "count_row"}.get(offer.rows, "count_rows")
    told = text("layout_picture", key, count=offer.count, bound=offer.bound, rows=offer.rows)
    return told if asked.kit_size == 1 else told + ", " + text("layout_picture", "kits", kits=offer.kits)


def _words(asked: LayoutAsked, offer: Offer, most: Offer, width_mm: float) -> Marks:
    """What stands under a tray, from its lower edge down: the count, and what is known of more."""
    line, size = fitted(_count_words(asked, offer), width_mm, 12.0, "strong")
    key = "proven" if offer.count else "too_large"
    key = key if offer.proven else "open"
    key = "asked_for" if asked.kits_most and offer.kits == asked.kits_most else key
    more = text("layout_picture", "fewer" if offer.count < most.count else key)
    if math.isfinite(offer.least_wall_mm):
        more += " " + text("layout_picture", "wall", wall=f"{offer.least_wall_mm:g}")
    head = lines_at((line,), size, voice="strong")
    return stacked((head, paragraph(more, width_mm))).marks


def _legend(asked: LayoutAsked, width_mm: float) -> tuple[str, ...]:
    """What numbers, letters and hatches mean, in lines."""
    told = [text("layout_picture", "numbers")]
    if any(one.slots for one in asked.kinds):
        told.append(text("layout_picture", "slots"))
    if asked.container.no_go:
        told.append(text("layout_picture", "no_go"))
    if len(asked.kinds) > 1:
        kinds = [
            text("layout_picture", "kind_in_kit", letter=_letter(number), name=one.id, count=one.in_kit)
            for number, one in enumerate(asked.kinds)
        ]
        told.append("; ".join(kinds) + ".")
    return wrapped(" ".join(told), width_mm, SMALL_PT)


def _title(asked: LayoutAsked, scale_ratio: float, width_mm: float) -> tuple[str, Marks]:
    """The title and the spacings, from the upper edge down."""
    names = ", ".join(one.id for one in asked.kinds[:MOST_NAMED])
    if len(asked.kinds) > MOST_NAMED:
        names = text("layout_picture", "more_names", name=names, count=len(asked.kinds) - MOST_NAMED)
    size = _size_words(asked.container)
    title = text("layout_picture", "title", names=names, **size)
    spacing = text(
        "layout_picture",
        "spacing",
        wall=_sides_words(asked.spacing.wall),
        rim=_sides_words(asked.spacing.rim),
        scale=scale_words(scale_ratio),
    )
    told, size_pt = fitted(title, width_mm, 12.0, "judgement")
    line, line_pt = fitted(spacing, width_mm, 9.5)
    return title, (
        Lettering(text=told, at_mm=(EDGE_MM, -9.5), size_pt=size_pt, voice="judgement"),
        Lettering(text=line, at_mm=(EDGE_MM, -15.5), size_pt=line_pt),
    )


def _size_words(container: Container) -> dict[str, str]:
    """Width and depth as they are written."""
    return {"width": f"{container.width_mm:g}", "depth": f"{container.depth_mm:g}"}


def layout_picture(asked: LayoutAsked, offers: Sequence[Offer]) -> bytes:
    """Two offers for one question side by side, true to scale, as an SVG.

    Parameters
    ----------
    asked
        The question.
    offers
        Its answers, the regular one first.

    Notes
    -----
    Outlines are numbered in the order of loading. A number without room at the least size of letters is left out,
    but for a few copies and for the first and the last of each row.
    """
    width, most_high = SMALL_MM if max(one.count for one in offers) <= FEW else LARGE_MM
    room = (width - 2.0 * EDGE_MM - SIZES_MM - GAP_MM) / 2.0
    size = (asked.container.width_mm, asked.container.depth_mm)
    scale = scale_for(size, (room, most_high))
    wide, high = size[0] * scale, size[1] * scale
    title, heading = _title(asked, scale, width - 2.0 * EDGE_MM)
    legend = _legend(asked, width - 2.0 * EDGE_MM)
    legend_high = len(legend) * line_height_mm(SMALL_PT)
    low = 30.0 + legend_high
    height = low + high + 6.0 + TITLE_MM
    marks: Marks = (
        Area(rings_mm=(box(1.5, 1.5, width - 1.5, height - 1.5),), width_mm=THICK_MM),
        *moved(heading, 0.0, height),
    )
    for number, offer in enumerate(offers):
        left = EDGE_MM + SIZES_MM + number * (room + GAP_MM)
        name = Lettering(text=text("layout_picture", offer.name), at_mm=(0.0, high + 2.5), size_pt=9.5, voice="strong")
        marks += moved((*_tray(asked, offer, scale), name), left, low)
        marks += moved(_words(asked, offer, offers[-1], room), left, low - 8.0)
    told = _size_words(asked.container)
    sizes = size_across(0.0, wide, -5.0, told["width"], from_mm=0.0)
    sizes += size_up(0.0, high, -4.0, told["depth"], from_mm=0.0)
    marks += moved(sizes, EDGE_MM + SIZES_MM, low)
    marks += moved(lines_at(legend, SMALL_PT, ink="ink-2").marks, EDGE_MM, 5.0 + legend_high)
    return svg_of(marks, width_mm=width, height_mm=height, title=title)
