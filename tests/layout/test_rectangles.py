"""Equal rectangles never overlap, never leave the sheet, keep the kerf, and never beat the bound."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import LayoutError
from traywright.layout import pack_rectangles
from traywright.layout._blocks import block_spots, two_blocks
from traywright.layout._bounds import Search, Steps, upper_bound
from traywright.layout._small import pushed, small_question, small_questions

WITHIN_MM = 0.0015


def pack(width, depth, item_width, item_depth, kerf=0.0, edge=0.0):
    return pack_rectangles(
        width_mm=width,
        depth_mm=depth,
        item_width_mm=item_width,
        item_depth_mm=item_depth,
        kerf_mm=kerf,
        edge_mm=edge,
    )


def boxes(layout, item_width, item_depth):
    sizes = {0: (item_width, item_depth), 90: (item_depth, item_width)}
    return [(x, y, x + sizes[turn][0], y + sizes[turn][1]) for x, y, turn in layout.placements]


sides = st.floats(60, 2000)
items = st.floats(30, 700)


@settings(max_examples=60)
@given(sides, sides, items, items, st.floats(0, 15), st.floats(0, 20))
def test_kerf_edge_and_bound_are_kept(width, depth, item_width, item_depth, kerf, edge):
    layout = pack(width, depth, item_width, item_depth, kerf, edge)
    placed = boxes(layout, item_width, item_depth)
    assert len(placed) == layout.count <= layout.bound
    assert layout.proven == (layout.count == layout.bound)
    for left, front, right, back in placed:
        assert min(left, front, width - right, depth - back) >= edge - WITHIN_MM
    for a, b in combinations(placed, 2):
        assert max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3]) >= kerf - WITHIN_MM


@settings(max_examples=40)
@given(sides, sides, items, items, st.floats(0, 15), st.floats(0, 20))
def test_turning_the_sheet_or_the_rectangle_changes_nothing_in_the_count(width, depth, item_width, item_depth, k, e):
    asked = pack(width, depth, item_width, item_depth, k, e)
    assert pack(depth, width, item_width, item_depth, k, e).count == asked.count
    assert pack(width, depth, item_depth, item_width, k, e).count == asked.count


@settings(max_examples=40)
@given(st.integers(4, 14), st.integers(4, 14), st.integers(2, 6), st.integers(2, 6))
def test_a_small_sheet_holds_what_trying_every_cell_finds(width, depth, a, b):
    # independent: every whole-step place in reading order, the first free cell covered or left empty
    if width * depth > 10 * a * b:
        width = max(2, 10 * a * b // depth)
    most = most_by_cells(width, depth, a, b)
    layout = pack(width, depth, a, b)
    assert layout.bound >= most
    assert layout.count == most


def most_by_cells(width, depth, a, b):
    full = (1 << (width * depth)) - 1
    masks = {}
    for w, d in {(a, b), (b, a)}:
        row = (1 << w) - 1
        shape = sum(row << (line * width) for line in range(d))
        for y in range(depth - d + 1):
            for x in range(width - w + 1):
                masks.setdefault(y * width + x, []).append(shape << (y * width + x))
    best = 0

    def cover(taken, cell, count):
        nonlocal best
        best = max(best, count)
        free = width * depth - cell - (taken >> cell).bit_count()
        if count + free // (a * b) <= best or taken == full:
            return
        while taken >> cell & 1:
            cell += 1
        for mask in masks.get(cell, []):
            if not taken & mask:
                cover(taken | mask, cell + 1, count + 1)
        cover(taken | 1 << cell, cell + 1, count)

    cover(0, 0, 0)
    return best


def test_four_as_a_pinwheel_where_rows_hold_fewer():
    # 100 wide, pieces 60 x 40: each side takes 60 + 40 and no more, so four turn about an empty 20 x 20
    layout = pack(100, 100, 60, 40)
    assert (layout.count, layout.proven) == (4, True)
    assert sorted(turn for _, _, turn in layout.placements) == [0, 0, 90, 90]


@pytest.mark.parametrize(("width", "count"), [(2000, 8), (998, 4)], ids=["whole board", "half board"])
def test_the_expert_s_counts_of_the_survey_kit(width, count):
    # two boards of the example job, each settled by an independent solver: one more does not go in
    layout = pack(width, 1000, 556, 356, 12, 10)
    assert (layout.count, layout.bound, layout.proven) == (count, count, True)


def test_a_larger_rectangle_than_the_sheet_gives_an_empty_layout():
    layout = pack(100, 50, 101, 20, 3, 0)
    assert (layout.placements, layout.count, layout.bound, layout.proven) == ((), 0, 0, True)


def test_an_edge_wider_than_the_sheet_gives_an_empty_layout():
    assert pack(30, 30, 5, 5, 3, 20).count == 0


def test_what_fits_exactly_fits():
    assert pack(2 * 10 + 2 * 40.5 + 8, 2 * 10 + 30.25, 40.5, 30.25, 8, 10).count == 2
    assert pack(2 * 10 + 2 * 40.5 + 7.99, 2 * 10 + 30.25, 40.5, 30.25, 8, 10).count == 1


def test_many_small_rectangles_are_laid_in_two_blocks():
    steps = Steps(width=2003, depth=1001, item_width=32, item_depth=22)
    spots = two_blocks(steps)
    assert block_spots(steps, upper_bound(steps)) == spots
    assert len(set(spots)) == len(spots)
    assert (2003 // 32) * (1001 // 22) <= len(spots) <= upper_bound(steps)


@settings(max_examples=40)
@given(st.integers(20, 90), st.integers(20, 90), st.integers(3, 12), st.integers(3, 12))
def test_whole_steps_overlap_nowhere_and_beat_two_blocks_or_equal_them(width, depth, a, b):
    layout = pack(width, depth, a, b)
    steps = Steps(width=width, depth=depth, item_width=a, item_depth=b)
    assert len(two_blocks(steps)) <= layout.count <= layout.bound <= upper_bound(steps)
    cells = set()
    for left, front, right, back in boxes(layout, a, b):
        assert left >= 0 <= front
        assert right <= width
        assert back <= depth
        taken = {(i, j) for i in range(int(left), int(right)) for j in range(int(front), int(back))}
        assert len(taken) == a * b
        assert not taken & cells
        cells |= taken


@pytest.mark.parametrize(
    ("sheet", "item", "kerf", "count"),
    [
        # counts of rows, two blocks and one pinwheel alone, as held before: no fewer
        ((1220, 2440), (290.4, 187.3), 6, 50),
        ((2440, 1220), (150, 100), 6, 176),
        ((2440, 1220), (160.5, 101.3), 6, 161),
        ((3000, 2000), (181, 133), 6, 229),
        ((2000, 2000), (50, 30), 6, 1965),
        ((2440, 1220), (500, 30), 6, 158),
    ],
)
def test_real_sheets_in_fine_steps_hold_no_fewer_than_before(sheet, item, kerf, count):
    layout = pack(*sheet, *item, kerf)
    assert count <= layout.count <= layout.bound
    placed = boxes(layout, *item)
    for number, a in enumerate(placed):
        for b in placed[:number]:
            assert max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3]) >= kerf - WITHIN_MM


def goes_in(steps, side):
    return {
        (m, n)
        for m in range(side // steps.item_width + 2)
        for n in range(side // steps.item_depth + 2)
        if m * steps.item_width + n * steps.item_depth <= side
    }


@settings(max_examples=40)
@given(st.integers(50, 3000), st.integers(50, 3000), st.integers(40, 900), st.integers(40, 900))
def test_a_small_question_lets_the_same_rows_in(width, depth, a, b):
    steps = Steps(width=width, depth=depth, item_width=a, item_depth=b)
    found = small_questions(steps)
    for small in found:
        assert goes_in(small, small.width) == goes_in(steps, width)
        assert goes_in(small, small.depth) == goes_in(steps, depth)
    assert small_question(steps)[1] == min(upper_bound(one) for one in found)


def test_a_small_layout_goes_back_to_its_true_lengths():
    # four of 60 x 40 as a pinwheel, in small numbers 3 x 2: the empty middle is 20 x 20 again
    small = Steps(width=5, depth=5, item_width=3, item_depth=2)
    steps = Steps(width=100, depth=100, item_width=60, item_depth=40)
    wheel = ((0, 0, False), (3, 0, True), (2, 3, False), (0, 2, True))
    assert pushed(wheel, small, steps) == ((0, 0, False), (0, 40, True), (40, 60, False), (60, 0, True))
    assert pushed((), small, steps) == ()


def test_the_search_shows_that_five_do_not_go_where_four_do():
    search = Search(Steps(width=10, depth=10, item_width=6, item_depth=4), 10_000)
    assert search.find(5) is None
    assert search.settled
    assert len(Search(Steps(width=10, depth=10, item_width=6, item_depth=4), 10_000).find(4)) == 4


def test_a_search_that_runs_out_of_tries_shows_nothing():
    search = Search(Steps(width=30, depth=22, item_width=7, item_depth=4), 5)
    assert search.find(22) is None
    assert not search.settled


@pytest.mark.parametrize("place", range(6))
@pytest.mark.parametrize("wrong", [math.nan, math.inf, -1.0])
def test_lengths_that_are_none_are_refused(place, wrong):
    asked = [100.0, 100.0, 20.0, 10.0, 1.0, 1.0]
    asked[place] = wrong
    with pytest.raises(LayoutError) as refused:
        pack(*asked)
    assert refused.value.code == "LAY-001"
