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
    for slot in range(size):
        if sums[slot] != 0:
            left += 1
    return left


@njit(cache=True)
def _side(px: float, py: float, qx: float, qy: float, x: float, y: float) -> float:
    """Above 0 left of the line from p to q, below 0 right of it; exactly the negative for the line from q to p."""
    if px < qx or (px == qx and py < qy):
        return (qx - px) * (y - py) - (qy - py) * (x - px)
    return (py - qy) * (x - qx) - (px - qx) * (y - qy)


@njit(cache=True)
def column_crossings(
    corners: NDArray[np.float64], origin_x_mm: float, origin_y_mm: float, cell_mm: float, rows: int, columns: int
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.int8]]:
    """Where the columns over cell centres pass the faces of a mesh: first crossing of each cell, heights, ways.

    Cells row by row; a cell's crossings rise, 1 where the column enters (a face seen from below), -1 where it leaves.
    A centre on an edge belongs to one side of it only, so that a closed mesh is entered as often as it is left.
    """
    slack = 1e-6  # source: ours: in cells, far above float noise; the sides are asked exactly afterwards
    starts = np.zeros(rows * columns + 1, dtype=np.int64)
    heights = np.empty(0)
    ways = np.empty(0, dtype=np.int8)
    filled = np.empty(0, dtype=np.int32)
    for filling in range(2):
        if filling == 1:
            for cell in range(rows * columns):
                starts[cell + 1] += starts[cell]
            heights = np.empty(starts[rows * columns])
            ways = np.empty(starts[rows * columns], dtype=np.int8)
            filled = np.zeros(rows * columns, dtype=np.int32)
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
                    cell = row * columns + column
                    if filling == 0:
                        starts[cell + 1] += 1
                        continue
                    z = min(high, max(low, (az * two + bz * three + cz * one) / area))
                    way = -1 if upward else 1
                    place = starts[cell] + filled[cell]
                    # of two at one height the column enters first: solids that touch are one
                    while place > starts[cell] and (
                        heights[place - 1] > z or (heights[place - 1] == z and ways[place - 1] < way)
                    ):
                        heights[place], ways[place] = heights[place - 1], ways[place - 1]
                        place -= 1
                    heights[place], ways[place] = z, way
                    filled[cell] += 1
    return starts, heights, ways


@njit(cache=True)
def column_hollows(
    starts: NDArray[np.int64], heights: NDArray[np.float64], ways: NDArray[np.int8], least_mm: float
) -> tuple[NDArray[np.float64], NDArray[np.int32], NDArray[np.float64], NDArray[np.float64]]:
    """How much of each column is solid, and the hollows between: cell, bottom and top, cells row by row, rising.

    Hollows lower than ``least_mm`` are left out and count as no solid either. A column that is not left as often as
    it is entered is taken to be solid from end to end.
    """
    count = len(starts) - 1
    solid = np.zeros(count)
    most = len(heights) // 2 + 1
    cells = np.empty(most, dtype=np.int32)
    bottoms = np.empty(most)
    tops = np.empty(most)
    found = 0
    for cell in range(count):
        first, after = starts[cell], starts[cell + 1]
        if first == after:
            continue
        balance = 0
        for k in range(first, after):
            balance += ways[k]
        if balance != 0:
            solid[cell] = heights[after - 1] - heights[first]
            continue
        depth = 0
        for k in range(first, after):
            if k > first:
                height = heights[k] - heights[k - 1]
                if depth > 0:
                    solid[cell] += height
                elif height >= least_mm:
                    cells[found], bottoms[found], tops[found] = cell, heights[k - 1], heights[k]
                    found += 1
            depth += ways[k]
    return solid, cells[:found].copy(), bottoms[:found].copy(), tops[:found].copy()


@njit(cache=True)
def joined_hollows(
    cells: NDArray[np.int32], bottoms: NDArray[np.float64], tops: NDArray[np.float64], rows: int, columns: int
) -> tuple[NDArray[np.int32], int]:
    """Number of the group of each hollow, and how many groups there are, in the order of their first hollow.

    Hollows of cells that share a side are one group where they overlap in height.
    """
    count = len(cells)
    firsts = np.zeros(rows * columns + 1, dtype=np.int64)
    for k in range(count):
        firsts[cells[k] + 1] += 1
    for cell in range(rows * columns):
        firsts[cell + 1] += firsts[cell]
    groups = np.full(count, -1, dtype=np.int32)
    waiting = np.empty(count, dtype=np.int32)
    number = 0
    for start in range(count):
        if groups[start] >= 0:
            continue
        groups[start] = number
        waiting[0] = start
        top = 1
        while top > 0:
            top -= 1
            one = waiting[top]
            row, column = cells[one] // columns, cells[one] % columns
            for way in range(4):
                near_row = row + (1 if way == 0 else -1 if way == 1 else 0)
                near_column = column + (1 if way == 2 else -1 if way == 3 else 0)
                if near_row < 0 or near_row >= rows or near_column < 0 or near_column >= columns:
                    continue
                near = near_row * columns + near_column
                for k in range(firsts[near], firsts[near + 1]):
                    if groups[k] < 0 and bottoms[one] < tops[k] and bottoms[k] < tops[one]:
                        groups[k] = number
                        waiting[top] = k
                        top += 1
        number += 1
    return groups, number
