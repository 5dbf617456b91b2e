"""Edges and corners of a solid that cut: how sharp, how long, where the worst spot is."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Mesh
from traywright.parts.faces import edge_pairs, normals_of

SHARP_DEG = 60.0  # source: common practice, no source: sharper than any edge that is milled or turned square
PLAIN_DEG = 95.0  # source: ours: square edges as cut; a bevel on a corner of 45 degrees leaves 112 and is broken
POINT_DEG = 60.0  # source: ours: as sharp as an edge that is listed
SLIVER_MM = 0.002  # source: ours: flatter triangles have normals of rounding, 3 degrees at points held to 0.0001 mm
LEAST_EDGE_MM = 0.2  # source: ours: a shorter chain is noise of a mesh
SMOOTH_DEG = 2.0  # source: ours: less is a chord of a round, which no search here asks for
BLUNT_RATIO = (
    0.95  # source: ours: normals around a spot of a smooth face, or of a wide cone, add up to more of their number
)
ANGLE_DIGITS = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """Edges of a mesh: their triangles, end points, length, and what material fills; hollow ones above 180 degrees."""

    owners: NDArray[np.int64]
    ends: NDArray[np.int64]
    lengths_mm: NDArray[np.float64]
    angles_deg: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeChain:
    """Edges that hang together: how long in all, the sharpest angle, and the middle of the edge that has it."""

    place_mm: tuple[float, ...]
    length_mm: float
    angle_deg: float


def _height_mm(corners: NDArray[np.float64], areas: NDArray[np.float64]) -> NDArray[np.float64]:
    """Least height of each triangle."""
    longest = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2).max(axis=1)
    height: NDArray[np.float64] = 2.0 * areas / np.where(longest > 0.0, longest, 1.0)
    return height


def edges_of(mesh: Mesh) -> Edges:
    """All edges of a closed mesh between triangles that are no slivers, with the angle that material fills.

    Edges that bend by less than 2 degrees are told as 180.

    Parameters
    ----------
    mesh
        Closed mesh, outward counter-clockwise.
    """
    corners = mesh.corners_mm
    normals, areas = normals_of(corners)
    broad = _height_mm(corners, areas) >= SLIVER_MM
    pairs = edge_pairs(mesh)
    pairs = pairs[broad[pairs[:, 0]] & broad[pairs[:, 1]]]
    lengths = np.linalg.norm(mesh.points_mm[pairs[:, 2]] - mesh.points_mm[pairs[:, 3]], axis=1)
    angles = np.full(len(pairs), 180.0)
    turn = np.einsum("ij,ij->i", normals[pairs[:, 0]], normals[pairs[:, 1]])
    bent = np.flatnonzero(turn < math.cos(math.radians(SMOOTH_DEG)))
    one, other, start = pairs[bent, 0], pairs[bent, 1], mesh.points_mm[pairs[bent, 2]]
    bend = np.arctan2(np.linalg.norm(np.cross(normals[one], normals[other]), axis=1), turn[bent])
    # the neighbour's middle lies below the plane of a triangle where the edge stands out
    hollow = np.einsum("ij,ij->i", corners[other].mean(axis=1) - start, normals[one]) > 0.0
    angles[bent] = np.round(180.0 - np.where(hollow, -1.0, 1.0) * np.degrees(bend), ANGLE_DIGITS)
    return Edges(owners=pairs[:, :2], ends=pairs[:, 2:], lengths_mm=lengths, angles_deg=angles)


def _place(point: NDArray[np.float64]) -> tuple[float, ...]:
    return tuple(float(one) for one in np.round(point, 3) + 0.0)


def sharp_edges(mesh: Mesh, edges: Edges) -> tuple[EdgeChain, ...]:
    """Chains of edges sharper than 60 degrees, the sharpest first.

    Parameters
    ----------
    mesh
        Closed mesh, mm.
    edges
        Its edges.
    """
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a part is read
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a part is read

    sharp = np.flatnonzero(edges.angles_deg < SHARP_DEG)
    if not len(sharp):
        return ()
    _, own = np.unique(edges.ends[sharp].reshape(-1), return_inverse=True)
    ends, size = own.reshape(-1, 2), int(own.max()) + 1
    links = coo_array((np.ones(len(ends), dtype=np.int8), (ends[:, 0], ends[:, 1])), shape=(size, size))
    count, groups = connected_components(links, directed=False)
    chain = groups[ends[:, 0]]
    lengths = np.bincount(chain, weights=edges.lengths_mm[sharp], minlength=count)
    middles = mesh.points_mm[edges.ends[sharp]].mean(axis=1)
    order = np.lexsort((middles[:, 2], middles[:, 1], middles[:, 0], edges.angles_deg[sharp]))
    _, first = np.unique(chain[order], return_index=True)
    return tuple(
        EdgeChain(
            place_mm=_place(middles[worst]),
            length_mm=round(float(lengths[chain[worst]]), 2),
            angle_deg=float(edges.angles_deg[sharp[worst]]),
        )
        for worst in order[np.sort(first)].tolist()
        if lengths[chain[worst]] >= LEAST_EDGE_MM
    )


def plain_edges(mesh: Mesh, edges: Edges) -> EdgeChain | None:
    """Edges of 60 to 95 degrees as one entry, placed on the longest of them; None if there is none."""
    plain = np.flatnonzero((edges.angles_deg >= SHARP_DEG) & (edges.angles_deg < PLAIN_DEG))
    if not len(plain):
        return None
    longest = plain[int(np.argmax(np.round(edges.lengths_mm[plain], 3)))]
    return EdgeChain(
        place_mm=_place(mesh.points_mm[edges.ends[longest]].mean(axis=0)),
        length_mm=round(float(edges.lengths_mm[plain].sum()), 2),
        angle_deg=float(edges.angles_deg[plain].min()),
    )


def sharp_points(mesh: Mesh) -> tuple[EdgeChain, ...]:
    """Corners whose edges all lie within a narrow cone that material fills, the sharpest first; length 0.

    Parameters
    ----------
    mesh
        Closed mesh, mm.

    Notes
    -----
    The cone's axis is the mean of the edges' directions, weighted by the angles between them; its full angle is twice
    the largest angle of an edge with the axis, so an uneven tip is judged blunter than it is.
    """
    corners = mesh.corners_mm
    normals, _ = normals_of(corners)
    owner, size = mesh.triangles.reshape(-1), len(mesh.points_mm)
    beside = np.column_stack(
        [np.bincount(owner, weights=np.repeat(normals[:, k], 3), minlength=size) for k in range(3)]
    )
    spiky = np.linalg.norm(beside, axis=1) < BLUNT_RATIO * np.bincount(owner, minlength=size)
    near = spiky[mesh.triangles].any(axis=1)
    corners, normals, owner = corners[near], normals[near], mesh.triangles[near].reshape(-1)
    sides = np.stack([np.roll(corners, -1, axis=1) - corners, np.roll(corners, 1, axis=1) - corners], axis=2)
    lengths = np.linalg.norm(sides, axis=3, keepdims=True)
    unit = (sides / np.where(lengths > 0.0, lengths, 1.0)).reshape(-1, 2, 3)
    spread: NDArray[np.float64] = np.arccos(np.clip(np.einsum("ij,ij->i", unit[:, 0], unit[:, 1]), -1.0, 1.0))
    weighted = unit.sum(axis=1) * spread[:, None]
    axes: NDArray[np.float64] = np.column_stack(
        [np.bincount(owner, weights=weighted[:, one], minlength=size) for one in range(3)]
    )
    norm = np.linalg.norm(axes, axis=1, keepdims=True)
    axes = axes / np.where(norm > 0.0, norm, 1.0)
    least = np.ones(size)
    for side in range(2):
        np.minimum.at(least, owner, np.einsum("ij,ij->i", unit[:, side], axes[owner]))
    lean = np.einsum("ij,ij->i", np.repeat(normals, 3, axis=0), axes[owner]) * spread
    outward = np.bincount(owner, weights=lean, minlength=size)
    angles = np.round(2.0 * np.degrees(np.arccos(np.clip(least, -1.0, 1.0))), ANGLE_DIGITS)
    found = np.flatnonzero(spiky & (angles < POINT_DEG) & (outward < 0.0))
    x, y, z = mesh.points_mm[found].T
    order = found[np.lexsort((z, y, x, angles[found]))]
    return tuple(
        EdgeChain(place_mm=_place(mesh.points_mm[one]), length_mm=0.0, angle_deg=float(angles[one]))
        for one in order.tolist()
    )
