"""Thin walls of a solid, found by rays from points of its surface straight inward."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import POINT_MM
from traywright.geometry import Mesh
from traywright.parts.faces import normals_of
from traywright.parts.spread import by_place, spread_over

THIN_WALL_MM = 1.5  # source: common practice, no source: thinner walls of metal and plastic give way by hand
ALONG_DEG = 20.0  # source: ours: sides that lean more towards each other are an edge, not a wall
SPREAD_POINTS = 12000  # source: ours: on a part of 100 x 100 x 50 mm one point for 3 mm²
FACE_POINTS = 4000  # source: ours: so that small faces of their own are never passed over
LEAST_WALL_MM = 0.01  # source: ours: thinner is a fold of the mesh


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A thin wall: its thinnest spot, thickness there, area of its middle that is below the limit, its faces."""

    place_mm: tuple[float, ...]
    size_mm: float
    area_mm2: float
    faces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Spots:
    """Points of the surface with their triangle and the area each stands for."""

    points: NDArray[np.float64]
    triangles: NDArray[np.int64]
    areas_mm2: NDArray[np.float64]

    def picked(self, which: NDArray[np.integer] | NDArray[np.bool_]) -> _Spots:
        """Some of the points."""
        return _Spots(points=self.points[which], triangles=self.triangles[which], areas_mm2=self.areas_mm2[which])


def _spread(corners: NDArray[np.float64], areas: NDArray[np.float64], faces: NDArray[np.int32]) -> _Spots:
    """Points spread evenly over the area, and one in the middle of the largest triangle of each face."""
    even, owner = spread_over(corners, areas, SPREAD_POINTS)
    order = np.lexsort((-areas, faces))
    _, first = np.unique(faces[order], return_index=True)
    largest = order[first]
    largest = largest[np.argsort(areas[largest], kind="stable")][:FACE_POINTS]
    middles = np.einsum("ij,ijk->ik", np.full((len(largest), 3), 1.0 / 3.0), corners[largest])
    each = np.concatenate([np.full(SPREAD_POINTS, float(areas.sum()) / SPREAD_POINTS), np.zeros(len(largest))])
    return _Spots(points=np.concatenate([even, middles]), triangles=np.concatenate([owner, largest]), areas_mm2=each)


def _walls(spots: _Spots, far: NDArray[np.float64], here: NDArray[np.int64], there: NDArray[np.int64]) -> list[Wall]:
    """Thin spots as walls: those that share a face are one."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a thin wall is found
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a thin wall is found

    used, own = np.unique(np.concatenate([here, there]), return_inverse=True)
    one, other = own[: len(here)], own[len(here) :]
    links = coo_array((np.ones(len(here), dtype=np.int8), (one, other)), shape=(len(used), len(used)))
    count, groups = connected_components(links, directed=False)
    wall = groups[one]
    areas = np.bincount(wall, weights=spots.areas_mm2, minlength=count) / 2.0
    size = np.round(far, 3)
    at = np.round(spots.points, 3) + 0.0
    order = np.lexsort((at[:, 2], at[:, 1], at[:, 0], size))
    _, first = np.unique(wall[order], return_index=True)
    return [
        Wall(
            place_mm=tuple(float(each) for each in at[spot]),
            size_mm=round(float(size[spot]), 2),
            area_mm2=round(float(areas[wall[spot]]), 1),
            faces=tuple(int(each) for each in used[groups == wall[spot]]),
        )
        for spot in order[np.sort(first)].tolist()
    ]


def thin_walls(mesh: Mesh, faces: NDArray[np.int32], but: frozenset[int] = frozenset()) -> tuple[Wall, ...]:
    """Walls thinner than 1.5 mm, the thinnest first.

    Parameters
    ----------
    mesh
        Closed mesh, mm.
    faces
        Number of the face of each triangle.
    but
        Faces to leave out, such as those of pins.

    Notes
    -----
    A spot is thin if a ray square to the surface leaves the solid within 1.5 mm through a side that leans by 20
    degrees at most. About 12 000 spots are looked at, one a face besides: a thinner place between them, within a face
    that is thick elsewhere, may be missed, and areas are known to the area of a few spots.
    """
    from traywright.parts import _kernels  # noqa: PLC0415  # reason: waits until walls are looked for

    corners = mesh.corners_mm
    normals, areas = normals_of(corners)
    spots = _spread(corners, areas, faces)
    if but:
        spots = spots.picked(~np.isin(faces[spots.triangles], sorted(but)))
    if not len(spots.points):
        return ()
    spots = spots.picked(by_place(spots.points))
    ways = np.ascontiguousarray(-normals[spots.triangles])
    far, through = _kernels.exits(spots.points, ways, THIN_WALL_MM, POINT_MM, corners)
    lean = np.einsum("ij,ij->i", ways, normals[np.maximum(through, 0)])
    limit = math.cos(math.radians(ALONG_DEG))
    thin = (through >= 0) & (far >= LEAST_WALL_MM) & (np.round(far, 3) < THIN_WALL_MM) & (lean >= limit)
    if not thin.any():
        return ()
    spots, far, through = spots.picked(thin), far[thin], through[thin]
    return tuple(_walls(spots, far, faces[spots.triangles].astype(np.int64), faces[through].astype(np.int64)))
