"""Copies that nearly stand are moved to where they do, all at once."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.outlines import outline, question
from traywright.geometry import Region
from traywright.layout import Kind, NoGo, Placement, Sides, Spacing
from traywright.layout.check import check_layout
from traywright.layout.polish import polished


def disc(radius_mm=20.0):
    return Kind(id="disc", outline=Region.disc((0.0, 0.0), radius_mm))


def test_two_discs_part_along_the_line_between_them():
    asked = question(disc(), width_mm=200.0, depth_mm=200.0)
    near = (Placement("disc", 80.0, 80.0, 0.0), Placement("disc", 108.8, 118.4, 0.0))
    one, other = polished(asked, near)
    apart = math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm))
    assert apart == pytest.approx(48.0, abs=0.05)
    way = math.degrees(math.atan2(other.y_mm - one.y_mm, other.x_mm - one.x_mm))
    assert way == pytest.approx(math.degrees(math.atan2(38.4, 28.8)), abs=3.0)


def test_what_stands_stays():
    asked = question(disc(), width_mm=200.0, depth_mm=100.0)
    standing = (Placement("disc", 30.0, 30.0, 0.0), Placement("disc", 120.0, 60.0, 0.0))
    assert polished(asked, standing) == standing


def test_discs_that_touch_are_drawn_apart_without_a_wall():
    asked = question(disc(), width_mm=79.0, depth_mm=80.0, wall_mm=0.0)
    (one, other) = polished(asked, (Placement("disc", 22.0, 22.0, 0.0), Placement("disc", 56.0, 40.0, 0.0)))
    assert not check_layout(asked, (one, other)).faults


def test_a_box_that_is_too_small_gives_nothing():
    asked = question(disc(), width_mm=80.0, depth_mm=60.0)
    assert polished(asked, (Placement("disc", 28.0, 30.0, 0.0), Placement("disc", 52.0, 30.0, 0.0))) == ()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_shaken_layout_stands_again(seed):
    asked = question("flanged_shaft", width_mm=560.0, depth_mm=360.0)
    draws = np.random.default_rng(seed)
    body = outline("flanged_shaft")
    wide, deep = body.size_mm
    left, front = body.bounds_mm[:2]
    shaken = [
        Placement(
            "flanged_shaft",
            round(9.0 + column * (wide + 9.0) - left + float(draws.uniform(-1.0, 1.0)), 3),
            round(9.0 + row * (deep + 9.0) - front + float(draws.uniform(-1.0, 1.0)), 3),
            0.0,
        )
        for column in range(3)
        for row in range(5)
    ]
    assert check_layout(asked, shaken).faults
    found = polished(asked, shaken)
    assert not check_layout(asked, found).faults
    assert max(math.dist(a[1:3], b[1:3]) for a, b in zip(shaken, found, strict=True)) < 4.0


def test_what_it_does_not_know_it_leaves():
    pair = (Placement("disc", 40.0, 40.0, 0.0), Placement("disc", 70.0, 40.0, 0.0))
    barred = question(disc(), no_go=(NoGo(region=Region.rectangle(0, 0, 9, 9), wall_mm=1.0),))
    assert polished(barred, pair) == ()
    uneven = Sides(right_mm=9.0, back_mm=3.0, left_mm=3.0, front_mm=3.0)
    assert polished(question(disc(), spacing=Spacing(wall=uneven, rim=uneven)), pair) == ()
