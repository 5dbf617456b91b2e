"""Triangles cut along planes and along the outline of a plane region; neighbours are not kept joined."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.base.tolerance import SAME_MM, TIE_RATIO
from traywright.geometry.region import Region

Corners = NDArray[np.float64]
"""Corner points of triangles, shape (n, 3, 3), mm."""
Sources = NDArray[np.int64]
"""For each piece the number of the triangle it was cut from."""


def _with_area(corners: Corners, sources: Sources) -> tuple[Corners, Sources]:
    """Pieces without those that are a line or a point."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    longest = np.abs(corners - np.roll(corners, 1, axis=1)).max(axis=(1, 2), initial=0.0)
    kept = np.linalg.norm(across, axis=1) > TIE_RATIO * np.maximum(longest * longest, SAME_MM * SAME_MM)
    return corners[kept], sources[kept]


def _crossed(corners: Corners, heights_mm: NDArray[np.float64], lone: NDArray[np.int64]) -> tuple[Corners, Corners]:
    """The tip at the lone corner (n triangles) and the rest (2n triangles) of triangles that cross height 0."""
    turn = (lone[:, None] + np.arange(3)[None, :]) % 3
    rows = np.arange(len(corners))[:, None]
    points, levels = corners[rows, turn], heights_mm[rows, turn]
    first = points[:, 0] + (points[:, 1] - points[:, 0]) * (levels[:, 0] / (levels[:, 0] - levels[:, 1]))[:, None]
    second = points[:, 0] + (points[:, 2] - points[:, 0]) * (levels[:, 0] / (levels[:, 0] - levels[:, 2]))[:, None]
    tip = np.stack([points[:, 0], first, second], axis=1)
    rest = np.concatenate(
        [np.stack([first, points[:, 1], points[:, 2]], axis=1), np.stack([first, points[:, 2], second], axis=1)]
    )
    return tip, rest


def split_by_plane(
    corners: Corners, normal: tuple[float, float, float] | NDArray[np.float64], at_mm: float
) -> tuple[Corners, Sources, Corners, Sources]:
    """Pieces of triangles on the side that the normal leaves, and on the side that it points to.

    Parameters
    ----------
    corners
        Triangles, mm.
    normal
        Unit normal of the plane.
    at_mm
        Distance of the plane from the origin along the normal.

    Returns
    -------
    tuple
        Pieces before the plane with the triangles they come from, pieces beyond it with theirs. A triangle in the
        plane counts as before it.

    Examples
    --------
    >>> import numpy as np
    >>> before, _, beyond, _ = split_by_plane(np.array([[[0.0, 0, 0], [4, 0, 0], [0, 4, 0]]]), (1.0, 0.0, 0.0), 2.0)
    >>> len(before), len(beyond)
    (2, 1)
    """
    heights = corners @ np.asarray(normal, dtype=np.float64) - at_mm
    heights = np.where(np.abs(heights) <= SAME_MM, 0.0, heights)
    beyond, before = heights > 0.0, heights < 0.0
    crossing = beyond.any(axis=1) & before.any(axis=1)
    numbers = np.arange(len(corners))
    far, near = numbers[beyond.any(axis=1) & ~crossing], numbers[~beyond.any(axis=1)]
    tip_far = crossing & (beyond.sum(axis=1) == 1)
    tip_near = crossing & ~tip_far
    up, up_rest = _crossed(corners[tip_far], heights[tip_far], np.argmax(beyond[tip_far], axis=1))
    down, down_rest = _crossed(corners[tip_near], heights[tip_near], np.argmax(before[tip_near], axis=1))
    far_numbers, near_numbers = numbers[tip_far], numbers[tip_near]
    low = _with_area(
        np.concatenate([corners[near], up_rest, down]), np.concatenate([near, far_numbers, far_numbers, near_numbers])
    )
    high = _with_area(
        np.concatenate([corners[far], up, down_rest]), np.concatenate([far, far_numbers, near_numbers, near_numbers])
    )
    return (*low, *high)


def _upright(flat: Corners) -> NDArray[np.bool_]:
    """Triangles that have no area in plan."""
    across = (flat[:, 1, 0] - flat[:, 0, 0]) * (flat[:, 2, 1] - flat[:, 0, 1]) - (flat[:, 2, 0] - flat[:, 0, 0]) * (
        flat[:, 1, 1] - flat[:, 0, 1]
    )
    longest = np.abs(flat - np.roll(flat, 1, axis=1))[:, :, :2].max(axis=(1, 2), initial=0.0)
    upright: NDArray[np.bool_] = np.abs(across) <= SAME_MM * np.maximum(longest, SAME_MM)
    return upright


def _lifted(plan: NDArray[np.float64], triangle: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points in plan (n, 2) put on the plane of a triangle."""
    first, second = triangle[1] - triangle[0], triangle[2] - triangle[0]
    area = first[0] * second[1] - first[1] * second[0]
    off = plan - triangle[0, :2]
    along = (off[:, 0] * second[1] - off[:, 1] * second[0]) / area
    across = (first[0] * off[:, 1] - first[1] * off[:, 0]) / area
    return np.column_stack([plan, triangle[0, 2] + along * first[2] + across * second[2]])


def _pieces(shape: Any, triangle: NDArray[np.float64]) -> list[NDArray[np.float64]]:  # noqa: ANN401  # reason: shapely
    """Triangles of a plane shape, put on the plane of a triangle."""
    areas = [one for one in shapely.get_parts(shape).tolist() if one.geom_type == "Polygon" and one.area > 0.0]
    flat = [tip for one in areas for tip in shapely.get_parts(shapely.constrained_delaunay_triangles(one)).tolist()]
    found = []
    for tip in flat:
        points = _lifted(np.asarray(tip.exterior.coords)[:3, :2], triangle)
        turned = np.cross(points[1] - points[0], points[2] - points[0])
        own = np.cross(triangle[1] - triangle[0], triangle[2] - triangle[0])
        found.append(points if turned @ own > 0.0 else points[::-1])
    return found


def _upright_pieces(triangle: NDArray[np.float64], edge: Any) -> Corners:  # noqa: ANN401  # reason: shapely
    """An upright triangle cut where its line in plan meets the edge of a region."""
    spread = triangle[:, :2] - triangle[:, :2].mean(axis=0)
    way = spread[np.argmax(np.linalg.norm(spread, axis=1))]
    way = way / np.linalg.norm(way)
    places = triangle[:, :2] @ way
    line = shapely.LineString([triangle[np.argmin(places), :2], triangle[np.argmax(places), :2]])
    pieces = triangle[None]
    for point in shapely.get_coordinates(line.intersection(edge)):
        low, _, high, _ = split_by_plane(pieces, np.array([way[0], way[1], 0.0]), float(point @ way))
        pieces = np.concatenate([low, high])
    return pieces


def split_by_region(
    corners: Corners, region: Region, axes: NDArray[np.float64] | None = None
) -> tuple[Corners, Sources, Corners, Sources]:
    """Pieces of triangles that lie over a region, and pieces that do not.

    Parameters
    ----------
    corners
        Triangles, mm.
    region
        Region in the plane of the first two axes.
    axes
        Three rows: the plane's two axes and its normal as unit vectors; left out: x, y, z.

    Returns
    -------
    tuple
        Pieces over the region with the triangles they come from, the other pieces with theirs.

    Notes
    -----
    An upright triangle is cut where it crosses the region's edge; one that runs along the edge counts as outside.
    """
    frame = np.eye(3) if axes is None else axes
    flat = corners @ frame.T
    upright = _upright(flat)
    zone = region.shape
    shapely.prepare(zone)
    around = flat[:, [0, 1, 2, 0], :2]
    hulls = np.empty(len(flat), dtype=object)
    hulls[upright] = shapely.linestrings(around[upright])
    hulls[~upright] = shapely.polygons(around[~upright])
    within = shapely.covers(zone, hulls)
    edge_runs = upright & shapely.covered_by(hulls, zone.boundary)
    within &= ~edge_runs
    crossing = ~within & ~edge_runs & shapely.intersects(zone, hulls) & ~shapely.touches(zone, hulls)
    inside: list[tuple[NDArray[np.float64], int]] = []
    outside: list[tuple[NDArray[np.float64], int]] = []
    for number in np.flatnonzero(crossing).tolist():
        if upright[number]:
            for piece in _upright_pieces(flat[number], zone.boundary):
                is_in = zone.covers(shapely.Point(piece[:, :2].mean(axis=0)))
                (inside if is_in else outside).append((piece, number))
        else:
            inside += [(one, number) for one in _pieces(hulls[number].intersection(zone), flat[number])]
            outside += [(one, number) for one in _pieces(hulls[number].difference(zone), flat[number])]
    apart = np.flatnonzero(~within & ~crossing)
    whole = np.flatnonzero(within)
    return (
        *_gathered(flat[whole], whole, inside, frame),
        *_gathered(flat[apart], apart, outside, frame),
    )


def _gathered(
    whole: Corners, numbers: Sources, pieces: list[tuple[NDArray[np.float64], int]], frame: NDArray[np.float64]
) -> tuple[Corners, Sources]:
    """Whole triangles and pieces in one array, turned back from the plane's frame."""
    cut = np.array([one for one, _ in pieces], dtype=np.float64).reshape(-1, 3, 3)
    sources = np.array([number for _, number in pieces], dtype=np.int64)
    return _with_area(np.concatenate([whole, cut]) @ frame, np.concatenate([numbers, sources]))
