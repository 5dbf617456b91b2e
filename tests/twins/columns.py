"""Plain twins of the loops over columns: each centre against each triangle in exact fractions, groups by repainting."""

from __future__ import annotations

import math
from fractions import Fraction

BESIDE = Fraction(1, 10**30)


def inside(flat, x, y):
    """True if a point, moved aside by next to nothing so that it lies on no edge, lies within a triangle in plan."""
    x, y = x + BESIDE, y + BESIDE * BESIDE
    sides = []
    for (px, py), (qx, qy) in zip(flat, flat[1:] + flat[:1], strict=True):
        sides.append((qx - px) * (y - py) - (qy - py) * (x - px) > 0)
    return sides[0] == sides[1] == sides[2]


def column_spans(corners, left, front, cell, rows, columns):
    spans = [[[0.0, math.inf, -math.inf, math.inf, -math.inf] for _ in range(columns)] for _ in range(rows)]
    balance = [[0] * columns for _ in range(rows)]
    for triangle in corners:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = [[Fraction(one) for one in corner] for corner in triangle]
        area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        if area == 0:
            continue
        for row in range(rows):
            for column in range(columns):
                x, y = Fraction(left + (column + 0.5) * cell), Fraction(front + (row + 0.5) * cell)
                if not inside([(ax, ay), (bx, by), (cx, cy)], x, y):
                    continue
                second = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
                third = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
                z = float(az + second * (bz - az) + third * (cz - az))
                told = spans[row][column]
                told[1], told[2] = min(told[1], z), max(told[2], z)
                way = 1 if area > 0 else -1
                told[0] += way * z
                balance[row][column] += way
                if way > 0:
                    told[3] = min(told[3], z)
                else:
                    told[4] = max(told[4], z)
    return spans, balance


def joined_cells(there, low, high):
    """Every marked cell takes the least number of its neighbours until nothing changes."""
    marked = {(i, j) for i, row in enumerate(there) for j, one in enumerate(row) if one}
    number = {cell: k for k, cell in enumerate(sorted(marked))}
    changed = True
    while changed:
        changed = False
        for i, j in sorted(marked):
            for other in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
                if other not in marked:
                    continue
                k, m = other
                meets = low[i][j] < high[k][m] and low[k][m] < high[i][j]
                if meets and number[other] < number[i, j]:
                    number[i, j], changed = number[other], True
    firsts = sorted(set(number.values()))
    return [
        [firsts.index(number[i, j]) if (i, j) in marked else -1 for j in range(len(row))] for i, row in enumerate(there)
    ], len(firsts)
