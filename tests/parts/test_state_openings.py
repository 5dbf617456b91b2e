"""The opening over a part's states: nothing of the part in any state ever meets the foam."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import SPINDLE, asked, contact, demo, demo_lying, lying, plate, told
from traywright.base import Severity
from traywright.geometry import Region
from traywright.parts import (
    AddedAt,
    Boss,
    Disc,
    Hole,
    PartState,
    Plate,
    Rule,
    Step,
    Tube,
    Turned,
    build_part,
    envelope,
    envelope_ends_mm,
    governing_findings,
    governing_state,
    lift_mm,
    opening,
    opening_by_depth,
    seat_levels,
    take_pose,
)
from traywright.parts.opening_depths import AREA_RATIO, MOST_ROWS
from traywright.parts.standing import placed_mm
from twins import swept

SHAPES = {
    "block": Plate(
        length_mm=60.0,
        width_mm=40.0,
        thickness_mm=12.0,
        holes=(Hole(x_mm=15.0, y_mm=20.0, diameter_mm=10.0),),
        bosses=(Boss(x_mm=40.0, y_mm=20.0, size_mm=(16.0,), height_mm=9.0),),
    ),
    "shaft": Turned(steps=(Step(length_mm=20, diameter_mm=40), Step(length_mm=25, diameter_mm=20, bore_mm=8.0))),
    "rail": Tube(length_mm=50.0, width_mm=30.0, height_mm=20.0, wall_mm=3.0),
    "ring": Disc(diameter_mm=44.0, thickness_mm=8.0, bore_mm=20.0),
}
COATED = PartState(name="coated", added_mm=0.4)
BAGGED = PartState(name="bagged", bag_mm=1.5)
HOT = PartState(name="hot", temperature=told("t", 220.0, "C"), expansion=told("a", 1e-4, "1/K"))
PAINTED = PartState(name="painted", added=(AddedAt(where=(("facing", "z"),), added_mm=0.8),))
TOLERANCE = 0.15


@cache
def part_of(shape, *states, tolerance=TOLERANCE):
    return build_part(asked(dimensions=SHAPES[shape], states=states, tolerance_mm=tolerance))[0]


def coated_plate(*states, down=(0.0, 0.0, -1.0), **changes):
    return lying(plate(states=states, **changes)[0], down)


def spots(corners, draws, count):
    """Random points of triangles, as many a triangle as its area asks."""
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    own = corners[draws.choice(len(corners), count, p=areas / areas.sum())]
    u, v = draws.random((2, count, 1))
    u, v = np.where(u + v > 1.0, 1.0 - u, u), np.where(u + v > 1.0, 1.0 - v, v)
    return own[:, 0] + u * (own[:, 1] - own[:, 0]) + v * (own[:, 2] - own[:, 0])


def anywhere(draws, count):
    ways = draws.normal(size=(count, 3))
    return ways / np.linalg.norm(ways, axis=1)[:, None]


def surface_of(pose, state, draws, count=300):
    """Points of the part's surface in a state at its largest: a ball of what is added rolls over it, all lifted."""
    lift = np.array([0.0, 0.0, lift_mm(pose, state)])
    points = spots(pose.solid.corners_mm, draws, count)
    out = anywhere(draws, count) * (state.wider_mm + pose.part.tolerance_mm)
    found = [state.size_ratio * points + out]
    for one in pose.part.grown:
        if one.state == state.name:
            own = state.size_ratio * spots(placed_mm(pose, one.corners_mm), draws, count)
            found.append(own + anywhere(draws, count) * (state.wider_mm + one.added_mm + pose.part.tolerance_mm))
    return np.concatenate(found) + lift


def direction(seed):
    return tuple(np.random.default_rng(seed).normal(size=3).tolist())


every_state = pytest.mark.parametrize("state", [COATED, BAGGED, HOT, PAINTED], ids=lambda one: one.name)


@every_state
@given(st.sampled_from(sorted(SHAPES)), st.integers(0, 10_000), st.floats(0.0, 1.2))
@settings(max_examples=8, deadline=None)
def test_the_part_goes_in_and_out_in_every_state_without_meeting_foam(state, shape, seed, clearance):
    pose = take_pose(part_of(shape, COATED, BAGGED, HOT, PAINTED), direction(seed))
    draws = np.random.default_rng(seed)
    points = surface_of(pose, state, draws)
    for share in (-0.01, 0.05, 0.3, 0.6, 1.02):
        z = share * pose.size_mm[2]
        passed = points[points[:, 2] < z - 0.001][:, :2]
        near = shapely.points(passed)
        for region, later in ((opening, pose.part.tolerance_mm), (envelope, 0.0)):
            # foam under the nominal part gives by its tolerance in height; the envelope keeps clear of that too
            free = region(pose, z + later, clearance_mm=clearance, stand_off_mm=0.0).shape
            assert shapely.covers(free.buffer(0.003), near).all()
            if len(passed):
                # whole discs of the clearance round each point that passed
                assert (shapely.distance(free.boundary, near) >= clearance - 0.003).all()


@given(st.sampled_from(sorted(SHAPES)), st.integers(0, 10_000))
@settings(max_examples=12, deadline=None)
def test_the_opening_agrees_with_what_passed_cell_by_cell(shape, seed):
    """Both ways on a grid: the twin knows points only, so it may be late by their spacing."""
    pose = take_pose(part_of(shape, COATED), direction(seed))
    draws = np.random.default_rng(seed)
    points = spots(pose.solid.corners_mm, draws, 4000)
    width, depth, height = pose.size_mm
    cells = [(x, y) for x in np.linspace(-width, width, 9) * 0.55 for y in np.linspace(-depth, depth, 9) * 0.55]
    clearance, out = 1.0, COATED.added_mm + pose.part.tolerance_mm + pose.part.chord_mm
    earlier = COATED.added_mm - lift_mm(pose, COATED)
    spacing = 4.0 * math.sqrt(np.prod(sorted(pose.size_mm)[1:]) * 6.0 / len(points))
    surely = swept.lowest_passed(points.tolist(), cells, clearance + out - 0.01)
    hardly = swept.lowest_passed(points.tolist(), cells, clearance + out + spacing)
    for z in (0.2 * height, 0.6 * height, 1.1 * height):
        free = opening(pose, z, clearance_mm=clearance, stand_off_mm=0.0)
        for cell, low, late in zip(cells, surely, hardly, strict=True):
            if low < z + earlier - 0.01:
                assert free.holds(cell)
            # further off than any point of the whole part, foam stands
            if math.isinf(late):
                assert not free.holds(cell)


@every_state
@given(st.sampled_from(sorted(SHAPES)), st.integers(0, 10_000), st.floats(-3, 60), st.floats(0, 30))
@settings(max_examples=8, deadline=None)
def test_it_grows_with_height_and_holds_the_raw_part_s(state, shape, seed, z, more):
    down = direction(seed)
    raw, pose = take_pose(part_of(shape), down), take_pose(part_of(shape, state), down)
    here = opening(pose, z, clearance_mm=0.5, stand_off_mm=1.0)
    assert opening(pose, z + more, clearance_mm=0.5, stand_off_mm=1.0).grown(0.03).contains(here)
    assert here.grown(0.003).contains(opening(raw, z, clearance_mm=0.5, stand_off_mm=1.0))
    assert envelope(pose, z, clearance_mm=0.5, stand_off_mm=1.0).grown(0.03).contains(here)


def test_a_state_that_is_no_larger_changes_no_byte():
    raw = demo_lying(SPINDLE)
    cold = PartState(name="cold", temperature=told("t", -20.0, "C"), mass=told("m", 2.024, "kg"))
    pose = lying(replace(demo(SPINDLE)[0], states=(cold, PartState(name="coated"))))
    for z in (0.0, 10.0, 24.0, 60.0, 100.0):
        here = opening(pose, z, clearance_mm=1.0, stand_off_mm=2.0)
        assert here == opening(raw, z, clearance_mm=1.0, stand_off_mm=2.0)
    assert seat_levels(pose, stand_off_mm=2.0) == seat_levels(raw, stand_off_mm=2.0)
    assert governing_findings(pose) == ()


def test_a_coating_widens_by_its_thickness_and_lifts_the_part():
    pose = coated_plate(COATED, tolerance_mm=0.1)
    assert lift_mm(pose, COATED) == pytest.approx(0.4)
    assert opening(pose, -0.001, clearance_mm=0.0, stand_off_mm=0.0).is_empty
    low = opening(pose, 0.01, clearance_mm=0.0, stand_off_mm=0.0)
    assert low.size_mm == pytest.approx((100.0 + 2 * 0.5, 60.0 + 2 * 0.5), abs=0.021)
    assert envelope(pose, -0.11, clearance_mm=0.0, stand_off_mm=0.0).is_empty
    assert envelope(pose, -0.09, clearance_mm=0.0, stand_off_mm=0.0) == low
    # it stands on its coating and ends a coating higher, lifted by another
    assert envelope_ends_mm(pose) == pytest.approx((-0.1, 10.0 + 0.8 + 0.1))
    assert envelope_ends_mm(coated_plate(tolerance_mm=0.1)) == pytest.approx((-0.1, 10.1))


def test_a_hot_part_is_larger_about_its_middle_and_its_lowest_spot():
    pose = coated_plate(HOT)
    ratio = 1.0 + 1e-4 * 200.0
    wide = opening(pose, 50.0, clearance_mm=0.0, stand_off_mm=0.0)
    assert wide.bounds_mm == pytest.approx((-50 * ratio, -30 * ratio, 50 * ratio, 30 * ratio), abs=0.002)
    assert envelope_ends_mm(pose) == pytest.approx((0.0, 10.0 * ratio))


def test_a_place_that_grows_widens_only_there():
    state = PartState(name="painted", added=(AddedAt(where=(("facing", "+x"),), added_mm=2.0),))
    pose = coated_plate(state)
    left, front, right, back = opening(pose, 5.0, clearance_mm=0.5, stand_off_mm=0.0).bounds_mm
    assert (left, right) == pytest.approx((-50.5, 52.5), abs=0.011)
    # round the two ends of the painted wall its film stands out as far
    assert (front, back) == pytest.approx((-32.5, 32.5), abs=0.011)
    beside = opening(pose, 5.0, clearance_mm=0.5, stand_off_mm=0.0).intersection(Region.rectangle(-99, -99, 40, 99))
    assert beside.size_mm[1] == pytest.approx(61.0, abs=0.021)
    # the wall's film reaches below its lower edge, the rest of the plate does not
    under = opening(pose, -1.0, clearance_mm=0.0, stand_off_mm=0.0)
    assert under.bounds_mm == pytest.approx((48.0, -32.0, 52.0, 32.0), abs=0.011)


def test_what_must_not_be_touched_stands_off_its_coating():
    never = contact(Rule.NEVER, facing="+x")
    pose = coated_plate(COATED, contacts=(never,))
    assert opening(pose, 5.0, clearance_mm=0.5, stand_off_mm=3.0).bounds_mm[2] == pytest.approx(53.9, abs=0.01)
    painted = PartState(name="painted", added=(AddedAt(where=(("facing", "+x"),), added_mm=1.0),))
    local = coated_plate(painted, contacts=(never,))
    assert opening(local, 5.0, clearance_mm=0.5, stand_off_mm=3.0).bounds_mm[2] == pytest.approx(54.5, abs=0.01)
    assert opening(local, -3.9, clearance_mm=0.5, stand_off_mm=3.0).is_empty is False
    assert opening(local, -4.1, clearance_mm=0.5, stand_off_mm=3.0).is_empty


def test_the_state_that_reaches_furthest_governs_and_raw_where_none_does():
    pose = coated_plate(COATED, BAGGED, HOT)
    # at 5 mm: the bag adds 1.5 all round, the heat 1.0 at the ends
    assert governing_state(pose, 5.0) == "bagged"
    long_hot = replace(HOT, temperature=told("t", 620.0, "C"))
    # at the ends the heat adds 3.0, at the sides 1.8: all of the bag lies inside
    assert governing_state(coated_plate(BAGGED, long_hot), 5.0) == "hot"
    assert governing_state(coated_plate(), 5.0) == "raw"
    assert governing_state(pose, -9.0) == "raw"
    twice = coated_plate(COATED, replace(COATED, name="again"))
    assert governing_state(twice, 5.0) == "coated"


STEPS = Turned(steps=(Step(length_mm=20, diameter_mm=40), Step(length_mm=30, diameter_mm=24)))
NECK = (("surface", "cylinder"), ("diameter_mm", 24.0))
HEAD = (("surface", "cylinder"), ("diameter_mm", 40.0))


def of_steps(*states, **changes):
    return lying(build_part(asked(dimensions=STEPS, states=states, **changes))[0])


def test_the_governing_states_are_told_with_their_height():
    head = PartState(name="head painted", added=(AddedAt(where=HEAD, added_mm=1.0),))
    neck = PartState(name="neck painted", added=(AddedAt(where=NECK, added_mm=3.0),))
    told_of = governing_findings(of_steps(neck, head, tolerance_mm=0.1))
    first, second = (dict(one.parameters) for one in told_of)
    assert [(one.code, one.severity) for one in told_of] == [("PART-117", Severity.NOTE)] * 2
    # up to the neck's floor at 8 there is the head alone, above it the neck's thick paint reaches furthest
    assert (first["state"], second["state"]) == ("head painted", "neck painted")
    assert first["z_mm"] == pytest.approx(-0.11, abs=0.02)
    assert 5.0 < second["z_mm"] < 12.0
    assert first["high_mm"] == pytest.approx(40.0 + 3.0 + 3.0 + 0.11, abs=0.03)
    assert governing_findings(coated_plate()) == ()


@pytest.mark.parametrize(
    ("state", "lift"),
    [
        (COATED, 0.4),
        (BAGGED, 1.5),
        (PartState(name="plated", added=(AddedAt(where=NECK, added_mm=0.3),)), 0.3),
        (PartState(name="plated", added=(AddedAt(where=(("facing", "x"),), added_mm=0.3),)), 0.0),
        # grown from the origin: the seat at 0 stays, the one at 8 would rise, so the lower carries
        (HOT, 0.0),
    ],
)
def test_a_part_is_lifted_by_what_stands_under_its_seats_and_the_seats_stay(state, lift):
    pose = of_steps(state)
    assert seat_levels(pose, stand_off_mm=2.0) == seat_levels(of_steps(), stand_off_mm=2.0) == (0.0, 8.0)
    assert lift_mm(pose, state) == pytest.approx(lift)


def test_a_hot_part_on_its_upper_seat_alone_sinks_by_what_it_grew_below():
    only = contact(Rule.NEVER, surface="cylinder", diameter_mm=40.0)
    assert lift_mm(of_steps(HOT, contacts=(only,)), HOT) == pytest.approx(-8.0 * 0.02)


@pytest.mark.parametrize("state", [COATED, BAGGED], ids=lambda one: one.name)
def test_a_state_cuts_no_seat_away(state):
    pose = of_steps(state, tolerance_mm=0.15)
    # the floor under the neck stands at 8: up to there nothing but the head may be free
    free = opening(pose, 8.0 - 0.03, clearance_mm=0.5, stand_off_mm=0.0)
    assert free.size_mm[0] == pytest.approx(20.0 + 2 * (0.5 + 0.15 + state.wider_mm), abs=0.05)


def test_rows_by_depth_of_a_stepped_plate_are_its_levels_exactly():
    shape = Plate(
        length_mm=60.0,
        width_mm=40.0,
        thickness_mm=12.0,
        bosses=(Boss(x_mm=30.0, y_mm=20.0, size_mm=(20.0, 10.0), height_mm=5.0, on_top=False),),
    )
    part, _ = build_part(asked(dimensions=shape, tolerance_mm=0.0))
    rows = opening_by_depth(lying(part))
    assert [(one.z_mm, one.area_mm2, one.state) for one in rows] == [(0.0, 200.0, "raw"), (5.0, 2400.0, "raw")]
    coated, _ = build_part(asked(dimensions=shape, states=(COATED,)))
    rows = opening_by_depth(lying(coated))
    assert [(one.z_mm, one.state) for one in rows] == [(0.0, "coated"), (5.0, "coated")]
    # sides 0.4 out, a quarter disc at each corner; all of it further out by at most a chord
    exact = 2400 + 200 * 0.4 + math.pi * 0.16
    assert exact <= rows[1].area_mm2 <= exact + 0.011 * 203


def test_rows_by_depth_of_a_round_part_bound_what_lies_between():
    pose = lying(part_of("shaft"))
    rows = opening_by_depth(pose, clearance_mm=0.5)
    assert 10 < len(rows) <= MOST_ROWS
    heights = [one.z_mm for one in rows]
    assert heights == sorted(heights)
    whole = rows[-1].until_mm2
    for one, after in pairwise(rows):
        assert one.area_mm2 <= one.until_mm2 + 1e-6
        assert one.until_mm2 - one.area_mm2 <= AREA_RATIO * whole + 0.01 or after.z_mm - one.z_mm < 0.05
        middle = (one.z_mm + after.z_mm) / 2.0
        if after.z_mm - one.z_mm > 0.02:
            there = envelope(pose, middle, clearance_mm=0.5, stand_off_mm=0.0).area_mm2
            assert one.area_mm2 - 0.5 <= there <= one.until_mm2 + 0.5
    above = envelope(pose, 99.0, clearance_mm=0.5, stand_off_mm=0.0).area_mm2
    assert whole == pytest.approx(above, abs=0.01)


def test_rows_begin_where_a_stand_off_begins():
    pose = coated_plate(contacts=(contact(Rule.NOT_AT_REST, facing="-z"),))
    rows = opening_by_depth(pose, stand_off_mm=2.0)
    assert rows[0].z_mm == pytest.approx(-2.0)
    assert rows[0].area_mm2 > 104 * 64 - 10
