from __future__ import annotations

import numpy as np
import pytest

from traywright.geometry import Region, extruded, highest, highest_marks, lowest, lowest_marks, turned_about_x


def test_a_box_has_its_bottom_and_its_top():
    box = extruded(Region.rectangle(0.2, 0.2, 3.8, 2.8), -1.0, 4.0)
    low, high = lowest(box, 1.0), highest(box, 1.0)
    assert low.origin_mm == high.origin_mm == (0.0, 0.0)
    assert low.values.tolist() == [[-1.0] * 4] * 3
    assert high.values.tolist() == [[4.0] * 4] * 3


def test_cells_outside_are_infinite():
    corner = extruded(Region.polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)]), 0.0, 1.0)
    assert np.isposinf(lowest(corner, 1.0).values[3, 3])
    assert np.isneginf(highest(corner, 1.0).values[3, 3])


def test_a_lying_cylinder_is_round_below():
    bar = turned_about_x(Region.rectangle(0, 0, 10, 5))
    told = lowest(bar, 0.5)
    _, y = told.centres_mm()
    # the chord lies at most 0.01 mm inside the circle, measured square to it: nine tenths up the flank
    row = np.abs(y) < 4.5
    exact = -np.sqrt(25.0 - y[row] ** 2)
    depth = told.values[row, 10] - exact
    assert (depth > -1e-9).all()
    assert (depth * np.abs(exact) / 5.0 < 0.0101).all()


def test_the_map_does_not_move_with_the_part():
    box = Region.rectangle(0, 0, 3, 2)
    here, there = lowest(extruded(box, 0, 1), 0.5), lowest(extruded(box.moved(2.0, -1.5), 0, 1), 0.5)
    assert np.array_equal(here.values, there.values)
    assert there.origin_mm == (2.0, -1.5)


@pytest.mark.parametrize("seen", [lowest_marks, highest_marks])
def test_the_larger_mark_wins_on_a_shared_face(seen):
    box = extruded(Region.rectangle(0, 0, 4, 4), 0.0, 1.0)
    level = box.corners_mm[:, :, 2].max(axis=1) if seen is lowest_marks else -box.corners_mm[:, :, 2].min(axis=1)
    first, second = np.flatnonzero(level <= level.min())
    marks = np.zeros(len(box.triangles), dtype=np.int8)
    marks[first] = 2
    told = seen(box, marks, 1.0).values
    other = seen(box, np.roll(marks, int(second - first)), 1.0).values
    # the diagonal's four cells belong to both triangles
    assert (told == 2).sum() == (other == 2).sum() == 10
