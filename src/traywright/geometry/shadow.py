"""Shadow of a solid seen along z, from its contour edges."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.geometry.mesh import Mesh
from traywright.geometry.region import Region


def region_of_section(flat: Any) -> Region:  # noqa: ANN401  # reason: untyped library
    """Region of the solid kernel's plane shape, holes kept; used inside this room only."""
    found = []
    for piece in flat.decompose():
        rings = [np.asarray(one) for one in piece.to_polygons() if len(one) > 2]
        outer = [one for one in rings if shapely.LinearRing(one).is_ccw]
        holes = [one for one in rings if not shapely.LinearRing(one).is_ccw]
        found += [shapely.make_valid(shapely.Polygon(shell, holes)) for shell in outer]
    return Region(shapely.union_all(found)) if found else Region.empty()


def _contour_edges(mesh: Mesh) -> NDArray[np.int64]:
    """Directed edges that bound the upward triangles, each as often as it is not run back, shape (n, 2)."""
    flat = mesh.points_mm[:, :2]
    first, second, third = (flat[mesh.triangles[:, corner]] for corner in range(3))
    right, left = second - first, third - first
    upward = mesh.triangles[right[:, 0] * left[:, 1] - right[:, 1] * left[:, 0] > 0.0]
    starts, ends = upward.reshape(-1), np.roll(upward, -1, axis=1).reshape(-1)
    size = len(flat)
    # an edge of two upward triangles is run once each way and cancels
    keys = np.minimum(starts, ends) * size + np.maximum(starts, ends)
    order = np.argsort(keys, kind="stable")
    keys, ways = keys[order], np.where(starts < ends, 1, -1)[order]
    if not len(keys):
        return np.empty((0, 2), dtype=np.int64)
    groups = np.flatnonzero(np.concatenate([[True], keys[1:] != keys[:-1]]))
    sums = np.add.reduceat(ways, groups)
    left_over = np.flatnonzero(sums)
    low, high = keys[groups[left_over]] // size, keys[groups[left_over]] % size
    forward = sums[left_over] > 0
    edges = np.column_stack([np.where(forward, low, high), np.where(forward, high, low)])
    return np.repeat(edges, np.abs(sums[left_over]), axis=0)


def _loops(edges: NDArray[np.int64]) -> list[list[int]]:
    """Closed runs of directed edges, each edge used once; at a spot where several meet any turn will do."""
    onward: dict[int, list[int]] = {}
    for start, end in edges[::-1].tolist():
        onward.setdefault(start, []).append(end)
    loops = []
    for start in list(onward):
        while onward[start]:
            loop, here = [start], onward[start].pop()
            while here != start:
                loop.append(here)
                here = onward[here].pop()
            loops.append(loop)
    return loops


def shadow(mesh: Mesh) -> Region:
    """Region that the solid covers seen along z; what can be looked through is a hole.

    Parameters
    ----------
    mesh
        Closed mesh.

    Notes
    -----
    The edges that bound the upward triangles, laid flat, wind round a spot as often as upward triangles lie over it:
    the region where they wind at least once is the shadow, exactly. There are few of them (about the square root of
    the triangles), so the union costs little.

    Examples
    --------
    >>> from traywright.geometry.prism import extruded
    >>> round(shadow(extruded(Region.rectangle(0, 0, 4, 3), 0.0, 2.0)).area_mm2, 9)
    12.0
    """
    import manifold3d  # noqa: PLC0415  # reason: the solid kernel waits until a solid is asked

    flat = mesh.points_mm[:, :2]
    loops = [flat[loop] for loop in _loops(_contour_edges(mesh)) if len(loop) > 2]
    if not loops:
        return Region.empty()
    return region_of_section(manifold3d.CrossSection(loops, manifold3d.FillRule.Positive))
