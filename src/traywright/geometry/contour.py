"""A contour: a chain of straight edges and true arcs in one plane, mm, as a drawing gives it.

A ``Region`` holds chords; a contour holds what was drawn, so its area and length are exact.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from traywright.base.tolerance import DRAWN_CHORD_MM, SAME_MM
from traywright.geometry.region import Point, Region

Corner = tuple[float, float, float]
"""x and y of a corner, and the bulge of the edge that starts there: the tangent of a quarter of the angle that its arc
turns through, 0 for a straight edge, positive counter-clockwise (DXF reference, LWPOLYLINE, group code 42)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One straight edge or one arc of a contour."""

    start_mm: Point
    end_mm: Point
    bulge_ratio: float

    @property
    def turn_rad(self) -> float:
        """Angle that an arc turns through, positive counter-clockwise; 0 for a straight edge."""
        return 4.0 * math.atan(self.bulge_ratio)

    @property
    def chord_mm(self) -> float:
        """Straight distance of its ends."""
        return math.dist(self.start_mm, self.end_mm)

    @property
    def is_arc(self) -> bool:
        """True if its middle lies off the straight line of its ends by more than half a snap step."""
        return abs(self.bulge_ratio) * self.chord_mm / 2.0 > SAME_MM

    @property
    def radius_mm(self) -> float:
        """Radius of an arc; infinite for a straight edge."""
        return self.chord_mm / (2.0 * abs(math.sin(self.turn_rad / 2.0))) if self.is_arc else math.inf

    @property
    def centre_mm(self) -> Point:
        """Centre of an arc.

        Raises
        ------
        ValueError
            For a straight edge.
        """
        if not self.is_arc:
            raise ValueError(self.bulge_ratio)
        (ax, ay), (bx, by) = self.start_mm, self.end_mm
        # from the middle of the chord to the centre, along the left normal
        along = (1.0 - self.bulge_ratio * self.bulge_ratio) / (4.0 * self.bulge_ratio)
        return ((ax + bx) / 2.0 - (by - ay) * along, (ay + by) / 2.0 + (bx - ax) * along)

    @property
    def length_mm(self) -> float:
        """Length along the edge."""
        return self.radius_mm * abs(self.turn_rad) if self.is_arc else self.chord_mm

    @property
    def segment_mm2(self) -> float:
        """Area between an arc and its chord, positive where the arc turns counter-clockwise."""
        if not self.is_arc:
            return 0.0
        return self.radius_mm**2 / 2.0 * (self.turn_rad - math.sin(self.turn_rad))

    def points_mm(self, chord_mm: float = DRAWN_CHORD_MM) -> tuple[Point, ...]:
        """The edge as chords, without its start: inner points lie off the circle so that the area is the arc's own.

        Parameters
        ----------
        chord_mm
            Largest distance of the chords from the arc, mm, above 0.
        """
        if not self.is_arc:
            return (self.end_mm,)
        turn, radius = abs(self.turn_rad), self.radius_mm
        sag = min(0.75 * chord_mm / radius, 1.0)  # equal areas: chords cross the arc and lie off it on both sides
        count = max(2, math.ceil(turn / (2.0 * math.acos(1.0 - sag))))
        inner = _equal_area_radius(radius, turn / count, count)
        (cx, cy), step = self.centre_mm, self.turn_rad / count
        first = math.atan2(self.start_mm[1] - cy, self.start_mm[0] - cx)
        bent = (first + step * one for one in range(1, count))
        return (*((cx + inner * math.cos(one), cy + inner * math.sin(one)) for one in bent), self.end_mm)


def _equal_area_radius(radius_mm: float, step_rad: float, count: int) -> float:
    """Radius of the inner points of a fan of equal chords whose area is that of its sector; its ends are on the arc.

    (n - 2) x² s + 2 r x s = r² n t, with n chords of angle t, s = sin t, r the radius and x the one looked for.
    """
    sine, want = math.sin(step_rad), radius_mm * radius_mm * count * step_rad
    if count == 2:
        return want / (2.0 * radius_mm * sine)
    square, half = (count - 2) * sine, radius_mm * sine
    return (math.sqrt(half * half + square * want) - half) / square


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """A chain of edges: closed (a loop) or open (a line).

    ``corners`` are in order; the last one of an open contour has no edge and its bulge is 0. ``true_arcs`` is False
    where a curve that is no arc (spline, ellipse) was taken as chords.
    """

    corners: tuple[Corner, ...]
    closed: bool = True
    true_arcs: bool = True

    @classmethod
    def circle(cls, centre_mm: Point, radius_mm: float) -> Contour:
        """A full circle as two half arcs, counter-clockwise.

        Examples
        --------
        >>> round(Contour.circle((0.0, 0.0), 10.0).area_mm2, 6) == round(100.0 * math.pi, 6)
        True
        """
        x, y = centre_mm
        return cls(corners=((x - radius_mm, y, 1.0), (x + radius_mm, y, 1.0)))

    @classmethod
    def polygon(cls, points_mm: tuple[Point, ...], *, closed: bool = True, true_arcs: bool = True) -> Contour:
        """Straight edges from point to point."""
        return cls(corners=tuple((x, y, 0.0) for x, y in points_mm), closed=closed, true_arcs=true_arcs)

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The edges in order; a closed contour has one for each corner."""
        nexts = (*self.corners[1:], self.corners[0]) if self.closed else self.corners[1:]
        return tuple(
            Edge(start_mm=here[:2], end_mm=there[:2], bulge_ratio=here[2])
            for here, there in zip(self.corners, nexts, strict=False)
        )

    @property
    def signed_area_mm2(self) -> float:
        """Area of a closed contour, exact, positive counter-clockwise; 0 for an open one."""
        if not self.closed:
            return 0.0
        # about its own first corner, so that a loop far from the origin keeps its digits
        ox, oy, _ = self.corners[0]
        return math.fsum(
            ((a.start_mm[0] - ox) * (a.end_mm[1] - oy) - (a.end_mm[0] - ox) * (a.start_mm[1] - oy)) / 2.0
            + a.segment_mm2
            for a in self.edges
        )

    @property
    def area_mm2(self) -> float:
        """Area that a closed contour encloses, exact for its edges and arcs."""
        return abs(self.signed_area_mm2)

    @property
    def length_mm(self) -> float:
        """Length of all edges, exact."""
        return math.fsum(one.length_mm for one in self.edges)

    @property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Left, front, right, back, arcs included."""
        points = list(self._extremes())
        across, deep = [x for x, _ in points], [y for _, y in points]
        return min(across), min(deep), max(across), max(deep)

    def _extremes(self) -> Iterator[Point]:
        """Corners, and where an arc is farthest left, right, front or back."""
        for x, y, _ in self.corners:
            yield (x, y)
        for one in self.edges:
            if not one.is_arc:
                continue
            (cx, cy), radius = one.centre_mm, one.radius_mm
            first = math.atan2(one.start_mm[1] - cy, one.start_mm[0] - cx)
            for quarter in range(4):
                way = quarter * math.pi / 2.0
                along = (way - first) % (2.0 * math.pi) if one.bulge_ratio > 0.0 else (first - way) % (2.0 * math.pi)
                if along <= abs(one.turn_rad):
                    yield (cx + radius * math.cos(way), cy + radius * math.sin(way))

    def points_mm(self, chord_mm: float = DRAWN_CHORD_MM) -> tuple[Point, ...]:
        """The contour as points, arcs as chords of equal area; a closed one does not repeat its first point."""
        points = [self.corners[0][:2]]
        for one in self.edges:
            points.extend(one.points_mm(chord_mm))
        return tuple(points[:-1] if self.closed else points)

    def region(self, chord_mm: float = DRAWN_CHORD_MM) -> Region:
        """What a closed contour encloses, arcs as chords of equal area."""
        return Region.polygon(self.points_mm(chord_mm))

    def turned_back(self) -> Contour:
        """The same contour run the other way."""
        bulges = [one.bulge_ratio for one in self.edges]
        points = [one[:2] for one in self.corners]
        if self.closed:
            back, turned = points[::-1], [-one for one in bulges[-2::-1]] + [-bulges[-1]]
        else:
            back, turned = points[::-1], [*(-one for one in bulges[::-1]), 0.0]
        corners = tuple((x, y, bulge + 0.0) for (x, y), bulge in zip(back, turned, strict=True))
        return Contour(corners=corners, closed=self.closed, true_arcs=self.true_arcs)

    def moved(self, dx_mm: float, dy_mm: float) -> Contour:
        """The contour moved."""
        corners = tuple((x + dx_mm, y + dy_mm, bulge) for x, y, bulge in self.corners)
        return Contour(corners=corners, closed=self.closed, true_arcs=self.true_arcs)

    def scaled(self, ratio: float) -> Contour:
        """The contour in another unit: every length times a ratio above 0."""
        corners = tuple((x * ratio, y * ratio, bulge) for x, y, bulge in self.corners)
        return Contour(corners=corners, closed=self.closed, true_arcs=self.true_arcs)
