"""Closed meshes as solids: shadow, section, what lies below a height, volume, centre of gravity, inertia, fusion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.geometry.mesh import Mesh
from traywright.geometry.region import Region
from traywright.geometry.shadow import region_of_section, shadow

KEPT_SOLIDS = 32
"""Solids kept ready for the next question: a job has a handful of parts, each in one or two poses."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MassProperties:
    """Volume, centre of gravity and inertia of a solid of density one.

    ``inertia_mm5`` is the 3x3 tensor about the centre of gravity in mm⁵ (times kg/mm³ gives kg mm²).
    """

    volume_mm3: float
    centre_mm: tuple[float, float, float]
    inertia_mm5: tuple[tuple[float, ...], ...]


def open_edges(mesh: Mesh) -> NDArray[np.int64]:
    """Directed edges that no neighbour answers, shape (n, 2): empty for a closed mesh of one sense.

    Examples
    --------
    >>> import numpy as np
    >>> open_edges(Mesh(np.eye(3), np.array([[0, 1, 2]]))).tolist()
    [[0, 1], [1, 2], [2, 0]]
    """
    corners = mesh.triangles
    edges = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).reshape(-1, 2)
    size = max(1, len(mesh.points_mm))
    there = edges[:, 0] * size + edges[:, 1]
    back = edges[:, 1] * size + edges[:, 0]
    values, where, counts = np.unique(there, return_inverse=True, return_counts=True)
    answers = np.zeros(len(values), dtype=np.int64)
    place = np.minimum(np.searchsorted(values, back), len(values) - 1)
    met = values[place] == back
    np.add.at(answers, place[met], 1)
    unanswered: NDArray[np.int64] = edges[answers[where] != counts[where]]
    return unanswered


def is_closed(mesh: Mesh) -> bool:
    """True if every edge is run once each way: the mesh bounds a solid."""
    from traywright.geometry._kernels import unanswered_edges  # noqa: PLC0415  # reason: numba waits until a mesh comes

    return len(mesh.triangles) > 0 and unanswered_edges(mesh.triangles, len(mesh.points_mm)) == 0


def solid_of(mesh: Mesh, labels: NDArray[np.integer] | None = None) -> Any:  # noqa: ANN401  # reason: untyped library
    """The solid kernel's own object of a closed mesh; used inside this room only.

    Raises
    ------
    ValueError
        If the mesh is not closed.
    """
    import manifold3d  # noqa: PLC0415  # reason: the solid kernel waits until a solid is asked

    named = {} if labels is None else {"face_id": labels.astype(np.uint64)}
    solid = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=np.array(mesh.points_mm), tri_verts=mesh.triangles.astype(np.uint64), **named)
    )
    if solid.status() != manifold3d.Error.NoError or solid.is_empty():
        raise ValueError(str(solid.status()))
    return solid


@lru_cache(maxsize=KEPT_SOLIDS)
def _solid(mesh: Mesh) -> Any:  # noqa: ANN401  # reason: untyped library
    return solid_of(mesh)


def section_at(mesh: Mesh, z_mm: float) -> Region:
    """Region in which the plane at a height cuts the solid.

    Parameters
    ----------
    mesh
        Closed mesh.
    z_mm
        Height of the plane, any number.

    Raises
    ------
    ValueError
        If the mesh is not closed.
    """
    return region_of_section(_solid(mesh).slice(z_mm))


def shadow_below(mesh: Mesh, z_mm: float) -> Region:
    """Region that the part of the solid below a height covers seen along z.

    Parameters
    ----------
    mesh
        Closed mesh.
    z_mm
        Height above which the solid is taken away.

    Raises
    ------
    ValueError
        If the mesh is not closed.
    """
    low, high = mesh.bounds_mm
    if z_mm <= low[2]:
        return Region.empty()
    if z_mm >= high[2]:
        return shadow(mesh)
    return region_of_section(_solid(mesh).trim_by_plane((0.0, 0.0, -1.0), -z_mm).project())


def fused(meshes: Sequence[Mesh], labels: Sequence[NDArray[np.integer]]) -> tuple[Mesh, NDArray[np.int64]]:
    """One closed mesh of several closed ones, with the label of each triangle carried along.

    Parameters
    ----------
    meshes
        Closed meshes, at least one; they may touch or overlap.
    labels
        One whole number from 0 a triangle of each mesh, different from mesh to mesh.

    Returns
    -------
    tuple
        The union, and one label a triangle of it.

    Raises
    ------
    ValueError
        If one of the meshes is not closed.
    """
    import manifold3d  # noqa: PLC0415  # reason: the solid kernel waits until a solid is asked

    solids = [solid_of(mesh, own) for mesh, own in zip(meshes, labels, strict=True)]
    whole = manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add) if len(solids) > 1 else solids[0]
    told = whole.to_mesh64()
    mesh = Mesh(np.asarray(told.vert_properties)[:, :3], np.asarray(told.tri_verts).astype(np.int64))
    return mesh, np.asarray(told.face_id).astype(np.int64)


def shared_volume_mm3(one: Mesh, other: Mesh) -> tuple[float, float]:
    """Volume that two solids share, and the volume of the smaller one, mm³.

    Parameters
    ----------
    one, other
        Closed meshes.

    Raises
    ------
    ValueError
        If one of the meshes is not closed.
    """
    first, second = _solid(one), _solid(other)
    return float((first ^ second).volume()), float(min(first.volume(), second.volume()))


def mass_properties(mesh: Mesh) -> MassProperties:
    """Volume, centre of gravity and inertia of a closed mesh at density one.

    Parameters
    ----------
    mesh
        Closed mesh, outward counter-clockwise.

    Raises
    ------
    ValueError
        If the volume is not above 0.

    Notes
    -----
    Divergence theorem: the solid is the signed sum of the tetrahedra from one point to each triangle. The point is
    the middle of the bounding box, so that a solid far from the origin loses no digits.

    Examples
    --------
    >>> from traywright.geometry.prism import extruded
    >>> told = mass_properties(extruded(Region.rectangle(0, 0, 4, 3), 0.0, 2.0))
    >>> round(told.volume_mm3, 9), [round(one, 9) for one in told.centre_mm]
    (24.0, [2.0, 1.5, 1.0])
    """
    low, high = mesh.bounds_mm
    middle = (low + high) / 2.0
    corners = mesh.corners_mm - middle
    sixfold = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    volume = float(sixfold.sum() / 6.0)
    if not volume > 0.0:
        raise ValueError(volume)
    sums = corners.sum(axis=1)
    first = (sixfold[:, None] * sums).sum(axis=0) / 24.0
    second = (
        np.einsum("k,ki,kj->ij", sixfold, sums, sums) + np.einsum("k,kci,kcj->ij", sixfold, corners, corners)
    ) / 120.0
    centre = first / volume
    about = second - volume * np.outer(centre, centre)
    inertia = np.trace(about) * np.eye(3) - about
    x_mm, y_mm, z_mm = (float(one) for one in centre + middle)
    return MassProperties(
        volume_mm3=volume,
        centre_mm=(x_mm, y_mm, z_mm),
        inertia_mm5=tuple(tuple(float(one) for one in row) for row in inertia),
    )
