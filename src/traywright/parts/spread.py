"""Points spread evenly over a surface, the same each time, and an order in which near ones stand together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM

STEP_R, STEP_S = 0.7548776662466927, 0.5698402909980532  # source: Roberts, 2018, R2 sequence: powers of 1/1.3247...
ORDER_BITS = 10


def spread_over(
    corners: NDArray[np.float64], areas: NDArray[np.float64], count: int
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Points that each stand for the same area of a surface, and the triangle that each lies on.

    Parameters
    ----------
    corners
        Triangles, shape (m, 3, 3), mm.
    areas
        Their areas, mm².
    count
        How many points.

    References
    ----------
    M. Roberts, "The Unreasonable Effectiveness of Quasirandom Sequences", 2018: the R2 sequence.
    """
    upto = np.cumsum(areas)
    places = (np.arange(count) + 0.5) / count * upto[-1]
    triangles = np.minimum(np.searchsorted(upto, places), len(areas) - 1)
    number = np.arange(1, count + 1)
    share, other = (number * STEP_R) % 1.0, (number * STEP_S) % 1.0
    over = share + other > 1.0
    share, other = np.where(over, 1.0 - share, share), np.where(over, 1.0 - other, other)
    weights = np.column_stack([1.0 - share - other, share, other])
    return np.einsum("ij,ijk->ik", weights, corners[triangles]), triangles


def by_place(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """An order of points in which near ones stand together: digits of x, y and z in turn."""
    low, high = points.min(axis=0), points.max(axis=0)
    most = (1 << ORDER_BITS) - 1
    steps = np.floor((points - low) / max(float((high - low).max()), SNAP_MM) * most).astype(np.int64)
    mixed = np.zeros(len(points), dtype=np.int64)
    for bit in range(ORDER_BITS):
        for axis in range(3):
            mixed |= ((steps[:, axis] >> bit) & 1) << (3 * bit + axis)
    return np.argsort(mixed, kind="stable")
