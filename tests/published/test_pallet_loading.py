"""Pallet loading: known best counts of equal boxes on a pallet layer.

SOURCE: the first eight instances of Dowsland's set (1984), by their four numbers, read from a public collection of
instances; the paper was not opened. Birgin, Lobato & Morabito (2008), recursive partitioning of identical rectangles
in a rectangle: the instance (49, 28, 8, 3), 57 by the L-approach and 56 by five blocks, as told on the authors' page.
Where the count equals an upper bound it is the optimum whoever found it, so no tolerance is needed.
"""

from __future__ import annotations

import pytest

from traywright.layout import pack_rectangles

DOWSLAND = [
    (22, 16, 5, 3, 23),
    (30, 22, 7, 4, 23),
    (46, 34, 11, 6, 23),
    (50, 36, 11, 7, 23),
    (53, 51, 9, 7, 42),
    (63, 60, 11, 8, 42),
    (76, 73, 13, 10, 42),
    (86, 82, 15, 11, 42),
]


def pack(width, depth, a, b):
    return pack_rectangles(width_mm=width, depth_mm=depth, item_width_mm=a, item_depth_mm=b, kerf_mm=0.0, edge_mm=0.0)


@pytest.mark.parametrize(("width", "depth", "a", "b", "best"), DOWSLAND)
def test_the_best_count_is_reached_and_shown_to_be_best(width, depth, a, b, best):
    """Dowsland 1984, instances 1 to 8: count and bound both equal the optimum."""
    layout = pack(width, depth, a, b)
    assert (layout.count, layout.bound, layout.proven) == (best, best, True)


def test_five_blocks_stay_one_below_where_they_are_known_to():
    """Birgin, Lobato & Morabito 2008, instance (49, 28, 8, 3): 57 exist, five blocks give 56; the bound is 57."""
    layout = pack(49, 28, 8, 3)
    assert (layout.count, layout.bound, layout.proven) == (56, 57, False)


def test_a_loose_bound_is_not_taken_for_a_count():
    """Dowsland 1984, instance 1 with the box 5 % longer (5.25 x 3): the best count of 23 is out of reach."""
    assert pack(22, 16, 5.25, 3).count < 23
