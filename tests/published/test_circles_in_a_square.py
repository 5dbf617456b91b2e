"""Equal circles in a square: the best known counts are reached.

SOURCE: E. Specht, The best known packings of equal circles in a square (table, 2010 and later), read in copies that
stand in public code: n up to 30 in independent copies that agree, 31 to 36 in copies by one author; the page itself was
not opened. The largest square in which the source's circles do not fit is a hair smaller than the one given here:
side = R / r_n, enlarged by 0.3 % for the share that runs with the suite. Closed forms: Graham & Lubachevsky 1996,
Repeated patterns of dense packings of equal disks in a square (from memory), for n = 2 and n = 5.
"""

from __future__ import annotations

import json
import math
from itertools import combinations, pairwise
from pathlib import Path

import pytest
import shapely

from traywright.layout import Effort, discs_in_rectangle

RADII = {
    int(count): radius
    for count, radius in json.loads(
        (Path(__file__).parents[1] / "data" / "layout" / "circles" / "unit_square_radius_n1_36.json").read_text()
    ).items()
}
R_MM = 30.0
# the counts that take longest run in the campaign of circles
QUICK = [n for n in RADII if n not in {12, 14, 18, 20, 21, 23, 26, 27, 29, 30, 31, 34, 35, 36}]


def found(count, enlarged_ratio, rounds=120):
    side = R_MM / RADII[count] * enlarged_ratio
    effort = Effort(rounds=rounds)
    return side, discs_in_rectangle(R_MM, 0.0, side, side, (0.0, 0.0, 0.0, 0.0), count=count, effort=effort)


@pytest.mark.parametrize("count", QUICK)
def test_the_best_known_count_goes_into_a_square_a_little_larger(count):
    """Specht's table, each n named: side R / r_n, 0.3 % larger; judged by shapely's distances of the bare centres."""
    side, centres = found(count, 1.003)
    assert len(centres) == count
    inner = shapely.box(R_MM, R_MM, side - R_MM, side - R_MM).buffer(0.0005)
    points = [shapely.Point(one) for one in centres]
    assert all(inner.covers(one) for one in points)
    assert all(a.distance(b) >= 2.0 * R_MM - 0.0005 for a, b in combinations(points, 2))


def test_no_more_than_the_best_known_goes_in():
    """Specht's table, n = 2 to 4, optimal: a square 0.3 % too small takes none of them."""
    assert [count for count in range(2, 5) if found(count, 0.997, rounds=10)[1]] == []


def test_two_and_five_have_closed_forms():
    """n = 2: r = 1 / (2 + sqrt 2); n = 5: r = (sqrt 2 - 1) / 2: the table agrees to twelve digits."""
    assert RADII[2] == pytest.approx(1.0 / (2.0 + math.sqrt(2.0)), abs=1e-12)
    assert RADII[5] == pytest.approx((math.sqrt(2.0) - 1.0) / 2.0, abs=1e-12)


def test_radii_fall_with_the_count():
    """The whole table: one circle more is never larger."""
    assert all(RADII[a] >= RADII[b] for a, b in pairwise(sorted(RADII)))


@pytest.mark.parametrize("count", [1, 4, 9, 16, 25])
def test_a_square_grid_goes_into_the_square_that_it_just_fills(count):
    """n = k^2 up to 25: r = 1 / (2 k), with nothing to spare."""
    assert len(found(count, 1.0, rounds=10)[1]) == count
