"""Resting poses: the ways in which a part lies by itself on a plane, and the energy that tips it over."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SAME_MM
from traywright.base.units import G_M_PER_S2, MM_PER_M

Direction = tuple[float, float, float]

MOST_POINTS = 40_000  # source: ours: a hull of more points takes longer and says nothing more about resting
TIP_RATIO = 0.0005  # source: ours: a rise below this share of the size is no edge that a hand would feel
TIP_LEAST_MM = 0.02  # source: ours: what the chords of a finely meshed round give
ROLLS_DEG = 20.0  # source: ours: a part that lies equally well so far round rolls
AXES: tuple[Direction, ...] = (
    (1.0, 0.0, 0.0),
    (-1.0, 0.0, 0.0),
    (0.0, 1.0, 0.0),
    (0.0, -1.0, 0.0),
    (0.0, 0.0, 1.0),
    (0.0, 0.0, -1.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resting:
    """One way to lie, told by the direction that points down.

    ``height_mm`` is how high the centre of gravity then lies, ``rise_mm`` how far it must be lifted before the part
    tips into another pose: 0 where the part does not rest so, infinite where it knows no other pose. ``tip_deg`` is
    the angle of that tip. ``rolls`` is True where the part lies equally well some way round.
    """

    down: Direction
    rests: bool
    height_mm: float
    rise_mm: float
    tip_deg: float
    rolls: bool

    def tip_energy_j(self, mass_kg: float) -> float:
        """Energy that tips the part, J: mass times gravity times the rise of its centre of gravity."""
        return mass_kg * G_M_PER_S2 * self.rise_mm / MM_PER_M


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Hull:
    """Facets of the convex hull: normals, heights of the centre of gravity over them, edges between them."""

    normals: NDArray[np.float64]
    heights: NDArray[np.float64]
    ends: NDArray[np.int64]
    barriers: NDArray[np.float64]
    points: NDArray[np.float64]


def thinned(
    points_mm: NDArray[np.float64], centre_mm: NDArray[np.float64], most: int = MOST_POINTS
) -> tuple[NDArray[np.float64], float]:
    """Points of which many that lie close together are one: the farthest from the centre in each cell.

    Parameters
    ----------
    points_mm
        Array of shape (n, 3).
    centre_mm
        The point they are seen from.
    most
        About how many are kept; no more than that are kept as they are.

    Returns
    -------
    tuple
        The points, and how far their hull may lie inside that of all (mm), 0 if all are kept.
    """
    if len(points_mm) <= most:
        return points_mm, 0.0
    low, high = points_mm.min(axis=0), points_mm.max(axis=0)
    far = np.linalg.norm(points_mm - centre_mm, axis=1)
    # points of a surface: their number falls with the square of the cell
    cell_mm = float((high - low).max()) / math.sqrt(most) * 2.0
    cells = np.floor((points_mm - low) / cell_mm).astype(np.int64)
    wide = cells.max(axis=0) + 1
    keys = (cells[:, 0] * wide[1] + cells[:, 1]) * wide[2] + cells[:, 2]
    order = np.lexsort((-far, keys))
    first = order[np.concatenate([[True], np.diff(keys[order]) != 0])]
    return points_mm[np.sort(first)], cell_mm * math.sqrt(3.0)


def _hull_of(points_mm: NDArray[np.float64], centre: NDArray[np.float64]) -> _Hull:
    """The hull's facets and what must be climbed to roll from each to its neighbours."""
    from scipy.spatial import ConvexHull  # noqa: PLC0415  # reason: waits until poses are asked

    kept, _ = thinned(points_mm, centre)
    hull = ConvexHull(kept)
    normals, heights = hull.equations[:, :3], -(hull.equations[:, :3] @ centre + hull.equations[:, 3])
    count = len(normals)
    here = np.repeat(np.arange(count), 3)
    there = hull.neighbors.reshape(-1).astype(np.int64)
    once = here < there
    here, there = here[once], there[once]
    # the neighbour opposite a corner shares the other two corners
    pairs = hull.simplices[:, [[1, 2], [0, 2], [0, 1]]].reshape(-1, 2)[once]
    start, end = kept[pairs[:, 0]], kept[pairs[:, 1]]
    along = (end - start) / np.maximum(np.linalg.norm(end - start, axis=1), SAME_MM)[:, None]
    off = start - centre
    across = off - np.einsum("ij,ij->i", off, along)[:, None] * along
    barriers = np.maximum(heights[here], heights[there])
    # the top is passed only if the edge's own direction lies between the two normals
    peak = np.linalg.norm(across, axis=1)
    way = across / np.maximum(peak, SAME_MM)[:, None]
    apart = np.einsum("ij,ij->i", normals[here], normals[there])
    between = (np.einsum("ij,ij->i", way, normals[here]) >= apart) & (
        np.einsum("ij,ij->i", way, normals[there]) >= apart
    )
    barriers = np.where(between, np.maximum(peak, barriers), barriers)
    order = np.argsort(barriers, kind="stable")
    return _Hull(
        normals=normals,
        heights=heights,
        ends=np.column_stack([here, there])[order],
        barriers=barriers[order],
        points=kept - centre,
    )


def _least_rise_mm(points: NDArray[np.float64], chord_mm: float) -> float:
    size_mm = float(np.ptp(points, axis=0).max())
    return max(TIP_LEAST_MM, TIP_RATIO * size_mm, 2.0 * chord_mm)


def _told(down: NDArray[np.float64]) -> Direction:
    """A direction rounded so that it repeats."""
    x, y, z = (round(float(one), 9) + 0.0 for one in down)
    return (x, y, z)


def _axes_of(hull: _Hull, owner: NDArray[np.int64], least_mm: float) -> dict[int, Direction]:
    """The axis that a pose may be told by, by its basin: a part lies as low so, but for what nobody feels."""
    found: dict[int, Direction] = {}
    for axis in AXES:
        facing = hull.normals @ np.asarray(axis)
        basin = int(owner[int(np.argmax(facing))])
        reach_mm = float((hull.points @ np.asarray(axis)).max())
        if reach_mm <= float(hull.heights[owner == basin].min()) + least_mm:
            found.setdefault(basin, axis)
    return found


def _shown(normals: NDArray[np.float64], heights: NDArray[np.float64]) -> Direction:
    """Direction of the lowest facet of a pose; of equal ones the nearest to an axis, then the first by its numbers."""
    as_low = np.flatnonzero(heights <= heights.min() + SAME_MM)
    flat = normals[as_low].round(6)
    picked = np.lexsort((flat[:, 2], flat[:, 1], flat[:, 0], -np.abs(flat).max(axis=1)))
    return _told(normals[as_low[picked[0]]])


def resting_poses(
    points_mm: NDArray[np.float64], centre_mm: Direction, *, chord_mm: float = 0.0
) -> tuple[Resting, ...]:
    """All ways in which a part rests by itself on a plane, the hardest to tip first.

    Parameters
    ----------
    points_mm
        Points of the part's surface, shape (n, 3).
    centre_mm
        Centre of gravity, same frame.
    chord_mm
        How far the mesh may lie inside the true surface, from 0 up.

    Returns
    -------
    tuple
        At least one pose, each with the energy height of its lowest way out.

    Notes
    -----
    A part rests on a facet of its convex hull over which the centre of gravity stands lowest, seen from the facets
    around. Rolling over an edge lifts the centre of gravity to its distance from that edge. Facets are flooded from
    the lowest up: a hollow shallower than the largest of 0.02 mm, 0.0005 of the size and twice the chord is no pose
    of its own, so the chords of a round make one pose that rolls, and near-equal facets one pose. Rocking about a
    corner is never lower than rolling over one of its edges.

    References
    ----------
    Energy from a resting pose to the lowest edge as its measure of stability: common practice in feeding parts, from
    memory.

    Examples
    --------
    >>> import numpy as np
    >>> block = np.array([[x, y, z] for x in (0, 40) for y in (0, 30) for z in (0, 20)], dtype=float)
    >>> first = resting_poses(block, (20.0, 15.0, 10.0))[0]
    >>> first.height_mm, round(first.rise_mm, 3), first.rolls
    (10.0, 8.028, False)
    """
    from traywright.parts._kernels import basins  # noqa: PLC0415  # reason: numba waits until poses are asked

    hull = _hull_of(points_mm, np.asarray(centre_mm, dtype=np.float64))
    least_mm = _least_rise_mm(hull.points, chord_mm)
    owner, ways_out = basins(hull.heights, hull.ends, hull.barriers, least_mm)
    axes = _axes_of(hull, owner, least_mm)
    found = []
    for basin in np.unique(owner).tolist():
        own = np.flatnonzero(owner == basin)
        normals, heights = hull.normals[own], hull.heights[own]
        down = axes.get(basin) or _shown(normals, heights)
        low = normals[heights <= heights.min() + least_mm]
        turn = math.degrees(math.acos(max(-1.0, min(1.0, float((low @ np.asarray(down)).min())))))
        height_mm, out_mm = float(heights.min()), float(ways_out[basin])
        found.append(
            Resting(
                down=down,
                rests=True,
                height_mm=round(height_mm, 6),
                rise_mm=round(out_mm - height_mm, 6),
                tip_deg=round(math.degrees(math.acos(height_mm / out_mm)), 3) if math.isfinite(out_mm) else 90.0,
                rolls=turn > ROLLS_DEG,
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.rise_mm, one.height_mm, one.down)))


def axis_poses(
    points_mm: NDArray[np.float64], centre_mm: Direction, resting: tuple[Resting, ...]
) -> tuple[Resting, ...]:
    """The six ways to lie square to the axes of the file that are no resting pose.

    Parameters
    ----------
    points_mm
        Points of the part's surface, shape (n, 3).
    centre_mm
        Centre of gravity, same frame.
    resting
        The poses found; an axis that one of them has is left out.
    """
    known = {one.down for one in resting}
    found = []
    for axis in AXES:
        if axis in known:
            continue
        reach = float((points_mm @ np.asarray(axis)).max()) - float(np.dot(axis, centre_mm))
        found.append(Resting(down=axis, rests=False, height_mm=round(reach, 6), rise_mm=0.0, tip_deg=0.0, rolls=False))
    return tuple(found)
