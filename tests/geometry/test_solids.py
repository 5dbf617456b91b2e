from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.tolerance import ARC_CHORD_MM
from traywright.geometry import (
    Mesh,
    Region,
    combined,
    extruded,
    fused,
    is_closed,
    mass_properties,
    open_edges,
    section_at,
    shadow,
    shadow_below,
    turned_about_x,
)

FRAME = Region.rectangle(0, 0, 30, 20).difference(Region.rectangle(5, 5, 25, 15))


def ball():
    arc = [
        (-10.0, 0.0),
        *((-10 * math.cos(t), 10 * math.sin(t)) for t in np.linspace(0, math.pi, 200)[1:-1]),
        (10.0, 0.0),
    ]
    return turned_about_x(Region.polygon(arc))


def test_what_can_be_looked_through_is_a_hole():
    seen = shadow(extruded(FRAME, 0, 7))
    assert seen == FRAME
    assert len(seen.rings()[0][1]) == 1


def test_an_island_in_a_hole_is_kept():
    island = Region.rectangle(10, 8, 20, 12)
    whole = combined([extruded(FRAME, 0, 7), extruded(island, 0, 3)])
    assert shadow(whole).area_mm2 == pytest.approx(FRAME.area_mm2 + island.area_mm2)


def test_a_section_is_what_stands_there():
    steps = combined([extruded(Region.rectangle(0, 0, 10, 10), 0, 5), extruded(Region.rectangle(0, 0, 4, 10), 5, 9)])
    assert section_at(steps, 2.5).area_mm2 == pytest.approx(100)
    assert section_at(steps, 7.0).area_mm2 == pytest.approx(40)
    assert section_at(steps, 7.0).bounds_mm == (0, 0, 4, 10)
    assert section_at(steps, 11.0).is_empty


@given(st.lists(st.floats(-12, 12), min_size=2, max_size=2))
@settings(max_examples=20)
def test_the_shadow_below_grows_with_height(heights):
    low, high = sorted(heights)
    solid = ball()
    assert shadow_below(solid, high).contains(shadow_below(solid, low))


def test_the_shadow_below_a_ball_is_its_section_until_the_middle():
    solid = ball()
    for z in (-8.0, -4.0, -0.5):
        exact = math.pi * (100.0 - z * z)
        # area of a circle of radius r drawn by chords that lie up to 0.03 mm inside (two curvatures): 2 pi r x that
        assert exact - 2 * math.pi * 10 * 0.03 < shadow_below(solid, z).area_mm2 <= exact
    assert shadow_below(solid, 5.0) == shadow_below(solid, 50.0) == shadow(solid)
    assert shadow_below(solid, -10.1).is_empty


def test_an_open_mesh_is_not_a_solid():
    box = extruded(Region.rectangle(0, 0, 1, 1), 0, 1)
    opened = Mesh(box.points_mm, box.triangles[1:])
    assert is_closed(box)
    assert not is_closed(opened)
    assert len(open_edges(opened)) == 3
    with pytest.raises(ValueError):
        section_at(opened, 0.5)


def test_an_inside_out_solid_has_no_volume():
    box = extruded(Region.rectangle(0, 0, 1, 1), 0, 1)
    with pytest.raises(ValueError):
        mass_properties(Mesh(box.points_mm, box.triangles[:, ::-1]))


def test_touching_bodies_become_one_and_keep_their_labels():
    left = extruded(Region.rectangle(0, 0, 10, 10), 0, 5)
    right = extruded(Region.rectangle(10, 2, 15, 8), 0, 5)
    whole, labels = fused([left, right], [np.full(len(left.triangles), 3), np.full(len(right.triangles), 8)])
    assert is_closed(whole)
    assert mass_properties(whole).volume_mm3 == pytest.approx(500 + 150)
    assert set(labels.tolist()) == {3, 8}
    # nothing of the right body's labels lies left of the joint
    assert whole.corners_mm[labels == 8][:, :, 0].min() == pytest.approx(10.0)


def test_a_solid_far_away_weighs_the_same():
    box = extruded(Region.rectangle(0, 0, 3, 2), 0, 1)
    far = Mesh(box.points_mm + 1e6, box.triangles)
    near, there = mass_properties(box), mass_properties(far)
    assert there.volume_mm3 == pytest.approx(near.volume_mm3, rel=1e-9)
    np.testing.assert_allclose(there.inertia_mm5, near.inertia_mm5, rtol=1e-6, atol=1e-6)


def test_inertia_of_a_box():
    told = mass_properties(extruded(Region.rectangle(0, 0, 6, 4), 0, 2))
    # m (b² + c²) / 12 with m = 48
    np.testing.assert_allclose(told.inertia_mm5, np.diag([4 * (16 + 4), 4 * (36 + 4), 4 * (36 + 16)]), atol=1e-9)


def test_inertia_of_a_cylinder():
    told = mass_properties(turned_about_x(Region.rectangle(0, 0, 30, 10)))
    mass = math.pi * 100 * 30
    exact = mass * np.array([100 / 2, (3 * 100 + 900) / 12, (3 * 100 + 900) / 12])
    # chords inside the circle by c of radius r lower the fourth power of r by at most 4 c / r
    np.testing.assert_allclose(np.diag(told.inertia_mm5), exact, rtol=4 * ARC_CHORD_MM / 10)
