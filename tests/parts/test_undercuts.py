"""Hollows against closed forms: what lies between a solid's lowest and highest spot and is not solid."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import SPINDLE, demo_lying
from parts.bodies import block, rod, turned
from traywright.base import Severity
from traywright.geometry import Mesh, Region, combined, extruded, highest, lowest, mass_properties, solid_columns
from traywright.parts.undercuts import (
    LEAST_HOLLOW_MM,
    MOST_TOLD,
    undercut_cell_mm,
    undercut_findings,
    undercuts,
    undercuts_of_mesh,
)


def torus(large, small, around=240, across=120):
    u = np.arange(around)[:, None] * 2.0 * math.pi / around
    v = np.arange(across)[None, :] * 2.0 * math.pi / across
    ring = large + small * np.cos(v)
    points = np.stack(np.broadcast_arrays(ring * np.cos(u), ring * np.sin(u), small * np.sin(v)), axis=-1)
    i, j = np.arange(around)[:, None], np.arange(across)[None, :]
    a, b = i * across + j, (i + 1) % around * across + j
    c, d = (i + 1) % around * across + (j + 1) % across, i * across + (j + 1) % across
    triangles = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    return Mesh(points.reshape(-1, 3), triangles)


def stood(mesh):
    """A mesh with its x axis up."""
    return Mesh(mesh.points_mm[:, [1, 2, 0]], mesh.triangles)


def over(mesh):
    """A mesh laid upside down."""
    return Mesh(mesh.points_mm * np.array([1.0, -1.0, -1.0]), mesh.triangles)


def test_a_torus_that_lies_flat_has_none_and_one_that_stands_has_its_eye():
    large, small = 30.0, 8.0
    assert undercuts_of_mesh(torus(large, small)) == ()
    (eye,) = undercuts_of_mesh(stood(torus(large, small)))
    # between lowest and highest: discs of radius R + s over the thickness, s² = r² - x²; less the torus 2 pi² R r²
    whole = math.pi * (2 * small * large**2 + math.pi * large * small**2 + 4 * small**3 / 3)
    assert eye.volume_mm3 == pytest.approx(whole - 2 * math.pi**2 * large * small**2, rel=0.002)
    assert eye.place_mm == pytest.approx((0.0, 0.0, 0.0), abs=0.13)
    # at the tube's flank the inner radius has grown to nearly R
    assert eye.deepest_mm == pytest.approx(2 * large, rel=0.06)


@pytest.mark.parametrize("way", [lambda mesh: mesh, over], ids=["upright", "upside down"])
def test_a_mushroom_has_none_either_way_up_and_a_spool_has_its_groove(way):
    mushroom = combined([rod(10.0, 0.0, 20.0), rod(40.0, 20.0, 30.0)])
    assert undercuts_of_mesh(way(mushroom)) == ()
    spool = combined([rod(40.0, 0.0, 5.0), rod(10.0, 4.0, 26.0), rod(40.0, 25.0, 30.0)])
    (groove,) = undercuts_of_mesh(way(spool))
    assert groove.area_mm2 == pytest.approx(math.pi * (20.0**2 - 5.0**2), rel=0.005)
    assert groove.volume_mm3 == pytest.approx(math.pi * (20.0**2 - 5.0**2) * 20.0, rel=0.005)
    assert groove.deepest_mm == pytest.approx(20.0)
    low = 5.0 if way(spool).points_mm[:, 2].max() > 1.0 else -25.0
    assert groove.place_mm[2] - groove.size_mm[2] / 2 == pytest.approx(low)


@pytest.mark.parametrize("seed", range(3))
def test_a_cross_hole_is_the_volume_it_took_and_stands_where_it_is(seed):
    angle = math.radians(37.0 * seed)
    drill = Mesh(
        rod(8.0, -40.0, 40.0).points_mm[:, [2, 0, 1]] + np.array([0, 0, 12.0]), rod(8.0, -40.0, 40.0).triangles
    )
    turn = np.array([[math.cos(angle), -math.sin(angle), 0], [math.sin(angle), math.cos(angle), 0], [0, 0, 1.0]])
    plain, drill = rod(30.0, 0.0, 40.0), Mesh(drill.points_mm @ turn.T, drill.triangles)
    bored = combined([plain], [drill])
    (hole,) = undercuts_of_mesh(bored)
    taken = mass_properties(plain).volume_mm3 - mass_properties(bored).volume_mm3
    # two cylinders' common volume is a little less than diameter x section
    assert taken == pytest.approx(math.pi * 4.0**2 * 30.0, rel=0.02)
    assert hole.volume_mm3 == pytest.approx(taken, rel=0.005)
    assert hole.place_mm == pytest.approx((0.0, 0.0, 12.0), abs=0.13)
    assert hole.size_mm[2] == pytest.approx(8.0, abs=0.02)
    # laid so that one looks through it there is nothing to fill
    if seed == 0:
        assert undercuts_of_mesh(stood(bored)) == ()


def test_two_holes_that_cross_in_plan_at_two_heights_are_two_and_at_one_height_one():
    flat = Mesh(rod(6.0, -40.0, 40.0).points_mm[:, [2, 0, 1]], rod(6.0, -40.0, 40.0).triangles)
    quarter = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    one = Mesh(flat.points_mm + np.array([0.0, 0.0, 8.0]), flat.triangles)

    def crossed(height):
        other = Mesh(flat.points_mm @ quarter.T + np.array([0.0, 0.0, height]), flat.triangles)
        return undercuts_of_mesh(combined([block(40.0, 50.0, 30.0, at=(-20.0, -25.0, 0.0))], [one, other]))

    high, low = crossed(22.0)
    assert high.place_mm == pytest.approx((0.0, 0.0, 22.0), abs=0.13)
    assert high.size_mm == pytest.approx((6.0, 50.0, 6.0), abs=0.13)
    assert low.place_mm == pytest.approx((0.0, 0.0, 8.0), abs=0.13)
    assert low.size_mm == pytest.approx((40.0, 6.0, 6.0), abs=0.13)
    (cross,) = crossed(9.0)
    assert cross.size_mm == pytest.approx((40.0, 50.0, 7.0), abs=0.13)


def test_the_spindle_lying_has_its_bore_and_its_flange_holes():
    lying = demo_lying(SPINDLE)
    found = undercuts(lying)
    bore, holes = found[0], found[1:]
    # a bore of 16 mm along the axis, 46 mm above the flange's lowest spot
    assert bore.place_mm == pytest.approx((0.0, 0.0, 46.0), abs=0.1)
    assert bore.size_mm == pytest.approx((168.0, 16.0, 16.0), abs=0.13)
    assert bore.volume_mm3 == pytest.approx(math.pi * 8.0**2 * 168.0, rel=0.03)
    assert len(holes) >= 4
    for hole in holes:
        assert hole.size_mm[0] == pytest.approx(14.0, abs=0.13)
        assert hole.place_mm[0] == pytest.approx(-77.0, abs=0.13)


def test_the_spindle_upright_has_the_recess_of_its_journal():
    (recess,) = undercuts(demo_lying(SPINDLE, (-1.0, 0.0, 0.0)))
    # journal A, 40 mm, from 14 to 60, under the body of 48 mm
    assert recess.volume_mm3 == pytest.approx(math.pi * (24.0**2 - 20.0**2) * 46.0, rel=0.005)
    assert recess.place_mm == pytest.approx((0.0, 0.0, 37.0), abs=0.13)
    assert recess.deepest_mm == pytest.approx(46.0)


def spans_mm3(mesh, cell_mm=0.25):
    """Integral of highest less lowest."""
    high, low = highest(mesh, cell_mm).values, lowest(mesh, cell_mm).values
    there = np.isfinite(high)
    return float((high[there] - low[there]).sum()) * cell_mm * cell_mm


@pytest.mark.parametrize("down", [(0, 0, -1.0), (-1.0, 0, 0), (0, -1.0, 0), (1.0, 2.0, 3.0)])
def test_all_hollows_are_the_integral_of_the_spans_less_the_volume(down):
    pose = demo_lying(SPINDLE, down)
    between = spans_mm3(pose.solid) - mass_properties(pose.solid).volume_mm3
    assert sum(one.volume_mm3 for one in undercuts(pose)) == pytest.approx(between, rel=0.01, abs=300.0)


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_hollow_is_what_lies_between_and_is_not_solid(seed):
    """Towers of blocks on whole millimetres: prism integrals are exact, cells of 0.25 mm hit them exactly."""
    draws = np.random.default_rng(seed)
    filled = draws.random((4, 4, 5)) < 0.55
    filled[0, 0, 0] = True
    cubes = [block(2.0, 3.0, 1.5, at=(2.0 * i, 3.0 * j, 1.5 * k)) for i, j, k in np.argwhere(filled)]
    mesh = combined(cubes)
    columns = solid_columns(mesh, 0.25, least_mm=LEAST_HOLLOW_MM)
    heights = np.arange(5)
    between = 0.0
    for stack in filled.reshape(-1, 5):
        if stack.any():
            between += 2.0 * 3.0 * 1.5 * (heights[stack].max() - heights[stack].min() + 1 - stack.sum())
    assert columns.hollow_mm3 == pytest.approx(between, abs=1e-6)
    told = undercuts_of_mesh(mesh)
    assert sum(one.volume_mm3 for one in told) == pytest.approx(between, abs=0.01)
    assert columns.solid_mm.sum() * 0.25**2 == pytest.approx(mass_properties(mesh).volume_mm3, rel=1e-9)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_hollow_agrees_with_the_volume_in_any_pose(seed):
    spool = combined([rod(30.0, 0.0, 5.0), rod(8.0, 4.0, 26.0), block(20.0, 24.0, 6.0, at=(-10.0, -12.0, 25.0))])
    lying = turned(spool, seed)
    columns = solid_columns(lying, 0.25, least_mm=LEAST_HOLLOW_MM)
    volume = mass_properties(lying).volume_mm3
    assert columns.solid_mm.sum() * 0.25**2 == pytest.approx(volume, rel=0.004)
    between = spans_mm3(lying) - volume
    assert sum(one.volume_mm3 for one in undercuts_of_mesh(lying)) == pytest.approx(between, rel=0.02, abs=60.0)


def test_a_large_part_is_searched_in_larger_cells():
    plate = extruded(Region.rectangle(0.0, 0.0, 900.0, 600.0), 0.0, 10.0)
    assert undercut_cell_mm(plate) == 1.0
    assert undercut_cell_mm(block(300.0, 300.0, 5.0)) == 0.25
    slot = extruded(Region.rectangle(100.0, -1.0, 150.0, 601.0), 4.0, 6.0)
    assert undercuts_of_mesh(combined([plate], [slot]))[0].volume_mm3 == pytest.approx(50.0 * 600.0 * 2.0)


def test_what_is_lower_than_a_joint_is_no_hollow():
    def slotted(height):
        slot = block(10.0, 20.0, height, at=(5.0, -5.0, 4.0))
        return combined([block(20.0, 10.0, 10.0)], [slot])

    assert undercuts_of_mesh(slotted(0.9 * LEAST_HOLLOW_MM)) == ()
    assert len(undercuts_of_mesh(slotted(1.1 * LEAST_HOLLOW_MM))) == 1


def test_the_largest_hollows_are_told_and_the_others_counted():
    slots = [block(2.0 + k, 20.0, 2.0, at=(12.0 * k, -5.0, 4.0)) for k in range(MOST_TOLD + 2)]
    found = undercuts_of_mesh(combined([block(100.0, 10.0, 10.0, at=(-5.0, 0.0, 0.0))], slots))
    assert len(found) == MOST_TOLD + 2
    assert [one.volume_mm3 for one in found] == sorted((one.volume_mm3 for one in found), reverse=True)
    told = undercut_findings("comb", found)
    assert [one.code for one in told] == ["PART-110"] * MOST_TOLD + ["PART-111"]
    assert all(one.severity is Severity.NOTE for one in told)
    assert dict(told[0].parameters)["height_mm"] == pytest.approx(2.0)
    assert dict(told[-1].parameters)["count"] == 2
    assert undercut_findings("comb", found[:MOST_TOLD])[-1].code == "PART-110"
