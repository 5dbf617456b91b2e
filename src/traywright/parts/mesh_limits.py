"""What every mesh file is held to before it takes memory, and polygons cut into triangles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding, text
from traywright.base.errors import PartError
from traywright.parts.body import Body

MOST_TRIANGLES = 3_000_000  # source: ours: what is told of a part in the memory and time that a shop's computer has
MOST_BODIES = 2_000  # source: ours: an assembly with its fasteners has some hundred
NO_FACES: NDArray[np.int64] = np.empty(0, dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshRead:
    """Bodies in the numbers of their file, the unit that it states (empty for none), and what was noticed."""

    bodies: tuple[Body, ...]
    unit: str = ""
    findings: tuple[Finding, ...] = ()


def check_count(part_id: str, file_name: str, count: int) -> None:
    """Refuse a mesh of more triangles than can be handled.

    Raises
    ------
    PartError
        PART-061.
    """
    if count > MOST_TRIANGLES:
        raise PartError("PART-061", part=part_id, file=file_name, count=count, most=MOST_TRIANGLES)


def check_finite(part_id: str, file_name: str, numbers: NDArray[np.floating], what: str) -> None:
    """Refuse numbers that are not finite; ``what`` names a row of them.

    Raises
    ------
    PartError
        PART-060 with the first such row, counted from 1.
    """
    if not len(numbers):
        return
    good = np.isfinite(numbers).reshape(len(numbers), -1).all(axis=1)
    if not good.all():
        raise PartError("PART-060", part=part_id, file=file_name, place=f"{what} {int(np.argmin(good)) + 1}")


def left_out_finding(part_id: str, what: str, count: int) -> tuple[Finding, ...]:
    """A warning of what a file holds and is not read; ``what`` is a key of the message group ``left_out``."""
    if not count:
        return ()
    return (finding("PART-068", Severity.WARN, (part_id,), part=part_id, what=text("left_out", what), count=count),)


def _cut(points: NDArray[np.float64], ring: NDArray[np.int64]) -> NDArray[np.int64]:
    """Triangles of one polygon of more than three corners, seen along its own normal."""
    import manifold3d  # noqa: PLC0415  # reason: waits until a file has polygons

    corners = points[ring]
    onward = np.roll(corners, -1, axis=0)
    normal = np.cross(corners, onward).sum(axis=0)
    length = float(np.linalg.norm(normal))
    if not length > 0.0:
        return np.column_stack([np.repeat(ring[0], len(ring) - 2), ring[1:-1], ring[2:]])
    normal = normal / length
    side = np.eye(3)[int(np.argmin(np.abs(normal)))]
    first = np.cross(normal, side) / np.linalg.norm(np.cross(normal, side))
    flat = np.column_stack([corners @ first, corners @ np.cross(normal, first)])
    cut = np.asarray(manifold3d.triangulate([flat]), dtype=np.int64).reshape(-1, 3)
    return ring[cut]


def corners_of(
    part_id: str, file_name: str, points: NDArray[np.float64], polygons: Sequence[NDArray[np.int64]]
) -> NDArray[np.float64]:
    """Corner points of the triangles of polygons, shape (n, 3, 3).

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    points
        Points of the file, shape (m, 3).
    polygons
        Arrays of shape (k, c): k polygons of c corners each, whole numbers into the points.

    Raises
    ------
    PartError
        PART-061 too many triangles, PART-063 a corner that is not there.
    """
    check_count(part_id, file_name, sum(len(one) * (one.shape[1] - 2) for one in polygons if one.shape[1] > 2))
    triangles = []
    for rings in polygons:
        if rings.shape[1] < 3:
            continue
        if len(rings) and not (0 <= int(rings.min()) and int(rings.max()) < len(points)):
            off = int(rings.min()) if rings.min() < 0 else int(rings.max())
            raise PartError("PART-063", part=part_id, file=file_name, number=off, count=len(points))
        triangles.append(rings if rings.shape[1] == 3 else _cut_all(points, rings))
    if not triangles:
        return np.empty((0, 3, 3))
    found: NDArray[np.float64] = points[np.concatenate(triangles)]
    return found


def _cut_all(points: NDArray[np.float64], rings: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.concatenate([_cut(points, ring) for ring in rings]) if len(rings) else np.empty((0, 3), dtype=np.int64)
