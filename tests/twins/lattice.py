"""Plain twins of the lattice kernels: complex numbers, shapely's own answers, scipy's linear programs."""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog
from shapely.geometry import LineString, Point


def barred_rows(region, along, columns, first_row, rows, step_mm):
    """Row by row, point by point: inside the region moved by any multiple of the vector?"""
    way = complex(*along)
    reach = int(max(abs(one) for one in region.bounds) * 2 / abs(way)) + 2
    found = np.zeros((rows, columns), bool)
    for row in range(rows):
        for column in range(columns):
            spot = way * column / columns + 1j * way / abs(way) * (first_row + row) * step_mm
            moved = [spot - k * way for k in range(-reach, reach + 1)]
            found[row, column] = any(region.contains(Point(one.real, one.imag)) for one in moved)
    return found


def row_lattices(same, half, least, most):
    """The least rise of each shift by trying every rise and every spot, rows as a function of any column."""
    columns = same.shape[1]

    def equal(row, column):
        return not same[row, column % columns]

    def turned(row, column):
        return not half[row + 2 * most, column % columns]

    found = []
    for shift in range(columns):
        answers = [
            (rise, a, b)
            for rise in range(least, most + 1)
            if equal(rise, shift) and equal(2 * rise, 2 * shift)
            for b in range(rise)
            for a in range(columns)
            if not half.shape[1] or all(turned(b + k * rise, a + k * shift) for k in (-2, -1, 0, 1))
        ]
        first = answers[0] if answers else (-1, -1, -1)
        found.append(first if half.shape[1] else (first[0], -1, -1))
    return np.array(found)


def near_copies(lattice, half, reach_mm):
    """All multiples of a generous square of them, as complex numbers."""
    u, v, second = (complex(*one) for one in lattice)
    span = range(-30, 31)
    rows = [(m, k, half) for k in span for m in span if abs(m * u + k * v + half * second) <= reach_mm]
    return np.array([one for one in rows if half or one[1] > 0 or (one[1] == 0 and one[0] > 0)], float).reshape(-1, 3)


def ways_out(points, region, touch_mm):
    """By the line from each inner point outward through the region's border."""
    found = []
    for x, y in points:
        spot = Point(x, y)
        if not region.contains(spot) or region.boundary.distance(spot) <= touch_mm:
            found.append(1.0)
            continue
        far = 1000.0
        met = LineString([(x, y), (x * far, y * far)]).intersection(region.boundary)
        found.append(1.0 + met.distance(spot) / spot.distance(Point(0, 0)))
    return np.array(found)


def limits(points, edges, reach_mm, touch_mm, lean):
    """Edge by edge with shapely's distances."""
    found = []
    for i, (x, y) in enumerate(points):
        spot = Point(x, y)
        for x0, y0, x1, y1, left_at_start, left_at_end in edges:
            line = LineString([(x0, y0), (x1, y1)])
            along = line.project(spot)
            foot = line.interpolate(along)
            gap = spot.distance(line)
            out = -1j * complex(x1 - x0, y1 - y0) / line.length
            room = (out.conjugate() * complex(x - x0, y - y0)).real
            if gap > reach_mm or room < -touch_mm:
                continue
            first, last = bool(left_at_start) and along <= 0.0, bool(left_at_end) and along >= line.length
            if (first or last) and gap > touch_mm:
                out, room = complex(x - foot.x, y - foot.y) / gap, gap
            elif (first and lean == 1) or (last and lean == 2):
                continue
            found.append((i, out.real, out.imag, max(room, 0.0)))
    return np.array(found).reshape(-1, 4)


def best_step(gain, rows, room, most_mm):
    """The same linear program by scipy."""
    answer = linprog(-gain, A_ub=rows, b_ub=room, bounds=[(-most_mm, most_mm)] * len(gain), method="highs")
    return answer.x
