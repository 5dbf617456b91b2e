"""Bounds against layouts that exist: published packings of circles, tilings, lattices, corner to corner."""

from __future__ import annotations

import dataclasses
import json
import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from layout.outlines import NAMES, QUARTERS_DEG, ROOT, question
from traywright.geometry import Region
from traywright.layout import Container, Kind, NoGo, Placement, RowSlot, Sides, Spacing
from traywright.layout.bound import count_bound
from traywright.layout.check import check_layout
from traywright.layout.crossed import kits_by_lines, profile

CIRCLES = json.loads((ROOT / "tests/data/layout/circles/unit_square_radius_n1_36.json").read_text(encoding="utf-8"))
NO_RIM = Sides.all_round(0.0)


def spaced(*kinds, wall_mm, size_mm, **other):
    spacing = Spacing(wall=Sides.all_round(wall_mm), rim=NO_RIM)
    return question(*kinds, width_mm=size_mm[0], depth_mm=size_mm[1], **({"spacing": spacing} | other))


@pytest.mark.parametrize("count", sorted(int(one) for one in CIRCLES))
def test_no_published_packing_of_circles_beats_the_bound(count):
    # Specht's table of equal circles in the unit square (see SOURCE.md beside the data): the square as 1000 mm, half
    # of each radius as a disc, half as wall, the rim so that circles touch the square
    radius = 1000.0 * CIRCLES[str(count)]
    disc = Kind(id="disc", outline=Region.disc((0.0, 0.0), radius / 2.0))
    asked = question(
        disc,
        width_mm=1000.0,
        depth_mm=1000.0,
        spacing=Spacing(wall=Sides.all_round(radius), rim=Sides.all_round(radius / 2.0)),
    )
    bound = count_bound(asked)
    assert bound >= count
    assert bound <= count * 1.3 + 2  # and it says something: by area alone 5 circles are bounded by 7


def test_the_bound_by_points_is_reached_by_a_triangle_lattice():
    # discs of 10 with a wall of 10: rows of 11 and 10 in turn, 20 sin 60 apart; Oler's inequality is exact on
    # triangles, in a rectangle it gives 2 A / (sqrt 3 d^2) + P / 2 d + 1 = 98.2 for 95 that exist
    disc = Kind(id="disc", outline=Region.disc((0.0, 0.0), 5.0))
    rows = 9
    asked = spaced(disc, wall_mm=10.0, size_mm=(210.0, 10.0 + (rows - 1) * 20.0 * math.sin(math.pi / 3.0) + 0.001))
    copies = [
        Placement("disc", 5.0 + 20.0 * k + 10.0 * (row % 2), 5.0 + row * 20.0 * math.sin(math.pi / 3.0), 0.0)
        for row in range(rows)
        for k in range(11 - row % 2)
    ]
    assert not check_layout(asked, copies).faults
    assert len(copies) <= count_bound(asked) <= len(copies) + 5


def test_two_squares_may_pass_corner_to_corner():
    # 100 + 100 + 8 / sqrt 2 = 205.657: too narrow for two side by side at 8, wide enough for two across
    square = Kind(id="square", outline=Region.rectangle(0, 0, 100, 100))
    asked = spaced(square, wall_mm=8.0, size_mm=(205.657, 205.657))
    copies = (Placement("square", 0.0, 0.0, 0.0), Placement("square", 105.657, 105.657, 0.0))
    assert not check_layout(asked, copies).faults
    assert count_bound(asked) >= 2


def test_small_squares_with_a_wide_wall_stand_closer_than_a_grid():
    # squares of 1 at 8: a grid of 12 x 12; rows shifted by half stand 1 + sqrt(64 - 3.5^2) = 8.194 apart: 13 rows
    square = Kind(id="square", outline=Region.rectangle(0, 0, 1, 1))
    asked = spaced(square, wall_mm=8.0, size_mm=(100.0, 100.0))
    copies = [
        Placement("square", 9.0 * k + 4.5 * (row % 2), 8.194 * row, 0.0)
        for row in range(13)
        for k in range(12 - row % 2)
    ]
    assert not check_layout(asked, copies).faults
    assert len(copies) == 150
    assert count_bound(asked) >= 150


@settings(max_examples=60)
@given(st.integers(1, 9), st.integers(1, 9), st.integers(5, 90), st.integers(5, 90), st.floats(0, 15), st.floats(0, 9))
def test_a_grid_of_rectangles_in_its_own_size_is_never_beaten_by_the_bound(columns, rows, wide, deep, wall, rim):
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, wide, deep))
    asked = question(
        bar,
        width_mm=columns * wide + (columns - 1) * wall + 2 * rim,
        depth_mm=rows * deep + (rows - 1) * wall + 2 * rim,
        spacing=Spacing(wall=Sides.all_round(wall), rim=Sides.all_round(rim)),
    )
    assert count_bound(asked) >= columns * rows
    if wall < 0.001:
        assert count_bound(asked) == columns * rows


def test_rectangles_without_a_wall_reach_what_is_published():
    # Dowsland's instance (22, 16, 5, 3): 23; by area alone 22 * 16 / 15 = 23.5
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, 50, 30))
    assert count_bound(spaced(bar, wall_mm=0.0, size_mm=(220.0, 160.0), turns_deg=QUARTERS_DEG)) == 23


@pytest.mark.parametrize(("size_mm", "count"), [((99.0, 500.0), 0), ((100.0, 60.0), 1), ((100.0, 59.99), 0)])
def test_nothing_goes_in_where_one_does_not(size_mm, count):
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, 100, 60))
    assert count_bound(spaced(bar, wall_mm=5.0, size_mm=size_mm)) == count


def test_a_free_turn_lets_a_bar_lie_across():
    # 120 x 10 at 45 degrees takes 130 / sqrt 2 = 91.9
    bar = Kind(id="bar", outline=Region.rectangle(-60, -5, 60, 5))
    asked = spaced(bar, wall_mm=4.0, size_mm=(92.0, 92.0), free_turn=True)
    assert count_bound(asked) >= 1
    assert count_bound(dataclasses.replace(asked, free_turn=False)) == 0
    assert count_bound(spaced(bar, wall_mm=4.0, size_mm=(84.0, 84.0), free_turn=True)) == 0


def test_one_column_takes_as_many_as_go_one_behind_the_other():
    # 60 wide in 100: each line across the depth is crossed by all; 7 x 40 + 6 x 8 = 328
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, 60, 40))
    assert count_bound(spaced(bar, wall_mm=8.0, size_mm=(100.0, 328.0))) == 7
    assert count_bound(spaced(bar, wall_mm=8.0, size_mm=(100.0, 327.99))) == 6


def test_whole_kits_and_no_more_than_asked_for():
    first = Kind(id="first", outline=Region.rectangle(0, 0, 50, 50), in_kit=2)
    second = Kind(id="second", outline=Region.rectangle(0, 0, 50, 100))
    asked = spaced(first, second, wall_mm=0.0, size_mm=(350.0, 100.0))
    assert count_bound(asked) == 9  # 3.5 kits by area
    assert count_bound(dataclasses.replace(asked, kits_most=2)) == 6


def test_rims_of_kinds_that_leave_other_sides_are_taken_together():
    # the first kind may stand at the left only, the second at the right only: together they use the whole width
    kinds = [Kind(id=id_, outline=Region.rectangle(0, 0, 50, 50)) for id_ in ("first", "second")]
    rims = (
        ("first", dataclasses.replace(NO_RIM, right_mm=50.0)),
        ("second", dataclasses.replace(NO_RIM, left_mm=50.0)),
    )
    asked = spaced(*kinds, wall_mm=0.0, size_mm=(100.0, 50.0))
    asked = dataclasses.replace(asked, spacing=dataclasses.replace(asked.spacing, rims=rims))
    copies = (Placement("first", 0.0, 0.0, 0.0), Placement("second", 50.0, 0.0, 0.0))
    assert not check_layout(asked, copies).faults
    assert count_bound(asked) == 2


def test_the_least_side_of_the_least_pair_counts():
    square = Kind(id="square", outline=Region.rectangle(0, 0, 10, 10))
    sides = Sides(right_mm=0.0, back_mm=30.0, left_mm=0.0, front_mm=30.0)
    asked = spaced(square, wall_mm=0.0, size_mm=(50.0, 10.0))
    asked = dataclasses.replace(asked, spacing=Spacing(wall=sides, rim=NO_RIM))
    copies = [Placement("square", 10.0 * k, 0.0, 0.0) for k in range(5)]
    assert not check_layout(asked, copies).faults
    assert count_bound(asked) == 5


def test_a_region_takes_its_area_and_the_wall_beyond_half_a_wall():
    square = Kind(id="square", outline=Region.rectangle(0, 0, 10, 10))
    whole = spaced(square, wall_mm=0.0, size_mm=(100.0, 100.0))
    for wall, most in ((0.0, 75), (10.0, 64)):
        # (50 + wall) squared is lost, but for a round corner of wall squared (1 - pi / 4) = 21 mm2: 10000 - 3579 = 6421
        barred = NoGo(region=Region.rectangle(0, 0, 50, 50), wall_mm=wall)
        asked = dataclasses.replace(whole, container=Container(width_mm=100.0, depth_mm=100.0, no_go=(barred,)))
        assert count_bound(asked) == most
        copies = [Placement("square", 10.0 * i, 10.0 * j, 0.0) for i in range(10) for j in range(10)]
        left = [one for one in copies if not check_layout(asked, (one,)).faults]
        assert len(left) <= count_bound(asked)


def test_slots_that_run_through_rows_do_not_count():
    slots = (RowSlot(line_mm=0.0, width_mm=10.0, reach_mm=20.0),)
    block = Kind(id="block", outline=Region.rectangle(-20, -10, 20, 10), slots=slots)
    bare = dataclasses.replace(block, slots=())
    size = (300.0, 200.0)
    assert count_bound(spaced(block, wall_mm=5.0, size_mm=size)) == count_bound(spaced(bare, wall_mm=5.0, size_mm=size))


@pytest.mark.parametrize("name", NAMES)
def test_what_is_found_of_six_outlines_stays_below_the_bound(name):
    best = {"l_bracket": 33, "flanged_shaft": 22, "ring": 33, "c_clamp": 20, "wrench": 21, "connecting_rod": 17}[name]
    assert best <= count_bound(question(name, turns_deg=QUARTERS_DEG)) <= 2 * best


# -- lines -------------------------------------------------------------------------------------------------------------


def test_the_chords_of_a_shape_are_those_of_shapely():
    ell = shapely.Polygon([(0, 0), (50, 0), (50, 12), (12, 30), (12, 40), (0, 40)])
    for turn in (0.0, 30.0, 75.0):
        shape = affinity.rotate(ell, turn)
        cut = profile(shape)
        height = shape.bounds[1]
        for step, chord in zip(cut.heights_mm.tolist(), cut.chords_mm.tolist(), strict=True):
            line = shapely.LineString([(-200.0, height + step / 2.0), (200.0, height + step / 2.0)])
            assert chord <= line.intersection(shape).length + 1e-9
            height += step
        area = float((cut.heights_mm * cut.chords_mm).sum())
        assert shape.area * 0.98 <= area <= shape.area


@settings(max_examples=50)
@given(
    st.integers(1, 6),
    st.integers(1, 6),
    st.floats(0.0, 0.95),
    st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=2, max_size=5),
)
def test_a_tiling_is_never_beaten_by_lines(columns, rows, slant, dents):
    # one zigzag moved along y tiles a strip, whatever its form; the strip moved along x tiles the rectangle
    points = [(10.0 * (k + 1) / (len(dents) + 1), 8.0 * slant * dent[1]) for k, dent in enumerate(dents)]
    lower = [(0.0, 0.0), *points, (10.0, 0.0)]
    tile = shapely.Polygon([*lower, *((x, y + 6.0) for x, y in reversed(lower))])
    wide, deep = 10.0 * columns, 6.0 * rows + max(y for _, y in lower)
    assert kits_by_lines([(1, [tile])], wide, deep) >= columns * rows
    turned = affinity.rotate(tile, 90.0)
    assert kits_by_lines([(1, [turned])], deep, wide) >= columns * rows


def test_lines_count_what_is_left_over_at_their_ends():
    # three of 30 on 100: the fourth would need 120; by area 100 x 20 / 600 = 3.3, of 10 rows 33
    bar = shapely.box(0, 0, 30, 20)
    assert kits_by_lines([(1, [bar])], 100.0, 200.0) == 30
    assert kits_by_lines([(2, [bar])], 100.0, 200.0) == 15
