"""Thin pins of a solid: round ones by their cylinders, others by a small end face with upright sides."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.geometry import Mesh
from traywright.parts.faces import FACE_MATCH_MM, Face
from traywright.parts.sharp_edges import SLIVER_MM, Edges

PIN_MM = 6.0  # source: common practice, no source: up to this thickness steel bends by hand or by a fall
SLENDER_RATIO = 2.0  # source: common practice, no source: free length over thickness of what counts as a pin
STOUT_RATIO = 3.0  # source: ours: wider than three times its thickness it is a wall, not a pin
ROUND_RATIO = 0.75  # source: ours: less of a cylinder is a rounded edge, not a pin
RECTANGLE_POINTS = 5  # source: geometry: four corners, the first once more
UPRIGHT_DEG = 10.0  # source: ours: sides of a pin lean by its draft only


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A pin: middle of its free end (of its length, if both ends are held), thickness, free length, its faces."""

    place_mm: tuple[float, ...]
    size_mm: float
    length_mm: float
    faces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Faces:
    """Triangles and neighbours of each face, ready to be asked for."""

    mesh: Mesh
    fitted: tuple[Face, ...]
    triangles: NDArray[np.int64]
    starts: NDArray[np.int64]
    sides: NDArray[np.int64]
    angles_deg: NDArray[np.float64]
    side_starts: NDArray[np.int64]

    def points(self, numbers: list[int]) -> NDArray[np.float64]:
        """Points of some faces."""
        own = np.concatenate([self.triangles[self.starts[n] : self.starts[n + 1]] for n in numbers])
        points: NDArray[np.float64] = self.mesh.points_mm[np.unique(self.mesh.triangles[own])]
        return points

    def neighbours(self, number: int) -> NDArray[np.int64]:
        """Faces that share an edge with a face, in the order of their numbers."""
        return np.unique(self.sides[self.side_starts[number] : self.side_starts[number + 1], 1])


def _ready(mesh: Mesh, faces: NDArray[np.int32], fitted: tuple[Face, ...], edges: Edges) -> _Faces:
    """Faces with their triangles and neighbours."""
    count = len(fitted)
    both = faces[edges.owners].astype(np.int64)
    rim = both[:, 0] != both[:, 1]
    sides = np.concatenate([both[rim], both[rim][:, ::-1]])
    angles = np.concatenate([edges.angles_deg[rim]] * 2)
    order = np.argsort(sides[:, 0], kind="stable")
    numbers = np.arange(count + 1)
    triangles = np.argsort(faces, kind="stable")
    return _Faces(
        mesh=mesh,
        fitted=fitted,
        triangles=triangles,
        starts=np.searchsorted(faces[triangles], numbers),
        sides=sides[order],
        angles_deg=angles[order],
        side_starts=np.searchsorted(sides[order][:, 0], numbers),
    )


def _joined_rounds(ready: _Faces) -> list[list[int]]:
    """Outer cylinders thin enough for a pin, those that one file draws in several faces together."""
    thin = [
        n
        for n, one in enumerate(ready.fitted)
        if one.kind == "cylinder" and not one.inside and one.diameter_mm <= PIN_MM + FACE_MATCH_MM
    ]
    groups: list[list[int]] = []
    left = set(thin)
    for first in thin:
        if first not in left:
            continue
        left.discard(first)
        group = [first]
        for one in group:
            wide = ready.fitted[one].diameter_mm
            near = [n for n in ready.neighbours(one).tolist() if n in left]
            more = [n for n in near if abs(ready.fitted[n].diameter_mm - wide) <= FACE_MATCH_MM]
            left.difference_update(more)
            group += more
        groups.append(sorted(group))
    return groups


def _beyond(ready: _Faces, group: list[int]) -> list[int]:
    """Faces next to a group and not in it."""
    return [n for n in sorted({n for one in group for n in ready.neighbours(one).tolist()}) if n not in group]


def _round_pin(ready: _Faces, group: list[int]) -> Pin | None:
    """The pin that cylinders are, None if they are a rounded edge, short, or a part of their own with two free ends."""
    face = ready.fitted[group[0]]
    axis, wide = np.asarray(face.axis), face.diameter_mm
    points = ready.points(group)
    along = points @ axis
    low, high = float(along.min()), float(along.max())
    area = math.fsum(ready.fitted[n].area_mm2 for n in group)
    if high - low < SLENDER_RATIO * wide or area < ROUND_RATIO * math.pi * wide * (high - low):
        return None
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    middle = middle - (middle @ axis) * axis
    held = [False, False]
    for one in _beyond(ready, group):
        there = ready.points([one])
        off = there - np.outer(there @ axis, axis) - middle
        if float(np.linalg.norm(off, axis=1).max()) > wide / 2.0 + FACE_MATCH_MM:
            held[int(float((there @ axis).mean()) > (low + high) / 2.0)] = True
    if not any(held):
        return None
    at = (low + high) / 2.0 if all(held) else (low if held[1] else high)
    return _pin(middle + at * axis, wide, high - low, group)


def _pin(place: NDArray[np.float64], size_mm: float, length_mm: float, faces: list[int]) -> Pin:
    return Pin(
        place_mm=tuple(float(one) for one in np.round(place, 3) + 0.0),
        size_mm=round(size_mm, 2),
        length_mm=round(length_mm, 2),
        faces=tuple(sorted(faces)),
    )


def _end_faces(ready: _Faces) -> Iterator[int]:
    """Small plane faces of which every edge has an upright side of the solid below it."""
    count = len(ready.fitted)
    upright = np.abs(ready.angles_deg - 90.0) <= UPRIGHT_DEG
    slanted = np.bincount(ready.sides[~upright, 0], minlength=count)
    rims = np.bincount(ready.sides[:, 0], minlength=count)
    most_mm2 = STOUT_RATIO * PIN_MM * PIN_MM
    for number in np.flatnonzero((slanted == 0) & (rims > 0)).tolist():
        face = ready.fitted[number]
        if face.kind == "plane" and face.area_mm2 <= most_mm2:
            yield number


def _widths_mm(flat: NDArray[np.float64]) -> tuple[float, float]:
    """Sides of the smallest rectangle around a flat outline, the shorter first; 0 and 0 if it has no area."""
    ring = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shapely.multipoints(flat)))
    if len(ring) != RECTANGLE_POINTS:
        return 0.0, 0.0
    sides = np.linalg.norm(np.diff(ring, axis=0), axis=1)[:2]
    return float(sides.min()), float(sides.max())


def _flat_pin(ready: _Faces, number: int) -> Pin | None:
    """The pin that ends in a plane face, None if it is short, wide, or nothing wider follows."""
    face = ready.fitted[number]
    axis = np.asarray(face.axis)
    end = ready.points([number])
    side = np.eye(3)[int(np.argmin(np.abs(axis)))]
    first = np.cross(axis, side) / np.linalg.norm(np.cross(axis, side))
    across = np.column_stack([first, np.cross(axis, first)])
    size_mm, broad_mm = _widths_mm(end @ across)
    sides = ready.neighbours(number).tolist()
    tops = [float(np.ptp(ready.points([one]) @ axis)) for one in sides]
    length_mm = min(tops)
    if not SLIVER_MM < size_mm <= PIN_MM + FACE_MATCH_MM or broad_mm > STOUT_RATIO * size_mm:
        return None
    if length_mm < SLENDER_RATIO * size_mm:
        return None
    middle = (end.min(axis=0) + end.max(axis=0)) / 2.0
    reach = float(np.linalg.norm((end - middle) @ across, axis=1).max()) + FACE_MATCH_MM
    follows = _beyond(ready, [number, *sides])
    wider = any(float(np.linalg.norm((ready.points([one]) - middle) @ across, axis=1).max()) > reach for one in follows)
    return _pin(middle, size_mm, length_mm, [number, *sides]) if wider else None


def thin_pins(mesh: Mesh, faces: NDArray[np.int32], fitted: tuple[Face, ...], edges: Edges) -> tuple[Pin, ...]:
    """Pins up to 6 mm thick that stand out by twice their thickness or more, the slimmest first.

    Parameters
    ----------
    mesh
        Closed mesh, mm.
    faces, fitted
        Number of the face of each triangle, and the faces.
    edges
        Edges of the mesh.

    Notes
    -----
    A round pin is three quarters of a cylinder at least, next to something wider at one end or both; its tip may have
    any form. Another pin has a plane end of upright sides and something wider below. Slanted and bent pins are missed.
    """
    ready = _ready(mesh, faces, fitted, edges)
    found = [pin for group in _joined_rounds(ready) if (pin := _round_pin(ready, group)) is not None]
    taken = {n for pin in found for n in pin.faces}
    for number in _end_faces(ready):
        if taken.isdisjoint(ready.neighbours(number).tolist()):
            pin = _flat_pin(ready, number)
            found += [] if pin is None else [pin]
    return tuple(sorted(found, key=lambda pin: (pin.size_mm / pin.length_mm, pin.place_mm)))
