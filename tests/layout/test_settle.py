"""Layouts that nearly stand are brought to stand: judged by the check of bare outlines and by plain distances."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from shapely import affinity

from layout.outlines import question
from traywright.geometry import Region
from traywright.layout import Kind, NoGo, PairWall, Placement, Sides, Spacing
from traywright.layout.check import check_layout
from traywright.layout.settle import Settle

SQUARE = Kind(id="square", outline=Region.rectangle(0, 0, 40, 40))


def stood(asked, one):
    shape = asked.kind(one.kind).cell().shape
    return affinity.translate(affinity.rotate(shape, one.turn_deg, origin=(0, 0)), one.x_mm, one.y_mm)


def grid(kind, columns, rows, pitch, first, off_mm=0.0, seed=1):
    draw = np.random.default_rng(seed)
    return [
        Placement(kind, first + c * pitch + dx, first + r * pitch + dy, 0.0)
        for c in range(columns)
        for r in range(rows)
        for dx, dy in [draw.uniform(-off_mm, off_mm, 2).tolist()]
    ]


@pytest.mark.parametrize("seed", range(4))
def test_squares_that_just_fill_the_container_come_to_stand(seed):
    """Three by two of 40 mm at 8 mm: 3 x 40 + 4 x 8 = 152 and 2 x 40 + 3 x 8 = 104, nothing to spare."""
    asked = question(SQUARE, width_mm=152.0, depth_mm=104.0, turns_deg=(0.0,))
    found = Settle(asked).settled(grid("square", 3, 2, 48.0, 8.0, off_mm=3.0, seed=seed))
    assert sorted((one.x_mm, one.y_mm) for one in found) == [(x, y) for x in (8, 56, 104) for y in (8, 56)]


@pytest.mark.parametrize("name", ["ring", "l_bracket"])
def test_outlines_pushed_together_part_again(name):
    asked = question(name, width_mm=460.0, depth_mm=360.0)
    near = grid(name, 3, 3, 103.0 if name == "l_bracket" else 76.0, 70.0, off_mm=2.0)
    assert check_layout(asked, near).faults
    found = Settle(asked).settled(near)
    assert len(found) == 9
    assert min(stood(asked, a).distance(stood(asked, b)) for a, b in combinations(found, 2)) >= 8.0 - 0.0005
    assert found == Settle(asked).settled(near)


def test_a_region_that_nothing_may_enter_pushes_out():
    asked = question(
        SQUARE,
        width_mm=200.0,
        depth_mm=200.0,
        no_go=(NoGo(region=Region.rectangle(90, 90, 110, 110), wall_mm=5.0),),
    )
    found = Settle(asked).settled([Placement("square", 47.0, 80.0, 0.0)])
    assert found
    assert stood(asked, found[0]).distance(Region.rectangle(90, 90, 110, 110).shape) >= 5.0 - 0.0005


def test_unequal_sides_hold_in_each_direction():
    """To the right of a square 20 mm, to its left 4: side by side 20, since both needs hold; above each other 6."""
    wall = Sides(right_mm=20.0, back_mm=6.0, left_mm=4.0, front_mm=6.0)
    spacing = Spacing(wall=wall, rim=Sides.all_round(5.0), pairs=(PairWall("square", "square", wall),))
    asked = question(SQUARE, width_mm=110.0, depth_mm=96.0, turns_deg=(0.0,), spacing=spacing)
    found = Settle(asked).settled(grid("square", 2, 2, 52.0, 5.0, off_mm=1.0))
    assert len(found) == 4
    assert sorted({one.x_mm for one in found}) == [5.0, 65.0]
    for a, b in combinations(found, 2):
        if a.x_mm == b.x_mm:
            assert abs(a.y_mm - b.y_mm) >= 46.0 - 0.0005


def test_too_many_do_not_come_to_stand():
    asked = question(SQUARE, width_mm=151.0, depth_mm=104.0, turns_deg=(0.0,))
    assert Settle(asked).settled(grid("square", 3, 2, 47.0, 8.0)) == ()
    assert Settle(question(SQUARE, width_mm=50.0)).settled([Placement("square", 8.0, 8.0, 0.0)]) == ()
