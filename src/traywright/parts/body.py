"""Bodies as they come from a file, made into one closed skin; every mend is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.base.tolerance import POINT_MM, SNAP_MM
from traywright.geometry import Mesh, fused, is_closed, mass_properties, open_edges
from traywright.parts.contact import Skin
from traywright.parts.faces import fit_faces, seamless
from traywright.parts.smooth_faces import faces_by_form

AT_A_TIME = 200_000  # source: ours: rows handled at once, some ten megabytes
WELDED, TURNED, INSIDE_OUT = "PART-022", "PART-023", "PART-024"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Body:
    """Triangles of one body in mm, with the file's face of each (empty where the file knows no faces).

    ``kinds`` are the kinds of faces as the file tells them, by the number of the face.
    """

    name: str
    corners: NDArray[np.float64]
    faces: NDArray[np.int64]
    kinds: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Closed:
    """One closed body with the file's faces."""

    mesh: Mesh
    faces: NDArray[np.int64]
    kinds: tuple[tuple[int, str], ...]


def _steps_of(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """Points in whole steps, some at a time: a mesh of two million triangles must leave room for the rest."""
    most = float(np.abs(points).max()) / POINT_MM
    steps = np.empty(points.shape, dtype=np.int32 if most < np.iinfo(np.int32).max else np.int64)
    for start in range(0, len(points), AT_A_TIME):
        steps[start : start + AT_A_TIME] = np.rint(points[start : start + AT_A_TIME] / POINT_MM)
    return steps


def _joined_points(points: NDArray[np.float64], numbers: NDArray[np.int64]) -> Mesh:
    """Mesh of points and triangles with equal points joined and needles dropped."""
    from traywright.parts._kernels import joined_points  # noqa: PLC0415  # reason: numba waits until a part is read

    steps = _steps_of(points)
    firsts, owner = joined_points(steps)
    unique = steps[firsts]
    del steps
    order = np.lexsort((unique[:, 2], unique[:, 1], unique[:, 0]))
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return Mesh(np.round(unique[order] * POINT_MM, 6), rank[owner][numbers])


def _real(mesh: Mesh) -> NDArray[np.bool_]:
    """Triangles with three different corners."""
    first, second, third = mesh.triangles.T
    real: NDArray[np.bool_] = (first != second) & (second != third) & (third != first)
    return real


def _welded(mesh: Mesh) -> Mesh:
    """The mesh with points nearer than a snap step made one."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a mesh must be mended
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a mesh must be mended
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until a mesh must be mended

    pairs = cKDTree(mesh.points_mm).query_pairs(SNAP_MM, output_type="ndarray")
    size = len(mesh.points_mm)
    links = coo_array((np.ones(len(pairs), dtype=np.int8), (pairs[:, 0], pairs[:, 1])), shape=(size, size))
    _, groups = connected_components(links, directed=False)
    _, first = np.unique(groups, return_index=True)
    return Mesh(mesh.points_mm[first], groups[mesh.triangles])


def _turned(mesh: Mesh) -> Mesh:
    """The mesh with all triangles turned to one sense."""
    import trimesh  # noqa: PLC0415  # reason: waits until a mesh must be mended

    whole = trimesh.Trimesh(np.array(mesh.points_mm), np.array(mesh.triangles), process=False)
    trimesh.repair.fix_winding(whole)  # type: ignore[no-untyped-call]
    return Mesh(mesh.points_mm, np.asarray(whole.faces))


def _volume_sign(mesh: Mesh) -> float:
    total = 0.0
    for start in range(0, len(mesh.triangles), AT_A_TIME):
        corners = mesh.points_mm[mesh.triangles[start : start + AT_A_TIME]]
        total += float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])))
    return total


def closed_mesh(part_id: str, body: Body) -> tuple[Mesh, NDArray[np.int64], tuple[str, ...]]:
    """Closed mesh of a body, the face of each triangle, and the codes of what was mended.

    Raises
    ------
    PartError
        PART-005 if it stays open, PART-004 if there is no triangle.
    """
    if not len(body.corners):
        raise PartError("PART-004", part=part_id)
    mesh = _joined_points(body.corners.reshape(-1, 3), np.arange(3 * len(body.corners)).reshape(-1, 3))
    mends = []
    for code, mend in (("", lambda one: one), (WELDED, _welded), (TURNED, _turned)):
        tried = mend(mesh)
        real = _real(tried)
        kept = tried if real.all() else Mesh(tried.points_mm, tried.triangles[real])
        if is_closed(kept):
            mesh, mends = kept, [code] if code else []
            break
    else:
        ends = open_edges(kept)
        place = kept.points_mm[ends[0, 0]]
        raise PartError("PART-005", part=part_id, count=len(ends), x_mm=place[0], y_mm=place[1], z_mm=place[2])
    faces = body.faces[real] if len(body.faces) else body.faces
    if _volume_sign(mesh) < 0.0:
        mesh, mends = Mesh(mesh.points_mm, mesh.triangles[:, ::-1]), [*mends, INSIDE_OUT]
    return mesh, faces, tuple(mends)


def _pieces(mesh: Mesh) -> tuple[Mesh, ...]:
    """The separate bodies of a mesh; one that encloses a void stays with its hull."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a part is read
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a part is read

    size = len(mesh.points_mm)
    ends = np.concatenate([mesh.triangles[:, :2], mesh.triangles[:, 1:]])
    links = coo_array((np.ones(len(ends), dtype=np.int8), (ends[:, 0], ends[:, 1])), shape=(size, size))
    count, groups = connected_components(links, directed=False)
    if count == 1:
        return (mesh,)
    own = groups[mesh.triangles[:, 0]]
    pieces = tuple(Mesh(mesh.points_mm, mesh.triangles[own == number]) for number in np.unique(own))
    return pieces if all(_volume_sign(one) > 0.0 for one in pieces) else (mesh,)


def _skin_of(part_id: str, bodies: Sequence[_Closed]) -> Skin:
    """One skin of closed meshes, faces numbered on from body to body."""
    labels, start, told_kinds = [], 0, {}
    for body in bodies:
        named = body.faces if len(body.faces) else faces_by_form(body.mesh).astype(np.int64)
        labels.append(named + start)
        told_kinds.update({number + start: kind for number, kind in body.kinds})
        start += int(named.max()) + 1
    try:
        whole, told = fused([one.mesh for one in bodies], labels)
        mass_properties(whole)
    except ValueError as fault:
        raise PartError("PART-005", part=part_id, count=0, x_mm=0.0, y_mm=0.0, z_mm=0.0) from fault
    numbers_in_file, numbered = np.unique(told, return_inverse=True)
    numbers = numbered.reshape(-1).astype(np.int32)
    mesh = Mesh(np.round(whole.points_mm, 6) + 0.0, whole.triangles)
    kinds = [told_kinds.get(number, "other") for number in numbers_in_file.tolist()]
    fitted = tuple(
        replace(face, kind=kind) if face.kind == "other" else face
        for face, kind in zip(fit_faces(mesh, numbers), kinds, strict=True)
    )
    return Skin(mesh=mesh, faces=numbers, fitted=fitted, joined=seamless(mesh, numbers, fitted))


def skin_of_bodies(part_id: str, bodies: Sequence[Body]) -> tuple[Skin, int, tuple[str, ...]]:
    """One closed skin of all bodies, their number, and the codes of what was mended.

    Parameters
    ----------
    part_id
        Named in errors.
    bodies
        Bodies as read, at least one; they may touch or overlap.

    Raises
    ------
    PartError
        PART-004 if there is none, PART-005 if one is open.
    """
    if not bodies:
        raise PartError("PART-004", part=part_id)
    closed: list[_Closed] = []
    mends: set[str] = set()
    for body in bodies:
        mesh, own, mended = closed_mesh(part_id, body)
        mends |= set(mended)
        pieces = (mesh,) if len(own) else _pieces(mesh)
        closed += [_Closed(mesh=one, faces=own, kinds=body.kinds) for one in pieces]
    return _skin_of(part_id, closed), len(closed), tuple(sorted(mends))


def skin_of_mesh(part_id: str, mesh: Mesh) -> Skin:
    """Skin of a closed mesh that we drew ourselves."""
    return _skin_of(part_id, [_Closed(mesh=mesh, faces=np.empty(0, dtype=np.int64), kinds=())])
