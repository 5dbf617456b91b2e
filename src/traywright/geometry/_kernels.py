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


@njit(cache=True)
def _side(px: float, py: float, qx: float, qy: float, x: float, y: float) -> float:
    """Above 0 left of the line from p to q, below 0 right of it; exactly the negative for the line from q to p."""
    if px < qx or (px == qx and py < qy):
        return (qx - px) * (y - py) - (qy - py) * (x - px)
    return (py - qy) * (x - qx) - (px - qx) * (y - qy)


@njit(cache=True)
def column_spans(
    corners: NDArray[np.float64], origin_x_mm: float, origin_y_mm: float, cell_mm: float, rows: int, columns: int
) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """What a closed mesh is made of over each cell centre, and by how many more upward than downward faces.

    Five maps: how much of the column is solid, its lowest and highest spot, its lowest upward and its highest downward
    face (inf and -inf where there is none). A centre on an edge belongs to one side of it only, so that each column
    passes as many upward as downward faces.
    """
    spans = np.empty((5, rows, columns))
    spans[0] = 0.0
    spans[1] = np.inf
    spans[2] = -np.inf
    spans[3] = np.inf
    spans[4] = -np.inf
    balance = np.zeros((rows, columns), dtype=np.int32)
    slack = 1e-6  # source: ours: in cells, far above float noise; the sides are asked exactly afterwards
    for k in range(corners.shape[0]):
        ax, ay, az = corners[k, 0, 0], corners[k, 0, 1], corners[k, 0, 2]
        bx, by, bz = corners[k, 1, 0], corners[k, 1, 1], corners[k, 1, 2]
        cx, cy, cz = corners[k, 2, 0], corners[k, 2, 1], corners[k, 2, 2]
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        if area == 0.0:
            continue
        upward = area > 0.0
        if not upward:
            bx, by, bz, cx, cy, cz = cx, cy, cz, bx, by, bz
            area = -area
        low, high = min(az, bz, cz), max(az, bz, cz)
        left, right = min(ax, bx, cx), max(ax, bx, cx)
        first_row = max(0, int(np.ceil((min(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 - slack)))
        last_row = min(rows - 1, int(np.floor((max(ay, by, cy) - origin_y_mm) / cell_mm - 0.5 + slack)))
        for row in range(first_row, last_row + 1):
            y = origin_y_mm + (row + 0.5) * cell_mm
            start, end = left, right
            for side in range(3):
                px, py, qx, qy = ax, ay, bx, by
                if side == 1:
                    px, py, qx, qy = bx, by, cx, cy
                elif side == 2:
                    px, py, qx, qy = cx, cy, ax, ay
                if qy > py:
                    end = min(end, px + (qx - px) * (y - py) / (qy - py))
                elif qy < py:
                    start = max(start, px + (qx - px) * (y - py) / (qy - py))
            first_column = max(0, int(np.ceil((start - origin_x_mm) / cell_mm - 0.5 - slack)))
            last_column = min(columns - 1, int(np.floor((end - origin_x_mm) / cell_mm - 0.5 + slack)))
            for column in range(first_column, last_column + 1):
                x = origin_x_mm + (column + 0.5) * cell_mm
                one = _side(ax, ay, bx, by, x, y)
                if one < 0.0 or (one == 0.0 and not (by < ay or (by == ay and bx > ax))):
                    continue
                two = _side(bx, by, cx, cy, x, y)
                if two < 0.0 or (two == 0.0 and not (cy < by or (cy == by and cx > bx))):
                    continue
                three = _side(cx, cy, ax, ay, x, y)
                if three < 0.0 or (three == 0.0 and not (ay < cy or (ay == cy and ax > cx))):
                    continue
                z = min(high, max(low, (az * two + bz * three + cz * one) / area))
                spans[1, row, column] = min(spans[1, row, column], z)
                spans[2, row, column] = max(spans[2, row, column], z)
                if upward:
                    spans[0, row, column] += z
                    spans[3, row, column] = min(spans[3, row, column], z)
                    balance[row, column] += 1
                else:
                    spans[0, row, column] -= z
                    spans[4, row, column] = max(spans[4, row, column], z)
                    balance[row, column] -= 1
    return spans, balance


@njit(cache=True)
def joined_cells(
    there: NDArray[np.bool_], low: NDArray[np.float64], high: NDArray[np.float64]
) -> tuple[NDArray[np.int32], int]:
    """Number of the group of each marked cell (-1 elsewhere), and how many groups there are.

    Cells that share a side and whose stretches from low to high overlap are one group; groups are numbered in the
    order of their first cell, row by row.
    """
    rows, columns = there.shape
    groups = np.full((rows, columns), -1, dtype=np.int32)
    waiting = np.empty((rows * columns, 2), dtype=np.int32)
    count = 0
    for first_row in range(rows):
        for first_column in range(columns):
            if not there[first_row, first_column] or groups[first_row, first_column] >= 0:
                continue
            groups[first_row, first_column] = count
            waiting[0, 0], waiting[0, 1], top = first_row, first_column, 1
            while top > 0:
                top -= 1
                row, column = waiting[top, 0], waiting[top, 1]
                for way in range(4):
                    near_row = row + (1 if way == 0 else -1 if way == 1 else 0)
                    near_column = column + (1 if way == 2 else -1 if way == 3 else 0)
                    if near_row < 0 or near_row >= rows or near_column < 0 or near_column >= columns:
                        continue
                    if not there[near_row, near_column] or groups[near_row, near_column] >= 0:
                        continue
                    if (
                        low[row, column] < high[near_row, near_column]
                        and low[near_row, near_column] < high[row, column]
                    ):
                        groups[near_row, near_column] = count
                        waiting[top, 0], waiting[top, 1] = near_row, near_column
                        top += 1
            count += 1
    return groups, count
