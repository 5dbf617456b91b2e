"""Plain twins of geometry's height maps: each cell asks every triangle, by signs of areas, nothing clever."""

from __future__ import annotations

import math


def over(corner, x, y, edge_ratio):
    """Height of a triangle over a place, None if it is not over it or stands upright."""
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (tuple(float(v) for v in one) for one in corner)
    whole = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
    longest = max(abs(bx - ax), abs(by - ay), abs(cx - ax), abs(cy - ay))
    if abs(whole) <= edge_ratio * longest**2:
        return None
    share_b = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / whole
    share_c = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / whole
    share_a = 1.0 - share_b - share_c
    if min(share_a, share_b, share_c) < -edge_ratio:
        return None
    return az + share_b * (bz - az) + share_c * (cz - az)


def lowest_heights(corners, origin_x, origin_y, cell, rows, columns, edge_ratio):
    heights = [[math.inf] * columns for _ in range(rows)]
    owners = [[-1] * columns for _ in range(rows)]
    for row in range(rows):
        for column in range(columns):
            for number, corner in enumerate(corners):
                z = over(corner, origin_x + (column + 0.5) * cell, origin_y + (row + 0.5) * cell, edge_ratio)
                if z is not None and z < heights[row][column]:
                    heights[row][column], owners[row][column] = z, number
    return heights, owners


def largest_marks(corners, marks, heights, origin_x, origin_y, cell, edge_ratio, within):
    found = [[-1] * len(heights[0]) for _ in heights]
    for row, line in enumerate(heights):
        for column, height in enumerate(line):
            for mark, corner in zip(marks, corners, strict=True):
                z = over(corner, origin_x + (column + 0.5) * cell, origin_y + (row + 0.5) * cell, edge_ratio)
                if z is not None and abs(z - height) <= within:
                    found[row][column] = max(found[row][column], int(mark))
    return found
