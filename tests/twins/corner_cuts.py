"""Plain twins of the loops that lay equal rectangles: by trying everything, on lengths and on single cells."""

from __future__ import annotations

from functools import cache
from itertools import pairwise


def block_counts(points, rest, sides, a, b, limit):
    """Best count by blocks of a room, by its two lengths: a function, not a table."""
    steps = [int(one) for one in points]

    @cache
    def best(w, d):
        most = max((w // a) * (d // b), (w // b) * (d // a))
        xs = [one for one in steps if 0 < one < w]
        ys = [one for one in steps if 0 < one < d]
        for x in xs:
            most = max(most, best(x, d) + best(w - x, d))
        for y in ys:
            most = max(most, best(w, y) + best(w, d - y))
        for k, left in enumerate(xs):
            for right in xs[k:]:
                for m, low in enumerate(ys):
                    for high in ys[m:]:
                        around = (
                            best(left, high) + best(w - left, low) + best(w - right, d - low) + best(right, d - high)
                        )
                        most = max(most, around + best(right - left, high - low))
        return most

    return best


def colour_tables(n):
    """Cells that must stay empty in an L of rests (w, d, x, y), counted cell by cell in one that has such rests."""
    empty = {}
    for w in range(n):
        for d in range(n):
            for x in range(n):
                for y in range(n):
                    cells = cells_of(n + w, n + d, x, y)
                    rare = len(cells)
                    for sign in (1, -1):
                        colours = [(i + sign * j) % n for i, j in cells]
                        rare = min(rare, *(colours.count(c) for c in range(n)))
                    empty[w, d, x, y] = len(cells) - n * rare
    return empty


def cells_of(w, d, x, y):
    """The unit cells of an L."""
    return {(i, j) for i in range(w) for j in range(d) if i < x or j < y}


def staircase(kind, piece, cut):
    """The corners that a cut runs along, from side to side."""
    w, d, x, y = piece
    u, v, t = cut
    return {
        0: [(u, 0), (u, v), (t, v), (t, d)],
        1: [(0, u), (v, u), (v, t), (w, t)],
        2: [(0, v), (u, v), (u, y)],
        3: [(u, 0), (u, v), (x, v)],
        4: [(u, d), (u, v), (w, v)],
        5: [(x, y), (u, y), (u, v), (0, v)],
        6: [(x, y), (u, y), (u, v), (0, v)],
        7: [(x, y), (x, v), (u, v), (u, 0)],
        8: [(x, y), (x, v), (u, v), (u, 0)],
    }[kind]


def halve(kind, piece, cut):
    """The cells on either side of a cut, by flooding."""
    walls = set()
    path = staircase(kind, piece, cut)
    for (x, y), (p, q) in pairwise(path):
        for i in range(min(x, p), max(x, p)):
            walls.add(((i, y - 1), (i, y)))
        for j in range(min(y, q), max(y, q)):
            walls.add(((x - 1, j), (x, j)))
    left = cells_of(*piece)
    parts = []
    while left:
        part, edge = set(), [min(left)]
        while edge:
            i, j = cell = edge.pop()
            if cell not in left:
                continue
            left.discard(cell)
            part.add(cell)
            near = ((i + 1, j), (i, j + 1), (i - 1, j), (i, j - 1))
            edge += [one for one in near if (min(cell, one), max(cell, one)) not in walls]
        parts.append(part)
    return parts


def reach(piece, depth, points, best):
    """The most that an L of these lengths holds by that many cuts one inside the other, without any bound."""
    steps = [int(one) for one in points]

    @cache
    def most(w, d, x, y, deep):
        if min(w, d) == 0 or max(x, y) == 0:
            return 0
        if x == 0 or y == 0:
            return most(w, y, w, y, deep) if x == 0 else most(x, d, x, d, deep)
        if (x >= w or y >= d) and (x, y) != (w, d):
            return most(w, d, w, d, deep)
        found = best(w, d) if x == w else max(best(w, y) + best(x, d - y), best(x, d) + best(w - x, y))
        if deep == 0:
            return found
        for one, other in cuts(w, d, x, y):
            found = max(found, most(*one, deep - 1) + most(*other, deep - 1))
        return found

    def cuts(w, d, x, y):
        if x == w:
            for u in (k for k in steps if k < w):
                for t in (k for k in steps if u < k < w):
                    for v in (k for k in steps if k < d):
                        yield (t, d, u, d - v), (w - u, d, w - t, v)
            if w != d:
                for u in (k for k in steps if k < d):
                    for t in (k for k in steps if u < k < d):
                        for v in (k for k in steps if k < w):
                            yield (w, t, w - v, u), (w, d - u, v, d - t)
            return
        for u in (k for k in steps if k < x):
            for v in (k for k in steps if k < y):
                yield (w - u, d - v, x - u, y - v), (w, d, u, v)
                yield (x, d - v, u, d - y), (w, y, w - u, v)
                yield (w - u, y, w - x, v), (x, d, u, d - v)
            for v in (k for k in steps if y < k <= d):
                yield (w - u, v, x - u, y), (x, d, u, d - v)
                yield (x, d - y, x - u, d - v), (w, v, u, y)
        for u in (k for k in steps if x < k <= w):
            for v in (k for k in steps if k < y):
                yield (u, d - v, x, y - v), (w, y, w - u, v)
                yield (w - x, y, w - u, y - v), (u, d, x, v)

    return most(*piece, depth)
