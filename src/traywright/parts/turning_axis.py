"""The axis about which a drawn section is turned: which straight line it is, and what speaks against it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_MM
from traywright.geometry import Region
from traywright.parts.drawing import DrawnLine
from traywright.parts.question import PartQuestion

SAME_HALF_RATIO = 0.001  # source: ours: two halves that differ by less are drawn as mirror images
ALONG_RATIO = 0.5  # source: ours: an axis and its section share at least half of the length that they cover together
MOST_READINGS = 8  # source: ours: lines that a question names
MOST_LINES = 200  # source: ours: straight lines of a drawing among which the axis is looked for, the longest
AXIS_WORDS = frozenset(
    [
        "axis",
        "axes",
        "centre",
        "center",
        "centreline",
        "centerline",
        "centrelines",
        "centerlines",
        "cl",
        "achse",
        "achsen",
        "mittellinie",
        "mittellinien",
        "axe",
        "eje",
        "ejes",
        "asse",
        "assi",
        "hartlijn",
        "hartlijnen",
    ]
)  # source: common practice, no source: what layers of axes are called
_WORD = re.compile(r"[^\W\d_]+")

Line = tuple[tuple[float, float], tuple[float, float]]
Points = NDArray[np.float64]
Y_ZERO: Line = ((0.0, 0.0), (1.0, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningAxis:
    """The axis, how it was found, and the others that could be meant.

    ``found_as`` is line, edge (the drawing's y = 0) or halves (it parts a full section into mirror images); ``named``
    is True for a line on a layer called axis or centre; ``off_mm`` is how far the section lies off it.
    """

    line: Line
    found_as: str
    named: bool
    off_mm: float
    others: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    """A straight line beside, in or across the section; ``along_ratio`` is the share of length that both cover."""

    line: Line
    named: bool
    beside: bool
    along_ratio: float
    off_mm: float
    length_mm: float


def is_axis_layer(layer: str) -> bool:
    """True if a layer is called as layers of axes are.

    Examples
    --------
    >>> is_axis_layer("CENTER_LINE"), is_axis_layer("AXLE")
    (True, False)
    """
    return any(one.casefold() in AXIS_WORDS for one in _WORD.findall(layer))


def about_line(points: Points, line: Line) -> Points:
    """Points with x along a line, to the right or upward, and y off it.

    Parameters
    ----------
    points
        Shape (n, 2).
    line
        Two points; their order does not matter.
    """
    start, end = sorted(line)
    way = np.array(end) - np.array(start)
    way = way / np.linalg.norm(way)
    off = points - np.array(start)
    base = float(np.array(start) @ way)
    return np.column_stack([off @ way + base, off @ np.array([-way[1], way[0]])])


def _straight(line: DrawnLine) -> Line | None:
    """A drawn open line as two points, None if it is bent or a dot."""
    points = np.array(line.contour.points_mm())
    start, end = points[0], points[-1]
    length = float(np.linalg.norm(end - start))
    if length <= DRAWN_MM:
        return None
    across = np.array([start[1] - end[1], end[0] - start[0]]) / length
    if np.abs((points - start) @ across).max() > DRAWN_MM:
        return None
    return ((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))


def _candidate(line: Line, points: Points, *, named: bool) -> _Candidate:
    around, ends = about_line(points, line), about_line(np.array(line), line)
    low, high = float(around[:, 1].min()), float(around[:, 1].max())
    shared = min(ends[:, 0].max(), around[:, 0].max()) - max(ends[:, 0].min(), around[:, 0].min())
    whole = max(ends[:, 0].max(), around[:, 0].max()) - min(ends[:, 0].min(), around[:, 0].min())
    return _Candidate(
        line=line,
        named=named,
        beside=low >= -DRAWN_MM or high <= DRAWN_MM,
        along_ratio=max(0.0, float(shared)) / float(whole),
        off_mm=max(0.0, low, -high),
        length_mm=math.dist(*line),
    )


def _candidates(points: Points, lines: Sequence[DrawnLine]) -> list[_Candidate]:
    """Straight lines that can be the axis: those that are called so, then those along the section; the best first."""
    found = [(line, is_axis_layer(one.layer)) for one in lines if (line := _straight(one)) is not None]
    found.sort(key=lambda one: (not one[1], -math.dist(*one[0]), one[0]))
    told = [_candidate(line, points, named=named) for line, named in found[:MOST_LINES]]
    return sorted(told, key=lambda one: (not one.named, -round(one.along_ratio, 6), -round(one.length_mm, 6), one.line))


def _same(one: Line, other: Line) -> bool:
    """True if two lines lie on one straight line."""
    off = about_line(np.array(other), one)[:, 1]
    return bool(np.abs(off).max() <= DRAWN_MM)


def _mirrored(section: Region, line: Line) -> bool:
    """True if a section is its own mirror image about a line."""
    here, there = Region.empty(), Region.empty()
    for shell, holes in section.rings():
        rings = [about_line(np.array(ring), line) for ring in (shell, *holes)]
        shapes = [[(float(x), float(y)) for x, y in ring] for ring in rings]
        flipped = [[(x, -y) for x, y in ring] for ring in shapes]
        here = here.union(Region.polygon(shapes[0], shapes[1:]))
        there = there.union(Region.polygon(flipped[0], flipped[1:]))
    return here.area_mm2 - here.intersection(there).area_mm2 <= SAME_HALF_RATIO * here.area_mm2


def _sticks_out(one: _Candidate, points: Points) -> bool:
    """True if a line runs past the section at both its ends, as centre lines are drawn."""
    around, ends = about_line(points, one.line)[:, 0], about_line(np.array(one.line), one.line)[:, 0]
    return bool(ends.min() < around.min() - DRAWN_MM and ends.max() > around.max() + DRAWN_MM)


def _crossed(part_id: str, one: _Candidate) -> PartError:
    """The error for a section that lies on both sides of its axis."""
    (x_mm, y_mm), _ = sorted(one.line)
    return PartError("PART-098", part=part_id, x_mm=round(x_mm, 3) + 0.0, y_mm=round(y_mm, 3) + 0.0)


def line_beside(section: Region, lines: Sequence[DrawnLine]) -> bool:
    """True if a straight open line bounds a section on one side all along, as the axis of a half section does.

    Parameters
    ----------
    section
        What the loops enclose, not empty.
    lines
        Open lines of the drawing, mm.
    """
    points = np.array([one for shell, _ in section.rings() for one in shell])
    return any(one.beside and (one.named or one.along_ratio >= ALONG_RATIO) for one in _candidates(points, lines))


def axis_of(part_id: str, section: Region, lines: Sequence[DrawnLine]) -> TurningAxis:
    """The axis about which a section is turned.

    Parameters
    ----------
    part_id
        Named in errors.
    section
        What the loops enclose, not empty.
    lines
        Open lines of the drawing, mm.

    Raises
    ------
    PartError
        PART-098 if the section lies on both sides of its axis and is not its own mirror image, PART-091 if there is no
        axis.

    Notes
    -----
    In this order: a straight line beside the section, those on layers called axis or centre first, else one that runs
    along it for at least half of the length that both cover; a line that parts the section into mirror images; the
    drawing's y = 0 with all of the section on one side; y = 0 as the line that parts it into mirror images.
    """
    points = np.array([one for shell, _ in section.rings() for one in shell])
    told = _candidates(points, lines)
    along = [one for one in told if one.named or one.along_ratio >= ALONG_RATIO]
    beside = [one for one in along if one.beside and (one.named or not told[0].named)]
    if beside:
        first = beside[0]
        equals = [one.line for one in beside[1:] if one.named == first.named and not _same(first.line, one.line)]
        return TurningAxis(
            line=first.line, found_as="line", named=first.named, off_mm=first.off_mm, others=tuple(equals)
        )
    for one in along:
        if _mirrored(section, one.line):
            return TurningAxis(line=one.line, found_as="halves", named=one.named, off_mm=0.0)
    for one in along:
        if one.named or _sticks_out(one, points):
            raise _crossed(part_id, one)
    edge = _candidate(Y_ZERO, points, named=False)
    if edge.beside:
        return TurningAxis(line=Y_ZERO, found_as="edge", named=False, off_mm=edge.off_mm)
    if _mirrored(section, Y_ZERO):
        return TurningAxis(line=Y_ZERO, found_as="halves", named=False, off_mm=0.0)
    raise PartError("PART-091", part=part_id)


def _reading(section: Region, line: Line) -> tuple[str, str]:
    """A line in words, and the largest diameter that turning about it gives."""
    points = np.array([one for shell, _ in section.rings() for one in shell])
    largest_mm = 2.0 * float(np.abs(about_line(points, line)[:, 1]).max())
    if line == Y_ZERO:
        return "y = 0", f"{largest_mm:.3f} mm"
    ends = ["({:.3f}, {:.3f})".format(*(each + 0.0 for each in one)) for one in sorted(line)]
    return " - ".join(ends), f"{largest_mm:.3f} mm"


def axis_questions(section: Region, axis: TurningAxis) -> tuple[PartQuestion, ...]:
    """What must be asked of an axis: which line it is, where several can be meant or none is drawn.

    Parameters
    ----------
    section
        What the loops enclose, not empty.
    axis
        As found.

    Notes
    -----
    Nothing is asked of one line, of a full section, and of y = 0 where the section reaches to it. The readings are the
    largest diameters.
    """
    if not axis.others and (axis.found_as != "edge" or axis.off_mm <= DRAWN_MM):
        return ()
    readings = [_reading(section, axis.line), *(_reading(section, one) for one in axis.others)]
    if axis.found_as == "edge":
        left, front, right, back = section.bounds_mm
        edges: tuple[Line, ...] = (
            ((left, front), (right, front)),
            ((left, back), (right, back)),
            ((left, front), (left, back)),
            ((right, front), (right, back)),
        )
        readings += [_reading(section, one) for one in edges]
    words = "; ".join(f"{line}: {means}" for line, means in readings[:MOST_READINGS])
    return (
        PartQuestion(
            field="turned",
            asks="turning_axis",
            parameters=(("readings", words),),
            readings=tuple(readings[:MOST_READINGS]),
            taken=readings[0][0],
        ),
    )
