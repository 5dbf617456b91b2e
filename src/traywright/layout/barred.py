"""Where a copy of an outline may not stand beside another, exactly: no-fit regions by sums of convex pieces."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.layout.asked import Sides
from traywright.layout.spacing_ring import spacing_ring

Floats = NDArray[np.float64]
GRID_MM = SNAP_MM * SNAP_MM
"""Grid on which regions are united: edges that lie on each other to float noise lose whole regions without it."""
QUARTER = 24
"""Chords of a quarter of the body of a spacing: 0.006 mm too wide at 8 mm."""  # source: own timing


def grown(shape: BaseGeometry, spacing: Sides) -> BaseGeometry:
    """A region with the spacing beside it: nowhere less than asked for."""
    if max(spacing.each_mm()) <= SAME_MM:
        return shape
    if spacing.alike:
        wide = spacing.right_mm / math.cos(math.pi / 4.0 / QUARTER)
        return shape.buffer(wide, quad_segs=QUARTER)
    around = spacing_ring(spacing, 4 * QUARTER)
    ends = edges_of(shape)[:, :4].reshape(-1, 2, 1, 2) + around[None, None, :, :]
    swept = shapely.convex_hull(shapely.multipoints(ends.reshape(len(ends), -1, 2)))
    return shapely.union_all([shape, *shapely.get_parts(swept).tolist()], grid_size=GRID_MM)


def _turns_left(ring: list[int], corners: Floats, at: int) -> bool:
    """True if a ring of corner numbers turns left, or goes straight on, at one of its places."""
    a, b, c = (corners[ring[(at + k) % len(ring)]] for k in (-1, 0, 1))
    return bool((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) >= 0.0)


def _joined(one: list[int], two: list[int], i: int, j: int) -> list[int]:
    """Two rings with the edge i to j (in the second j to i) taken out; starts at j."""
    first, second = one.index(j), two.index(i)
    return [*(one[first:] + one[:first]), *(two[second:] + two[:second])[1:-1]]


def convex_pieces(outline: Polygon) -> list[Floats]:
    """Few convex pieces of a polygon: triangles, joined where the two stay convex (Hertel & Mehlhorn 1983)."""
    hull = outline.convex_hull
    if isinstance(hull, Polygon) and hull.area - outline.area <= SAME_MM * SAME_MM:
        return [np.array(hull.exterior.coords)[:-1]]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(outline)).tolist()
    numbers: dict[tuple[float, float], int] = {}
    rings = []
    for one in triangles:
        turned = shapely.geometry.polygon.orient(one, 1.0).exterior.coords[:-1]
        rings.append([numbers.setdefault((float(x), float(y)), len(numbers)) for x, y in turned])
    corners = np.array(list(numbers))
    owner = {(ring[k - 1], ring[k]): n for n, ring in enumerate(rings) for k in range(3)}
    inner = sorted((-math.dist(corners[i], corners[j]), i, j) for i, j in owner if i < j and (j, i) in owner)
    for _, i, j in inner:
        one, two = owner[i, j], owner[j, i]
        ring = _joined(rings[one], rings[two], i, j)
        if all(_turns_left(ring, corners, ring.index(at)) for at in (i, j)):
            rings[one] = ring
            owner |= {(ring[k - 1], ring[k]): one for k in range(len(ring))}
            rings[two] = []
    return [corners[ring] for ring in rings if ring]


def _sums(pairs: list[tuple[Floats, Floats]]) -> BaseGeometry:
    """Union of the sums of convex pieces."""
    points = [(a[:, None, :] + b[None, :, :]).reshape(-1, 2) for a, b in pairs]
    owner = np.repeat(np.arange(len(points)), [len(one) for one in points])
    corners = np.asarray(shapely.points(np.vstack(points)))
    hulls = shapely.convex_hull(shapely.multipoints(corners, indices=owner))
    return shapely.union_all(hulls, grid_size=GRID_MM)


def _both_ways(shape: BaseGeometry) -> BaseGeometry:
    """A region and the same turned by 180 degrees."""
    return shapely.union_all([shape, shapely.transform(shape, lambda xy: -xy)], grid_size=GRID_MM)


def edges_of(shape: BaseGeometry) -> Floats:
    """Edges with the region on their left: x, y of start and end, and whether the border turns left there."""
    found = []
    for piece in shapely.get_parts(shape):
        turned = shapely.geometry.polygon.orient(piece, 1.0)
        for ring in (turned.exterior, *turned.interiors):
            at = np.array(ring.coords)[:-1]
            after = np.roll(at, -1, axis=0)
            keep = np.hypot(*(after - at).T) > 0.0
            at = at[keep]
            after = np.roll(at, -1, axis=0)
            way = after - at
            last = np.roll(way, 1, axis=0)
            left = (last[:, 0] * way[:, 1] - last[:, 1] * way[:, 0] > 0.0).astype(float)
            found.append(np.column_stack([at, after, left, np.roll(left, -1)]))
    return np.ascontiguousarray(np.vstack(found))


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """Vectors at which a second copy may not stand: the same way round (``same``) and turned by 180 degrees (``half``).

    Both are open regions: a copy may stand on their border.
    """

    same: BaseGeometry
    half: BaseGeometry


def barred(outline: Polygon, spacing: Sides) -> Barred:
    """Where a second copy may not stand: the sum of outline, its reflection (half-turned: itself) and the spacing."""
    pieces = convex_pieces(outline)
    pairs = list(itertools.combinations_with_replacement(pieces, 2))
    same = grown(_both_ways(_sums([(a, -b) for a, b in pairs])), spacing)
    half = grown(_sums(pairs), spacing)
    return Barred(same=same if spacing.alike else _both_ways(same), half=half)


def eroded(shape: BaseGeometry, by_mm: float) -> BaseGeometry:
    """A region a little smaller; as it is if nothing of it were left."""
    smaller = shape.buffer(-by_mm, quad_segs=2)
    return shape if smaller.is_empty or not isinstance(smaller, Polygon | MultiPolygon) else smaller
