"""Pallet loading: known best counts of equal boxes on a pallet layer.

SOURCE: the first eight instances of Dowsland's set (1984), by their four numbers, read from a public collection of
instances; the paper was not opened. Birgin, Lobato & Morabito (2008), recursive partitioning of identical rectangles
in a rectangle: the instance (49, 28, 8, 3), 57 by the L-approach and 56 by five blocks, as told on the authors' page.
Barnes (1979), the colouring bound, written out again below by counting cells; its abstract was read. The instances
stand in tests/data/layout/pallet. Where the count equals an upper bound it is the optimum whoever found it, so no
tolerance is needed.
"""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path

import pytest

from traywright.layout import pack_rectangles

KNOWN = Path(__file__).parents[1] / "data" / "layout" / "pallet" / "pallet_known.json"
INSTANCES = [
    tuple(one[name] for name in ("L", "W", "l", "w", "optimum")) for one in json.loads(KNOWN.read_text("utf-8"))
]
FIVE_BLOCKS_MISS = [
    (57, 34, 7, 4),
    (43, 26, 7, 3),
    (63, 44, 8, 5),
    (61, 35, 10, 3),
    (67, 37, 11, 3),
    (67, 40, 11, 3),
    (74, 49, 11, 4),
    (93, 46, 13, 4),
    (106, 59, 13, 5),
    (141, 71, 13, 8),
]
"""Found by us: the best by five blocks alone is one below Barnes's bound."""


def pack(width, depth, a, b):
    return pack_rectangles(width_mm=width, depth_mm=depth, item_width_mm=a, item_depth_mm=b, kerf_mm=0.0, edge_mm=0.0)


def barnes(width, depth, a, b):
    """Rectangles by the rarest of n colours of the cells, for n = a and n = b."""
    most = width * depth // (a * b)
    for n, strips in ((a, b), (b, a)):
        colours = [0] * n
        for i in range(width):
            for j in range(depth):
                colours[(i + j) % n] += 1
        most = min(most, min(colours) // strips)
    return most


def assert_all_stand(layout, width, depth, a, b):
    cells = set()
    for x, y, turn in layout.placements:
        w, d = (a, b) if turn == 0 else (b, a)
        assert (x, y) == (int(x), int(y))
        taken = {(int(x) + i, int(y) + j) for i in range(w) for j in range(d)}
        assert not taken & cells
        cells |= taken
    assert cells <= {(i, j) for i in range(width) for j in range(depth)}


@pytest.mark.parametrize(("width", "depth", "a", "b", "best"), INSTANCES)
def test_the_best_count_is_reached_and_shown_to_be_best(width, depth, a, b, best):
    """Dowsland 1984, 1 to 8; Birgin, Lobato & Morabito 2008, (49, 28, 8, 3); (13, 8, 3, 2): all ten are the optimum."""
    layout = pack(width, depth, a, b)
    assert (layout.count, layout.bound, layout.proven) == (best, best, True)
    assert_all_stand(layout, width, depth, a, b)


@pytest.mark.parametrize(("width", "depth", "a", "b"), FIVE_BLOCKS_MISS)
def test_barnes_s_bound_is_reached_where_five_blocks_miss_it(width, depth, a, b):
    """Barnes 1979: ten instances of ours whose count equals the bound, so that it is the optimum."""
    layout = pack(width, depth, a, b)
    assert layout.count == layout.bound == barnes(width, depth, a, b)
    assert_all_stand(layout, width, depth, a, b)


def test_a_loose_bound_is_not_taken_for_a_count():
    """Dowsland 1984, instance 1 with the box 5 % longer (5.25 x 3): the best count of 23 is out of reach."""
    assert pack(22, 16, 5.25, 3).count < 23


def test_the_places_of_every_instance_are_apart():
    """Dowsland 1984, instances 1 to 8 in millimetres of a real sheet: 25.4 times as long, a kerf of 3 added."""
    for width, depth, a, b, best in INSTANCES[:8]:
        scale, kerf = 25.4, 3.0
        layout = pack_rectangles(
            width_mm=width * scale - kerf,
            depth_mm=depth * scale - kerf,
            item_width_mm=a * scale - kerf,
            item_depth_mm=b * scale - kerf,
            kerf_mm=kerf,
            edge_mm=0.0,
        )
        assert layout.count == best
        sizes = {0: (a * scale - kerf, b * scale - kerf), 90: (b * scale - kerf, a * scale - kerf)}
        boxes = [(x, y, x + sizes[turn][0], y + sizes[turn][1]) for x, y, turn in layout.placements]
        for one, other in combinations(boxes, 2):
            gap = max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3])
            assert gap >= kerf - 0.0015
