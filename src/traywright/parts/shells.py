"""The separate solids of one mesh."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Mesh


def _shells(mesh: Mesh) -> NDArray[np.int64]:
    """Number of the connected shell of each triangle, shells in the order of their first triangle."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a part is read
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a part is read

    size = len(mesh.points_mm)
    ends = np.concatenate([mesh.triangles[:, :2], mesh.triangles[:, 1:]])
    links = coo_array((np.ones(len(ends), dtype=np.int8), (ends[:, 0], ends[:, 1])), shape=(size, size))
    _, groups = connected_components(links, directed=False)
    own = groups[mesh.triangles[:, 0]]
    _, first, numbers = np.unique(own, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    ranked: NDArray[np.int64] = rank[numbers.reshape(-1)]
    return ranked


def _own_mesh(mesh: Mesh, picked: NDArray[np.bool_]) -> Mesh:
    """Some triangles of a mesh with only the points that they use."""
    used, numbers = np.unique(mesh.triangles[picked], return_inverse=True)
    return Mesh(mesh.points_mm[used], numbers.reshape(-1, 3))


def _sixfold_volumes(mesh: Mesh, shells: NDArray[np.int64]) -> NDArray[np.float64]:
    corners = mesh.corners_mm - mesh.points_mm.mean(axis=0)
    own = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    sums: NDArray[np.float64] = np.bincount(shells, weights=own).astype(np.float64)
    return sums


def _round(inner: Mesh, outer: Mesh) -> bool:
    low, high = outer.bounds_mm
    least, most = inner.bounds_mm
    return bool((low <= least).all() and (most <= high).all())


def solids_apart(mesh: Mesh) -> tuple[tuple[Mesh, NDArray[np.bool_]], ...]:
    """The separate solids of a closed mesh and the triangles that each takes, in the order of their first triangle.

    Parameters
    ----------
    mesh
        Closed mesh; shells that touch in no point are apart.

    Notes
    -----
    A shell turned inward is a void: it stays with the smallest solid whose box holds it, else with the first.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> one = extruded(Region.rectangle(0, 0, 4, 3), 0.0, 2.0)
    >>> two = Mesh(
    ...     np.concatenate([one.points_mm, one.points_mm + 9.0]),
    ...     np.concatenate([one.triangles, one.triangles + len(one.points_mm)]),
    ... )
    >>> [len(solid.triangles) for solid, _ in solids_apart(two)]
    [12, 12]
    """
    shells = _shells(mesh)
    count = int(shells.max()) + 1
    if count == 1:
        return ((mesh, np.ones(len(mesh.triangles), dtype=bool)),)
    volumes = _sixfold_volumes(mesh, shells)
    meshes = [_own_mesh(mesh, shells == number) for number in range(count)]
    solid = [number for number in range(count) if volumes[number] > 0.0]
    if not solid:
        return ((mesh, np.ones(len(mesh.triangles), dtype=bool)),)
    owner = np.arange(count)
    for number in range(count):
        if volumes[number] <= 0.0:
            holding = [one for one in solid if _round(meshes[number], meshes[one])] or solid[:1]
            owner[number] = min(holding, key=lambda one: (volumes[one], one))
    own = owner[shells]
    return tuple((_own_mesh(mesh, own == number), own == number) for number in solid)
