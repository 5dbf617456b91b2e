from __future__ import annotations

import math

import pytest

from traywright.geometry import (
    Region,
    combined,
    extruded,
    is_closed,
    mass_properties,
    segments_of_circle,
    turned_about_x,
)


@pytest.mark.parametrize("radius", [0.5, 3.0, 46.0, 400.0])
def test_chords_keep_their_tolerance_and_not_much_more(radius):
    count = segments_of_circle(radius, 0.01)
    assert radius * (1 - math.cos(math.pi / count)) <= 0.01 * 1.000001
    assert count % 4 == 0
    assert count == 8 or radius * (1 - math.cos(math.pi / (count - 4))) > 0.01


def test_an_extrusion_keeps_its_holes():
    frame = Region.rectangle(0, 0, 30, 20).difference(Region.rectangle(5, 5, 25, 15))
    solid = extruded(frame, 2.0, 5.0)
    assert is_closed(solid)
    assert mass_properties(solid).volume_mm3 == pytest.approx(frame.area_mm2 * 3)
    assert solid.bounds_mm[0].tolist() == [0, 0, 2]


@pytest.mark.parametrize(("bottom", "top"), [(1.0, 1.0), (2.0, 1.0), (0.0, math.nan)])
def test_nothing_is_extruded_backwards(bottom, top):
    with pytest.raises(ValueError):
        extruded(Region.rectangle(0, 0, 1, 1), bottom, top)


def test_a_profile_below_the_axis_is_refused():
    with pytest.raises(ValueError):
        turned_about_x(Region.rectangle(0, -1, 5, 5))


def test_a_turned_profile_lies_along_x():
    low, high = turned_about_x(Region.rectangle(3, 2, 8, 5)).bounds_mm
    assert low.tolist() == pytest.approx([3, -5, -5])
    assert high.tolist() == pytest.approx([8, 5, 5])


def test_nothing_left_is_refused():
    small, large = extruded(Region.rectangle(1, 1, 2, 2), 1, 2), extruded(Region.rectangle(0, 0, 3, 3), 0, 3)
    with pytest.raises(ValueError):
        combined([small], [large])
