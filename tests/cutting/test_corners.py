"""Corners of the drawer: what the 8 mm cutter leaves, the 6 mm one takes as far as its own radius lets it."""

from __future__ import annotations

import math

import pytest
import shapely

from cutting import drawer
from cutting.bench import CARDS, MACHINE, feed_paths
from traywright.cutting import plan_cuts
from traywright.nesting import place_on_board

CUTTERS = {1: CARDS.cutter("flat-8"), 2: CARDS.cutter("flat-6"), 3: CARDS.cutter("flat-3")}
SQUARE = 1.0 - math.pi / 4.0  # a square corner keeps this times the radius squared
SMALLEST = 0.03  # chords of 0.01 over the walls of one recess


def planned(numbers, **asked):
    setup = drawer.setup(tuple((number, CUTTERS[number].id) for number in numbers))
    return plan_cuts(setup, {"T1.P1": drawer.ply()}, MACHINE, {number: CUTTERS[number] for number in numbers}, **asked)


def left(plan):
    """Area kept in each recess above its floor, by id."""
    ply, piece = drawer.ply(), drawer.setup().pieces[0]
    paths = [(z_mm, line.buffer(CUTTERS[one.cutter].radius_mm, quad_segs=64)) for one, z_mm, line in feed_paths(plan)]
    kept = {}
    for one in ply.features:
        down = shapely.union_all([area for z_mm, area in paths if z_mm <= one.floor.z_mm + 1e-6])
        kept[one.id] = place_on_board(one.region, piece, ply).shape.difference(down).area
    return kept


@pytest.mark.parametrize(
    ("numbers", "radius", "small"),
    [((1,), 4.0, SQUARE * (16.0 - 9.0)), ((1, 2), 3.0, 0.0)],
    ids=["8", "8 then 6"],
)
def test_each_corner_keeps_what_the_smallest_cutter_must_leave(numbers, radius, small):
    kept = left(planned(numbers, clean_corners=True))
    square = SQUARE * radius**2
    assert kept["F7"] == pytest.approx(4 * square, abs=SMALLEST)  # head
    assert kept["F8"] == pytest.approx(4 * square, abs=SMALLEST)  # slot
    assert kept["F21"] == pytest.approx(4 * square, abs=SMALLEST)  # rule
    assert kept["F5"] == pytest.approx(2 * square, abs=SMALLEST)  # handle: its other end lies in the head
    assert kept["F6"] == pytest.approx(4 * small, abs=SMALLEST)  # case: R3, exact for the 6 mm cutter
    round_ones = [area for name, area in kept.items() if name not in {"F5", "F6", "F7", "F8", "F21"}]
    assert max(round_ones) < SMALLEST


def test_corners_come_after_the_recesses_and_before_the_outline_and_only_where_asked():
    plan = planned((1, 2), clean_corners=True)
    assert [one.cutter for one in plan.operations] == [1] * 8 + [2] * 4 + [1]
    cleaned = [name for one in plan.operations if one.cutter == 2 for name in one.features]
    assert cleaned == ["B1.1/F21", "B1.1/F5", "B1.1/F6", "B1.1/F8", "B1.1/F7"]
    assert {one.cutter for one in planned((1, 2)).operations} == {1}


def test_a_cutter_that_does_not_reach_cleans_nothing_deeper():
    plan = planned((1, 3), clean_corners=True)  # 12 mm of reach: the rule of 6 mm only
    assert [one.features for one in plan.operations if one.cutter == 3] == [("B1.1/F21",)]
