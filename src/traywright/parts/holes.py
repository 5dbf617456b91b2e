"""Small holes of a surface are filled, with how far the patch may lie off what was there; large ones are told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.parts.loose import ALONE, Loose, Mend, Place, linked, place_of

FILLED = "PART-121"
MOST_ACROSS_MM = 10.0  # source: ours: a wider hole may have lost a feature that matters to a seat
MOST_ACROSS_RATIO = 0.05  # source: ours: and so may one of a larger share of the part
MOST_CORNERS = 90  # source: ours: the best patch takes time with the cube of its corners
MOST_OPEN_RATIO = 1.0  # source: ours: with more open sides than triangles there is no surface to fill
MOST_SQUARED = 100_000  # source: ours: squared corners of all rims together; a surface with more holes is a sieve
MOST_OFF_MM = 1.0  # source: ours: one missing triangle of any size is filled if its neighbours leave it no more room
CREASE_DEG = (
    60.0  # source: ours: a neighbour that leans more stands on an edge of the part and tells nothing of a patch
)
LEAST_CORNERS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """The largest open place of a surface: how many there are, its size, its middle, and open sides in all."""

    count: int
    sides: int
    size_mm: float
    place_mm: Place


def largest_hole(loose: Loose) -> Hole:
    """The largest place at which sides have no neighbour, or run against it."""
    from scipy.sparse import coo_array  # noqa: PLC0415  # reason: waits until a surface stays open
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415  # reason: waits until a surface stays open

    beside, same = linked(loose)
    rows, sides = np.nonzero(beside == ALONE)
    if not len(rows):
        rows, sides = np.nonzero((beside < 0) | same)
    starts, ends = loose.triangles[rows, sides], loose.triangles[rows, (sides + 1) % 3]
    rim, numbers = np.unique(np.concatenate([starts, ends]), return_inverse=True)
    links = coo_array((np.ones(len(starts), dtype=np.int8), numbers.reshape(2, -1)), shape=(len(rim), len(rim)))
    count, group = connected_components(links, directed=False)
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(low, group, loose.points[rim])
    np.maximum.at(high, group, loose.points[rim])
    across = np.linalg.norm(high - low, axis=1)
    largest = int(np.argmax(across))
    middle = (low[largest] + high[largest]) / 2.0
    return Hole(count=int(count), sides=len(rows), size_mm=float(across[largest]), place_mm=place_of(middle))


def _loops(loose: Loose) -> Iterator[tuple[list[int], list[int]]]:
    """Rims of holes: points in the way a patch runs, and the triangle beyond the side that begins at each."""
    rows, sides = np.nonzero(linked(loose)[0] == ALONE)
    starts, ends = loose.triangles[rows, sides], loose.triangles[rows, (sides + 1) % 3]
    onward: dict[int, list[tuple[int, int]]] = {}
    for start, end, row in sorted(zip(ends.tolist(), starts.tolist(), rows.tolist(), strict=True), reverse=True):
        onward.setdefault(start, []).append((end, row))
    for first in sorted(onward):
        while onward[first]:
            points, beyond = [first], list[int]()
            while onward.get(points[-1]):
                end, row = onward[points[-1]].pop()
                beyond.append(row)
                if end in points:
                    at = points.index(end)
                    yield points[at:], beyond[at:]
                    del points[at + 1 :], beyond[at:]
                else:
                    points.append(end)


def _across_mm(points: NDArray[np.float64]) -> float:
    """Largest distance of two points; of many, the diagonal of their box."""
    if len(points) > MOST_CORNERS:
        return float(np.linalg.norm(points.max(axis=0) - points.min(axis=0)))
    return float(np.linalg.norm(points[:, None] - points[None], axis=2).max())


def _patch(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """Triangles of least area over a closed rim.

    References
    ----------
    G. Barequet, M. Sharir, Filling gaps in the boundary of a polyhedron, Computer Aided Geometric Design 12 (1995),
    from memory: the best patch of a piece of rim is the best of two shorter pieces and the triangle between.
    """
    count = len(points)
    least = np.zeros((count, count))
    taken = np.zeros((count, count), dtype=np.int64)
    for width in range(2, count):
        for start in range(count - width):
            end = start + width
            between = np.arange(start + 1, end)
            across = np.cross(points[between] - points[start], points[end] - points[start])
            areas = least[start, between] + least[between, end] + np.linalg.norm(across, axis=1) / 2.0
            best = int(np.argmin(areas))
            least[start, end], taken[start, end] = areas[best], between[best]
    waiting, found = [(0, count - 1)], []
    while waiting:
        start, end = waiting.pop()
        if end - start > 1:
            middle = int(taken[start, end])
            found.append((start, middle, end))
            waiting += [(start, middle), (middle, end)]
    return np.array(found, dtype=np.int64)


def _normals(corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Unit normals and areas of triangles; none where a triangle has no area."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(across, axis=1)
    return across / np.where(lengths > 0.0, lengths, 1.0)[:, None], lengths / 2.0


def _off_mm(loose: Loose, rim: NDArray[np.int64], patch: NDArray[np.int64], beyond: list[int]) -> tuple[float, float]:
    """How far a patch may lie off the surface that was there, and its area.

    The neighbours, run on over the hole from both sides, meet half a width away, as high as they lean; what
    stands on an edge of the part (a steep neighbour) does not run on. A rim that is not flat adds what it lies off
    its plane.
    """
    points = loose.points[rim]
    own, areas = _normals(points[patch])
    area = float(areas.sum())
    at_side = {}
    for number, corners in enumerate(patch.tolist()):
        for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
            at_side[start, end] = number
    mine = own[[at_side[one, (one + 1) % len(rim)] for one in range(len(rim))]]
    theirs, _ = _normals(loose.points[loose.triangles[beyond]])
    leans_rad = np.arccos(np.clip(np.einsum("ij,ij->i", mine, theirs), -1.0, 1.0))
    runs_on = leans_rad <= np.radians(CREASE_DEG)
    half_mm = area / _across_mm(points)
    rise_mm = half_mm * float(np.tan(leans_rad[runs_on].max())) if runs_on.any() else half_mm
    _, _, axes = np.linalg.svd(points - points.mean(axis=0))
    return rise_mm + float(np.ptp((points - points.mean(axis=0)) @ axes[2])), area


def filled(loose: Loose) -> tuple[Loose, Mend | None]:
    """The surface with its small holes filled: what is narrower than the limits, or one missing triangle.

    Parameters
    ----------
    loose
        Triangles that run one way.

    Notes
    -----
    A feature that was lost with the surface (the wall of a bore) leaves no trace in the rim and is not seen.
    """
    if int((linked(loose)[0] == ALONE).sum()) > MOST_OPEN_RATIO * len(loose.triangles):
        return loose, None
    most_mm = min(MOST_ACROSS_MM, MOST_ACROSS_RATIO * loose.size_mm)
    count, squared, largest_mm, volume_mm3, place = 0, 0, -1.0, 0.0, loose.points[0]
    more: list[NDArray[np.int64]] = []
    faces_of: list[int] = []
    for points, beyond in _loops(loose):
        rim = np.array(points, dtype=np.int64)
        wide = _across_mm(loose.points[rim]) > most_mm
        if (
            (wide and len(rim) > LEAST_CORNERS)
            or not LEAST_CORNERS <= len(rim) <= MOST_CORNERS
            or squared > MOST_SQUARED
        ):
            continue
        squared += len(rim) ** 2
        patch = _patch(loose.points[rim])
        off_mm, area_mm2 = _off_mm(loose, rim, patch, beyond)
        if wide and off_mm > min(MOST_OFF_MM, most_mm):
            continue
        more.append(rim[patch])
        faces_of += [beyond[0]] * len(patch)
        count, volume_mm3 = count + 1, volume_mm3 + area_mm2 * off_mm
        if off_mm > largest_mm:
            largest_mm, place = off_mm, loose.points[rim].mean(axis=0)
    if not count:
        return loose, None
    grown = loose.with_more(np.concatenate(more), np.array(faces_of, dtype=np.int64))
    mend = Mend(code=FILLED, count=count, largest_mm=largest_mm, place_mm=place_of(place), volume_mm3=volume_mm3)
    return grown, mend
