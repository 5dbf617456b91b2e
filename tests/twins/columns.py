"""Plain twins of the loops over columns: each centre against each triangle in exact fractions, groups by repainting."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

BESIDE = Fraction(1, 10**30)


def inside(flat, x, y):
    """True if a point, moved aside by next to nothing so that it lies on no edge, lies within a triangle in plan."""
    x, y = x + BESIDE, y + BESIDE * BESIDE
    sides = []
    for (px, py), (qx, qy) in zip(flat, flat[1:] + flat[:1], strict=True):
        sides.append((qx - px) * (y - py) - (qy - py) * (x - px) > 0)
    return sides[0] == sides[1] == sides[2]


def column_crossings(corners, left, front, cell, rows, columns):
    starts, heights, ways = [0], [], []
    for row in range(rows):
        for column in range(columns):
            x, y = Fraction(left + (column + 0.5) * cell), Fraction(front + (row + 0.5) * cell)
            found = []
            for triangle in corners:
                (ax, ay, az), (bx, by, bz), (cx, cy, cz) = [[Fraction(one) for one in corner] for corner in triangle]
                area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
                if area == 0 or not inside([(ax, ay), (bx, by), (cx, cy)], x, y):
                    continue
                second = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
                third = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
                found.append((float(az + second * (bz - az) + third * (cz - az)), 1 if area > 0 else -1))
            for z, upward in sorted(found):
                heights.append(z)
                ways.append(-upward)
            starts.append(len(heights))
    return starts, heights, ways


def column_hollows(starts, heights, ways, least):
    solid, hollows = [], []
    for cell, (first, after) in enumerate(pairwise(starts)):
        own = list(zip(heights[first:after], ways[first:after], strict=True))
        if sum(way for _, way in own):
            solid.append(own[-1][0] - own[0][0])
            continue
        filled = 0.0
        for number in range(1, len(own)):
            low, high = own[number - 1][0], own[number][0]
            if sum(way for _, way in own[:number]) > 0:
                filled += high - low
            elif high - low >= least:
                hollows.append((cell, low, high))
        solid.append(filled)
    return solid, hollows


def joined_hollows(cells, bottoms, tops, rows, columns):
    """Every hollow takes the least number of those it touches until nothing changes."""
    number = list(range(len(cells)))
    changed = True
    while changed:
        changed = False
        for one in range(len(cells)):
            for other in range(len(cells)):
                apart = abs(cells[one] // columns - cells[other] // columns) + abs(
                    cells[one] % columns - cells[other] % columns
                )
                meets = bottoms[one] < tops[other] and bottoms[other] < tops[one]
                if apart == 1 and meets and number[one] < number[other]:
                    number[other], changed = number[one], True
    firsts = sorted(set(number))
    return [firsts.index(one) for one in number], len(firsts)
