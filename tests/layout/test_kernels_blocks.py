"""The compiled loops that lay equal rectangles, held against plain twins that try everything."""

from __future__ import annotations

import numpy as np
import pytest

from traywright.layout._bounds import sums
from traywright.layout._corners import HALVES, Corners, in_order
from traywright.layout._kernels_blocks import block_counts, colour_tables, halve, reach
from twins import corner_cuts

ROOMS = [(13, 8, 3, 2), (11, 11, 4, 3), (17, 9, 5, 2), (10, 10, 3, 3), (18, 13, 5, 4), (16, 7, 4, 1)]


def lengths(width, depth, a, b):
    points = np.array(sums(max(width, depth), a, b), dtype=np.int64)
    rest = np.maximum(np.searchsorted(points, points[:, None] - points[None, :], side="right") - 1, 0)
    sides = tuple(int(np.searchsorted(points, side, side="right") - 1) for side in (width, depth))
    return points, rest.astype(np.int32), sides


@pytest.mark.parametrize("room", ROOMS)
def test_blocks_hold_what_trying_every_pinwheel_finds(room):
    points, rest, sides = lengths(*room)
    counts, _ = block_counts(points, rest, sides, *room[2:], 10**9)
    best = corner_cuts.block_counts(points, rest, sides, *room[2:], 10**9)
    for i, w in enumerate(points):
        for j, d in enumerate(points[: min(i, *sides) + 1]):
            assert counts[i, j] == counts[j, i] == best(int(w), int(d))


def test_a_limit_leaves_rows_and_straight_cuts():
    points, rest, sides = lengths(10, 10, 6, 4)
    counts, _ = block_counts(points, rest, sides, 6, 4, 0)
    assert counts[sides] == 3
    assert block_counts(points, rest, sides, 6, 4, 1000)[0][sides] == 4


@pytest.mark.parametrize("n", [1, 2, 3, 4])
def test_the_colours_of_an_l_are_those_counted_cell_by_cell(n):
    empty = colour_tables(n)
    for rests, cells in corner_cuts.colour_tables(n).items():
        assert empty[rests] == cells


def cuts_of(kind, piece):
    w, d, x, y = piece
    for u in range(1, w):
        for v in range(1, d):
            if kind < 2:
                yield from ((u, v, t) for t in range(u + 1, w if kind == 0 else d) if v < (d if kind == 0 else w))
            elif (u > x if kind in {2, 8} else u < x) and (v > y if kind in {3, 6} else v < y):
                yield u, v, 0


@pytest.mark.parametrize("kind", range(9))
def test_a_cut_makes_the_two_ls_that_flooding_either_side_finds(kind):
    # unit points, so a number is its length; the halves are mirrored and set down as the places are
    rest = np.maximum(np.arange(9)[:, None] - np.arange(9)[None, :], 0).astype(np.int32)
    piece = (7, 6, 7, 6) if kind < 2 else (7, 6, 4, 3)
    pair = np.zeros(8, np.int64)
    seen = 0
    for u, v, t in cuts_of(kind, piece):
        halve(kind, np.array(piece, dtype=np.int64), (u, v, t), rest, pair)
        ends = dict(zip("wdxyuvt0", (*piece, u, v, t, 0), strict=True))
        found = []
        for half, (axes, corners) in enumerate(HALVES[kind]):
            left, front, right, back = (ends[letter] for letter in corners)
            shape = tuple(int(one) for one in pair[4 * half : 4 * half + 4])
            assert shape[:2] == (right - left, back - front)
            cells = corner_cuts.cells_of(*shape)
            cells = {(right - left - 1 - i if "x" in axes else i, j) for i, j in cells}
            cells = {(i, back - front - 1 - j if "y" in axes else j) for i, j in cells}
            found.append({(i + left, j + front) for i, j in cells})
        assert sorted(map(sorted, found)) == sorted(map(sorted, corner_cuts.halve(kind, piece, (u, v, t))))
        seen += 1
    assert seen >= 4


@pytest.mark.parametrize("depth", [1, 2])
@pytest.mark.parametrize("room", ROOMS)
def test_corner_cuts_reach_what_trying_all_of_them_reaches_and_no_more(room, depth):
    points, rest, sides = lengths(*room)
    a, b = room[2:]
    counts, _ = block_counts(points, rest, sides, a, b, 10**9)
    best = corner_cuts.block_counts(points, rest, sides, a, b, 10**9)
    long, short = max(sides), min(sides)
    shapes = [(long, short, long, short), (long, short, long // 2, short // 2), (long, short, 1, short - 1)]
    for shape in shapes:
        piece, _ = in_order(shape)
        most = corner_cuts.reach(tuple(int(points[one]) for one in piece), depth, points, best)
        for wanted in (most, most + 1):
            memory = np.zeros(1 << 14, np.int64), np.zeros((1 << 14, 7), np.int32)
            work = np.array([0, 10**8, 0, 0, a * b], dtype=np.int64)
            tables = colour_tables(a), colour_tables(b)
            start = np.array(piece, dtype=np.int64)
            assert reach(start, wanted, depth, points, rest, counts, *tables, *memory, work) == (wanted == most)
            assert not work[3]


def test_a_search_at_its_limit_stops_and_says_so():
    points, rest, sides = lengths(49, 28, 8, 3)
    counts, _ = block_counts(points, rest, sides, 8, 3, 10**9)
    corners = Corners((points, rest, counts), (8, 3), 1000)
    room = (sides[0], sides[1], sides[0], sides[1])
    assert not corners.reaches(room, 57)
    assert corners.stopped
