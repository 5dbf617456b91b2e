"""Faces of a mesh that knows none: parted at creases, then planes and rounds that run into each other without one."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Mesh
from traywright.parts.faces import edge_pairs, faces_by_crease, fit_faces, groups_of, normals_of

COPLANAR_DEG = 0.05  # source: ours: points held to 0.0001 mm turn a triangle 0.1 mm high by as much
FLAT_DEG = 0.5  # source: ours: a flat made of many nearly coplanar triangles leans by no more
BROAD_RATIO = 4.0  # source: ours: a plane is this much larger than the chords of the round it runs into
SHARE_RATIO = 0.005  # source: ours: a smaller flat of a free form is one of its chords
LEAST_CHORDS = 3  # source: geometry: any two flats lie on a cylinder
STRIP_RATIO = 0.9  # source: ours: a chord of a cylinder has its bent edges along the axis, but for its two ends
PARALLEL_COS = math.cos(math.radians(2.0))  # source: ours: neighbouring chords of a slim cone lean this much


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Facets:
    """Flats of a mesh and the bent edges, no creases, over which they meet: two flats, length and direction each."""

    of: NDArray[np.int32]
    areas_mm2: NDArray[np.float64]
    flat: NDArray[np.bool_]
    ends: NDArray[np.int32]
    lengths_mm: NDArray[np.float64]
    ways: NDArray[np.float64]

    def sums(self, weights: NDArray[np.float64], side: int) -> NDArray[np.float64]:
        """Sum of a number of each edge over the edges of each flat, for one of the two flats of an edge."""
        summed: NDArray[np.float64] = np.bincount(
            self.ends[:, side], weights=weights, minlength=len(self.areas_mm2)
        ).astype(np.float64)
        return summed


def _facets(mesh: Mesh, crease: NDArray[np.integer]) -> _Facets:
    """The flats of a mesh, and the edges over which they meet within faces numbered from 0."""
    normals, areas = normals_of(mesh.corners_mm)
    pairs = edge_pairs(mesh)
    here, there = pairs[:, 0], pairs[:, 1]
    turn = np.einsum("ij,ij->i", normals[here], normals[there])
    of = groups_of(len(normals), pairs[turn > math.cos(math.radians(COPLANAR_DEG))])
    bent = (crease[here] == crease[there]) & (crease[here] >= 0) & (of[here] != of[there])
    pairs = pairs[bent]
    count = int(of.max()) + 1
    means = np.column_stack([np.bincount(of, weights=areas * normals[:, k], minlength=count) for k in range(3)])
    whole = np.bincount(of, weights=areas, minlength=count).astype(np.float64)
    lengths = np.linalg.norm(means, axis=1)
    lean = np.einsum("ij,ij->i", normals, (means / np.where(lengths > 0.0, lengths, 1.0)[:, None])[of])
    curved = np.bincount(of, weights=(lean < math.cos(math.radians(FLAT_DEG))) & (areas > 0.0), minlength=count) > 0
    along = mesh.points_mm[pairs[:, 3]] - mesh.points_mm[pairs[:, 2]]
    long = np.linalg.norm(along, axis=1)
    return _Facets(
        of=of,
        areas_mm2=whole,
        flat=~curved,
        ends=of[pairs[:, :2]],
        lengths_mm=long,
        ways=along / np.where(long > 0.0, long, 1.0)[:, None],
    )


def _planes(facets: _Facets, crease_of: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Flats that are much larger than the chords they run into."""
    ends, long = facets.ends, facets.lengths_mm
    near = facets.sums(long * facets.areas_mm2[ends[:, 1]], 0) + facets.sums(long * facets.areas_mm2[ends[:, 0]], 1)
    rim = facets.sums(long, 0) + facets.sums(long, 1)
    shared = np.bincount(crease_of, weights=facets.areas_mm2)[crease_of]
    broad = facets.areas_mm2 * rim >= BROAD_RATIO * near
    planes: NDArray[np.bool_] = facets.flat & (rim > 0.0) & broad & (facets.areas_mm2 >= SHARE_RATIO * shared)
    return planes


def _strips(facets: _Facets, planes: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Number of the group of each flat after chords side by side are joined; others are alone."""
    count, ends = len(planes), facets.ends
    # the longest bent edge of a flat gives its direction: of a row written twice numpy keeps the last
    order = np.argsort(np.repeat(facets.lengths_mm, 2), kind="stable")
    ways = np.zeros((count, 3))
    ways[ends.reshape(-1)[order]] = np.repeat(facets.ways, 2, axis=0)[order]
    aligned = [np.einsum("ij,ij->i", facets.ways, ways[ends[:, side]]) ** 2 for side in range(2)]
    straight = sum(facets.sums(facets.lengths_mm * aligned[side], side) for side in range(2))
    whole = sum(facets.sums(facets.lengths_mm, side) for side in range(2))
    strip = (straight >= STRIP_RATIO * whole) & (np.asarray(whole) > 0.0) & ~planes & facets.flat
    side_by_side = (np.minimum(*aligned) >= PARALLEL_COS**2) & strip[ends].all(axis=1)
    return groups_of(count, ends[side_by_side].astype(np.int64))


def _rounds(mesh: Mesh, facets: _Facets, strips: NDArray[np.int32], crease_of: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Flats whose group of chords is a cylinder or cone of three chords at least and not too small."""
    count = len(strips)
    area = np.bincount(strips, weights=facets.areas_mm2, minlength=count)[strips]
    whole = np.bincount(crease_of, weights=facets.areas_mm2)[crease_of]
    tried = (np.bincount(strips, minlength=count)[strips] >= LEAST_CHORDS) & (area >= SHARE_RATIO * whole)
    if not tried.any():
        return tried
    own = np.where(tried, strips, -1)[facets.of]
    kept = np.flatnonzero(own >= 0)
    names, numbered = np.unique(own[kept], return_inverse=True)
    fitted = fit_faces(Mesh(mesh.points_mm, mesh.triangles[kept]), numbered.reshape(-1).astype(np.int32))
    round_names = names[[one.kind in ("cylinder", "cone") for one in fitted]]
    return tried & np.isin(strips, round_names)


def faces_by_form(mesh: Mesh) -> NDArray[np.int32]:
    """Number of the face of each triangle of a mesh whose file knows no faces.

    Parameters
    ----------
    mesh
        Closed mesh.

    Notes
    -----
    Faces end where neighbours meet at more than 25 degrees. Within what is left together a flat four times as large
    as the chords beside it is a plane of its own, and chords side by side that lie on a cylinder or cone are one face
    of their own; the rest stays together (a fillet round a shaft, a corner, a free form). Chords that turn by less
    than 0.05 degrees are not parted, nor flats below a half percent of what they run into.
    """
    crease = faces_by_crease(mesh)
    free = np.array([one.kind == "other" for one in fit_faces(mesh, crease)])[crease]
    if not free.any():
        return crease
    facets = _facets(mesh, np.where(free, crease, -1))
    crease_of = np.empty(len(facets.areas_mm2), dtype=np.int32)
    crease_of[facets.of] = crease
    planes = _planes(facets, crease_of)
    strips = _strips(facets, planes)
    # a plane is a face; chords are one where they are a round; what is neither stays with its neighbours
    named = (planes | _rounds(mesh, facets, strips, crease_of))[facets.of]
    own, pairs = strips[facets.of], edge_pairs(mesh)
    one, other = pairs[:, 0], pairs[:, 1]
    together = (crease[one] == crease[other]) & (named[one] == named[other])
    together &= ~named[one] | (own[one] == own[other])
    return groups_of(len(crease), pairs[together])
