"""Seams of a surface: points that gaps part are joined, sides that meet corners of others are split."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import POINT_MM, SAME_MM, SNAP_MM
from traywright.parts.loose import Loose, Mend, alone_sides, areas_of, faults_of, place_of, real

JOINED, SPLIT = "PART-022", "PART-119"
HEIGHT_RATIO = 0.25  # source: ours: a corner farther into a triangle is no corner on its side
MOST_PASSES = 24  # source: ours: a side is split once a pass and triangle; more is no seam
MOST_SIDES = 100_000  # source: ours: open sides looked at for corners that lie on them
MOST_NEAR = 8_000_000  # source: ours: pairs of near points looked at once; more is a cloud, not a seam


def _groups(loose: Loose, gap_mm: float) -> NDArray[np.int64]:
    """The point that each point joins: points of open sides nearer than the gap, where a group stays about as small."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a mesh must be mended
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a mesh must be mended
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until a mesh must be mended

    stays = np.arange(len(loose.points))
    rows, sides = alone_sides(loose)
    rim = np.unique([loose.triangles[rows, sides], loose.triangles[rows, (sides + 1) % 3]])
    tree = cKDTree(loose.points[rim])
    if tree.count_neighbors(tree, gap_mm) > MOST_NEAR + len(rim):
        return stays
    pairs = tree.query_pairs(gap_mm, output_type="ndarray")
    if not len(pairs):
        return stays
    links = coo_array((np.ones(len(pairs), dtype=np.int8), (pairs[:, 0], pairs[:, 1])), shape=(len(rim), len(rim)))
    count, group = connected_components(links, directed=False)
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(low, group, loose.points[rim])
    np.maximum.at(high, group, loose.points[rim])
    small = np.linalg.norm(high - low, axis=1) <= 2.0 * gap_mm
    first = np.full(count, len(loose.points))
    np.minimum.at(first, group, rim)
    stays[rim] = np.where(small[group], first[group], rim)
    return stays


def joined(loose: Loose, gap_mm: float) -> tuple[Loose, Mend | None]:
    """The surface with points of its open sides joined over gaps, if fewer sides are open then.

    Parameters
    ----------
    loose
        Any triangles.
    gap_mm
        Widest gap; a row of points closer than that which is longer than two gaps stays as it is.
    """
    group = _groups(loose, gap_mm)
    moved = np.nonzero(group != np.arange(len(group)))[0]
    tried = real(replace(loose, triangles=group[loose.triangles]))
    if not len(moved) or faults_of(tried) >= faults_of(loose):
        return loose, None
    off = np.zeros(len(group))
    off[moved] = np.linalg.norm(loose.points[moved] - loose.points[group[moved]], axis=1)
    reach = off[loose.triangles].max(axis=1)
    largest = int(np.argmax(off))
    return tried, Mend(
        code=JOINED,
        count=len(moved),
        largest_mm=float(off[largest]),
        place_mm=place_of(loose.points[largest]),
        # what a triangle sweeps as its corners move, and as much again for what the gap had left out
        volume_mm3=float(2.0 * (areas_of(loose) * reach).sum()),
    )


def without_needles(loose: Loose) -> Loose:
    """The surface without triangles of no area beside open sides; what they closed is closed by a split then."""
    rows = np.unique(alone_sides(loose)[0])
    if not len(rows):
        return loose
    corners = loose.points[loose.triangles[rows]]
    longest = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2).max(axis=1)
    flat = areas_of(loose, rows) * 2.0 <= POINT_MM * longest
    kept = np.ones(len(loose.triangles), dtype=bool)
    kept[rows[flat]] = False
    return loose.only(kept)


def _met(
    loose: Loose, rows: NDArray[np.int64], sides: NDArray[np.int64], off_mm: float
) -> dict[int, tuple[int, list[tuple[float, int, float]]]]:
    """The open side of each triangle on which corners of others lie, with where on it, which, and how far off."""
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until a mesh must be mended

    starts, ends = loose.triangles[rows, sides], loose.triangles[rows, (sides + 1) % 3]
    rim = np.unique([starts, ends])
    a, b = loose.points[starts], loose.points[ends]
    lengths = np.linalg.norm(b - a, axis=1)
    heights = 2.0 * areas_of(loose, rows) / lengths
    reach = np.minimum(off_mm, np.maximum(SNAP_MM, HEIGHT_RATIO * heights))
    near = cKDTree(loose.points[rim]).query_ball_point((a + b) / 2.0, lengths / 2.0 + off_mm, return_sorted=True)
    found: dict[int, tuple[int, list[tuple[float, int, float]]]] = {}
    for number, (row, side) in enumerate(zip(rows.tolist(), sides.tolist(), strict=True)):
        if row in found or len(near[number]) <= 2:
            continue
        one = rim[near[number]]
        one = one[~np.isin(one, loose.triangles[row])]
        along = (loose.points[one] - a[number]) @ (b[number] - a[number]) / lengths[number] ** 2
        beside = np.linalg.norm(loose.points[one] - a[number] - along[:, None] * (b[number] - a[number]), axis=1)
        inside = (
            (beside <= reach[number])
            & (along * lengths[number] > SAME_MM)
            & ((1.0 - along) * lengths[number] > SAME_MM)
        )
        if inside.any():
            at = sorted(zip(along[inside].tolist(), one[inside].tolist(), beside[inside].tolist(), strict=True))
            found[row] = (side, at)
    return found


def split(loose: Loose, off_mm: float) -> tuple[Loose, Mend | None]:
    """The surface with open sides split where corners of other open sides lie on them.

    Parameters
    ----------
    loose
        Any triangles.
    off_mm
        How far such a corner may lie off the side.
    """
    count, largest_mm, swept_mm3, place = 0, 0.0, 0.0, loose.points[0]
    whole, before = loose, faults_of(loose)
    for _ in range(MOST_PASSES):
        rows, sides = alone_sides(loose)
        met = _met(loose, rows, sides, off_mm) if 0 < len(rows) <= MOST_SIDES else {}
        if not met:
            break
        more, faces_of = [], []
        areas = dict(zip(met, areas_of(loose, np.array(list(met))).tolist(), strict=True))
        for row, (side, at) in met.items():
            corners = np.roll(loose.triangles[row], -side)
            chain = [int(corners[0]), *(point for _, point, _ in at), int(corners[1])]
            more += [(start, end, int(corners[2])) for start, end in pairwise(chain)]
            faces_of += [row] * (len(chain) - 1)
            count += len(at)
            furthest = max(at, key=lambda one: (one[2], one[1]))
            swept_mm3 += areas[row] * furthest[2]
            if furthest[2] >= largest_mm:
                largest_mm, place = furthest[2], loose.points[furthest[1]]
        grown = loose.with_more(np.array(more, dtype=np.int64), np.array(faces_of, dtype=np.int64))
        kept = np.ones(len(grown.triangles), dtype=bool)
        kept[list(met)] = False
        loose = real(grown.only(kept))
    if not count or faults_of(loose) >= before:
        return whole, None
    return loose, Mend(
        code=SPLIT, count=count, largest_mm=largest_mm, place_mm=place_of(place), volume_mm3=2.0 * swept_mm3
    )
