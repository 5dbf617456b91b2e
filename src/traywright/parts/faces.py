"""The faces of a part's mesh: which triangles belong together, and whether they are plane, cylinder or cone."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Mesh

CREASE_DEG = 25.0  # source: ours: chords of a 1 mm radius turn 16 degrees, the edges of parts 45 and more
FLAT_RATIO = 0.01  # source: ours: sine of the largest lean of a triangle from its face's kind
FLAT_BESIDE_RATIO = 4.0  # source: ours: chords of one arc are rarely so unlike, a flat beside an arc mostly is
FACE_MATCH_MM = 0.1  # source: ours: a tenth of what foam holds; two diameters nearer than this are one
LEAST_ROUND = 4  # source: geometry: any two flat strips lie on a cylinder, any three triangles on a cone
ROUND = ("cylinder", "cone", "sphere")


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One face: kind plane, cylinder, cone or other; its axis or normal, diameter (0 if it has none) and middle.

    ``inside`` is True where the solid lies outside the round: a bore, a countersink, a socket.
    """

    kind: str
    axis: tuple[float, ...]
    diameter_mm: float
    centre_mm: tuple[float, ...]
    area_mm2: float = 0.0
    inside: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceTold:
    """A face as it is told to the user, who names it in a contact by these values; rounded to what files hold."""

    number: int
    kind: str
    diameter_mm: float
    axis: tuple[float, ...]
    centre_mm: tuple[float, ...]
    area_mm2: float
    inside: bool


def normals_of(corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Unit normals and areas (mm²) of triangles."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(across, axis=1)
    return across / np.where(double > 0.0, double, 1.0)[:, None], double / 2.0


def edge_pairs(mesh: Mesh) -> NDArray[np.int64]:
    """Neighbours over each edge: two triangle numbers and the two points of the edge, shape (n, 4)."""
    corners = mesh.triangles
    after = np.roll(corners, -1, axis=1)
    size = max(1, len(mesh.points_mm))
    ends = (np.minimum(corners, after) * size + np.maximum(corners, after)).reshape(-1)
    order = np.argsort(ends, kind="stable")
    ends, owners = ends[order], order // 3
    same = np.flatnonzero(ends[1:] == ends[:-1])
    return np.column_stack([owners[same], owners[same + 1], ends[same] // size, ends[same] % size])


def groups_of(count: int, pairs: NDArray[np.int64]) -> NDArray[np.int32]:
    """Number of the group of each triangle, groups in the order of their first triangle."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a part is read
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a part is read

    links = coo_array((np.ones(len(pairs), dtype=np.int8), (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    _, groups = connected_components(links, directed=False)
    _, first, group = np.unique(groups, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int32)
    rank[np.argsort(first)] = np.arange(len(first), dtype=np.int32)
    numbered: NDArray[np.int32] = rank[group]
    return numbered


def faces_by_crease(mesh: Mesh) -> NDArray[np.int32]:
    """Number of the face of each triangle, faces being parted where neighbours meet at more than 25 degrees.

    Parameters
    ----------
    mesh
        Closed mesh.

    Notes
    -----
    Two faces that run into each other without an edge (a fillet) count as one.
    """
    normals, _ = normals_of(mesh.corners_mm)
    pairs = edge_pairs(mesh)
    bend = np.einsum("ij,ij->i", normals[pairs[:, 0]], normals[pairs[:, 1]])
    return groups_of(len(mesh.triangles), pairs[bend > math.cos(math.radians(CREASE_DEG))])


def _circle(flat: NDArray[np.float64]) -> tuple[NDArray[np.float64], float, float]:
    """Centre, radius and largest miss of the circle through points in a plane."""
    middle = flat.mean(axis=0)
    off = flat - middle
    sides = np.column_stack([2.0 * off, np.ones(len(off))])
    found = np.linalg.lstsq(sides, (off**2).sum(axis=1), rcond=None)[0]
    radius = math.sqrt(max(0.0, float(found[2] + found[0] ** 2 + found[1] ** 2)))
    miss = float(np.abs(np.linalg.norm(off - found[:2], axis=1) - radius).max())
    return found[:2] + middle, radius, miss


def _least_axis(spread: NDArray[np.float64]) -> tuple[NDArray[np.float64], float]:
    """The direction in which vectors spread least, signed so that its largest number is positive, and that spread."""
    values, vectors = np.linalg.eigh(spread)
    axis = vectors[:, 0]
    axis = axis if axis[np.argmax(np.abs(axis))] > 0.0 else -axis
    return axis, math.sqrt(max(0.0, float(values[0])))


def _fitted(points: NDArray[np.float64], normals: NDArray[np.float64], areas: NDArray[np.float64]) -> Face:
    """Kind, axis and diameter of the triangles of one face that is not plane."""
    weights = areas / areas.sum()
    mean = weights @ normals
    low, high = points.min(axis=0), points.max(axis=0)
    middle = tuple(float(one) for one in (low + high) / 2.0)
    axis, lean = _least_axis((normals * weights[:, None]).T @ normals)
    told = tuple(float(one) for one in axis)
    if lean < FLAT_RATIO:
        side = np.eye(3)[np.argmin(np.abs(axis))]
        first = np.cross(axis, side) / np.linalg.norm(np.cross(axis, side))
        _, radius, miss = _circle(np.column_stack([points @ first, points @ np.cross(axis, first)]))
        if miss < FACE_MATCH_MM:
            return Face(kind="cylinder", axis=told, diameter_mm=2.0 * radius, centre_mm=middle)
    off = normals - mean
    axis, lean = _least_axis((off * weights[:, None]).T @ off)
    kind = "cone" if lean < FLAT_RATIO < abs(float(mean @ axis)) else "other"
    return Face(kind=kind, axis=tuple(float(one) for one in axis), diameter_mm=0.0, centre_mm=middle)


def _flat(
    normals: NDArray[np.float64], weights: NDArray[np.float64], starts: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
    """Which faces are plane, and the mean normal of each; triangles of no weight do not count."""
    sums = np.add.reduceat(normals * weights[:, None], starts)
    lengths = np.linalg.norm(sums, axis=1, keepdims=True)
    axes = sums / np.where(lengths > 0.0, lengths, 1.0)
    own = np.repeat(np.arange(len(starts)), np.diff([*starts, len(normals)]))
    lean = np.where(weights > 0.0, np.einsum("ij,ij->i", normals, axes[own]), 1.0)
    flat = (np.minimum.reduceat(lean, starts) > 1.0 - FLAT_RATIO * FLAT_RATIO) & (lengths[:, 0] > 0.0)
    return flat, axes


def _hollow(corners: NDArray[np.float64], normals: NDArray[np.float64], areas: NDArray[np.float64], face: Face) -> bool:
    """True if the normals of a round face point towards its middle: places and normals spread against each other."""
    if face.kind not in ROUND:
        return False
    weights = areas / areas.sum()
    places = corners.mean(axis=1)
    apart = weights @ ((places - weights @ places) * (normals - weights @ normals))
    axis = np.asarray(face.axis)
    along = weights @ (((places - weights @ places) @ axis) * ((normals - weights @ normals) @ axis))
    return float(apart.sum() - (along if face.kind != "sphere" else 0.0)) < 0.0


def fit_faces(mesh: Mesh, faces: NDArray[np.int32]) -> tuple[Face, ...]:
    """Each face's kind, axis, diameter and middle, in the order of its number.

    Parameters
    ----------
    mesh
        Triangles in mm.
    faces
        Number of the face of each triangle, from 0 without gaps.

    Notes
    -----
    The kind is read from the triangles' normals, the diameter from their corners, which lie on the true surface. A
    face whose triangles lean by more than FLAT_RATIO from a plane, cylinder or cone is "other", and so is one of two or
    three triangles that is not plane.
    """
    corners = mesh.corners_mm
    normals, areas = normals_of(corners)
    order = np.argsort(faces, kind="stable")
    starts = np.flatnonzero(np.concatenate([[True], np.diff(faces[order]) > 0]))
    broad = areas[order] > np.repeat(np.maximum.reduceat(areas[order], starts), np.diff([*starts, len(order)])) * (
        FLAT_RATIO * FLAT_RATIO
    )
    flat, axes = _flat(normals[order], np.where(broad, areas[order], 0.0), starts)
    middles = (
        np.minimum.reduceat(corners[order].min(axis=1), starts)
        + np.maximum.reduceat(corners[order].max(axis=1), starts)
    ) / 2.0
    whole = np.add.reduceat(areas[order], starts)
    found = []
    for number, (own, wide) in enumerate(zip(np.split(order, starts[1:]), np.split(broad, starts[1:]), strict=True)):
        if flat[number] or np.count_nonzero(wide) < LEAST_ROUND:
            face = Face(
                kind="plane" if flat[number] else "other",
                axis=tuple(axes[number].tolist()),
                diameter_mm=0.0,
                centre_mm=tuple(middles[number].tolist()),
            )
        else:
            points = mesh.points_mm[np.unique(mesh.triangles[own])]
            face = _fitted(points, normals[own[wide]], areas[own[wide]])
            face = replace(face, inside=_hollow(corners[own[wide]], normals[own[wide]], areas[own[wide]], face))
        found.append(replace(face, area_mm2=float(whole[number])))
    return tuple(found)


def faces_told(fitted: tuple[Face, ...]) -> tuple[FaceTold, ...]:
    """The faces with the numbers, kinds and middles under which a contact may name them.

    Parameters
    ----------
    fitted
        Faces of a skin, in the order of their numbers.

    Notes
    -----
    Lengths are rounded to 0.001 mm, areas to 0.01 mm². The numbers hold for this file only: another export counts anew.
    """

    def row(values: tuple[float, ...], digits: int) -> tuple[float, ...]:
        return tuple(round(one, digits) + 0.0 for one in values)

    return tuple(
        FaceTold(
            number=number,
            kind=face.kind,
            diameter_mm=round(face.diameter_mm, 3),
            axis=row(face.axis, 6),
            centre_mm=row(face.centre_mm, 3),
            area_mm2=round(face.area_mm2, 2),
            inside=face.inside,
        )
        for number, face in enumerate(fitted)
    )


def chord_of(mesh: Mesh, faces: NDArray[np.int32]) -> float:
    """How far the chords of curved faces lie inside the true surface, mm, judged by the bend between neighbours.

    Parameters
    ----------
    mesh
        Closed mesh.
    faces
        Number of the face of each triangle.

    Notes
    -----
    Two neighbours of width w that meet at an angle t are chords of an arc with the rise w/2 tan(t/4). The wider of
    the two counts, so a face of uneven triangles is judged too coarse rather than too fine; but where one is over
    four times as wide, it is a flat that runs into the arc, and the narrower counts.
    """
    pairs = edge_pairs(mesh)
    pairs = pairs[faces[pairs[:, 0]] == faces[pairs[:, 1]]]
    if not len(pairs):
        return 0.0
    normals, areas = normals_of(mesh.corners_mm)
    bend = np.arccos(np.clip(np.einsum("ij,ij->i", normals[pairs[:, 0]], normals[pairs[:, 1]]), -1.0, 1.0))
    long = np.linalg.norm(mesh.points_mm[pairs[:, 2]] - mesh.points_mm[pairs[:, 3]], axis=1)
    broad = 2.0 * np.maximum(areas[pairs[:, 0]], areas[pairs[:, 1]]) / long
    narrow = 2.0 * np.minimum(areas[pairs[:, 0]], areas[pairs[:, 1]]) / long
    wide = np.where(broad > FLAT_BESIDE_RATIO * narrow, narrow, broad)
    return float((wide / 2.0 * np.tan(bend / 4.0)).max())


def seamless(mesh: Mesh, faces: NDArray[np.int32], fitted: tuple[Face, ...]) -> NDArray[np.int32]:
    """Number of the face of each triangle after faces of one surface that meet without an edge are joined.

    Parameters
    ----------
    mesh
        Closed mesh.
    faces
        Number of the face of each triangle as the file has it.
    fitted
        The faces by number.
    """
    normals, _ = normals_of(mesh.corners_mm)
    pairs = edge_pairs(mesh)
    bend = np.einsum("ij,ij->i", normals[pairs[:, 0]], normals[pairs[:, 1]])
    smooth = bend > math.cos(math.radians(CREASE_DEG))
    kinds = np.array([one.kind for one in fitted])
    diameters = np.array([one.diameter_mm for one in fitted])
    here, there = faces[pairs[:, 0]], faces[pairs[:, 1]]
    one_kind = (kinds[here] == kinds[there]) & (np.abs(diameters[here] - diameters[there]) < FACE_MATCH_MM)
    straight = (kinds[here] != "plane") | (bend > 1.0 - FLAT_RATIO * FLAT_RATIO)
    keep = (here == there) | (smooth & one_kind & straight & np.isin(kinds[here], ["plane", "cylinder", "cone"]))
    return groups_of(len(mesh.triangles), pairs[keep])
