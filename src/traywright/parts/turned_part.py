"""A turned part from the drawing of its section: the solids about the axis, and their exact volume and centre."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from traywright.base.errors import PartError
from traywright.base.tolerance import ARC_CHORD_MM, DRAWN_CHORD_MM, DRAWN_MM, SNAP_MM
from traywright.geometry import Contour, Edge, Mesh, Region, mass_properties, turned_about_x
from traywright.parts.drawing import DrawnLine
from traywright.parts.nested import shapes_of
from traywright.parts.true_volume import Missing
from traywright.parts.turning_axis import Y_ZERO, Line, Points, TurningAxis, about_line

CHORD_OF_RADIUS_RATIO = 0.0003
"""Chord over the largest radius: 132 chords a turn, whose volume is 0.04 % short.  # source: ours: below 0.05 %"""

NODES = 8
"""Nodes of a Gauss sum along an edge or a quarter turn: sums of degree 15, beyond rounding.  # source: ours"""

CHORDS_RATIO = 0.001
"""Two volumes of one section that differ by less differ by chords and the grid of points.  # source: ours"""

Moments = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedBody:
    """One solid about the x axis, what its mesh lacks to the true circles and arcs, and how fine the mesh is."""

    mesh: Mesh
    missing: Missing
    chord_mm: float
    volume_mm3: float
    centre_x_mm: float


def _spans(edge: Edge, line: Line) -> Iterator[tuple[float, float]]:
    """An edge in stretches of its share from 0 to 1 that do not cross the axis, an arc in quarter turns at most."""
    cuts = {0.0, 1.0}
    if edge.is_arc:
        quarters = math.ceil(abs(edge.turn_rad) / (math.pi / 2.0))
        cuts |= {one / quarters for one in range(1, quarters)}
        centre = float(about_line(np.array([edge.centre_mm]), line)[0, 1])
        start = about_line(np.array([edge.start_mm]), line) - about_line(np.array([edge.centre_mm]), line)
        first = math.atan2(float(start[0, 1]), float(start[0, 0]))
        if abs(centre) < edge.radius_mm:
            up = math.asin(-centre / edge.radius_mm)
            for angle in (up, math.pi - up):
                for turn in (-1, 0, 1, 2):
                    cuts.add((angle + 2.0 * math.pi * turn - first) / edge.turn_rad)
    else:
        (_, here), (_, there) = about_line(np.array([edge.start_mm, edge.end_mm]), line).tolist()
        if here * there < 0.0:
            cuts.add(here / (here - there))
    ordered = sorted(one for one in cuts if 0.0 <= one <= 1.0)
    yield from itertools.pairwise(ordered)


def _along(edge: Edge, shares: Points) -> tuple[Points, Points]:
    """Points of an edge at shares of its length, and the way that it runs there for each unit of share."""
    if not edge.is_arc:
        way = np.subtract(edge.end_mm, edge.start_mm)
        return np.array(edge.start_mm) + shares[:, None] * way, np.broadcast_to(way, (len(shares), 2))
    (cx, cy), radius, turn = edge.centre_mm, edge.radius_mm, edge.turn_rad
    angles = math.atan2(edge.start_mm[1] - cy, edge.start_mm[0] - cx) + turn * shares
    points = np.column_stack([cx + radius * np.cos(angles), cy + radius * np.sin(angles)])
    return points, radius * turn * np.column_stack([-np.sin(angles), np.cos(angles)])


def turned_moments(contour: Contour, line: Line) -> Moments:
    """Volume that a loop sweeps when it is turned about a line, mm³, and its first moment along that line, mm⁴.

    Parameters
    ----------
    contour
        Closed; where it lies on both sides of the line, both are counted.
    line
        The axis.

    Notes
    -----
    Pappus and Guldin: 2 pi times the first moment of the area about the axis. With x along the axis and y off it,
    the sum of |y| over the area is that of -y |y| / 2 dx round it (Green); of x |y| that of -x y |y| / 2 dx. Both are
    summed edge by edge on the true arcs.

    References
    ----------
    Pappus and Guldin on solids of revolution: common practice in handbooks, from memory.

    Examples
    --------
    >>> volume, moment = turned_moments(Contour.circle((5.0, 30.0), 10.0), ((0.0, 0.0), (1.0, 0.0)))
    >>> round(volume / (2.0 * math.pi**2 * 30.0 * 100.0), 12), round(moment / volume, 12)
    (1.0, 5.0)
    """
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    # about the loop's own corner, so that a loop far along the axis keeps its digits
    base = float(about_line(np.array([contour.corners[0][:2]]), line)[0, 0])
    origin = about_line(np.zeros((1, 2)), line)
    volume = moment = 0.0
    for edge in contour.edges:
        for low, high in _spans(edge, line):
            shares = low + (high - low) * (nodes + 1.0) / 2.0
            points, ways = _along(edge, shares)
            x, y = about_line(points, line).T
            dx = (about_line(ways, line) - origin)[:, 0] * weights * (high - low) / 2.0
            own = -y * np.abs(y) / 2.0 * dx
            volume += float(own.sum())
            moment += float(((x - base) * own).sum())
    sense = math.copysign(2.0 * math.pi, contour.signed_area_mm2)
    return sense * volume, sense * (moment + base * volume)


def profile_of(section: Region, axis: TurningAxis) -> Region:
    """A section with x along the axis and y the radius, from 0 up; of a full section one half.

    Parameters
    ----------
    section
        What the loops enclose.
    axis
        As found.
    """
    turned = shapely.transform(section.shape, lambda points: about_line(points, axis.line))
    low, high = Region(turned).bounds_mm[1], Region(turned).bounds_mm[3]
    if axis.found_as != "halves" and abs(low) > abs(high):
        turned = shapely.transform(turned, lambda points: points * np.array([1.0, -1.0]))
    left, _, right, _ = turned.bounds
    return Region(turned).intersection(Region.rectangle(left - 1.0, 0.0, right + 1.0, max(high, -low) + 1.0))


def _swept(piece: Region) -> Moments:
    """Volume and moment of a profile as it is, chords for arcs."""
    volume_mm3 = moment_mm4 = 0.0
    for shell, holes in piece.rings():
        for sign, ring in ((1.0, shell), *((-1.0, hole) for hole in holes)):
            own = turned_moments(Contour.polygon(ring), Y_ZERO)
            volume_mm3, moment_mm4 = volume_mm3 + sign * own[0], moment_mm4 + sign * own[1]
    return volume_mm3, moment_mm4


def _agree(one: Moments, other: Moments) -> bool:
    """True if two sums of one profile differ by no more than chords and the grid of points do."""
    apart_mm = abs(one[1] * other[0] - other[1] * one[0]) / other[0] ** 2
    return abs(one[0] - other[0]) <= CHORDS_RATIO * other[0] and apart_mm <= DRAWN_MM


def _exact(piece: Region, loops: Sequence[tuple[DrawnLine, bool]], axis: TurningAxis) -> Moments:
    """Volume and moment of one piece of a profile from the true arcs of the loops in it.

    A loop of a full section stands on both sides, or has its mirror image there: half of what both sweep. Where loops
    cross each other they do not add up; there it is the sum of the chords.
    """
    half = 0.5 if axis.found_as == "halves" else 1.0
    spots = about_line(
        shapely.get_coordinates(shapely.point_on_surface(shapes_of([one.contour for one, _ in loops]))), axis.line
    )
    around = np.array(shapely.points(spots[:, 0], np.abs(spots[:, 1])))
    within = np.array(shapely.covers(piece.filled().grown(SNAP_MM).shape, around))
    volume_mm3 = moment_mm4 = 0.0
    for (one, solid), inside in zip(loops, within.tolist(), strict=True):
        if inside:
            own = turned_moments(one.contour, axis.line)
            sign = half if solid else -half
            volume_mm3, moment_mm4 = volume_mm3 + sign * own[0], moment_mm4 + sign * own[1]
    swept = _swept(piece)
    return (volume_mm3, moment_mm4) if _agree((volume_mm3, moment_mm4), swept) else swept


def turned_bodies(
    part_id: str, section: Region, loops: Sequence[tuple[DrawnLine, bool]], axis: TurningAxis
) -> tuple[TurnedBody, ...]:
    """The solids of a section turned about its axis, one for each piece of it, from left to right.

    Parameters
    ----------
    part_id
        Named in errors.
    section
        What the loops enclose.
    loops
        The loops, each with whether it stands or is a hole.
    axis
        As found.

    Raises
    ------
    PartError
        PART-009 if nothing is left on one side of the axis.

    Notes
    -----
    The meshes have their corners on the true circles, chords at most 0.01 mm and 0.0003 of the largest radius inside.
    Where the loops cross each other the exact volume is that of the section's chords.
    """
    profile = profile_of(section, axis)
    if profile.is_empty:
        raise PartError("PART-009", part=part_id)
    bent = any(edge.is_arc for one, _ in loops for edge in one.contour.edges)
    found = []
    for piece in sorted(profile.pieces(), key=lambda one: one.bounds_mm):
        chord_mm = min(ARC_CHORD_MM, CHORD_OF_RADIUS_RATIO * piece.bounds_mm[3])
        mesh = turned_about_x(piece, chord_mm)
        volume_mm3, moment_mm4 = _exact(piece, loops, axis)
        told = mass_properties(mesh)
        lacks = (moment_mm4 - told.volume_mm3 * told.centre_mm[0], 0.0, 0.0)
        found.append(
            TurnedBody(
                mesh=mesh,
                missing=Missing(volume_mm3=volume_mm3 - told.volume_mm3, moment_mm4=lacks),
                chord_mm=max(chord_mm, DRAWN_CHORD_MM) if bent else chord_mm,
                volume_mm3=volume_mm3,
                centre_x_mm=moment_mm4 / volume_mm3,
            )
        )
    return tuple(found)
