"""Compiled loops of the read-back: what a cutter leaves on a height map, and which cells lie inside rings.

Arrays and numbers in and out. No sub-stepping: for each cell the stretch of the path whose cutter covers the cell's
centre is worked out in closed form, and the lowest height over that stretch is taken.

Columns of ``moves``: 0 kind (0 straight, 1 arc), 1-3 start, 4-6 end, 7-8 centre of the arc, 9 sweep in radians
(positive counter-clockwise), 10 cutter radius, 11 form (0 flat, 1 ball), 12 depth from which on a bite is deep. An arc
of a ball must be level: a helix of a ball is handed over as chords.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SMALLEST_BITE_MM = 0.001


@njit(cache=True)
def _straight_height(x: float, y: float, move: Floats, plan: float) -> float:
    """Height that a straight motion leaves at a point, infinite where the cutter does not pass."""
    r = move[10]
    z0 = move[3]
    z1 = move[6]
    if plan <= 0.0:
        gap = (x - move[1]) ** 2 + (y - move[2]) ** 2
        if gap > r * r:
            return np.inf
        low = min(z0, z1)
        return float(low if move[11] == 0.0 else low + r - math.sqrt(r * r - gap))
    ux = (move[4] - move[1]) / plan
    uy = (move[5] - move[2]) / plan
    along = (x - move[1]) * ux + (y - move[2]) * uy
    aside = (y - move[2]) * ux - (x - move[1]) * uy
    square = r * r - aside * aside
    if square < 0.0:
        return np.inf
    w = math.sqrt(square)
    first = max(0.0, along - w)
    last = min(plan, along + w)
    if first > last:
        return np.inf
    slope = (z1 - z0) / plan
    if move[11] == 0.0:
        return float(min(z0 + slope * first, z0 + slope * last))
    # ball: z(s) + r - sqrt(w² - (s - along)²) is convex in s; its least value lies where its slope is 0
    best = along - slope * w / math.sqrt(1.0 + slope * slope)
    best = min(max(best, first), last)
    return float(z0 + slope * best + r - math.sqrt(max(square - (best - along) ** 2, 0.0)))


@njit(cache=True)
def _arc_height(x: float, y: float, move: Floats, radius: float, first_angle: float) -> float:
    """Height that an arc leaves at a point, infinite where the cutter does not pass."""
    r = move[10]
    dx = x - move[7]
    dy = y - move[8]
    out = math.sqrt(dx * dx + dy * dy)
    if out > radius + r or out < radius - r:
        return np.inf
    sweep = abs(move[9])
    turn = 1.0 if move[9] > 0.0 else -1.0
    # angle of the point measured from the start of the arc in the direction of the motion
    here = (turn * (math.atan2(dy, dx) - first_angle)) % (2.0 * math.pi)
    half = math.pi
    if out > 0.0:
        cosine = (radius * radius + out * out - r * r) / (2.0 * radius * out)
        if cosine >= 1.0:
            half = 0.0
        elif cosine > -1.0:
            half = math.acos(cosine)
    low = np.inf
    gap = np.inf
    for lap in range(-1, 2):
        middle = here + lap * 2.0 * math.pi
        first = max(0.0, middle - half)
        last = min(sweep, middle + half)
        if first <= last:
            slope = (move[6] - move[3]) / sweep
            low = min(low, move[3] + slope * first, move[3] + slope * last)
            nearest = min(max(middle, first), last) - middle
            square = out * out + radius * radius - 2.0 * out * radius * math.cos(nearest)
            gap = min(gap, square)
    if move[11] == 0.0 or low == np.inf:
        return low
    return float(low + r - math.sqrt(max(r * r - gap, 0.0)))


@njit(cache=True)
def _arc_box(move: Floats, radius: float, first_angle: float) -> tuple[float, float, float, float]:
    """Least and largest x, y of the cutter's centre on an arc."""
    left = min(move[1], move[4])
    right = max(move[1], move[4])
    front = min(move[2], move[5])
    back = max(move[2], move[5])
    turn = 1.0 if move[9] > 0.0 else -1.0
    for quarter in range(4):
        angle = quarter * math.pi / 2.0
        if (turn * (angle - first_angle)) % (2.0 * math.pi) <= abs(move[9]):
            px = move[7] + radius * math.cos(angle)
            py = move[8] + radius * math.sin(angle)
            left = min(left, px)
            right = max(right, px)
            front = min(front, py)
            back = max(back, py)
    return left, right, front, back


@njit(cache=True)
def sweep_motions(
    heights: NDArray[np.float32],
    lines_cut: NDArray[np.int32],
    origin_and_cell: Floats,
    moves: Floats,
    lines: NDArray[np.int32],
    bites: Floats,
) -> None:
    """Lower a height map by every motion in turn; in place.

    ``heights`` float32 (rows, columns); ``lines_cut`` int32, the line that cut a cell last; ``origin_and_cell`` left,
    front, cell side; ``moves`` (n, 13); ``lines`` (n,); ``bites`` (n, 5) filled with the number of cells of foam
    lowered, the deepest bite, its x and y, and the number of cells that were bitten deep.
    """
    rows, columns = heights.shape
    x_left = origin_and_cell[0]
    y_front = origin_and_cell[1]
    cell = origin_and_cell[2]
    for k in range(moves.shape[0]):
        move = moves[k]
        r = move[10]
        if r <= 0.0:
            continue
        arc = move[0] == 1.0
        plan = math.hypot(move[4] - move[1], move[5] - move[2])
        radius = 0.0
        first_angle = 0.0
        left = min(move[1], move[4])
        right = max(move[1], move[4])
        front = min(move[2], move[5])
        back = max(move[2], move[5])
        if arc:
            radius = math.hypot(move[1] - move[7], move[2] - move[8])
            first_angle = math.atan2(move[2] - move[8], move[1] - move[7])
            left, right, front, back = _arc_box(move, radius, first_angle)
        i_first = max(0, math.floor((left - r - x_left) / cell))
        i_last = min(columns - 1, math.floor((right + r - x_left) / cell))
        j_first = max(0, math.floor((front - r - y_front) / cell))
        j_last = min(rows - 1, math.floor((back + r - y_front) / cell))
        ux = 0.0
        uy = 0.0
        if plan > 0.0:
            ux = (move[4] - move[1]) / plan
            uy = (move[5] - move[2]) / plan
        for j in range(j_first, j_last + 1):
            y = y_front + (j + 0.5) * cell
            i_from = i_first
            i_to = i_last
            if not arc and abs(uy) > 0.001:
                # a slanting band is met by each row in a short stretch only
                middle = move[1] + (y - move[2]) * ux / uy
                i_from = max(i_first, math.floor((middle - r / abs(uy) - x_left) / cell))
                i_to = min(i_last, math.floor((middle + r / abs(uy) - x_left) / cell))
            for i in range(i_from, i_to + 1):
                x = x_left + (i + 0.5) * cell
                z = _arc_height(x, y, move, radius, first_angle) if arc else _straight_height(x, y, move, plan)
                before = heights[j, i]
                after = np.float32(z)
                if after < before:
                    heights[j, i] = after
                    lines_cut[j, i] = lines[k]
                    bite = min(before - after, before)
                    if bite > SMALLEST_BITE_MM:
                        bites[k, 0] += 1.0
                        if bite > move[12]:
                            bites[k, 4] += 1.0
                        if bite > bites[k, 1]:
                            bites[k, 1] = bite
                            bites[k, 2] = x
                            bites[k, 3] = y


@njit(cache=True)
def mark_inside(marks: NDArray[np.bool_], origin_and_cell: Floats, edges: Floats) -> None:
    """Mark the cells whose centre lies inside rings by the even-odd rule; in place.

    ``marks`` bool (rows, columns), all false at the start; ``edges`` (n, 4): x, y of both ends of each edge.
    """
    rows, columns = marks.shape
    x_left = origin_and_cell[0]
    y_front = origin_and_cell[1]
    cell = origin_and_cell[2]
    for k in range(edges.shape[0]):
        x0 = edges[k, 0]
        y0 = edges[k, 1]
        x1 = edges[k, 2]
        y1 = edges[k, 3]
        low = min(y0, y1)
        high = max(y0, y1)
        j_first = max(0, math.floor((low - y_front) / cell - 0.5))
        j_last = min(rows - 1, math.floor((high - y_front) / cell + 0.5))
        for j in range(j_first, j_last + 1):
            y = y_front + (j + 0.5) * cell
            if y < low or y >= high:
                continue
            cut = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            # first cell whose centre lies right of the crossing
            i = max(0, math.floor((cut - x_left) / cell + 0.5))
            if i < columns:
                marks[j, i] = not marks[j, i]
    for j in range(rows):
        inside = False
        for i in range(columns):
            if marks[j, i]:
                inside = not inside
            marks[j, i] = inside
