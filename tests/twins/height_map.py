"""Plain twins of the read-back's loops: points set densely along the path, point by point, nothing clever."""

from __future__ import annotations

import math

STEPS = 1500


def path_of(move):
    """Points of the cutter's tip, densely along one move."""
    kind, x0, y0, z0, x1, y1, z1, cx, cy, sweep = move[:10]
    points = []
    for step in range(STEPS + 1):
        share = step / STEPS
        z = z0 + (z1 - z0) * share
        if kind == 1.0:
            radius = math.hypot(x0 - cx, y0 - cy)
            angle = math.atan2(y0 - cy, x0 - cx) + sweep * share
            points.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle), z))
        else:
            points.append((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, z))
    return points


def lowest_over(points, x, y, radius, ball):
    """Lowest height that a cutter leaves at one place, infinite if it never covers it."""
    low = math.inf
    for px, py, pz in points:
        square = (x - px) ** 2 + (y - py) ** 2
        if square <= radius * radius:
            low = min(low, pz + radius - math.sqrt(radius * radius - square) if ball else pz)
    return low


def sweep_motions(heights, lines_cut, origin_and_cell, moves, lines, bites):
    """Lower a height map by every move in turn; in place."""
    left, front, cell = origin_and_cell
    for k, move in enumerate(moves):
        points = path_of(move)
        radius, ball = move[10], move[11] == 1.0
        for j in range(heights.shape[0]):
            for i in range(heights.shape[1]):
                x, y = left + (i + 0.5) * cell, front + (j + 0.5) * cell
                low, before = lowest_over(points, x, y, radius, ball), float(heights[j, i])
                if low < before:
                    heights[j, i] = low
                    lines_cut[j, i] = lines[k]
                    bite = min(before - low, before)
                    if bite > 0.001:
                        bites[k, 0] += 1
                        bites[k, 4] += bite > move[12]
                        if bite > bites[k, 1]:
                            bites[k, 1:4] = (bite, x, y)


def mark_inside(marks, origin_and_cell, edges):
    """Mark cells whose centre lies inside rings: the winding of all edges seen from the centre, even or odd turns."""
    left, front, cell = origin_and_cell
    for j in range(marks.shape[0]):
        for i in range(marks.shape[1]):
            x, y = left + (i + 0.5) * cell, front + (j + 0.5) * cell
            turn = 0.0
            for x0, y0, x1, y1 in edges:
                first, last = math.atan2(y0 - y, x0 - x), math.atan2(y1 - y, x1 - x)
                turn += (last - first + math.pi) % (2.0 * math.pi) - math.pi
            marks[j, i] = round(abs(turn) / (2.0 * math.pi)) % 2 == 1
