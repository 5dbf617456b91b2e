"""Where a revision of a part differs from what it was, and by how much."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding
from traywright.geometry import Mesh, mass_properties, shared_volume_mm3
from traywright.parts.congruent import (
    LIKE_MM,
    Array,
    Measured,
    Placed,
    laid_between,
    measured,
    placed_on,
    settled,
    spots_of,
    ways_to_lay,
)
from traywright.parts.spread import spread_over

SPREAD_POINTS = 12_000  # source: ours: on a part of 100 x 100 x 50 mm one point for 3 mm²
MOST_PROBES = 40_000  # source: ours: corners and middles of triangles that are looked at, evenly by number
KEPT_RATIO = 0.4  # source: ours: if this part of the surface has stayed, the revision has kept its frame
BETTER_RATIO = 0.1  # source: ours: another position must fit this part of the surface better than the file's own
TRIED = 6  # source: ours: positions that are made exact
LOOKS_RATIO = (0.1, 0.03, 0.01, 0.0)  # source: ours: parts of the size within which points count, from step to step
APART_STEPS = 3.0  # source: ours: places nearer than this many steps between points are one
OTHER_RATIO = 0.2  # source: ours: with less of the surface in place it is another part, not a revision
MOST_TOLD = 6  # source: ours: places that have a finding of their own; the others are counted


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedPlace:
    """A place where the surface moved.

    ``moved_mm`` is the largest distance there, above 0 outward (more material), below 0 inward; ``place_mm`` its spot
    in the frame of the old file; ``size_mm`` the sides of the box about the place, ``area_mm2`` its surface.
    """

    place_mm: tuple[float, ...]
    moved_mm: float
    size_mm: tuple[float, ...]
    area_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeDifference:
    """How a new solid differs from an old one.

    ``outward_mm`` and ``inward_mm`` are the largest distances between the surfaces, from 0, with their spots in the
    frame of the old file; ``added_mm3`` and ``removed_mm3`` the volumes that only the new or only the old one fills,
    chords counted; ``places`` where the surface moved by more than ``tolerance_mm``, the furthest first. ``placed``
    lays the new file on the old one; ``kept_frame`` is True if that is how the files lie; ``stayed_ratio`` is the
    share of the new surface that lies on the old one.
    """

    outward_mm: float
    outward_place_mm: tuple[float, ...]
    inward_mm: float
    inward_place_mm: tuple[float, ...]
    added_mm3: float
    removed_mm3: float
    places: tuple[MovedPlace, ...]
    placed: Placed
    kept_frame: bool
    stayed_ratio: float
    tolerance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Spots:
    """Points of the surfaces in the old frame, how far each moved (above 0 outward), and the area each stands for."""

    points: Array
    moved: Array
    areas: Array

    def picked(self, which: NDArray[np.bool_] | NDArray[np.int64]) -> _Spots:
        return _Spots(points=self.points[which], moved=self.moved[which], areas=self.areas[which])


def _stayed(one: Measured, other: Measured, way: tuple[Array, Array], within_mm: float) -> float:
    """Share of the points for a first look that lie on the other surface."""
    turn, shift = way
    points, _ = spread_over(one.corners, one.areas, len(one.few))
    return float(np.isfinite(spots_of(points @ turn.T + shift, within_mm, other.corners)[0]).mean())


def _aligned(new: Measured, old: Measured, within_mm: float) -> tuple[tuple[Array, Array], bool]:
    """How the new body is laid on the old one, and whether that is how the files lie."""
    own = laid_between(new, old)
    stayed = _stayed(new, old, own, within_mm)
    if stayed >= KEPT_RATIO:
        return own, True
    look_mm = LOOKS_RATIO[0] * old.reach_mm
    best, best_way = stayed + BETTER_RATIO, None
    for _, turn in ways_to_lay(new, old, look_mm)[:TRIED]:
        way = (turn, np.zeros(3))
        for ratio in LOOKS_RATIO:
            way = settled(new.few, old, *way, max(ratio * old.reach_mm, 4.0 * within_mm))
        found = _stayed(new, old, way, within_mm)
        if found > best:
            best, best_way = found, way
    return (own, True) if best_way is None else (best_way, False)


def _moved(one: Measured, other: Measured, way: tuple[Array, Array], within_mm: float) -> _Spots:
    """Points of a body that do not lie on another, with their distance from it, above 0 outside."""
    turn, shift = way
    even, _ = spread_over(one.corners, one.areas, SPREAD_POINTS)
    probes = one.probes[:: max(1, len(one.probes) // MOST_PROBES)]
    areas = np.concatenate([np.full(len(even), one.area_mm2 / len(even)), np.zeros(len(probes))])
    points = np.concatenate([even, probes]) @ turn.T + shift
    off = np.flatnonzero(~np.isfinite(spots_of(points, within_mm, other.corners)[0]))
    far, owner, spots = spots_of(points[off], np.inf, other.corners)
    outside = np.einsum("ij,ij->i", points[off] - spots, other.normals[owner]) >= 0.0
    return _Spots(points=points[off], moved=np.where(outside, far, -far), areas=areas[off])


def _places(spots: _Spots, old: Measured, apart_mm: float) -> list[MovedPlace]:
    """Points that hang together as places."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until two revisions are compared
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until revisions are compared
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until two revisions are compared

    if not len(spots.points):
        return []
    # points as they lie in the old file, so that the sides of the boxes are those of its axes
    points = spots.points @ old.axes + old.centre
    size = len(points)
    pairs = cKDTree(points).query_pairs(apart_mm, output_type="ndarray")
    links = coo_array((np.ones(len(pairs), dtype=np.int8), (pairs[:, 0], pairs[:, 1])), shape=(size, size))
    count, groups = connected_components(links, directed=False)
    found = []
    for number in range(count):
        own = np.flatnonzero(groups == number)
        furthest = own[int(np.argmax(np.round(np.abs(spots.moved[own]), 3)))]
        found.append(
            MovedPlace(
                place_mm=tuple(round(float(one), 2) + 0.0 for one in points[furthest]),
                moved_mm=round(float(spots.moved[furthest]), 3),
                size_mm=tuple(round(float(one), 2) for one in np.ptp(points[own], axis=0)),
                area_mm2=round(float(spots.areas[own].sum()), 1),
            )
        )
    return found


def _largest(places: tuple[MovedPlace, ...], sign: float) -> tuple[float, tuple[float, ...]]:
    """Largest distance outward or inward with its spot, 0 where there is none."""
    for one in places:
        if one.moved_mm * sign > 0.0:
            return abs(one.moved_mm), one.place_mm
    return 0.0, ()


def shape_difference(old: Mesh, new: Mesh, *, tolerance_mm: float = LIKE_MM) -> ShapeDifference:
    """Where and by how much a new solid differs from an old one.

    Parameters
    ----------
    old, new
        Closed meshes, mm.
    tolerance_mm
        What counts as moved; chords of both meshes must lie below it.

    Raises
    ------
    ValueError
        If a mesh is not closed or encloses no volume.

    Notes
    -----
    A revision that has kept its frame (a good part of the surface lies where it lay) is compared as it lies; else it
    is laid on the old one by principal axes and flats, and made exact by least squares of what is near. Distances are
    from points of each surface (12 000 spread evenly, and its corners and middles of triangles) to the nearest spot
    of the other: a boss counts by its height, a hole by half its depth or by its radius, whichever is more.

    Examples
    --------
    >>> from traywright.geometry import Region, combined, extruded
    >>> plate = extruded(Region.rectangle(0, 0, 60, 40), 0.0, 10.0)
    >>> boss = extruded(Region.rectangle(10, 10, 20, 20), 9.0, 12.5)
    >>> told = shape_difference(plate, combined([plate, boss]))
    >>> told.outward_mm, told.inward_mm, round(told.added_mm3, 6), len(told.places)
    (2.5, 0.0, 250.0, 1)
    """
    before, after = measured(old), measured(new)
    way, kept_frame = _aligned(after, before, tolerance_mm)
    turn, shift = way
    here = _moved(after, before, way, tolerance_mm)
    gone = _moved(before, after, (turn.T, -shift @ turn), tolerance_mm)
    # a point of the old surface that lies outside the new solid has lost what was behind it
    there = _Spots(points=(gone.points @ turn.T) + shift, moved=-gone.moved, areas=gone.areas)
    both = _Spots(
        points=np.concatenate([here.points, there.points]),
        moved=np.concatenate([here.moved, there.moved]),
        areas=np.concatenate([here.areas, there.areas * 0.0]),
    )
    apart_mm = APART_STEPS * float(np.sqrt(after.area_mm2 / SPREAD_POINTS))
    found = [one for sign in (1.0, -1.0) for one in _places(both.picked(both.moved * sign > 0.0), before, apart_mm)]
    places = tuple(sorted(found, key=lambda one: (-abs(one.moved_mm), one.place_mm)))
    placed = placed_on(after, before, way)
    lying = Mesh(placed.moved(new.points_mm), new.triangles)
    shared_mm3, _ = shared_volume_mm3(old, lying)
    outward, inward = _largest(places, 1.0), _largest(places, -1.0)
    return ShapeDifference(
        outward_mm=outward[0],
        outward_place_mm=outward[1],
        inward_mm=inward[0],
        inward_place_mm=inward[1],
        added_mm3=max(0.0, mass_properties(new).volume_mm3 - shared_mm3),
        removed_mm3=max(0.0, mass_properties(old).volume_mm3 - shared_mm3),
        places=places,
        placed=placed,
        kept_frame=kept_frame,
        stayed_ratio=_stayed(after, before, way, tolerance_mm),
        tolerance_mm=tolerance_mm,
    )


def difference_findings(part_id: str, told: ShapeDifference) -> tuple[Finding, ...]:
    """What is to be said of a revision: where it differs and by how much, or that it does not.

    Parameters
    ----------
    part_id
        Named in the findings.
    told
        The difference.
    """
    at = (part_id,)
    found = []
    if not told.kept_frame:
        found.append(finding("PART-074", Severity.NOTE, at, part=part_id))
    if told.stayed_ratio < OTHER_RATIO:
        share = round(100.0 * told.stayed_ratio)
        return (finding("PART-079", Severity.WARN, at, part=part_id, share=share),)
    if not told.places:
        found.append(finding("PART-073", Severity.NOTE, at, part=part_id, tolerance_mm=told.tolerance_mm))
    for one in told.places[:MOST_TOLD]:
        x_mm, y_mm, z_mm = one.place_mm
        found.append(
            finding(
                "PART-072",
                Severity.WARN,
                at,
                point_mm=one.place_mm,
                part=part_id,
                moved_mm=abs(one.moved_mm),
                way="out" if one.moved_mm > 0.0 else "in",
                x_mm=x_mm,
                y_mm=y_mm,
                z_mm=z_mm,
                size=" x ".join(f"{side:g}" for side in one.size_mm),
            )
        )
    if len(told.places) > MOST_TOLD:
        more, largest_mm = len(told.places) - MOST_TOLD, abs(told.places[MOST_TOLD].moved_mm)
        found.append(finding("PART-078", Severity.WARN, at, part=part_id, count=more, moved_mm=largest_mm))
    return tuple(found)
