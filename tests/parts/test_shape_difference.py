from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from parts.asked import KIT, SOLIDS
from parts.bodies import block, bracket, mirror, rod, turned
from traywright.geometry import Mesh, combined
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.congruent import LIKE_MM
from traywright.parts.shape_difference import difference_findings, shape_difference


@cache
def body(folder, name):
    unit = "mm" if name.endswith("stl") else "file"
    return read_shape(ShapeAsked(id="p", file_name=name, length_unit=unit), (folder / name).read_bytes()).bodies[0].mesh


def plate(*changes, holes=((20.0, 20.0), (100.0, 60.0)), high=6.0):
    """A plate with two holes of 8 mm, with more added."""
    cut = [rod(8.0, -1.0, high + 1.0, x, y) for x, y in holes]
    return combined([block(120, 80, high), *changes], cut)


def spindle(flange=92.0, sides=192):
    return combined([rod(flange, 0.0, 14.0, sides=sides), rod(40.0, 13.0, 120.0, sides=sides)])


def test_step_and_stl_of_the_spindle_do_not_differ():
    told = shape_difference(body(KIT, "spindle.step"), body(SOLIDS, "spindle.stl"))
    assert (told.places, told.kept_frame, told.stayed_ratio) == ((), True, 1.0)
    # chords of 0.01 mm over the surface of 46832 mm2 at most
    assert max(told.added_mm3, told.removed_mm3) < 468.0


@pytest.mark.parametrize("seed", [1, 5])
def test_a_turned_file_does_not_differ(seed):
    told = shape_difference(body(KIT, "spindle.step"), turned(body(SOLIDS, "spindle.stl"), seed))
    assert (told.places, told.kept_frame) == ((), False)
    assert [one.code for one in difference_findings("p", told)] == ["PART-074", "PART-073"]


def test_a_flange_of_96_instead_of_92_is_told_by_2_mm_and_its_volume():
    told = shape_difference(spindle(), spindle(96.0))
    (place,) = told.places
    assert place.moved_mm == pytest.approx(2.0, abs=0.001)
    assert place.size_mm == pytest.approx((96.0, 96.0, 14.0), abs=0.01)
    assert (told.outward_mm, told.inward_mm) == (place.moved_mm, 0.0)
    # pi/4 (96² - 92²) 14 = 8268.7; chords of 192 sides take 0.02 %
    assert told.added_mm3 == pytest.approx(math.pi / 4.0 * (96.0**2 - 92.0**2) * 14.0, rel=0.001)
    assert told.removed_mm3 == pytest.approx(0.0, abs=0.01)
    back = shape_difference(spindle(96.0), spindle())
    assert (back.inward_mm, back.outward_mm) == (pytest.approx(2.0, abs=0.001), 0.0)


def test_a_flange_is_told_in_a_file_that_lies_otherwise():
    told = shape_difference(spindle(), turned(spindle(96.0), 5))
    assert not told.kept_frame
    assert told.outward_mm == pytest.approx(2.0, abs=0.02)
    assert len(told.places) == 1


def test_a_boss_and_a_hole_are_two_places():
    old = plate()
    new = combined([plate(), rod(10.0, 5.0, 9.0, 60.0, 40.0)], [rod(3.0, -1.0, 7.0, 30.0, 60.0, sides=32)])
    told = shape_difference(old, new)
    boss, hole = told.places
    assert boss.moved_mm == 3.0
    assert boss.size_mm == pytest.approx((10.0, 10.0, 3.0), abs=0.05)
    assert boss.place_mm[2] == 9.0
    assert math.dist(boss.place_mm[:2], (60.0, 40.0)) <= 5.0
    # half the depth of a hole that goes through
    assert hole.moved_mm == pytest.approx(-3.0, abs=0.15)
    assert math.dist(hole.place_mm[:2], (30.0, 60.0)) == pytest.approx(1.5, abs=0.02)
    assert told.added_mm3 == pytest.approx(math.pi * 25.0 * 3.0, rel=0.002)
    assert told.removed_mm3 == pytest.approx(math.pi * 2.25 * 6.0, rel=0.01)


def test_a_filled_hole_is_outward():
    told = shape_difference(plate(), plate(holes=((100.0, 60.0),)))
    (place,) = told.places
    assert place.moved_mm > 2.9
    assert told.added_mm3 == pytest.approx(math.pi * 16.0 * 6.0, rel=0.002)


def test_a_hole_moved_by_1_mm_is_told_on_both_sides():
    told = shape_difference(plate(), plate(holes=((21.0, 20.0), (100.0, 60.0))))
    assert told.outward_mm == pytest.approx(1.0, abs=0.01)
    assert told.inward_mm == pytest.approx(1.0, abs=0.01)
    assert told.added_mm3 == pytest.approx(told.removed_mm3, rel=0.001)


@pytest.mark.parametrize("more_mm", [0.2, 0.5])
def test_a_thicker_plate_is_told(more_mm):
    told = shape_difference(plate(), plate(high=6.0 + more_mm))
    assert (told.outward_mm, told.inward_mm, len(told.places)) == (pytest.approx(more_mm, abs=1e-6), 0.0, 1)
    assert told.added_mm3 == pytest.approx((9600.0 - 2 * math.pi * 16.0) * more_mm, rel=0.001)


def test_a_change_below_the_tolerance_is_none_and_one_above_is():
    assert shape_difference(plate(), plate(high=6.0 + 0.9 * LIKE_MM)).places == ()
    assert shape_difference(plate(), plate(high=6.0 + 1.1 * LIKE_MM)).places != ()
    assert shape_difference(plate(), plate(high=6.5), tolerance_mm=0.6).places == ()


def test_a_mirrored_bracket_differs_at_its_hole():
    told = shape_difference(bracket(), mirror(bracket()))
    assert told.outward_mm > 1.0
    assert told.inward_mm > 1.0
    assert {round(one.place_mm[0] / 5.0) for one in told.places} == {5}


def test_another_part_is_told_as_such():
    told = shape_difference(body(KIT, "spindle.step"), plate())
    assert [one.code for one in difference_findings("p", told)] == ["PART-079"]


def test_findings_tell_six_places_and_count_the_rest():
    pegs = [rod(4.0, 5.0, 7.0 + n / 10.0, 12.0 * n + 10.0, 40.0, sides=32) for n in range(8)]
    told = difference_findings("p", shape_difference(plate(), plate(*pegs)))
    assert [one.code for one in told] == ["PART-072"] * 6 + ["PART-078"]
    first = dict(told[0].parameters)
    assert (first["moved_mm"], first["way"], told[0].point_mm[2]) == (1.7, "out", 7.7)
    assert dict(told[-1].parameters) == {"count": 2, "moved_mm": 1.1, "part": "p"}


def test_the_place_of_a_turned_file_is_told_in_the_old_frame():
    new = turned(plate(rod(10.0, 5.0, 9.0, 30.0, 40.0)), 2)
    told = shape_difference(plate(), new)
    # the plate comes back on itself after half a turn
    assert min(math.dist(told.places[0].place_mm[:2], spot) for spot in ((30.0, 40.0), (90.0, 40.0))) <= 5.01
    lying = Mesh(told.placed.moved(new.points_mm), new.triangles)
    assert np.abs(lying.bounds_mm[1] - np.array([120.0, 80.0, 9.0])).max() < 0.01
