"""Lines, elliptical arcs and Beziers of a drawing, and the contour they make: arcs stay arcs, areas stay exact."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from traywright.base.tolerance import DRAWN_CHORD_MM, DRAWN_MM, POINT_MM, SAME_MM, TIE_RATIO
from traywright.geometry import Contour, Edge, Point
from traywright.parts.svg_plane import Matrix, TooLargeError, mapped, swung

PLACE_MOST = 10_000_000.0  # source: ours: beyond it chords of 0.002 mm lose their digits


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """A straight edge to its end."""

    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A cubic Bezier: two handles and its end."""

    first: Point
    second: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """An arc of an ellipse, centre + arm cos t + side sin t, for t from 0 to ``turn`` radians; arm points to its start.

    Any affine map of it is one again, so no angle must be found after a skew.
    """

    centre: Point
    arm: Point
    side: Point
    turn: float
    end: Point

    def at(self, turn: float) -> Point:
        """The place at an angle from its start, radians."""
        c, s = math.cos(turn), math.sin(turn)
        return (
            self.centre[0] + self.arm[0] * c + self.side[0] * s,
            self.centre[1] + self.arm[1] * c + self.side[1] * s,
        )


Piece = Straight | Bend | Round


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One subpath: where it starts, its pieces in order, and whether it was closed."""

    start: Point
    pieces: tuple[Piece, ...]
    closed: bool


def _checked(point: Point) -> Point:
    if not (abs(point[0]) <= PLACE_MOST and abs(point[1]) <= PLACE_MOST):
        raise TooLargeError(point[0], point[1])
    return point


def _mapped_piece(matrix: Matrix, piece: Piece) -> Piece:
    end = _checked(mapped(matrix, piece.end))
    if isinstance(piece, Straight):
        return Straight(end=end)
    if isinstance(piece, Bend):
        first, second = _checked(mapped(matrix, piece.first)), _checked(mapped(matrix, piece.second))
        return Bend(first=first, second=second, end=end)
    return Round(
        centre=_checked(mapped(matrix, piece.centre)),
        arm=_checked(swung(matrix, piece.arm)),
        side=_checked(swung(matrix, piece.side)),
        turn=piece.turn,
        end=end,
    )


def mapped_run(matrix: Matrix, run: Run) -> Run:
    """A subpath in the outer frame.

    Raises
    ------
    TooLargeError
        If a place of it is not finite or beyond ``PLACE_MOST``.
    """
    start = _checked(mapped(matrix, run.start))
    return Run(start=start, pieces=tuple(_mapped_piece(matrix, one) for one in run.pieces), closed=run.closed)


def reached(run: Run) -> Iterator[Point]:
    """Places that span a subpath, handles included."""
    yield run.start
    for one in run.pieces:
        yield one.end
        if isinstance(one, Bend):
            yield one.first
            yield one.second
        elif isinstance(one, Round):
            (x, y), (ax, ay), (sx, sy) = one.centre, one.arm, one.side
            yield from ((x + ax, y + ay), (x - ax, y - ay), (x + sx, y + sy), (x - sx, y - sy))


Bounds = tuple[float, float, float, float]
"""Left, low, right and high."""


def bounds_of(runs: Iterable[Run]) -> Bounds:
    """What spans subpaths, handles included; at least one."""
    places = [place for run in runs for place in reached(run)]
    across, deep = [x for x, _ in places], [y for _, y in places]
    return (min(across), min(deep), max(across), max(deep))


def holds(outer: Bounds, inner: Bounds) -> bool:
    """True if one rectangle lies in another, to 0.01 of their unit."""
    low = all(outer[side] <= inner[side] + DRAWN_MM for side in (0, 1))
    return low and all(outer[side] >= inner[side] - DRAWN_MM for side in (2, 3))


def _cross(a: Point, b: Point) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _off(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1])


def _rounds(piece: Round) -> Iterator[tuple[float, float, Point]]:
    """An arc in parts of at most half a turn: angle where it starts, angle it turns through, end."""
    count = max(1, math.ceil(abs(piece.turn) / math.pi - TIE_RATIO))
    step = piece.turn / count
    for one in range(count):
        end = piece.end if one == count - 1 else piece.at(step * (one + 1))
        yield step * one, step, end


def _oval_points(piece: Round, finer_ratio: float) -> Iterator[Point]:
    """Chords of an ellipse: the affine image of chords of equal area on a circle as large as its longer half axis."""
    (px, py), (qx, qy) = piece.arm, piece.side
    long = (math.hypot(px - qy, py + qx) + math.hypot(px + qy, py - qx)) / 2.0
    radius = long * finer_ratio
    for first, turn, end in _rounds(piece):
        start = (radius * math.cos(first), radius * math.sin(first))
        stop = (radius * math.cos(first + turn), radius * math.sin(first + turn))
        edge = Edge(start_mm=start, end_mm=stop, bulge_ratio=math.tan(turn / 4.0))
        for x, y in edge.points_mm(DRAWN_CHORD_MM)[:-1]:
            u, v = x / radius, y / radius
            yield (piece.centre[0] + px * u + qx * v, piece.centre[1] + py * u + qy * v)
        yield end


def _is_straight(start: Point, piece: Bend, same_mm: float) -> bool:
    """True if a Bezier runs along its chord and never back."""
    chord = _off(piece.end, start)
    length = math.hypot(*chord)
    if length <= same_mm:
        return math.dist(start, piece.first) <= same_mm and math.dist(start, piece.second) <= same_mm
    arms = (_off(piece.first, start), _off(piece.second, start))
    along = [(x * chord[0] + y * chord[1]) / length for x, y in arms]
    aside = max(abs(_cross(chord, one)) / length for one in arms)
    return aside <= same_mm and -same_mm <= along[0] <= along[1] + same_mm and along[1] <= length + same_mm


def _bend_points(start: Point, piece: Bend, chord_mm: float) -> Iterator[Point]:
    """Two chords for each short part of a Bezier, its middle point moved so that they enclose the part's own area.

    A part lies within M h²/8 of its chord (M the largest second derivative, h its share of the whole); with the middle
    point moved a third of that remains. Area between a cubic and its chord: 3/20 (a x b + a x c + 2 b x c) with a, b, c
    the handles and the end as seen from the start.
    """
    p, q, r, s = start, piece.first, piece.second, piece.end
    bent = max(math.hypot(*_off(_off(p, q), _off(q, r))), math.hypot(*_off(_off(q, r), _off(r, s))))
    count = max(1, math.ceil(math.sqrt(6.0 * bent / (8.0 * 2.5 * chord_mm))))
    here, slope = start, _slope(start, piece, 0.0)
    for one in range(count):
        share = (one + 1) / count
        there = piece.end if one == count - 1 else _place(start, piece, share)
        ahead = _slope(start, piece, share)
        a = (slope[0] / (3.0 * count), slope[1] / (3.0 * count))
        c = _off(there, here)
        b = (c[0] - ahead[0] / (3.0 * count), c[1] - ahead[1] / (3.0 * count))
        area_twice = 0.3 * (_cross(a, b) + _cross(a, c) + 2.0 * _cross(b, c))
        middle = (0.375 * (a[0] + b[0]) + 0.125 * c[0], 0.375 * (a[1] + b[1]) + 0.125 * c[1])
        length = math.hypot(*c)
        aside = (_cross(middle, c) - area_twice) / length if length > chord_mm * TIE_RATIO else 0.0
        aside = min(max(aside, -chord_mm), chord_mm) / max(length, chord_mm * TIE_RATIO)
        yield (here[0] + middle[0] - c[1] * aside, here[1] + middle[1] + c[0] * aside)
        yield there
        here, slope = there, ahead


def _place(start: Point, piece: Bend, share: float) -> Point:
    rest = 1.0 - share
    f, g, h, k = rest**3, 3.0 * rest * rest * share, 3.0 * rest * share * share, share**3
    (px, py), (qx, qy), (rx, ry), (sx, sy) = start, piece.first, piece.second, piece.end
    return (f * px + g * qx + h * rx + k * sx, f * py + g * qy + h * ry + k * sy)


def _slope(start: Point, piece: Bend, share: float) -> Point:
    rest = 1.0 - share
    f, g, h = 3.0 * rest * rest, 6.0 * rest * share, 3.0 * share * share
    a, b, c = _off(piece.first, start), _off(piece.second, piece.first), _off(piece.end, piece.second)
    return (f * a[0] + g * b[0] + h * c[0], f * a[1] + g * b[1] + h * c[1])


def _edges(here: Point, piece: Piece, finer_ratio: float) -> Iterator[tuple[Point, float, bool]]:
    """Edges of one piece: end, bulge, and False where it stands for a curve that is no arc."""
    if isinstance(piece, Straight):
        yield piece.end, 0.0, True
    elif isinstance(piece, Round):
        (px, py), (qx, qy) = piece.arm, piece.side
        way = math.copysign(1.0, _cross(piece.arm, piece.side))
        # difference of the two half axes
        if math.hypot(px - way * qy, py + way * qx) <= SAME_MM / finer_ratio:
            yield from ((end, way * math.tan(turn / 4.0), True) for _, turn, end in _rounds(piece))
        else:
            yield from ((end, 0.0, False) for end in _oval_points(piece, finer_ratio))
    elif _is_straight(here, piece, POINT_MM / finer_ratio):
        yield piece.end, 0.0, True
    else:
        yield from ((end, 0.0, False) for end in _bend_points(here, piece, DRAWN_CHORD_MM / finer_ratio))


def contour_of(run: Run, finer_ratio: float) -> Contour | None:
    """The contour of a subpath; None where it has no extent.

    Parameters
    ----------
    run
        The subpath.
    finer_ratio
        Largest count of millimetres that its unit may mean, 1 where it is millimetres: chords get finer by it.

    Notes
    -----
    Edges shorter than 0.0001 mm are passed over. A run that comes back to its start is closed; a closed run of one
    straight edge is that edge.
    """
    tiny_mm, here, true_arcs = POINT_MM / finer_ratio, run.start, True
    points, bulges = [run.start], [0.0]
    for piece in run.pieces:
        for end, bulge, is_true in _edges(here, piece, finer_ratio):
            true_arcs = true_arcs and is_true
            if math.dist(points[-1], end) > tiny_mm:
                bulges[-1] = bulge
                points.append(end)
                bulges.append(0.0)
        here = piece.end
    comes_back = len(points) > 2 and math.dist(points[0], points[-1]) <= tiny_mm
    if comes_back:
        points, bulges = points[:-1], bulges[:-1]
    if len(points) < 2:
        return None
    closed = (run.closed or comes_back) and (len(points) > 2 or any(bulges))
    corners = tuple((x + 0.0, y + 0.0, bulge) for (x, y), bulge in zip(points, bulges, strict=True))
    return Contour(corners=corners, closed=closed, true_arcs=true_arcs)
