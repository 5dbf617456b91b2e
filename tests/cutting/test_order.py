from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from traywright.cutting.order import visiting_order

places = st.lists(st.tuples(st.integers(0, 400), st.integers(0, 400)), min_size=1, max_size=12)


def way(order, spots):
    here, total = (0.0, 0.0), 0.0
    for index in order:
        total += math.dist(here, spots[index])
        here = spots[index]
    return total


@given(places)
def test_every_place_once_and_no_longer_than_as_listed(spots):
    order = visiting_order(tuple(spots), (0.0, 0.0))
    assert sorted(order) == list(range(len(spots)))
    for i in range(len(order)):
        for j in range(i + 1, len(order)):
            turned = [*order[:i], *order[i : j + 1][::-1], *order[j + 1 :]]
            assert way(turned, spots) >= way(order, spots) - 1e-6


def test_a_crossed_way_is_uncrossed():
    spots = ((10.0, 0.0), (11.0, 50.0), (20.0, 0.0), (21.0, 50.0))
    assert way(visiting_order(spots, (0.0, 0.0)), spots) < 10 + 10 + 51 + 10.1
