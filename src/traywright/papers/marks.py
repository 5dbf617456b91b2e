"""What a drawing is made of: areas, lines and lettering in millimetres, the same for PDF and SVG.

Frame: x right, y up, millimetres on paper. Inks are names of ``inks``; a text never scales with a drawing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from traywright.geometry import Region

Points = tuple[tuple[float, float], ...]
THIN_MM = 0.25  # source: look of the house: two line weights on paper, 0.25 and 0.5 mm
THICK_MM = 0.5  # source: look of the house
HAIR_MM = 0.12  # source: look of the house: hair lines between rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """Closed rings filled by the even-odd rule, with a line of ``width_mm`` around (0: no line)."""

    rings_mm: tuple[Points, ...]
    fill: str = ""
    ink: str = "ink"
    width_mm: float = 0.0
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """An open line through points."""

    points_mm: Points
    ink: str = "ink"
    width_mm: float = THIN_MM
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A circle, filled or not."""

    centre_mm: tuple[float, float]
    radius_mm: float
    fill: str = ""
    ink: str = "ink"
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """One line of text; ``voice`` is facts, strong, judgement or machine; ``anchor`` is left, middle or right."""

    text: str
    at_mm: tuple[float, float]
    size_pt: float
    voice: str = "facts"
    ink: str = "ink"
    anchor: str = "left"
    turn_deg: float = 0.0
    halo: bool = False


Mark = Area | Stroke | Disc | Lettering
Marks = tuple[Mark, ...]


def _shifted(points: Points, dx_mm: float, dy_mm: float) -> Points:
    """Points moved."""
    return tuple((x + dx_mm, y + dy_mm) for x, y in points)


def _moved(mark: Mark, dx_mm: float, dy_mm: float) -> Mark:
    """One mark moved."""
    if isinstance(mark, Area):
        return replace(mark, rings_mm=tuple(_shifted(one, dx_mm, dy_mm) for one in mark.rings_mm))
    if isinstance(mark, Stroke):
        return replace(mark, points_mm=_shifted(mark.points_mm, dx_mm, dy_mm))
    if isinstance(mark, Disc):
        return replace(mark, centre_mm=(mark.centre_mm[0] + dx_mm, mark.centre_mm[1] + dy_mm))
    return replace(mark, at_mm=(mark.at_mm[0] + dx_mm, mark.at_mm[1] + dy_mm))


def moved(marks: Iterable[Mark], dx_mm: float, dy_mm: float) -> Marks:
    """The marks moved on the paper.

    Examples
    --------
    >>> moved((Disc(centre_mm=(0.0, 0.0), radius_mm=1.0),), 2.0, 3.0)[0].centre_mm
    (2.0, 3.0)
    """
    return tuple(_moved(one, dx_mm, dy_mm) for one in marks)


def box(left_mm: float, low_mm: float, right_mm: float, high_mm: float) -> Points:
    """The corners of a rectangle."""
    return ((left_mm, low_mm), (right_mm, low_mm), (right_mm, high_mm), (left_mm, high_mm))


def area_of(
    region: Region,
    scale_ratio: float,
    *,
    fill: str = "",
    ink: str = "ink",
    width_mm: float = 0.0,
    dash_mm: tuple[float, ...] = (),
) -> Area:
    """A region drawn at a scale, its frame's origin at the paper's origin.

    Parameters
    ----------
    region
        Region in millimetres of the thing.
    scale_ratio
        Millimetres on paper for one millimetre of the thing, above 0.
    fill, ink
        Names of inks; empty: not filled.
    width_mm, dash_mm
        Line on paper.
    """
    rings = tuple(
        tuple((x * scale_ratio, y * scale_ratio) for x, y in ring)
        for shell, holes in region.rings()
        for ring in (shell, *holes)
    )
    return Area(rings_mm=rings, fill=fill, ink=ink, width_mm=width_mm, dash_mm=dash_mm)
