"""Height maps of triangles by cell_mm centres."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True)
def lowest_heights(
    corners: NDArray[np.float64],
    origin_x_mm: float,
    origin_y_mm: float,
    cell_mm: float,
    rows: int,
    columns: int,
    edge_ratio: float,
) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """Least z of all triangles over each cell centre (inf where none) and the triangle that gives it (-1 where none).

    A centre on an edge belongs to both triangles; of two equal heights the first triangle is kept. Triangles that
    stand upright have no area in plan and are left out.
    """
    heights = np.full((rows, columns), np.inf)
    owners = np.full((rows, columns), -1, dtype=np.int32)
    for k in range(corners.shape[0]):
        ax, ay, az = corners[k, 0, 0], corners[k, 0, 1], corners[k, 0, 2]
        bx, by, bz = corners[k, 1, 0], corners[k, 1, 1], corners[k, 1, 2]
        cx, cy, cz = corners[k, 2, 0], corners[k, 2, 1], corners[k, 2, 2]
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        longest = max(abs(bx - ax), abs(by - ay), abs(cx - ax), abs(cy - ay))
        if abs(area) <= edge_ratio * longest * longest:
            continue
        first_row = max(0, int(np.ceil((min(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 - edge_ratio)))
        last_row = min(rows - 1, int(np.floor((max(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 + edge_ratio)))
        first_column = max(0, int(np.ceil((min(ax, bx, cx) - origin_x_mm) / cell_mm - 0.5 - edge_ratio)))
        last_column = min(columns - 1, int(np.floor((max(ax, bx, cx) - origin_x_mm) / cell_mm - 0.5 + edge_ratio)))
        for row in range(first_row, last_row + 1):
            y = origin_y_mm + (row + 0.5) * cell_mm
            for column in range(first_column, last_column + 1):
                x = origin_x_mm + (column + 0.5) * cell_mm
                second = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
                third = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
                if second < -edge_ratio or third < -edge_ratio or second + third > 1.0 + edge_ratio:
                    continue
                z = az + second * (bz - az) + third * (cz - az)
                if z < heights[row, column]:
                    heights[row, column] = z
                    owners[row, column] = k
    return heights, owners


@njit(cache=True)
def largest_marks(
    corners: NDArray[np.float64],
    marks: NDArray[np.int32],
    heights: NDArray[np.float64],
    origin_x_mm: float,
    origin_y_mm: float,
    cell_mm: float,
    edge_ratio: float,
    within_mm: float,
) -> NDArray[np.int32]:
    """Largest mark of all triangles that pass within a distance of each cell's height (-1 where none)."""
    rows, columns = heights.shape
    found = np.full((rows, columns), -1, dtype=np.int32)
    for k in range(corners.shape[0]):
        ax, ay, az = corners[k, 0, 0], corners[k, 0, 1], corners[k, 0, 2]
        bx, by, bz = corners[k, 1, 0], corners[k, 1, 1], corners[k, 1, 2]
        cx, cy, cz = corners[k, 2, 0], corners[k, 2, 1], corners[k, 2, 2]
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        longest = max(abs(bx - ax), abs(by - ay), abs(cx - ax), abs(cy - ay))
        if abs(area) <= edge_ratio * longest * longest:
            continue
        first_row = max(0, int(np.ceil((min(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 - edge_ratio)))
        last_row = min(rows - 1, int(np.floor((max(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 + edge_ratio)))
        first_column = max(0, int(np.ceil((min(ax, bx, cx) - origin_x_mm) / cell_mm - 0.5 - edge_ratio)))
        last_column = min(columns - 1, int(np.floor((max(ax, bx, cx) - origin_x_mm) / cell_mm - 0.5 + edge_ratio)))
        for row in range(first_row, last_row + 1):
            y = origin_y_mm + (row + 0.5) * cell_mm
            for column in range(first_column, last_column + 1):
                if marks[k] <= found[row, column]:
                    continue
                x = origin_x_mm + (column + 0.5) * cell_mm
                second = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
                third = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
                if second < -edge_ratio or third < -edge_ratio or second + third > 1.0 + edge_ratio:
                    continue
                z = az + second * (bz - az) + third * (cz - az)
                if abs(z - heights[row, column]) <= within_mm:
                    found[row, column] = marks[k]
    return found


@njit(cache=True)
def unanswered_edges(triangles: NDArray[np.int64], points: int) -> int:
    """How many edges are not run as often one way as the other."""
    count = triangles.shape[0]
    size = 16
    while size < 4 * count:
        size *= 2
    keys = np.full(size, -1, dtype=np.int64)
    sums = np.zeros(size, dtype=np.int16)
    for row in range(count):
        for corner in range(3):
            start, end = triangles[row, corner], triangles[row, (corner + 1) % 3]
            key = min(start, end) * points + max(start, end)
            mixed = np.uint64(key) * np.uint64(0x9E3779B97F4A7C15)
            mixed ^= mixed >> np.uint64(32)
            place = np.int64(mixed & np.uint64(size - 1))
            while keys[place] >= 0 and keys[place] != key:
                place = (place + 1) & (size - 1)
            keys[place] = key
            if start < end:
                sums[place] += 1
            elif end < start:
                sums[place] -= 1
    left = 0
    for place in range(size):
        if sums[place] != 0:
            left += 1
    return left
