from __future__ import annotations

import numpy as np
import pytest

from parts.asked import BOARD, PRISM, SPINDLE, contact, demo_lying, lying, plate
from traywright.parts import (
    Rule,
    hold_plane_mm,
    seat_levels,
    side_reach,
    side_rules,
    topside,
    topside_rules,
    underside,
    underside_rules,
)

DEMO = [SPINDLE, PRISM, BOARD]
SIDES = ["left", "right", "front", "back"]
every_part = pytest.mark.parametrize("which", DEMO, ids=lambda which: which.id)


def test_the_spindle_sits_on_flange_and_body_and_frees_its_journals():
    # radii 46, 24, 20, 16, 12: bottoms at 0, 22, and 26, 30, 34 less 2
    assert seat_levels(demo_lying(SPINDLE), stand_off_mm=2.0) == (0.0, 22.0, 24.0, 28.0, 32.0)
    assert seat_levels(demo_lying(SPINDLE), stand_off_mm=6.0) == (0.0, 20.0, 22.0, 24.0, 28.0)


def test_the_board_sits_on_its_edge_above_its_components():
    # lowest is the diode, 4 below the board; relay 3.5, memory 2, connector 1.6 above the underside
    assert seat_levels(demo_lying(BOARD), stand_off_mm=2.0) == (-2.0, -1.5, 0.0, 2.0, 3.6, 4.0)
    assert hold_plane_mm(demo_lying(BOARD)) == pytest.approx(5.6)


def test_the_prism_stands_on_its_end():
    assert seat_levels(demo_lying(PRISM), stand_off_mm=2.0) == (0.0,)
    assert hold_plane_mm(demo_lying(PRISM)) == pytest.approx(50.0)


def test_a_polished_face_below_wants_a_floor_under_it():
    pose = demo_lying(PRISM, (0.0, -1.0, 0.0))
    assert seat_levels(pose, stand_off_mm=2.0) == (-2.0, 0.0)


def test_what_carries_nothing_is_no_seat():
    part, _ = plate(contacts=(contact(Rule.ALLOWED, facing="-z", load=False),))
    assert seat_levels(lying(part), stand_off_mm=2.0) == ()
    assert hold_plane_mm(lying(part)) == 10.0


def test_nothing_to_hold_from_above():
    part, _ = plate(contacts=(contact(Rule.NEVER, facing="+z"),))
    assert hold_plane_mm(lying(part)) == -np.inf


@every_part
def test_underside_lies_below_topside_on_the_same_cells(which):
    pose = demo_lying(which)
    low, high = underside(pose, 1.0), topside(pose, 1.0)
    inside = np.isfinite(low.values)
    assert np.array_equal(inside, np.isfinite(high.values))
    assert (low.values[inside] <= high.values[inside] + 1e-9).all()
    assert low.values[inside].min() == pytest.approx(0.0, abs=0.2)
    for rules in (underside_rules(pose, 1.0), topside_rules(pose, 1.0)):
        assert rules.origin_mm == low.origin_mm
        assert rules.values.dtype == np.int8
        assert np.array_equal(rules.values >= 0, inside)


def test_the_rule_of_a_cell_is_that_of_its_spot():
    pose = demo_lying(SPINDLE)
    rules = underside_rules(pose, 1.0)
    x, y = rules.centres_mm()
    axis = int(np.argmin(np.abs(y)))
    along = {0: x + 84 < 14, 1: (x + 84 > 14) & (x + 84 < 60), 2: x + 84 > 152}
    for rule, where in along.items():
        assert set(rules.values[axis, where].tolist()) == {rule}


@every_part
@pytest.mark.parametrize("side", SIDES)
def test_the_reach_of_a_side_ends_at_the_bounding_box(which, side):
    pose = demo_lying(which)
    reach, rules = side_reach(pose, side, 1.0), side_rules(pose, side, 1.0)
    inside = np.isfinite(reach.values)
    assert np.array_equal(rules.values >= 0, inside)
    half = pose.size_mm[0 if side in {"left", "right"} else 1] / 2
    far = reach.values[inside].max() if side in {"right", "back"} else -reach.values[inside].min()
    # the first cell centre lies half a cell beside the sharp edge of the prism
    assert half - 0.3 <= far <= half + 0.01
    assert reach.origin_mm[1] == 0.0


def test_the_sides_of_the_spindle_are_told_apart():
    pose = demo_lying(SPINDLE)
    # flange face left: allowed; thread end right: never
    assert set(np.unique(side_rules(pose, "left", 1.0).values)) == {-1, 0}
    right = side_rules(pose, "right", 1.0).values
    assert {0, 2} < set(np.unique(right).tolist())
    # the middle row: journals show at the front
    front = side_rules(pose, "front", 1.0)
    assert set(np.unique(front.values).tolist()) == {-1, 0, 1, 2}
