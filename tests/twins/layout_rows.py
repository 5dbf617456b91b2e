"""Plain twins of the rows: every case is tried, nothing is left out early."""

from __future__ import annotations

from itertools import product

import numpy as np

FAR = -(10**6)


def _free(maps, one, other, dx, dy):
    half = maps.shape[2] // 2
    return max(abs(dx), abs(dy)) > half or not maps[one, other, dx + half, dy + half]


def pair_motifs(maps, one, other, offsets, most):
    """Rows (along y, along x, pitch): the starts of up to six free stretches, each with its least pitch."""
    half = maps.shape[2] // 2
    found = []
    for dy in offsets:
        starts = [
            dx
            for dx in range(half + 1)
            if _free(maps, one, other, dx, dy) and (dx == 0 or not _free(maps, one, other, dx - 1, dy))
        ]
        for dx in starts[:6]:
            good = (
                pitch
                for pitch in range(max(1, dx), most)
                if all(
                    _free(maps, one, one, k * pitch, 0)
                    and _free(maps, other, other, k * pitch, 0)
                    and _free(maps, one, other, dx + k * pitch, dy)
                    and _free(maps, one, other, dx - k * pitch, dy)
                    for k in (1, 2, 3)
                )
            )
            pitch = next(good, None)
            if pitch is not None:
                found.append((dy, dx, pitch))
    return np.array(found, dtype=np.int64).reshape(-1, 3)


def row_lifts(lift, counts, rows):
    """How far over each row each other row must stand at least."""
    half = lift.shape[2] // 2
    size = len(counts)
    found = np.zeros((size, size), dtype=np.int64)
    for s, t in product(range(size), range(size)):
        needs = [0]
        for here, there in product(rows[s][: counts[s]], rows[t][: counts[t]]):
            dx = there[1] - here[1]
            if abs(dx) <= half and lift[here[0], there[0], dx + half] > FAR:
                needs.append(lift[here[0], there[0], dx + half] + here[2] - there[2])
        found[s, t] = max(needs)
    return found


def stacks(counts, first, highest, between, most):
    """Least height of the top row by copies so far and top row: by all sequences, the shortest first."""
    size = len(counts)
    best = {}
    layer = {(counts[s], s): first[s] for s in range(size) if first[s] <= highest[s] and counts[s] <= most}
    while layer:
        following = {}
        for (count, s), y in layer.items():
            if y < best.get((count, s), 10**9):
                best[count, s] = y
            for t in range(size):
                high = max(y + between[s, t], first[t])
                key = (count + counts[t], t)
                if key[0] <= most and high <= highest[t] and high < following.get(key, best.get(key, 10**9)):
                    following[key] = high
        layer = following
    table = np.full((most + 1, size), 10**9, dtype=np.int64)
    for (count, s), y in best.items():
        table[count, s] = y
    return table
