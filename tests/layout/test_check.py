"""The check of a layout against distances worked by hand, against shapely, and against ellipses by calculation."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

from layout.outlines import question
from traywright.geometry import Region
from traywright.layout import Kind, NoGo, PairWall, Placement, RowSlot, Sides, Slot, Spacing
from traywright.layout.check import Fault, check_layout
from traywright.layout.gauge import gauge_ratio

DISC = Kind(id="disc", outline=Region.disc((0.0, 0.0), 10.0))
SQUARE = Kind(id="square", outline=Region.rectangle(0, 0, 10, 10))
NARROW = Sides(right_mm=4.0, back_mm=8.0, left_mm=6.0, front_mm=2.0)
NO_RIM = Sides.all_round(0.0)


def spaced(*kinds, wall, **settings_):
    pairs = settings_.pop("pairs", ())
    rim = settings_.pop("rim", NO_RIM)
    told = {"width_mm": 300.0, "depth_mm": 300.0, "spacing": Spacing(wall=wall, rim=rim, pairs=pairs)}
    return question(*kinds, **(told | settings_))


def two(kind, x_mm, y_mm, turns=(0.0, 0.0)):
    return (Placement(kind.id, 100.0, 100.0, turns[0]), Placement(kind.id, 100.0 + x_mm, 100.0 + y_mm, turns[1]))


def kinds_of(checked):
    return [one.kind for one in checked.faults]


# -- one distance all round --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("x_mm", "y_mm"), [(28.0, 0.0), (0.0, -28.0)])
def test_two_discs_keep_a_wall_of_eight_and_fail_at_a_snap_step_less(x_mm, y_mm):
    # radius 10 twice and a wall of 8; the polygon has a corner on each axis, so its distance is exact there
    asked = spaced(DISC, wall=Sides.all_round(8.0))
    checked = check_layout(asked, two(DISC, x_mm, y_mm))
    assert checked.faults == ()
    assert checked.least_wall_mm == pytest.approx(8.0)
    assert checked.least_spare_mm == pytest.approx(0.0, abs=1e-9)
    near = check_layout(asked, two(DISC, x_mm * (1.0 - 0.001 / 28.0), y_mm * (1.0 - 0.001 / 28.0)))
    assert near.faults == (Fault("pair", 0, 1, 8.0, pytest.approx(7.999)),)
    assert near.least_spare_mm == pytest.approx(-0.001)


def test_two_squares_corner_to_corner():
    # corners 3 and 4 apart along the axes: 5
    asked = spaced(SQUARE, wall=Sides.all_round(5.0))
    assert check_layout(asked, two(SQUARE, 13.0, 14.0)).least_wall_mm == pytest.approx(5.0)
    assert not check_layout(asked, two(SQUARE, 13.0, 14.0)).faults
    assert kinds_of(check_layout(asked, two(SQUARE, 13.0, 13.999))) == ["pair"]


def test_one_inside_the_other_is_a_fault_though_no_sides_are_near():
    large = Kind(id="large", outline=Region.rectangle(-50, -50, 50, 50))
    asked = spaced(large, SQUARE, wall=Sides.all_round(0.0))
    checked = check_layout(asked, (Placement("large", 100, 100, 0), Placement("square", 100, 100, 0)))
    assert kinds_of(checked) == ["pair"]
    assert checked.faults[0].actual_mm < 0.0


def test_two_in_one_place_are_a_fault():
    checked = check_layout(spaced(SQUARE, wall=Sides.all_round(0.0)), two(SQUARE, 0.0, 0.0))
    assert kinds_of(checked) == ["pair"]
    assert checked.least_wall_mm == pytest.approx(0.0)


def test_without_a_wall_they_may_touch_and_overlap_no_more_than_half_a_snap_step():
    asked = spaced(SQUARE, wall=Sides.all_round(0.0))
    assert not check_layout(asked, two(SQUARE, 10.0, 3.0)).faults
    assert not check_layout(asked, two(SQUARE, 9.9996, 3.0)).faults
    assert kinds_of(check_layout(asked, two(SQUARE, 9.999, 3.0))) == ["pair"]


def test_the_least_wall_of_two_far_apart_is_found():
    asked = spaced(SQUARE, wall=Sides.all_round(1.0))
    checked = check_layout(asked, (*two(SQUARE, 100.0, 110.0), Placement("square", 280.0, 10.0, 0.0)))
    assert checked.least_wall_mm == pytest.approx(math.hypot(170.0, 80.0)) or checked.least_wall_mm == pytest.approx(
        math.hypot(90.0, 100.0)
    )
    assert checked.least_wall_mm == pytest.approx(min(math.hypot(90.0, 100.0), math.hypot(170.0, 80.0)))


def test_one_copy_has_no_wall():
    checked = check_layout(spaced(SQUARE, wall=Sides.all_round(1.0)), two(SQUARE, 1.0, 1.0)[:1])
    assert checked.faults == ()
    assert math.isinf(checked.least_wall_mm)


# -- sides that differ -------------------------------------------------------------------------------------------------


def test_squares_side_by_side_keep_the_wider_of_the_two_sides_that_face():
    # right asks for 4, left for 6: 6 between them; back 8, front 2: 8
    asked = spaced(SQUARE, wall=NARROW)
    assert not check_layout(asked, two(SQUARE, 16.0, 0.0)).faults
    assert check_layout(asked, two(SQUARE, 15.999, 0.0)).faults == (Fault("pair", 1, 0, 6.0, pytest.approx(5.999)),)
    assert not check_layout(asked, two(SQUARE, 0.0, 18.0)).faults
    assert kinds_of(check_layout(asked, two(SQUARE, 0.0, 17.999))) == ["pair"]


def test_squares_corner_to_corner_stand_on_a_quarter_ellipse():
    # towards its right and back the first asks for x^2 / 16 + y^2 / 64 >= 1; towards its left and front the second
    # asks for x^2 / 36 + y^2 / 4 >= 1. At 45 degrees: 32 / sqrt(80) = 3.578 and 12 / sqrt(40) = 1.897 along each axis
    asked = spaced(SQUARE, wall=NARROW)
    gap = 32.0 / math.sqrt(80.0)
    assert not check_layout(asked, two(SQUARE, 10.0 + gap, 10.0 + gap)).faults
    (fault,) = check_layout(asked, two(SQUARE, 10.0 + gap - 0.002, 10.0 + gap - 0.002)).faults
    assert (fault.here, fault.there) == (0, 1)
    assert fault.needed_mm == pytest.approx(gap * math.sqrt(2.0), abs=0.003)
    assert fault.actual_mm == pytest.approx((gap - 0.002) * math.sqrt(2.0))


def test_sides_turn_with_the_copy():
    # turned by 90 degrees the right side looks back and the back side left
    asked = spaced(SQUARE, wall=NARROW, turns_deg=(0.0, 90.0, 180.0))
    quarter = (90.0, 90.0)
    assert not check_layout(asked, two(SQUARE, 18.0, 0.0, quarter)).faults
    assert check_layout(asked, two(SQUARE, 17.999, 0.0, quarter)).faults
    assert not check_layout(asked, two(SQUARE, 0.0, 16.0, quarter)).faults
    assert check_layout(asked, two(SQUARE, 0.0, 15.999, quarter)).faults
    # turned by 180 degrees the second, whose corner then is its upper right, looks at the first with its right side
    assert not check_layout(asked, two(SQUARE, 24.0, 10.0, (0.0, 180.0))).faults
    assert check_layout(asked, two(SQUARE, 23.999, 10.0, (0.0, 180.0))).faults


def test_a_wide_wall_is_not_excused_by_a_side_without_one():
    # half a snap step is given, whatever the narrowest side: 7.9 of 8 is a fault
    wall = Sides(right_mm=8.0, back_mm=8.0, left_mm=8.0, front_mm=0.0)
    asked = spaced(SQUARE, wall=wall)
    assert not check_layout(asked, two(SQUARE, 18.0, 0.0)).faults
    assert kinds_of(check_layout(asked, two(SQUARE, 17.9, 0.0))) == ["pair", "pair"]
    tiny = spaced(SQUARE, wall=dataclasses.replace(wall, front_mm=0.01))
    assert check_layout(tiny, two(SQUARE, 17.995, 0.0)).faults


def test_beside_a_side_without_spacing_they_may_touch_elsewhere_not():
    wall = Sides(right_mm=0.0, back_mm=8.0, left_mm=0.0, front_mm=8.0)
    asked = spaced(SQUARE, wall=wall)
    assert not check_layout(asked, two(SQUARE, 10.0, 3.0)).faults
    assert not check_layout(asked, two(SQUARE, 10.0, 13.0)).faults  # beside, not behind
    assert check_layout(asked, two(SQUARE, 9.99, 13.0)).faults
    assert check_layout(asked, two(SQUARE, 0.0, 10.0)).faults  # touches behind
    assert not check_layout(asked, two(SQUARE, 0.0, 18.0)).faults
    assert check_layout(asked, two(SQUARE, 0.0, 17.99)).faults


def test_touching_is_a_fault_where_all_sides_need_a_wall():
    assert check_layout(spaced(SQUARE, wall=NARROW), two(SQUARE, 0.0, 10.0)).faults


def test_a_pair_asks_in_its_own_direction():
    pairs = (PairWall("disc", "square", Sides.all_round(20.0)),)
    asked = spaced(DISC, SQUARE, wall=Sides.all_round(3.0), pairs=pairs)
    near = (Placement("disc", 100, 100, 0), Placement("square", 129.0, 95.0, 0))
    assert check_layout(asked, near).faults == (Fault("pair", 0, 1, 20.0, pytest.approx(19.0)),)
    assert not check_layout(asked, (near[0], near[1]._replace(x_mm=130.0))).faults


corners = st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=3, max_size=12)


def ringed(points):
    hull = shapely.MultiPoint(points).convex_hull
    assume(hull.geom_type == "Polygon" and hull.area > 1.0)
    return hull


@settings(max_examples=60)
@given(corners, corners, st.floats(-60, 60), st.floats(-60, 60), st.floats(0.5, 20))
def test_with_equal_sides_the_gauge_is_shapely_distance(first, second, x_mm, y_mm, wall_mm):
    here, there = ringed(first), affinity.translate(ringed(second), x_mm, y_mm)
    assume(here.distance(there) > 0.0)
    rings = [shapely.get_coordinates(one.exterior)[:-1] for one in (here, there)]
    found = gauge_ratio(*rings, Sides.all_round(wall_mm))
    assert found.ratio * wall_mm == pytest.approx(here.distance(there), rel=1e-9, abs=1e-9)
    assert math.hypot(found.x_mm, found.y_mm) == pytest.approx(here.distance(there), rel=1e-9, abs=1e-9)


@settings(max_examples=40)
@given(
    st.floats(0.0, 360.0),
    st.floats(0.6, 3.0),
    st.tuples(*(st.floats(0.5, 20.0) for _ in range(4))),
    st.integers(20, 70),
)
def test_the_gauge_of_rings_of_many_corners_is_that_of_their_points(angle, far, sides, count):
    # a slow measure: each ring as thousands of points, the gauge of each difference worked from the ellipse's equation
    wave = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    radius = 10.0 + 2.0 * np.sin(5.0 * wave)
    here = np.c_[radius * np.cos(wave), radius * np.sin(wave)]
    there = here + 30.0 * far * np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    assume(shapely.Polygon(here).distance(shapely.Polygon(there)) > 0.1)
    right, back, left, front = sides
    found = gauge_ratio(here, there, Sides(right_mm=right, back_mm=back, left_mm=left, front_mm=front))
    dense = [shapely.get_coordinates(shapely.segmentize(shapely.Polygon(one).exterior, 0.25)) for one in (here, there)]
    ways = dense[1][None] - dense[0][:, None]
    wide = np.where(ways[..., 0] >= 0.0, right, left)
    deep = np.where(ways[..., 1] >= 0.0, back, front)
    slow = np.sqrt((ways[..., 0] / wide) ** 2 + (ways[..., 1] / deep) ** 2).min()
    assert found.ratio <= slow + 1e-9
    assert found.ratio >= slow - 0.25 / min(sides)


def test_the_gauge_of_a_point_like_square_by_the_ellipse():
    # a square far smaller than the wall against another on the border of the ellipse with half axes 12 and 5
    speck = np.array([(0.0, 0.0), (1e-6, 0.0), (1e-6, 1e-6), (0.0, 1e-6)])
    for angle in (10.0, 40.0, 80.0):
        there = speck + np.array([12.0 * math.cos(math.radians(angle)), 5.0 * math.sin(math.radians(angle))])
        found = gauge_ratio(speck, there, Sides(right_mm=12.0, back_mm=5.0, left_mm=1.0, front_mm=1.0))
        assert found.ratio == pytest.approx(1.0, abs=1e-6)


@settings(max_examples=30)
@given(st.lists(st.tuples(st.integers(0, 200), st.integers(0, 200)), min_size=2, max_size=25), st.floats(0.1, 30.0))
def test_of_many_copies_every_pair_too_near_is_told_and_no_other(spots, wall_mm):
    copies = [Placement("disc", float(x), float(y), 0.0) for x, y in spots]
    checked = check_layout(spaced(DISC, wall=Sides.all_round(wall_mm), width_mm=400.0, rim=NO_RIM), copies)
    shapes = [affinity.translate(DISC.outline.shape, x, y) for x, y in spots]
    apart = {(i, j): shapes[i].distance(shapes[j]) for j in range(len(spots)) for i in range(j)}
    told = {(one.here, one.there) for one in checked.faults if one.kind == "pair"}
    assert told == {pair for pair, mm in apart.items() if mm < wall_mm - 0.0005}
    assert checked.least_wall_mm == pytest.approx(min(apart.values()), abs=1e-6)


# -- rims, regions, turns, kits ----------------------------------------------------------------------------------------


def test_each_rim_has_its_own_width_and_a_kind_may_overrule_it():
    rim = Sides(right_mm=3.0, back_mm=4.0, left_mm=5.0, front_mm=6.0)
    asked = spaced(SQUARE, wall=Sides.all_round(1.0), rim=rim, width_mm=50.0, depth_mm=50.0)
    assert not check_layout(asked, (Placement("square", 5.0, 6.0, 0.0), Placement("square", 37.0, 36.0, 0.0))).faults
    for x, y, side in ((4.999, 20.0, 0), (20.0, 5.999, 1), (37.001, 20.0, 2), (20.0, 36.001, 3)):
        (fault,) = check_layout(asked, (Placement("square", x, y, 0.0),)).faults
        assert (fault.kind, fault.here, fault.there) == ("rim", 0, side)
        assert fault.needed_mm - fault.actual_mm == pytest.approx(0.001)
    own = dataclasses.replace(asked.spacing, rims=(("square", NO_RIM),))
    assert not check_layout(dataclasses.replace(asked, spacing=own), (Placement("square", 40.0, 0.0, 0.0),)).faults


def test_a_region_keeps_its_wall_and_may_be_touched_without_one():
    pin = NoGo(region=Region.rectangle(140, 100, 150, 110), wall_mm=7.0)
    asked = spaced(SQUARE, wall=Sides.all_round(1.0), no_go=(pin,))
    at = Placement("square", 123.0, 100.0, 0.0)
    assert not check_layout(asked, (at,)).faults
    assert check_layout(asked, (at._replace(x_mm=123.001),)).faults == (
        Fault("no-go", 0, 0, 7.0, pytest.approx(6.999)),
    )
    bare = spaced(SQUARE, wall=Sides.all_round(1.0), no_go=(dataclasses.replace(pin, wall_mm=0.0),))
    assert not check_layout(bare, (at._replace(x_mm=130.0),)).faults
    assert kinds_of(check_layout(bare, (at._replace(x_mm=130.01),))) == ["no-go"]
    assert kinds_of(check_layout(bare, (at._replace(x_mm=141.0, y_mm=101.0),))) == ["no-go"]


def test_only_turns_that_are_allowed_and_one_shared_angle():
    asked = spaced(SQUARE, wall=Sides.all_round(1.0), turns_deg=(0.0, 180.0))
    assert not check_layout(asked, two(SQUARE, 50.0, 0.0, (0.0, 540.0))).faults
    assert check_layout(asked, two(SQUARE, 50.0, 0.0, (0.0, 90.0))).faults == (Fault("turn", 1, -1, 0.0, 0.0),)
    free = dataclasses.replace(asked, free_turn=True)
    assert not check_layout(free, two(SQUARE, 50.0, 0.0, (33.0, 213.0))).faults
    assert not check_layout(free, two(SQUARE, 50.0, 0.0, (213.0, 33.0))).faults
    assert kinds_of(check_layout(free, two(SQUARE, 50.0, 0.0, (33.0, 213.001)))) == ["turn"]


def test_whole_kits_only_and_no_more_than_asked_for():
    asked = spaced(DISC, dataclasses.replace(SQUARE, in_kit=2), wall=Sides.all_round(1.0), kits_most=1)
    disc = Placement("disc", 20.0, 20.0, 0.0)
    squares = [Placement("square", 50.0 + 20.0 * k, 20.0, 0.0) for k in range(4)]
    assert not check_layout(asked, (disc, *squares[:2])).faults
    assert not check_layout(asked, ()).faults
    for wrong in ((disc,), (disc, *squares[:3]), (disc, disc._replace(y_mm=80.0), *squares)):
        assert kinds_of(check_layout(asked, wrong)) == ["kit"]


@pytest.mark.parametrize("wrong", [Placement("other", 9.0, 9.0, 0.0), Placement("square", math.nan, 9.0, 0.0)])
def test_what_cannot_stand_is_told_and_the_rest_is_checked(wrong):
    checked = check_layout(spaced(SQUARE, wall=Sides.all_round(1.0)), (wrong, *two(SQUARE, 5.0, 0.0)))
    assert Fault("kit", 0, -1, 0.0, 0.0) in checked.faults
    assert [(one.here, one.there) for one in checked.faults if one.kind == "pair"] == [(1, 2)]


# -- slots through rows ------------------------------------------------------------------------------------------------

BLOCK = Kind(
    id="block", outline=Region.rectangle(-20, -10, 20, 10), slots=(RowSlot(line_mm=0, width_mm=6, reach_mm=5),)
)
ROW = (Placement("block", 40.0, 30.0, 0.0), Placement("block", 86.0, 30.0, 180.0))
THROUGH = Slot(15.0, 27.0, 111.0, 33.0)


def slotted(**other):
    return spaced(BLOCK, wall=Sides.all_round(6.0), **other)


def test_a_row_shares_its_slot_and_alone_each_copy_needs_its_own():
    assert not check_layout(slotted(), ROW, (THROUGH,)).faults
    # alone their slots run 5 past each end: 46 apart leaves 6 of 40 long outlines, less 10
    assert kinds_of(check_layout(slotted(), ROW)) == ["pair"]


def test_a_copy_off_its_slot_is_a_fault():
    for missed in (THROUGH._replace(front_mm=28.0), THROUGH._replace(right_mm=105.0)):
        assert Fault("slot", 1, -1, 0.0, 0.0) in check_layout(slotted(), ROW, (missed,)).faults


def test_other_rows_keep_the_wall_from_a_slot():
    other = Placement("block", 137.0, 57.0, 0.0)
    second = Slot(112.0, 54.0, 162.0, 60.0)
    assert not check_layout(slotted(), (*ROW, other), (THROUGH, second)).faults
    long = THROUGH._replace(right_mm=150.0)
    assert not check_layout(slotted(), (*ROW, other), (long, second)).faults  # 47 - 33 = 14 above it
    low = other._replace(y_mm=48.0)
    faults = check_layout(slotted(), (*ROW, low), (long, second._replace(front_mm=45.0, back_mm=51.0))).faults
    assert faults == (Fault("slot", 3, 2, 6.0, pytest.approx(5.0)),)


def test_a_slot_that_cuts_through_another_row_is_a_fault_without_any_wall():
    asked = spaced(BLOCK, wall=Sides.all_round(0.0))
    other = Placement("block", 137.0, 35.0, 0.0)
    faults = check_layout(asked, (*ROW, other), (THROUGH._replace(right_mm=150.0), Slot(110, 32, 162, 38))).faults
    assert ("slot", 3, 2) in {(one.kind, one.here, one.there) for one in faults}


def test_two_slots_of_other_rows_keep_the_wall_and_a_slot_of_no_copy_is_told():
    lonely = Slot(200.0, 200.0, 220.0, 206.0)
    assert check_layout(slotted(), ROW, (THROUGH, lonely)).faults == (Fault("slot", 3, -1, 0.0, 0.0),)
    right = Placement("block", 146.0, 30.0, 0.0)
    apart = (THROUGH, Slot(121.0, 27.0, 171.0, 33.0))
    assert not check_layout(slotted(), (*ROW, right), apart).faults
    near = (THROUGH, apart[1]._replace(left_mm=115.0))
    assert check_layout(slotted(), (*ROW, right), near).faults == (Fault("slot", 3, 4, 6.0, pytest.approx(4.0)),)


def test_sides_that_differ_hold_beside_a_slot():
    # the block asks for 12 behind it: so does its slot, for what stands behind
    wall = Sides(right_mm=6.0, back_mm=12.0, left_mm=6.0, front_mm=1.0)
    asked = spaced(BLOCK, wall=wall)
    long = THROUGH._replace(right_mm=150.0)
    for y, count in ((55.0, 0), (54.99, 1)):
        other = Placement("block", 137.0, y, 0.0)
        faults = check_layout(asked, (*ROW, other), (long, Slot(112.0, y - 3.0, 162.0, y + 3.0))).faults
        assert [(one.kind, one.here, one.there) for one in faults] == [("slot", 3, 2)] * count


def test_a_slot_keeps_clear_of_a_region_and_inside_the_container():
    pin = NoGo(region=Region.rectangle(113, 28, 118, 32), wall_mm=2.5)
    assert [(one.kind, one.here) for one in check_layout(slotted(no_go=(pin,)), ROW, (THROUGH,)).faults] == [
        ("no-go", 2)
    ]
    out = check_layout(slotted(), ROW, (THROUGH._replace(left_mm=-1.0),)).faults
    assert out == (Fault("rim", 2, 0, 0.0, -1.0),)
