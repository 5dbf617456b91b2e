"""Outlines and regions of a layout, from WKT and from drawings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from traywright.base import message, text
from traywright.base.errors import JobError
from traywright.geometry import Region
from traywright.job.guarded import guarded
from traywright.job.layout_options import MOST_MM
from traywright.parts.drawing import Drawing
from traywright.parts.drawing_limits import FARTHEST
from traywright.parts.drawn_open import check_closed
from traywright.parts.drawn_part import DRAWING_UNITS, PART_MOST_MM
from traywright.parts.nested import nested
from traywright.parts.read_drawing import read_drawing

MOST_BYTES = 64 * 1024 * 1024
"""Largest file that is opened.  # source: ours: 100 000 corners take about 4 MB"""
DRAWING_ENDINGS = frozenset({".dxf", ".svg", ".svgz"})
TYPED = "outline"
"""What an outline is called that was typed."""
_WKT = re.compile(r"\s*(?:MULTI)?POLYGON(?![\w.\-])", re.IGNORECASE)
_PLACE = re.compile(r"\[(\S+) (\S+)\]")
"""Where the geometry library writes the spot of a crossing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineRead:
    """A region in the frame of its file, mm, and what must be told of how it was read."""

    region: Region
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _DrawingAsked:
    """A drawing to be read in a process of its own."""

    name: str
    content: bytes
    length_unit: str
    one_outline: bool


def is_wkt(told: str) -> bool:
    """True if a text is meant as a polygon in WKT, not as the path of a file.

    Examples
    --------
    >>> is_wkt("POLYGON ((0 0, 1 0, 1 1, 0 0))"), is_wkt("polygon.wkt")
    (True, False)
    """
    return _WKT.match(told) is not None


def names_of(outlines: Sequence[str]) -> tuple[str, ...]:
    """What each outline is called: its file's name without the ending, with a number where it is not the first.

    Examples
    --------
    >>> names_of(["a.wkt", "b/a.dxf", "POLYGON EMPTY", "a_2.wkt"])
    ('a', 'a_2', 'outline', 'a_2_2')
    """
    found: list[str] = []
    for one in outlines:
        stem = TYPED if is_wkt(one) else Path(one).stem
        name, number = stem, 1
        while name in found:
            number += 1
            name = f"{stem}_{number}"
        found.append(name)
    return tuple(found)


def read_outline(name: str, told: str, *, length_unit: str, most_s: float) -> OutlineRead:
    """One outline without its holes.

    Parameters
    ----------
    name
        What it is called where it is typed, for errors and notes; a file goes by its own name.
    told
        The path of a file, or WKT.
    length_unit
        Unit of a drawing's numbers: file, mm, cm, m or inch.
    most_s
        Time that a drawing may take to be read.

    Raises
    ------
    JobError
        JOB-050 if the file cannot be read, JOB-051 if it holds no outline, JOB-052 if the outline crosses itself,
        JOB-053 if it holds several, JOB-054 if it is far too large; what ``guarded`` refuses.
    PartError
        What the readers of drawings refuse.

    Notes
    -----
    WKT is a list of numbers whose size is held; it is read here. Drawings are read in a process of their own.
    """
    return _read(name, told, length_unit, most_s, one_outline=True)


def read_regions(name: str, told: str, *, length_unit: str, most_s: float) -> OutlineRead:
    """Any number of regions with their holes; parameters and refusals as those of ``read_outline``."""
    return _read(name, told, length_unit, most_s, one_outline=False)


def _read(name: str, told: str, length_unit: str, most_s: float, *, one_outline: bool) -> OutlineRead:
    if is_wkt(told):
        return _of_wkt(name, told, one_outline=one_outline)
    file = Path(told)
    content = _content(file)
    if is_wkt(content[:1024].decode("utf-8-sig", errors="replace")):
        try:
            return _of_wkt(file.name, content.decode("utf-8-sig"), one_outline=one_outline)
        except UnicodeDecodeError as fault:
            raise JobError("JOB-051", name=file.name, told=str(fault.reason)) from fault
    if file.suffix.lower() not in DRAWING_ENDINGS:
        raise JobError("JOB-051", name=file.name, told=text("layout_word", "no_polygon"))
    asked = _DrawingAsked(name=file.name, content=content, length_unit=length_unit, one_outline=one_outline)
    return guarded(_of_drawing, asked, file=file.name, most_s=most_s)


def _content(file: Path) -> bytes:
    """The bytes of a file."""
    try:
        size = file.stat().st_size
        if size > MOST_BYTES:
            raise JobError("JOB-028", file=file.name, size_mb=size / 1e6, most_mb=MOST_BYTES / 1e6)
        return file.read_bytes()
    except (OSError, ValueError) as refused:  # a path that no system takes is a ValueError
        told = getattr(refused, "strerror", None) or str(refused)
        raise JobError("JOB-050", file=file.name[:255], told=str(told)) from refused


def _polygons(name: str, told: str) -> list[Polygon]:
    """The polygons of a WKT text.

    Raises
    ------
    JobError
        JOB-051, JOB-054.
    """
    try:
        with np.errstate(invalid="ignore"):  # a coordinate that is no number is refused below
            found = shapely.from_wkt(told)
    except shapely.errors.ShapelyError as fault:
        # the library begins with the name of its own kind of error
        raise JobError("JOB-051", name=name, told=str(fault).partition(": ")[2] or str(fault)) from fault
    if not isinstance(found, Polygon | MultiPolygon) or found.is_empty:
        raise JobError("JOB-051", name=name, told=text("layout_word", "empty"))
    if found.has_z:
        raise JobError("JOB-051", name=name, told=text("layout_word", "heights"))
    points = shapely.get_coordinates(found)
    if not np.isfinite(points).all():
        raise JobError("JOB-051", name=name, told=text("layout_word", "not_finite"))
    _sized(name, points)
    return [one for one in shapely.get_parts(found).tolist() if not one.is_empty]


def _sized(name: str, points: np.ndarray[Any, np.dtype[np.float64]]) -> None:
    """Refuse what is larger, or lies further off, than anything that is laid out.

    Raises
    ------
    JobError
        JOB-054.
    """
    width, depth = (points.max(axis=0) - points.min(axis=0)).tolist()
    away = float(np.abs(points).max())
    if max(width, depth) > MOST_MM or away > FARTHEST:
        raise JobError("JOB-054", name=name, size=f"{width:g} x {depth:g}", away=f"{away:g}", most_mm=MOST_MM)


def _refuse_crossing(name: str, polygon: Polygon) -> None:
    """Refuse rings that meet themselves.

    Raises
    ------
    JobError
        JOB-052 with the place.
    """
    for ring in (polygon.exterior, *polygon.interiors):
        if Region.crosses_itself(list(ring.coords)):
            place = _PLACE.search(shapely.is_valid_reason(Polygon(ring)))
            x, y = (float(place[1]), float(place[2])) if place else ring.coords[0]
            raise JobError("JOB-052", name=name, x_mm=round(x, 3) + 0.0, y_mm=round(y, 3) + 0.0)


def _of_wkt(name: str, told: str, *, one_outline: bool) -> OutlineRead:
    """The outline, or the regions, of a WKT text."""
    polygons = _polygons(name, told)
    for one in polygons:
        _refuse_crossing(name, one)
    if not one_outline:
        return OutlineRead(region=Region.union_of([Region(one) for one in polygons]))
    if len(polygons) > 1:
        raise JobError("JOB-053", name=name, count=len(polygons))
    holes = len(polygons[0].interiors)
    return OutlineRead(region=Region(Polygon(polygons[0].exterior)), notes=_holes(name, holes))


def _holes(name: str, count: int) -> tuple[str, ...]:
    """That holes count as filled."""
    key = "holes" if count > 1 else "hole"
    return (text("layout_word", key, name=name, count=count),) if count else ()


def _of_drawing(asked: _DrawingAsked) -> OutlineRead:
    """The outline, or the regions, of a drawing; done in a process of its own."""
    if asked.length_unit not in DRAWING_UNITS:
        told = {"wanted": "unit", "option": "--unit", "example": "mm"}
        raise JobError("JOB-026", told=asked.length_unit, **told)
    drawing = read_drawing(
        asked.content, asked.name, length_unit=asked.length_unit, leave_out=(), board_mm=PART_MOST_MM
    )
    check_closed(asked.name, drawing)
    loops = [Polygon(points) for one in drawing.loops if len(points := one.contour.points_mm()) > 2]
    for one in loops:
        _refuse_crossing(asked.name, one)
    _sized(asked.name, shapely.get_coordinates(loops))
    notes = _notes(asked.name, drawing)
    if not asked.one_outline:
        return OutlineRead(region=nested([one.contour for one in drawing.loops]).region, notes=notes)
    pieces = Region(shapely.union_all(loops)).filled().pieces()
    if not pieces:
        raise JobError("JOB-051", name=asked.name, told=text("layout_word", "empty"))
    if len(pieces) > 1:
        raise JobError("JOB-053", name=asked.name, count=len(pieces))
    return OutlineRead(region=pieces[0], notes=(*notes, *_holes(asked.name, len(loops) - 1)))


def _notes(name: str, drawing: Drawing) -> tuple[str, ...]:
    """What was mended, left out and asked, one line a sort."""
    lines = []
    codes = list(dict.fromkeys(one.code for one in drawing.findings))
    for code in codes:
        same = [one for one in drawing.findings if one.code == code]
        also = text("layout_word", "also", count=len(same) - 1) if len(same) > 1 else ""
        said = message(code, dict(same[0].parameters), same[0].fix)
        lines.append(text("layout_word", "noticed", name=name, what=said.what, also=also, code=code))
    for one in drawing.questions:
        asks = text("question", one.asks, **dict(one.parameters))
        lines.append(text("layout_word", "asked", name=name, asks=asks, taken=one.taken))
    if drawing.lines:
        lines.append(text("layout_word", "open", name=name, count=len(drawing.lines)))
    return tuple(lines)
