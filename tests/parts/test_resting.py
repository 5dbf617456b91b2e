from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.parts.resting import MOST_POINTS, axis_poses, resting_poses, thinned

BLOCK = np.array([[x, y, z] for x in (0, 40) for y in (0, 30) for z in (0, 20)], dtype=float)
MIDDLE = (20.0, 15.0, 10.0)


def turn_of(seed):
    turn, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    return turn if np.linalg.det(turn) > 0.0 else turn[:, ::-1]


def test_a_block_rests_on_six_faces_flattest_first():
    poses = resting_poses(BLOCK, MIDDLE)
    assert [one.height_mm for one in poses] == [10.0, 10.0, 15.0, 15.0, 20.0, 20.0]
    # standing on 40 x 30, 20 high: over the nearer edge, 15 off
    assert poses[0].rise_mm == pytest.approx(math.hypot(10.0, 15.0) - 10.0)
    assert axis_poses(BLOCK, MIDDLE, poses) == ()


@given(st.integers(0, 10_000))
@settings(max_examples=25)
def test_turning_the_part_turns_its_poses_and_changes_nothing_else(seed):
    turn = turn_of(seed)
    told = resting_poses(BLOCK @ turn.T, tuple(turn @ np.array(MIDDLE)))
    plain = resting_poses(BLOCK, MIDDLE)
    assert [one.rise_mm for one in told] == pytest.approx([one.rise_mm for one in plain], abs=1e-5)
    for one in told:
        back = np.asarray(one.down) @ turn
        assert min(math.dist(back, other.down) for other in plain) < 1e-6


def test_a_face_with_a_slight_bevel_is_one_pose():
    raised = BLOCK.copy()
    raised[1, 2] += 0.01  # a corner of the top stands 0.01 mm proud
    assert len(resting_poses(raised, MIDDLE)) == 6


def test_a_part_that_would_fall_over_does_not_rest_there():
    leaning = np.array([[0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0], [60, 0, 80], [60, 10, 80]], dtype=float)
    poses = resting_poses(leaning, (30.0, 5.0, 35.0))
    assert (0.0, 0.0, -1.0) not in [one.down for one in poses]
    standing = [one for one in axis_poses(leaning, (30.0, 5.0, 35.0), poses) if one.down == (0.0, 0.0, -1.0)]
    assert [(one.rests, one.height_mm, one.rise_mm) for one in standing] == [(False, 35.0, 0.0)]


def test_a_ball_knows_no_other_pose():
    steps = np.linspace(0.0, math.pi, 40)
    turns = np.linspace(0.0, 2.0 * math.pi, 80, endpoint=False)
    ball = np.array(
        [
            (20 * math.sin(a) * math.cos(t), 20 * math.sin(a) * math.sin(t), 20 * math.cos(a))
            for a in steps
            for t in turns
        ]
    )
    (only,) = resting_poses(ball, (0.0, 0.0, 0.0), chord_mm=0.05)
    assert only.rolls
    assert math.isinf(only.rise_mm)


def test_many_points_are_thinned_to_what_the_hull_needs():
    draws = np.random.default_rng(5).normal(size=(200_000, 3))
    shell = draws / np.linalg.norm(draws, axis=1)[:, None] * np.array([60.0, 45.0, 30.0])
    kept, off = thinned(shell, np.zeros(3))
    assert len(kept) < 1.5 * MOST_POINTS
    # every direction is still reached to within what is told
    ways = draws[:500] / np.linalg.norm(draws[:500], axis=1)[:, None]
    short = (shell @ ways.T).max(axis=0) - (kept @ ways.T).max(axis=0)
    assert 0.0 <= short.max() <= off
