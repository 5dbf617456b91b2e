"""Loops over a part's points, triangles and hull."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True)
def basins(
    heights: NDArray[np.float64],
    ends: NDArray[np.int64],
    barriers: NDArray[np.float64],
    least_depth_mm: float,
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Basin of each facet of a hull, and how high the lowest way out of each basin lies (inf where there is none).

    ``ends`` are the two facets of each edge, ``barriers`` what must be climbed to roll over it, both in rising order.
    Water rises: at each edge two flooded areas meet; one shallower than ``least_depth_mm`` joins the other.
    """
    count = len(heights)
    flooded = np.arange(count)
    owner = np.arange(count)
    lowest = heights.copy()
    several = np.zeros(count, dtype=np.bool_)
    ways_out = np.full(count, np.inf)
    for k in range(len(barriers)):
        one, other = ends[k, 0], ends[k, 1]
        a = one
        while flooded[a] != a:
            flooded[a] = flooded[flooded[a]]
            a = flooded[a]
        b = other
        while flooded[b] != b:
            flooded[b] = flooded[flooded[b]]
            b = flooded[b]
        if a == b:
            continue
        if lowest[b] < lowest[a] or (lowest[b] == lowest[a] and b < a):
            a, b = b, a
            one, other = other, one
        # a is the deeper of the two, b may be absorbed
        shallow = not several[b] and barriers[k] - lowest[b] < least_depth_mm
        if not shallow and not several[a] and barriers[k] - lowest[a] < least_depth_mm:
            a, b = b, a
            one, other = other, one
            shallow = True
        root = one
        while owner[root] != root:
            owner[root] = owner[owner[root]]
            root = owner[root]
        if shallow:
            owner[b] = root
        else:
            if not several[a]:
                ways_out[a] = barriers[k]
            if not several[b]:
                ways_out[b] = barriers[k]
            several[a] = True
        flooded[b] = a
        lowest[a] = min(lowest[a], lowest[b])
    for k in range(count):
        root = k
        while owner[root] != root:
            root = owner[root]
        owner[k] = root
    return owner, ways_out


@njit(cache=True)
def exits(
    starts: NDArray[np.float64],
    ways: NDArray[np.float64],
    reach_mm: float,
    miss_mm: float,
    corners: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """How far each ray runs until it leaves the solid, and through which triangle (inf and -1 beyond the reach).

    ``starts`` are points on the surface in an order in which near ones stand together, ``ways`` unit directions into
    the solid. The tree stands over the rays, eight a leaf, and each triangle looks for the rays near it; a box is
    passed over where it lies beyond the triangle's plane or one of its sides. A ray that misses a side by less than
    ``miss_mm`` meets the triangle, so that none slips through between two.
    """
    count = len(starts)
    leaves = 1
    while leaves * 8 < count:
        leaves *= 2
    low = np.full((2 * leaves, 3), np.inf)
    high = np.full((2 * leaves, 3), -np.inf)
    for k in range(count):
        node = leaves + k // 8
        for i in range(3):
            end = starts[k, i] + reach_mm * ways[k, i]
            low[node, i] = min(low[node, i], starts[k, i], end)
            high[node, i] = max(high[node, i], starts[k, i], end)
    for node in range(leaves - 1, 0, -1):
        for i in range(3):
            low[node, i] = min(low[2 * node, i], low[2 * node + 1, i])
            high[node, i] = max(high[2 * node, i], high[2 * node + 1, i])
    far = np.full(count, np.inf)
    through = np.full(count, -1, dtype=np.int64)
    planes = np.empty((4, 4))
    stack = np.empty(128, dtype=np.int64)
    for t in range(len(corners)):
        # the plane of the triangle, then one plane through each side, all normals outward
        for i in range(3):
            j, k = (i + 1) % 3, (i + 2) % 3
            planes[0, i] = (corners[t, 1, j] - corners[t, 0, j]) * (corners[t, 2, k] - corners[t, 0, k]) - (
                corners[t, 1, k] - corners[t, 0, k]
            ) * (corners[t, 2, j] - corners[t, 0, j])
        length = np.sqrt(planes[0, 0] ** 2 + planes[0, 1] ** 2 + planes[0, 2] ** 2)
        if length <= 0.0:
            continue
        for i in range(3):
            planes[0, i] /= length
        for s in range(3):
            for i in range(3):
                j, k = (i + 1) % 3, (i + 2) % 3
                planes[s + 1, i] = (corners[t, (s + 1) % 3, j] - corners[t, s, j]) * planes[0, k] - (
                    corners[t, (s + 1) % 3, k] - corners[t, s, k]
                ) * planes[0, j]
            length = np.sqrt(planes[s + 1, 0] ** 2 + planes[s + 1, 1] ** 2 + planes[s + 1, 2] ** 2)
            for i in range(3):
                planes[s + 1, i] /= length
        for p in range(4):
            planes[p, 3] = 0.0
            for i in range(3):
                planes[p, 3] += planes[p, i] * corners[t, max(p - 1, 0), i]
        stack[0] = 1
        top = 1
        while top > 0:
            top -= 1
            node = stack[top]
            if low[node, 0] > high[node, 0]:
                continue
            near = True
            for p in range(4):
                off = -planes[p, 3]
                wide = miss_mm
                for i in range(3):
                    off += planes[p, i] * (low[node, i] + high[node, i]) / 2.0
                    wide += abs(planes[p, i]) * (high[node, i] - low[node, i]) / 2.0
                if off > wide or (p == 0 and off < -wide):
                    near = False
                    break
            if not near:
                continue
            if node < leaves:
                stack[top] = 2 * node
                stack[top + 1] = 2 * node + 1
                top += 2
                continue
            for k in range((node - leaves) * 8, min(count, (node - leaves + 1) * 8)):
                along = 0.0
                off = planes[0, 3]
                for i in range(3):
                    along += planes[0, i] * ways[k, i]
                    off -= planes[0, i] * starts[k, i]
                if along <= 0.0:
                    continue
                run = off / along
                if run <= 0.0 or run > reach_mm or run >= far[k]:
                    continue
                inside = True
                for p in range(1, 4):
                    beside = -planes[p, 3]
                    for i in range(3):
                        beside += planes[p, i] * (starts[k, i] + run * ways[k, i])
                    if beside > miss_mm:
                        inside = False
                        break
                if inside:
                    far[k] = run
                    through[k] = t
    return far, through


@njit(cache=True)
def joined_points(steps: NDArray[np.int64]) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Row of the first of each different point, in order of appearance, and the number of each row's point.

    ``steps`` are whole numbers, three a row.
    """
    count = len(steps)
    size = 16
    while size < 2 * count:
        size *= 2
    table = np.full(size, -1, dtype=np.int32)
    firsts = np.empty(count, dtype=np.int32)
    numbers = np.empty(count, dtype=np.int32)
    found = 0
    for row in range(count):
        x, y, z = np.uint64(steps[row, 0]), np.uint64(steps[row, 1]), np.uint64(steps[row, 2])
        mixed = (
            x * np.uint64(0x9E3779B97F4A7C15) ^ y * np.uint64(0xC2B2AE3D27D4EB4F) ^ z * np.uint64(0x165667B19E3779F9)
        )
        mixed ^= mixed >> np.uint64(29)
        mixed *= np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(32)
        place = np.int64(mixed & np.uint64(size - 1))
        while True:
            number = table[place]
            if number < 0:
                table[place] = found
                firsts[found] = row
                numbers[row] = found
                found += 1
                break
            first = firsts[number]
            if (
                steps[first, 0] == steps[row, 0]
                and steps[first, 1] == steps[row, 1]
                and steps[first, 2] == steps[row, 2]
            ):
                numbers[row] = number
                break
            place = (place + 1) & (size - 1)
    return firsts[:found].copy(), numbers


@njit(cache=True)
def neighbours(triangles: NDArray[np.int64], points: int) -> tuple[NDArray[np.int32], NDArray[np.bool_]]:
    """The triangle beyond each side of each triangle, and whether both run that side the same way.

    -1 where nothing lies beyond, -2 where three triangles or more share the side.
    """
    count = triangles.shape[0]
    size = 16
    while size < 3 * count:
        size *= 2
    keys = np.full(size, -1, dtype=np.int64)
    firsts = np.empty(size, dtype=np.int32)
    beside = np.full((count, 3), -1, dtype=np.int32)
    same = np.zeros((count, 3), dtype=np.bool_)
    for row in range(count):
        for side in range(3):
            start, end = triangles[row, side], triangles[row, (side + 1) % 3]
            key = min(start, end) * points + max(start, end)
            mixed = np.uint64(key) * np.uint64(0x9E3779B97F4A7C15)
            mixed ^= mixed >> np.uint64(32)
            place = np.int64(mixed & np.uint64(size - 1))
            while keys[place] >= 0 and keys[place] != key:
                place = (place + 1) & (size - 1)
            if keys[place] < 0:
                keys[place] = key
                firsts[place] = 3 * row + side
                continue
            first = firsts[place] // 3
            own = firsts[place] % 3
            if beside[first, own] == -1:
                beside[first, own] = row
                beside[row, side] = first
                same[first, own] = triangles[first, own] == start
                same[row, side] = same[first, own]
                continue
            if beside[first, own] >= 0:
                second = beside[first, own]
                for other in range(3):
                    a, b = triangles[second, other], triangles[second, (other + 1) % 3]
                    if min(a, b) * points + max(a, b) == key:
                        beside[second, other] = -2
                        same[second, other] = False
                beside[first, own] = -2
                same[first, own] = False
            beside[row, side] = -2
    return beside, same


@njit(cache=True)
def sheets(beside: NDArray[np.int32], same: NDArray[np.bool_]) -> tuple[NDArray[np.int32], NDArray[np.bool_], int]:
    """Sheet of each triangle, whether it must be turned to run as the first of its sheet, and how many sides cannot.

    A sheet hangs together over sides that two triangles share; sheets are numbered in the order of their first one.
    """
    count = beside.shape[0]
    sheet = np.full(count, -1, dtype=np.int32)
    turned = np.zeros(count, dtype=np.bool_)
    waiting = np.empty(count, dtype=np.int32)
    found = 0
    torn = 0
    for start in range(count):
        if sheet[start] >= 0:
            continue
        sheet[start] = found
        waiting[0] = start
        top = 1
        while top > 0:
            top -= 1
            one = waiting[top]
            for side in range(3):
                other = beside[one, side]
                if other < 0:
                    continue
                asked = turned[one] != same[one, side]
                if sheet[other] < 0:
                    sheet[other] = found
                    turned[other] = asked
                    waiting[top] = other
                    top += 1
                elif turned[other] != asked:
                    torn += 1
        found += 1
    return sheet, turned, torn


@njit(cache=True)
def nearest_spots(
    points: NDArray[np.float64], reach_mm: float, corners: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.float64]]:
    """How far each point lies from a surface, its nearest triangle, and the nearest spot (inf and -1 beyond the reach).

    ``corners`` stand in an order in which near triangles stand together, four a leaf of the tree. Of triangles that
    are equally near, the one that is seen most from the front or the back counts, so that its side is the point's.
    """
    leaves = 1
    while leaves * 4 < len(corners):
        leaves *= 2
    low = np.full((2 * leaves, 3), np.inf)
    high = np.full((2 * leaves, 3), -np.inf)
    for t in range(len(corners)):
        for s in range(3):
            for i in range(3):
                low[leaves + t // 4, i] = min(low[leaves + t // 4, i], corners[t, s, i])
                high[leaves + t // 4, i] = max(high[leaves + t // 4, i], corners[t, s, i])
    for node in range(leaves - 1, 0, -1):
        for i in range(3):
            low[node, i] = min(low[2 * node, i], low[2 * node + 1, i])
            high[node, i] = max(high[2 * node, i], high[2 * node + 1, i])
    far = np.full(len(points), np.inf)
    owner = np.full(len(points), -1, dtype=np.int64)
    spots = points.copy()
    stack = np.empty(128, dtype=np.int64)
    away = np.empty(128)
    for p in range(len(points)):
        x, y, z = points[p, 0], points[p, 1], points[p, 2]
        best, seen = reach_mm * reach_mm, -1.0
        near = best * (1.0 + 1e-9)  # source: ours: float noise of one spot on several triangles
        stack[0], away[0], top = 1, 0.0, 1
        while top > 0:
            top -= 1
            node = stack[top]
            if away[top] > near:
                continue
            if node < leaves:
                for child in (2 * node, 2 * node + 1):
                    square = 0.0
                    for i in range(3):
                        off = max(low[child, i] - points[p, i], points[p, i] - high[child, i], 0.0)
                        square += off * off
                    if square <= near:
                        stack[top], away[top] = child, square
                        top += 1
                both = top > 1 and stack[top - 1] == 2 * node + 1 and stack[top - 2] == 2 * node
                if both and away[top - 2] < away[top - 1]:
                    stack[top - 2], stack[top - 1] = stack[top - 1], stack[top - 2]
                    away[top - 2], away[top - 1] = away[top - 1], away[top - 2]
                continue
            for t in range((node - leaves) * 4, min(len(corners), (node - leaves + 1) * 4)):
                ux, uy, uz = corners[t, 1] - corners[t, 0]
                vx, vy, vz = corners[t, 2] - corners[t, 0]
                nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
                wide = nx * nx + ny * ny + nz * nz
                if wide <= 0.0:
                    continue
                off = (nx * (x - corners[t, 0, 0]) + ny * (y - corners[t, 0, 1]) + nz * (z - corners[t, 0, 2])) / wide
                lean = abs(off) * np.sqrt(wide)
                if lean * lean > near:
                    continue
                qx, qy, qz, square, inside = x - off * nx, y - off * ny, z - off * nz, lean * lean, True
                for s in range(3):
                    ax, ay, az = corners[t, s]
                    ux, uy, uz = corners[t, (s + 1) % 3] - corners[t, s]
                    px, py, pz = x - ax, y - ay, z - az
                    beside = px * (ny * uz - nz * uy) + py * (nz * ux - nx * uz) + pz * (nx * uy - ny * ux)
                    if beside >= 0.0:
                        continue
                    run = min(max((px * ux + py * uy + pz * uz) / (ux * ux + uy * uy + uz * uz), 0.0), 1.0)
                    dx, dy, dz = px - run * ux, py - run * uy, pz - run * uz
                    if inside or dx * dx + dy * dy + dz * dz < square:
                        qx, qy, qz, square = x - dx, y - dy, z - dz, dx * dx + dy * dy + dz * dz
                    inside = False
                same = abs(square - best) <= near - best
                if (same and lean > seen) or (square < best and not same):
                    best, seen = min(best, square), lean
                    near = best * (1.0 + 1e-9)  # source: ours: as above
                    far[p], owner[p] = np.sqrt(square), t
                    spots[p, 0], spots[p, 1], spots[p, 2] = qx, qy, qz
    return far, owner, spots
