"""Views as marks: plans, sections and sizes at a scale; text keeps its size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shapely import affinity

from traywright.geometry import Region
from traywright.papers.hatching import foam_in, part_in
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import width_of_mm
from traywright.papers.marks import THICK_MM, THIN_MM, Lettering, Marks, Stroke, area_of
from traywright.papers.views import Cut, floors, lying
from traywright.parts import Pose
from traywright.trays.tray import Tray

TICK_MM = 1.0  # source: look of the house: oblique ticks
OFF_MM = 0.8  # source: look of the house: extension lines start a little off
WORD_HIGH_MM = 3.4
"""Height of 8 pt letters with air."""
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


def plan(tray: Tray, poses: Mapping[str, Pose], scale_ratio: float, *, labels: str = "kit") -> Marks:
    """A tray from above at a scale: floors in their tint, parts as they lie with a label in each.

    Parameters
    ----------
    tray, poses
        The tray and the pose of each part.
    scale_ratio
        Millimetres on paper for one millimetre.
    labels
        ``kit`` for the kit's number in each part; ``cell`` for the cell's and the height of each floor.
    """
    marks: Marks = (area_of(tray.outline, scale_ratio, fill="foam", width_mm=THICK_MM),)
    for height, region in floors(tray):
        ink = depth_ink(tray.thickness_mm - height, tray.thickness_mm)
        marks += (area_of(region, scale_ratio, fill=ink, width_mm=0.18),)
    words: list[Lettering] = []
    for cell in tray.cells:
        outline = lying(cell, poses)
        marks += (area_of(outline.simpler(0.05 / scale_ratio), scale_ratio, fill="part", width_mm=THIN_MM),)
        x, y = _inside(outline)
        word = str(cell.kit_no) if labels == "kit" else cell.id.rpartition(".")[2]
        size = 9.5 if min(outline.size_mm) * scale_ratio > width_of_mm(word, 9.5, "strong") + 1.0 else 8.0
        at = (x * scale_ratio, y * scale_ratio - 1.2)
        words.append(Lettering(text=word, at_mm=at, size_pt=size, voice="strong", anchor="middle", halo=True))
    heights = _heights(tray, scale_ratio, words) if labels == "cell" else ()
    return (*marks, *words, *heights)


def _inside(region: Region) -> tuple[float, float]:
    """A point of the region near its middle."""
    x, y = region.centre_mm
    if region.holds((x, y)):
        return x, y
    point = region.shape.representative_point()
    return float(point.x), float(point.y)


def _heights(tray: Tray, scale_ratio: float, words: Sequence[Lettering]) -> Marks:
    """Heights of floors written where they fit beside the words that stand already."""
    told = list(words)
    for height, region in floors(tray):
        word = "0" if height <= 0.0 else f"{round(height, 1):g}"
        room = width_of_mm(word, 8.0) + 0.8
        for piece in region.pieces():
            width, depth = (one * scale_ratio for one in piece.size_mm)
            x, y = _inside(piece)
            at = (x * scale_ratio, y * scale_ratio - 1.0)
            if width > room and depth > WORD_HIGH_MM and is_free(at, told):
                told.append(Lettering(text=word, at_mm=at, size_pt=8.0, anchor="middle", halo=True))
    return tuple(told[len(words) :])


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
