"""Equal discs in a rectangle: always apart and inside, the same each time, and none where none can be."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import LayoutError
from traywright.layout import Effort, discs_in_rectangle
from traywright.layout.discs import PRESS_RATIO, _Room, _Search

QUICK = Effort(rounds=10)


def least(centres):
    return min((math.dist(a, b) for a, b in combinations(centres, 2)), default=math.inf)


@settings(max_examples=25)
@given(
    radius=st.floats(5.0, 40.0),
    spacing=st.floats(0.0, 12.0),
    width=st.floats(90.0, 400.0),
    depth=st.floats(90.0, 300.0),
    rims=st.tuples(*[st.floats(0.0, 15.0)] * 4),
    count=st.integers(1, 9),
)
def test_what_is_found_stands_apart_and_inside(radius, spacing, width, depth, rims, count):
    centres = discs_in_rectangle(radius, spacing, width, depth, rims, count=count, effort=QUICK)
    assert len(centres) in {0, count}
    left, front, right, back = rims
    assert least(centres) >= 2.0 * radius + spacing - 0.0005
    for x, y in centres:
        assert left + radius - 0.0005 <= x <= width - right - radius + 0.0005
        assert front + radius - 0.0005 <= y <= depth - back - radius + 0.0005
        assert (round(x, 3), round(y, 3)) == pytest.approx((x, y), abs=1e-9)


def test_the_same_question_gives_the_same_places():
    asked = (20.0, 4.0, 300.0, 200.0, (4.0, 4.0, 4.0, 4.0))
    first, again = (discs_in_rectangle(*asked, count=26, effort=QUICK) for _ in range(2))
    assert len(first) == 26
    assert first == again
    assert first == tuple(sorted(first, key=lambda spot: (spot[1], spot[0])))


def test_rows_that_just_fill_the_container_are_found():
    """Three in a row of 3 x 70 + 2 x 8 + 2 x 8 = 242 mm, one row deep."""
    centres = discs_in_rectangle(35.0, 8.0, 242.0, 86.0, (8.0, 8.0, 8.0, 8.0), count=3, effort=QUICK)
    assert centres == ((43.0, 43.0), (121.0, 43.0), (199.0, 43.0))


def test_no_room_gives_none():
    assert discs_in_rectangle(35.0, 8.0, 85.0, 200.0, (8.0, 8.0, 8.0, 8.0), count=1, effort=QUICK) == ()
    # Oler: (2 / sqrt 3) x (214 x 14 / 78^2) + 456 / 156 + 1 = 4.5, so five cannot stand
    assert discs_in_rectangle(35.0, 8.0, 300.0, 100.0, (8.0,) * 4, count=5, effort=Effort(rounds=10**9)) == ()


@pytest.mark.parametrize("radius", [0.0, -1.0, math.nan])
def test_a_radius_that_cannot_be_is_refused(radius):
    with pytest.raises(LayoutError, match="LAY-001"):
        discs_in_rectangle(radius, 0.0, 100.0, 100.0, (0.0,) * 4, count=2, effort=QUICK)


def test_the_slope_of_the_energy_is_that_of_small_steps():
    """Central differences of a sum written out pair by pair."""
    search = _Search(_Room(100.0, 60.0, 40.0), 7, seed=3)
    at = np.random.default_rng(4).random(14) * 60.0

    def energy(flat):
        spots = list(zip(flat[:7], flat[7:], strict=True))
        return sum(max(0.0, PRESS_RATIO * 40.0 - math.dist(a, b)) ** 2 for a, b in combinations(spots, 2))

    told, slope = search._energy(at)
    assert told == pytest.approx(energy(at), rel=1e-9)
    steps = np.eye(14) * 1e-5
    assert slope == pytest.approx([(energy(at + one) - energy(at - one)) / 2e-5 for one in steps], rel=1e-4)
