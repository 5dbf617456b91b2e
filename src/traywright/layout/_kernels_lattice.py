"""Compiled loops of the lattice search: barred rows, lattices row by row, copies near by, ways out, limits, best steps.

Edges are rows of x and y of start and end, with what is barred on their left, then 1 or 0: the border turns left at
the start, at the end. Plain twins: tests/twins/lattice.py.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
Marks = NDArray[np.bool_]


@njit(cache=True)
def barred_rows(edges: Floats, along: Floats, columns: int, first_row: int, rows: int, step_mm: float) -> Marks:
    """Points barred by all copies of a region that stand a vector apart: rows along it, one period of columns.

    Row ``r`` lies ``(first_row + r) * step_mm`` to the left of the vector ``along``; columns divide it evenly.
    """
    length = math.hypot(along[0], along[1])
    ex, ey = along[0] / length, along[1] / length
    wide = length / columns
    full = np.zeros(rows, np.int64)
    part = np.zeros((rows, columns + 1), np.int64)
    for k in range(edges.shape[0]):
        x0 = edges[k, 0] * ex + edges[k, 1] * ey
        y0 = edges[k, 1] * ex - edges[k, 0] * ey
        x1 = edges[k, 2] * ex + edges[k, 3] * ey
        y1 = edges[k, 3] * ex - edges[k, 2] * ey
        if y0 == y1:
            continue
        sign = 1 if y1 < y0 else -1
        low, high = min(y0, y1), max(y0, y1)
        start = max(math.ceil(low / step_mm) - first_row, 0)
        for row in range(start, rows):
            y = (first_row + row) * step_mm
            if y >= high:
                break
            if y < low:
                continue
            x = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            cell = math.ceil(x / wide)
            periods = cell // columns
            full[row] -= sign * periods
            part[row, 0] -= sign
            part[row, cell - periods * columns] += sign
    found = np.zeros((rows, columns), np.bool_)
    for row in range(rows):
        count = full[row]
        for column in range(columns):
            count += part[row, column]
            found[row, column] = count > 0
    return found


@njit(cache=True)
def row_lattices(same: Marks, half: Marks, least: int, most: int) -> Counts:
    """Per shift of the next row: rows up to it, and column and row of the half-turned copy; -1 if there are none.

    ``same`` holds rows 0 to ``2 * most`` of what bars equal copies, ``half`` rows ``-2 * most`` to ``2 * most`` of
    what bars half-turned ones (no columns: there are none).
    """
    columns = same.shape[1]
    double = half.shape[1] > 0
    zero = 2 * most
    spots = np.empty((most * columns, 2), np.int64)
    found_spots = 0
    if double:
        for b in range(most):
            for a in range(columns):
                if not half[zero + b, a]:
                    spots[found_spots, 0] = a
                    spots[found_spots, 1] = b
                    found_spots += 1
    found = np.full((columns, 3), -1, np.int64)
    for shift in range(columns):
        for rise in range(least, most + 1):
            if same[rise, shift] or same[2 * rise, (2 * shift) % columns]:
                continue
            if not double:
                found[shift, 0] = rise
                break
            for k in range(found_spots):
                a, b = spots[k, 0], spots[k, 1]
                if b >= rise:
                    break
                if half[zero + b - rise, (a - shift) % columns] or half[zero + b + rise, (a + shift) % columns]:
                    continue
                if half[zero + b - 2 * rise, (a - 2 * shift) % columns]:
                    continue
                found[shift, 0] = rise
                found[shift, 1] = a
                found[shift, 2] = b
                break
            if found[shift, 0] >= 0:
                break
    return found


@njit(cache=True)
def near_copies(lattice: Floats, half: int, reach_mm: float) -> Floats:
    """Multiples of the two vectors and the second of all copies within reach of the origin.

    ``half`` 0: equal copies, of each pair one; 1: half-turned copies, which stand at the third row.
    """
    ux, uy, vx, vy = lattice[0, 0], lattice[0, 1], lattice[1, 0], lattice[1, 1]
    area = abs(ux * vy - uy * vx)
    longest = reach_mm + half * math.hypot(lattice[2, 0], lattice[2, 1])
    most = int(longest * math.hypot(vx, vy) / area) + 1
    rows = int(longest * math.hypot(ux, uy) / area) + 1
    found = np.empty(((2 * most + 1) * (2 * rows + 1), 3))
    count = 0
    for k in range(-rows if half else 0, rows + 1):
        for m in range(-most, most + 1):
            if not half and k == 0 and m <= 0:
                continue
            x = m * ux + k * vx + half * lattice[2, 0]
            y = m * uy + k * vy + half * lattice[2, 1]
            if math.hypot(x, y) <= reach_mm:
                found[count, 0] = m
                found[count, 1] = k
                found[count, 2] = half
                count += 1
    return found[:count].copy()


@njit(cache=True)
def _nearest(px: float, py: float, x0: float, y0: float, x1: float, y1: float) -> float:
    """Share of the way along an edge at which it comes nearest to a point."""
    dx, dy = x1 - x0, y1 - y0
    share = ((px - x0) * dx + (py - y0) * dy) / (dx * dx + dy * dy)
    return min(max(share, 0.0), 1.0)


@njit(cache=True)
def ways_out(points: Floats, edges: Floats, touch_mm: float) -> Floats:
    """Factor on each point that brings it out of what is barred: 1 if it lies outside or within a touch of the border.

    Else the least factor above 1 at which the ray from the origin meets the border; 1.01 where it meets none.
    """
    found = np.ones(points.shape[0])
    for i in range(points.shape[0]):
        px, py = points[i, 0], points[i, 1]
        turns = 0
        touched = False
        best = math.inf
        for k in range(edges.shape[0]):
            x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
            side = (x1 - x0) * (py - y0) - (y1 - y0) * (px - x0)
            if y0 <= py < y1 and side > 0.0:
                turns += 1
            elif y1 <= py < y0 and side < 0.0:
                turns -= 1
            share = _nearest(px, py, x0, y0, x1, y1)
            if math.hypot(px - x0 - share * (x1 - x0), py - y0 - share * (y1 - y0)) <= touch_mm:
                touched = True
            cross = px * (y1 - y0) - py * (x1 - x0)
            if cross != 0.0:
                factor = (x0 * (y1 - y0) - y0 * (x1 - x0)) / cross
                place = (x0 * py - y0 * px) / cross
                if factor > 1.0 and 0.0 <= place <= 1.0:
                    best = min(best, factor)
        if turns > 0 and not touched:
            found[i] = best if math.isfinite(best) else 1.01
    return found


@njit(cache=True)
def limits(points: Floats, edges: Floats, reach_mm: float, touch_mm: float, lean: int) -> Floats:
    """Straight limits on the move of each point: rows of point, x and y of the way out, room to move the other way.

    One for each edge within reach that has the point on its free side. At an outer corner the limit stands square to
    the way from the corner to the point; a point right on the corner takes one of its two edges: both (lean 0), the
    one that ends there (1), the one that starts there (2).
    """
    found = np.empty((points.shape[0] * edges.shape[0], 4))
    count = 0
    for i in range(points.shape[0]):
        px, py = points[i, 0], points[i, 1]
        for k in range(edges.shape[0]):
            x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
            share = _nearest(px, py, x0, y0, x1, y1)
            gx, gy = px - x0 - share * (x1 - x0), py - y0 - share * (y1 - y0)
            gap = math.hypot(gx, gy)
            if gap > reach_mm:
                continue
            length = math.hypot(x1 - x0, y1 - y0)
            nx, ny = (y1 - y0) / length, -(x1 - x0) / length
            room = nx * (px - x0) + ny * (py - y0)
            if room < -touch_mm:
                continue
            at_start = share <= 0.0 and edges[k, 4] > 0.0
            at_end = share >= 1.0 and edges[k, 5] > 0.0
            if at_start or at_end:
                if gap > touch_mm:
                    nx, ny, room = gx / gap, gy / gap, gap
                elif (at_start and lean == 1) or (at_end and lean == 2):
                    continue
            found[count, 0] = i
            found[count, 1] = nx
            found[count, 2] = ny
            found[count, 3] = max(room, 0.0)
            count += 1
    return found[:count].copy()


@njit(cache=True)
def best_step(gain: Floats, rows: Floats, room: Floats, most_mm: float) -> Floats:
    """The step of greatest gain: ``rows @ step <= room``, no entry beyond ``most_mm``; room is zero or more.

    Simplex method on the dense table from the step of nothing, which is allowed; the first entry that gains enters
    and the first of equal rows leaves (Bland 1977), so that it ends.
    """
    n = gain.shape[0]
    m = rows.shape[0]
    height, width = m + 2 * n, 2 * n
    table = np.zeros((height + 1, width + height + 1))
    for i in range(m):
        for j in range(n):
            table[i, j] = rows[i, j]
            table[i, n + j] = -rows[i, j]
        table[i, width + i] = 1.0
        table[i, width + height] = room[i]
    for j in range(2 * n):
        table[m + j, j] = 1.0
        table[m + j, width + m + j] = 1.0
        table[m + j, width + height] = most_mm
    for j in range(n):
        table[height, j] = -gain[j]
        table[height, n + j] = gain[j]
    basis = np.arange(width, width + height)
    tiny = 1e-11 * (1.0 + np.max(np.abs(gain)))  # source: float noise of a table of some sixty rows
    small = 1e-11  # source: the same
    for _ in range(50 * height):
        enter = -1
        for j in range(width + height):
            if table[height, j] < -tiny:
                enter = j
                break
        if enter < 0:
            break
        leave = -1
        least = math.inf
        for i in range(height):
            if table[i, enter] > small:
                ratio = table[i, width + height] / table[i, enter]
                if ratio < least - small or (ratio <= least + small and leave >= 0 and basis[i] < basis[leave]):
                    least = min(ratio, least)
                    leave = i
        if leave < 0:
            break
        table[leave] /= table[leave, enter]
        for i in range(height + 1):
            if i != leave and table[i, enter] != 0.0:
                table[i] -= table[i, enter] * table[leave]
        basis[leave] = enter
    step = np.zeros(n)
    for i in range(height):
        if basis[i] < n:
            step[basis[i]] += table[i, width + height]
        elif basis[i] < width:
            step[basis[i] - n] -= table[i, width + height]
    return step
