"""Views as marks: plans, sections and sizes at a scale; text keeps its size."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from shapely import affinity
from shapely.ops import polylabel

from traywright.base import text
from traywright.base.units import MM_PER_INCH
from traywright.geometry import Region
from traywright.papers.grounds import length
from traywright.papers.hatching import foam_in, part_in
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import MM_PER_PT, width_of_mm
from traywright.papers.marks import THICK_MM, THIN_MM, Area, Lettering, Marks, Stroke, area_of, box
from traywright.papers.views import Cut, floors, lying
from traywright.parts import Pose
from traywright.trays.tray import Tray

TICK_MM = 1.0  # source: look of the house: oblique ticks
OFF_MM = 0.8  # source: look of the house: extension lines start a little off
WORD_HIGH_MM = 3.4
"""Height of 8 pt letters with air."""
BAR_HIGH_MM = 1.4  # source: own choice: bars of the graduated edge, thick enough to be counted
BARS = {"mm": (50.0, 1.0), "inch": (2.0 * MM_PER_INCH, MM_PER_INCH)}  # source: look of the house: bars of 50 mm, 2 inch
"""Length of a bar of the graduated edge and of the unit of its numbers, by the unit that is shown."""
SPOT_MM = 0.5  # source: own choice: how near the roomiest spot of a floor is found, far under the height of a letter
SCALES = (1.0, 0.5, 0.4, 1.0 / 3.0, 0.25, 0.2, 0.1, 0.05)
"""Scales of drawings, ISO 5455 and the trade's 1 : 2.5, 1 : 3 and 1 : 4."""


def scale_for(size_mm: tuple[float, float], room_mm: tuple[float, float]) -> float:
    """The largest scale of the list at which a thing goes into a room; the exact one below the list.

    Examples
    --------
    >>> scale_for((556.0, 356.0), (150.0, 100.0))
    0.25
    """
    most = min(room_mm[0] / max(size_mm[0], 1.0), room_mm[1] / max(size_mm[1], 1.0))
    return next((one for one in SCALES if one <= most), most)


def scale_words(scale_ratio: float) -> str:
    """A scale as the trade writes it.

    Examples
    --------
    >>> scale_words(0.4)
    '1 : 2.5'
    """
    return f"1 : {round(1.0 / scale_ratio, 1):g}"


def is_free(at_mm: tuple[float, float], words: Sequence[Lettering]) -> bool:
    """True if no word stands so near that two short ones would run together."""
    return all(
        abs(at_mm[0] - one.at_mm[0]) > 2.0 * WORD_HIGH_MM or abs(at_mm[1] - one.at_mm[1]) > WORD_HIGH_MM
        for one in words
    )


def plan(tray: Tray, poses: Mapping[str, Pose], scale_ratio: float, *, labels: str = "kit", unit: str = "mm") -> Marks:
    """A tray from above at a scale: floors in their tint, parts as they lie with a label in each.

    Parameters
    ----------
    tray, poses
        The tray and the pose of each part.
    scale_ratio
        Millimetres on paper for one millimetre.
    labels
        ``kit`` for the kit's number in each part; ``cell`` for the cell's, the height of each floor and the slant of
        parts; ``depth`` for the depth of each floor below the top, as a drawing tells it.
    unit
        Unit in which heights are written, ``mm`` or ``inch``.
    """
    marks: Marks = (area_of(tray.outline, scale_ratio, fill="foam", width_mm=THICK_MM),)
    seen = floors(tray)
    for height, region in seen:
        ink = depth_ink(tray.thickness_mm - height, tray.thickness_mm)
        marks += (area_of(region, scale_ratio, fill=ink, width_mm=0.18),)
    words: list[Lettering] = []
    outlines = [lying(cell, poses) for cell in tray.cells]
    for cell, outline in zip(tray.cells, outlines, strict=True):
        drawn = outline.simpler(0.05 / scale_ratio)
        marks += (area_of(drawn, scale_ratio, fill="part"),)
        marks += part_in(scaled(drawn, scale_ratio)) if labels == "cell" else ()
        marks += (area_of(drawn, scale_ratio, width_mm=THIN_MM),)
        word = str(cell.kit_no) if labels == "kit" else cell.id.rpartition(".")[2]
        words.append(_label(word, outline, scale_ratio, halo=labels == "cell"))
    fields = () if labels == "kit" else seen
    told = tuple((_floor_words(height, tray.thickness_mm, labels, unit), region) for height, region in fields)
    return (*marks, *words, *_heights(told, outlines, scale_ratio, words))


def _floor_words(height_mm: float, thickness_mm: float, labels: str, unit: str) -> str:
    """What stands on a floor: its height above the underside, or its depth below the top."""
    if labels == "depth":
        return text("drawing", "through") if height_mm <= 0.0 else f"{round(thickness_mm - height_mm, 2):g}"
    return "0" if height_mm <= 0.0 else length(height_mm, unit)


def _label(word: str, outline: Region, scale_ratio: float, *, halo: bool) -> Lettering:
    """A part's number in its middle, or where the part is roomiest; a halo only where there is a slant below."""
    size = 9.5 if min(outline.size_mm) * scale_ratio > width_of_mm(word, 9.5, "strong") + 1.0 else 8.0
    room_mm = (width_of_mm(word, size, "strong"), size * MM_PER_PT)
    middle = outline.centre_mm
    x, y = middle if _has_room(outline, middle, room_mm, scale_ratio) else _roomiest(outline, scale_ratio)
    at = (x * scale_ratio, y * scale_ratio - 1.2)
    return Lettering(text=word, at_mm=at, size_pt=size, voice="strong", anchor="middle", halo=halo)


def _roomiest(region: Region, scale_ratio: float) -> tuple[float, float]:
    """The spot of a region that is farthest from its edge, mm of the thing."""
    largest = max(region.pieces(), key=lambda one: (one.area_mm2, one.bounds_mm))
    spot = polylabel(largest.shape.geoms[0], SPOT_MM / scale_ratio)
    return float(spot.x), float(spot.y)


def _has_room(region: Region, middle_mm: tuple[float, float], room_mm: tuple[float, float], scale_ratio: float) -> bool:
    """True if a field of so many millimetres on paper lies in the region around a point of it."""
    (x, y), half, high = middle_mm, room_mm[0] / 2.0 / scale_ratio, room_mm[1] / 2.0 / scale_ratio
    return region.contains(Region.rectangle(x - half, y - high, x + half, y + high))


def _heights(
    fields: Sequence[tuple[str, Region]], outlines: Sequence[Region], scale_ratio: float, words: Sequence[Lettering]
) -> Marks:
    """The word of each piece of a floor once, beside the parts where there is room, else on the part above it."""
    told = list(words)
    parts = Region.union_of(outlines)
    for word, region in fields:
        room_mm = (width_of_mm(word, 8.0) + 0.8, WORD_HIGH_MM)
        for piece in region.pieces():
            free = piece.difference(parts) if outlines else piece
            for x, y in _spots(piece, free, room_mm, scale_ratio):
                at = (x * scale_ratio, y * scale_ratio - 1.0)
                if is_free(at, told):
                    told.append(Lettering(text=word, at_mm=at, size_pt=8.0, anchor="middle", halo=True))
                    break
    return tuple(told[len(words) :])


def _spots(
    piece: Region, seen: Region, room_mm: tuple[float, float], scale_ratio: float
) -> Iterator[tuple[float, float]]:
    """Where a word may stand for a piece of floor: where it is seen, else about the middle of the field it fills."""
    for one in sorted(seen.pieces(), key=lambda one: (-one.area_mm2, one.bounds_mm)):
        spot = _roomiest(one, scale_ratio)
        if _has_room(one, spot, room_mm, scale_ratio):
            yield spot
    # a piece around a deeper one has its middle there: its own field is what its outer edge holds
    field, (x, y) = piece.filled(), piece.centre_mm
    beside, below = (one * 1.5 / scale_ratio for one in room_mm)
    for dx, dy in ((0.0, 0.0), (0.0, -below), (0.0, below), (-beside, 0.0), (beside, 0.0)):
        if piece.holds((x + dx, y + dy)) and _has_room(field, (x + dx, y + dy), room_mm, scale_ratio):
            yield x + dx, y + dy


def graduated_edge(size_mm: tuple[float, float], scale_ratio: float, unit: str) -> Marks:
    """The lower and left edge of a thing as on a map sheet, outside it: bars of 50 mm, a number at every second.

    Parameters
    ----------
    size_mm
        Width and depth of the thing, mm; its lower left corner stands on (0, 0).
    scale_ratio
        Millimetres on paper for one millimetre.
    unit
        ``mm``, or ``inch`` for bars of 2 inch.

    Examples
    --------
    >>> [one.text for one in graduated_edge((220.0, 90.0), 0.5, "mm") if isinstance(one, Lettering)]
    ['100', '200']
    """
    bar, told = BARS[unit]
    marks: Marks = ()
    for axis, long in enumerate(size_mm):
        for number in range(math.ceil(long / bar)):
            start, end = number * bar * scale_ratio, min((number + 1) * bar, long) * scale_ratio
            ring = box(start, -BAR_HIGH_MM, end, 0.0) if axis == 0 else box(-BAR_HIGH_MM, start, 0.0, end)
            marks += (Area(rings_mm=(ring,), fill="" if number % 2 else "ink", width_mm=0.12),)
            if number % 2 == 0 and number:
                word = f"{round(number * bar / told):d}"
                at = (start, -BAR_HIGH_MM - 3.0) if axis == 0 else (-BAR_HIGH_MM - 1.0, start)
                turn = 90.0 * axis
                marks += (Lettering(text=word, at_mm=at, size_pt=8.0, anchor="middle", turn_deg=turn, halo=True),)
    return marks


def section(cut: Cut, scale_ratio: float, *, dividers: frozenset[str] = frozenset()) -> Marks:
    """What an upright plane meets at a scale: foam with its cells, parts with their slant."""
    marks: Marks = ()
    for name, region in cut.foam:
        on_paper = scaled(region, scale_ratio)
        plain = name in dividers
        marks += (area_of(region, scale_ratio, fill="sheet" if plain else "foam"),)
        marks += () if plain else foam_in(on_paper)
        marks += (area_of(region, scale_ratio, width_mm=THIN_MM),)
    for _, region in cut.parts:
        marks += (area_of(region, scale_ratio, fill="part"),)
        marks += part_in(scaled(region, scale_ratio))
        marks += (area_of(region, scale_ratio, width_mm=THIN_MM),)
    return marks


def scaled(region: Region, scale_ratio: float) -> Region:
    """The region in millimetres on paper.

    Examples
    --------
    >>> scaled(Region.rectangle(0, 0, 40, 20), 0.5).bounds_mm
    (0.0, 0.0, 20.0, 10.0)
    """
    return Region(affinity.scale(region.shape, scale_ratio, scale_ratio, origin=(0.0, 0.0)))


def size_across(left_mm: float, right_mm: float, at_mm: float, words: str, *, from_mm: float | None = None) -> Marks:
    """A size along x on paper: thin line with oblique ticks, the number above, extension lines from ``from_mm``."""
    marks: Marks = (Stroke(points_mm=((left_mm, at_mm), (right_mm, at_mm)), width_mm=0.18),)
    for x in (left_mm, right_mm):
        marks += (Stroke(points_mm=((x - TICK_MM, at_mm - TICK_MM), (x + TICK_MM, at_mm + TICK_MM)), width_mm=0.35),)
        if from_mm is not None:
            off = OFF_MM if at_mm > from_mm else -OFF_MM
            marks += (Stroke(points_mm=((x, from_mm + off), (x, at_mm + off)), width_mm=0.12),)
    middle = (left_mm + right_mm) / 2.0
    return (*marks, Lettering(text=words, at_mm=(middle, at_mm + 0.9), size_pt=8.0, anchor="middle", halo=True))


def size_up(low_mm: float, high_mm: float, at_mm: float, words: str, *, from_mm: float | None = None) -> Marks:
    """A size along y on paper, read from the right."""
    marks: Marks = (Stroke(points_mm=((at_mm, low_mm), (at_mm, high_mm)), width_mm=0.18),)
    for y in (low_mm, high_mm):
        marks += (Stroke(points_mm=((at_mm - TICK_MM, y - TICK_MM), (at_mm + TICK_MM, y + TICK_MM)), width_mm=0.35),)
        if from_mm is not None:
            off = OFF_MM if at_mm > from_mm else -OFF_MM
            marks += (Stroke(points_mm=((from_mm + off, y), (at_mm + off, y)), width_mm=0.12),)
    middle = (low_mm + high_mm) / 2.0
    told = Lettering(text=words, at_mm=(at_mm - 0.9, middle), size_pt=8.0, anchor="middle", turn_deg=90.0, halo=True)
    return (*marks, told)
