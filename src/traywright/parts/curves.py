"""Curves laid into a plane: true arcs where they stay round, elsewhere chords that keep the area."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from traywright.base.tolerance import DRAWN_CHORD_MM, ROUND_RATIO, TIE_RATIO
from traywright.geometry import Contour, Corner, Edge, Point
from traywright.parts.drawing_limits import MOST_POINTS, check_count

Numbers = Sequence[float]
"""Knots and weights of a spline: they have no unit."""

SPAN_CHORDS = 4
"""Fewest chords of a spline between two knots.  # source: ours: so that an S is seen"""

HALVINGS = 16
"""How often the chords of a spline are halved at most.  # source: ours: 65 000 in one span; a cusp needs no more"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How a plane lies in the drawing: where its origin lies, and its unit steps along and across."""

    origin: Point
    along: Point
    across: Point

    def step(self, way: Point) -> Point:
        """A direction of the plane in the drawing."""
        (ax, ay), (bx, by), (x, y) = self.along, self.across, way
        return (ax * x + bx * y, ay * x + by * y)

    def at(self, spot: Point) -> Point:
        """A spot of the plane in the drawing."""
        x, y = self.step(spot)
        return (self.origin[0] + x, self.origin[1] + y)

    @property
    def is_mirrored(self) -> bool:
        """True if what turns left in the plane turns right in the drawing."""
        return self.along[0] * self.across[1] - self.along[1] * self.across[0] < 0.0

    @property
    def keeps_round(self) -> bool:
        """True if a circle of the plane is a circle in the drawing."""
        return is_round(self.along, self.across)


def is_round(major: Point, minor: Point) -> bool:
    """True if two half diameters are equally long and square to each other, so that they span a circle."""
    along, across = math.hypot(*major), math.hypot(*minor)
    askew = abs(major[0] * minor[0] + major[1] * minor[1])
    longer = max(along, across)
    return abs(along - across) <= ROUND_RATIO * longer and askew <= ROUND_RATIO * longer * longer


def placed(contour: Contour, frame: Frame, chord_mm: float) -> Contour:
    """A contour as it lies in the drawing; arcs that are no arcs there become chords.

    Parameters
    ----------
    contour
        In its own plane.
    frame
        How that plane lies.
    chord_mm
        Largest distance of a chord from its curve, above 0, in the drawing's own unit.
    """
    if frame.keeps_round or not any(bulge for _, _, bulge in contour.corners):
        sense = -1.0 if frame.is_mirrored else 1.0
        corners = [(*frame.at((x, y)), bulge * sense + 0.0) for x, y, bulge in contour.corners]
        return Contour(corners=tuple(corners), closed=contour.closed, true_arcs=contour.true_arcs)
    points: list[Point] = [frame.at(contour.corners[0][:2])]
    for edge, (x, y) in zip(contour.edges, _ends(contour), strict=True):
        points += _askew(edge, frame, chord_mm)
        points.append(frame.at((x, y)))
    return Contour.polygon(tuple(points[:-1] if contour.closed else points), closed=contour.closed, true_arcs=False)


def _ends(contour: Contour) -> list[Point]:
    """Where each edge ends, as the corners give it."""
    ends = [(x, y) for x, y, _ in contour.corners[1:]]
    return [*ends, contour.corners[0][:2]] if contour.closed else ends


def _askew(edge: Edge, frame: Frame, chord_mm: float) -> list[Point]:
    """Inner points of an arc that is no arc in the drawing."""
    turn, chord = edge.turn_rad, edge.chord_mm
    if turn == 0.0 or chord == 0.0:
        return []
    radius = chord / (2.0 * abs(math.sin(turn / 2.0)))
    (ax, ay), (bx, by) = edge.start_mm, edge.end_mm
    off = (1.0 - edge.bulge_ratio**2) / (4.0 * edge.bulge_ratio)  # of the centre from the chord, in chords, to the left
    cx, cy = (ax + bx) / 2.0 - (by - ay) * off, (ay + by) / 2.0 + (bx - ax) * off
    half = frame.step((radius, 0.0)), frame.step((0.0, radius))
    return _turned_points(frame.at((cx, cy)), half, math.atan2(ay - cy, ax - cx), turn, chord_mm)[1:-1]


def ellipse(centre: Point, half: tuple[Point, Point], *, first_rad: float, turn_rad: float, chord_mm: float) -> Contour:
    """An ellipse or a part of one: true arcs if it is round, else chords that keep its area.

    Parameters
    ----------
    centre
        Its centre.
    half
        Two half diameters, each along the tangent at the other's end.
    first_rad, turn_rad
        Where the parameter starts and how far it runs, above 0 and at most a full turn.
    chord_mm
        Largest distance of a chord, above 0, in the drawing's own unit.
    """
    full = turn_rad >= 2.0 * math.pi * (1.0 - ROUND_RATIO)
    if not is_round(*half):
        points = _turned_points(centre, half, first_rad, turn_rad, chord_mm)
        return Contour.polygon(tuple(points[:-1] if full else points), closed=full, true_arcs=False)
    frame = Frame(origin=centre, along=half[0], across=half[1])
    step = turn_rad / 4.0  # four arcs, so that a bulge stays well below 1
    angles = [first_rad + step * one for one in range(4 if full else 5)]
    bulge = math.tan(step / 4.0) * (-1.0 if frame.is_mirrored else 1.0)
    corners: list[Corner] = [(*frame.at((math.cos(one), math.sin(one))), bulge) for one in angles]
    if not full:
        corners[-1] = (*corners[-1][:2], 0.0)
    return Contour(corners=tuple(corners), closed=full)


def _turned_points(
    centre: Point, half: tuple[Point, Point], first_rad: float, turn_rad: float, chord_mm: float
) -> list[Point]:
    """Points of a part of an ellipse, both ends with it.

    An ellipse is a circle seen askew: chords of equal area on the circle are chords of equal area on it. The circle is
    as large, in mm, as the ellipse will be, as an Edge calls an arc of less than half a snap step straight.
    """
    longest = math.hypot(math.hypot(*half[0]), math.hypot(*half[1]))
    radius = max(longest * DRAWN_CHORD_MM / chord_mm, DRAWN_CHORD_MM)
    check_count(math.ceil(math.pi * math.sqrt(radius / DRAWN_CHORD_MM)), MOST_POINTS)
    step = turn_rad / 4.0
    angles = [first_rad + step * one for one in range(5)]
    corners = tuple((radius * math.cos(one), radius * math.sin(one), math.tan(step / 4.0)) for one in angles)
    (ax, ay), (bx, by) = half
    frame = Frame(origin=centre, along=(ax / radius, ay / radius), across=(bx / radius, by / radius))
    return [frame.at(one) for one in Contour(corners=corners, closed=False).points_mm(DRAWN_CHORD_MM)]


def spline(
    control: Sequence[Point], knots: Numbers, weights: Numbers, *, degree: int, chord_mm: float
) -> Contour | None:
    """A B-spline, rational or not, as chords that keep its area; None if its numbers do not make a spline.

    Parameters
    ----------
    control
        Control points.
    knots
        As many as control points, degree and 1 together, not falling.
    weights
        One a control point, above 0; empty where all are equal.
    degree
        1 to 11.
    chord_mm
        Largest distance of a chord, above 0, in the drawing's own unit.

    References
    ----------
    Piegl and Tiller, The NURBS Book, chapters 2 to 4: basis functions, and rational curves by homogeneous points.
    """
    from scipy.interpolate import BSpline  # noqa: PLC0415  # reason: waits until a spline is read

    points, steps = np.asarray(control, dtype=np.float64), np.asarray(knots, dtype=np.float64)
    weight = np.asarray(weights, dtype=np.float64) if len(weights) else np.ones(len(points))
    if not _makes_a_spline(points, steps, weight, degree):
        return None
    curve = BSpline(steps, np.column_stack((points * weight[:, None], weight)), degree)
    spans = np.unique(steps[degree : len(points) + 1])
    return None if len(spans) < 2 else _as_chords(_Curve(curve), spans, degree, chord_mm)


def _makes_a_spline(points: Any, steps: Any, weight: Any, degree: int) -> bool:  # noqa: ANN401  # reason: arrays
    """True if control points, knots and weights fit each other."""
    return bool(
        1 <= degree <= 11  # source: ours: drawing programs go to 11 at most, from memory
        and degree < len(points) <= MOST_POINTS
        and len(steps) == len(points) + degree + 1
        and len(weight) == len(points)
        and np.isfinite(points).all()
        and np.isfinite(steps).all()
        and np.isfinite(weight).all()
        and weight.min() > TIE_RATIO * weight.max()
        and (np.diff(steps) >= 0.0).all()
    )


class _Curve:
    """A curve by its parameter, from homogeneous points."""

    def __init__(self, curve: Any) -> None:  # noqa: ANN401  # reason: untyped library
        self._curve = curve

    def __call__(self, at: Any) -> Any:  # noqa: ANN401  # reason: arrays
        told = self._curve(at)
        return told[:, :2] / told[:, 2:]


def through(fit: Sequence[Point], chord_mm: float) -> Contour | None:
    """The smooth closed curve through points, as chords that keep its area; None for fewer than three points.

    Parameters
    ----------
    fit
        The points; the last one leads back to the first.
    chord_mm
        Largest distance of a chord, above 0, in the drawing's own unit.

    Notes
    -----
    The cubic spline without a kink, its parameter the length of the straight lines between the points; which curve a
    drawing program shows through given points is its own convention.
    """
    from scipy.interpolate import CubicSpline  # noqa: PLC0415  # reason: waits until a spline is read

    points = np.asarray([*fit, fit[0]], dtype=np.float64)
    apart = np.hypot(*np.diff(points, axis=0).T)
    points, apart = points[np.concatenate(([True], apart > 0.0))], apart[apart > 0.0]
    if len(points) < 4:
        return None
    at = np.concatenate(([0.0], np.cumsum(apart)))
    points[-1] = points[0]
    return _as_chords(CubicSpline(at, points, bc_type="periodic"), at, 3, chord_mm)


def _as_chords(curve: Any, spans: Any, degree: int, chord_mm: float) -> Contour:  # noqa: ANN401  # reason: arrays
    """A curve as chords, halved where they lie too far off, then pushed out so that the area stays."""
    parts = 1 if degree == 1 else SPAN_CHORDS
    shares = np.arange(parts) / parts
    at = np.append((spans[:-1, None] + np.diff(spans)[:, None] * shares).ravel(), spans[-1])
    for _ in range(HALVINGS if degree > 1 else 0):
        check_count(len(at), MOST_POINTS)
        coarse = _off_chord(curve, at) > chord_mm
        if not coarse.any():
            break
        at = np.sort(np.concatenate((at, (at[:-1] + at[1:])[coarse] / 2.0)))
    points = curve(at)
    closed = len(points) > 3 and math.dist(points[0], points[-1]) <= ROUND_RATIO * float(np.ptp(points, axis=0).max())
    if degree > 1:
        points = _area_kept(curve, at, points)
    found: list[Point] = [(float(x), float(y)) for x, y in (points[:-1] if closed else points)]
    return Contour.polygon(tuple(found), closed=closed, true_arcs=degree == 1)


def _off_chord(curve: Any, at: Any) -> Any:  # noqa: ANN401  # reason: arrays
    """How far the curve lies off each chord, looked at in three places between its ends."""
    points = curve(at)
    way = np.diff(points, axis=0)
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), np.finfo(np.float64).tiny)
    off = np.zeros(len(way))
    for share in (0.25, 0.5, 0.75):
        spot = curve(at[:-1] + np.diff(at) * share) - points[:-1]
        off = np.maximum(off, np.abs(way[:, 0] * spot[:, 1] - way[:, 1] * spot[:, 0]) / length)
    return off


def _area_kept(curve: Any, at: Any, points: Any) -> Any:  # noqa: ANN401  # reason: arrays
    """Inner points pushed off the curve so that the chords enclose what the curve encloses.

    Between two points a curve lies off its chord by s and encloses 2/3 s l with it (a parabola, near enough for short
    chords); each end that may move takes its share.
    """
    way = np.diff(points, axis=0)
    spot = curve((at[:-1] + at[1:]) / 2.0) - points[:-1]
    area = 2.0 / 3.0 * (way[:, 0] * spot[:, 1] - way[:, 1] * spot[:, 0])  # left of the chord above 0
    share = np.full(len(area), 0.5)
    share[[0, -1]] = 1.0  # the ends of the curve stay where they are drawn
    gain = (area * share)[:-1] + (area * share)[1:]
    across = points[2:] - points[:-2]
    square = np.maximum((across**2).sum(axis=1), np.finfo(np.float64).tiny)
    # moving a point by e along the normal of its neighbours' chord d changes the area by e |d| / 2
    normal = np.column_stack((-across[:, 1], across[:, 0])) / square[:, None]
    moved = points.copy()
    moved[1:-1] += normal * (2.0 * gain)[:, None]
    return moved


def distinct(corners: Iterable[Corner], *, closed: bool, true_arcs: bool) -> Contour | None:
    """A chain without corners that stand twice, closed where its ends meet; None where nothing is left."""
    kept: list[Corner] = []
    for one in corners:
        if kept and kept[-1][:2] == one[:2]:
            kept[-1] = one
        else:
            kept.append(one)
    if len(kept) > 2 and kept[0][:2] == kept[-1][:2]:
        kept, closed = kept[:-1], True
    if len(kept) < 2:
        return None
    if not closed:
        kept[-1] = (*kept[-1][:2], 0.0)
    return Contour(corners=tuple(kept), closed=closed, true_arcs=true_arcs)
