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
from traywright.geometry import Mesh, Region, combined, extruded, mass_properties, solid_columns
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


def test_two_holes_that_cross_in_plan_at_two_heights_are_two():
    flat = Mesh(rod(6.0, -40.0, 40.0).points_mm[:, [2, 0, 1]], rod(6.0, -40.0, 40.0).triangles)
    one = Mesh(flat.points_mm + np.array([0.0, 0.0, 8.0]), flat.triangles)
    quarter = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    two = Mesh(flat.points_mm @ quarter.T + np.array([0.0, 0.0, 22.0]), flat.triangles)
    body = combined([block(40.0, 40.0, 30.0, at=(-20.0, -20.0, 0.0))], [one, two])
    # where they cross the columns hold both, so the hollow reaches from one to the other and joins them
    told = undercuts_of_mesh(body)
    assert len(told) == 1
    assert told[0].size_mm == pytest.approx((40.0, 40.0, 20.0), abs=0.1)
    assert told[0].deepest_mm == pytest.approx(12.0, abs=0.05)
    apart = combined(
        [block(40.0, 60.0, 30.0, at=(-20.0, -20.0, 0.0))],
        [one, Mesh(one.points_mm + np.array([0.0, 20.0, 14.0]), one.triangles)],
    )
    assert len(undercuts_of_mesh(apart)) == 2


def test_the_spindle_has_none_upright_but_its_flange_holes_lying():
    upright = demo_lying(SPINDLE, (-1.0, 0.0, 0.0))
    lying = demo_lying(SPINDLE)
    holes = undercuts(lying)
    columns = solid_columns(lying.solid, undercut_cell_mm(lying.solid))
    with np.errstate(invalid="ignore"):
        span = np.where(columns.solid_mm > 0, columns.highest_mm - columns.lowest_mm, 0.0).sum() * columns.cell_mm**2
    hollow = span - mass_properties(lying.solid).volume_mm3
    assert sum(one.volume_mm3 for one in holes) == pytest.approx(hollow, rel=0.02)
    assert holes
    assert all(abs(one.place_mm[0]) <= 84.0 for one in holes)
    # upright: the steps narrow upward, a groove or a body that widens again is all there can be
    told = undercuts(upright)
    wide = solid_columns(upright.solid, 0.25)
    assert sum(one.volume_mm3 for one in told) == pytest.approx(wide.hollow_mm.sum() * 0.0625, abs=60.0)


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_hollow_is_what_lies_between_and_is_not_solid(seed):
    """Towers of blocks on whole millimetres: prism integrals are exact, cells of 0.25 mm hit them exactly."""
    draws = np.random.default_rng(seed)
    filled = draws.random((4, 4, 5)) < 0.55
    filled[0, 0, 0] = True
    cubes = [block(2.0, 3.0, 1.5, at=(2.0 * i, 3.0 * j, 1.5 * k)) for i, j, k in np.argwhere(filled)]
    mesh = combined(cubes)
    columns = solid_columns(mesh, 0.25)
    heights = np.arange(5)
    between = 0.0
    for stack in filled.reshape(-1, 5):
        if stack.any():
            between += 2.0 * 3.0 * 1.5 * (heights[stack].max() - heights[stack].min() + 1 - stack.sum())
    assert columns.hollow_mm.sum() * 0.25**2 == pytest.approx(between, abs=1e-6)
    told = undercuts_of_mesh(mesh)
    assert sum(one.volume_mm3 for one in told) == pytest.approx(between, abs=0.01)
    assert columns.solid_mm.sum() * 0.25**2 == pytest.approx(mass_properties(mesh).volume_mm3, rel=1e-9)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_hollow_agrees_with_the_volume_in_any_pose(seed):
    spool = combined([rod(30.0, 0.0, 5.0), rod(8.0, 4.0, 26.0), block(20.0, 24.0, 6.0, at=(-10.0, -12.0, 25.0))])
    lying = turned(spool, seed)
    columns = solid_columns(lying, 0.25)
    assert columns.solid_mm.sum() * 0.25**2 == pytest.approx(mass_properties(lying).volume_mm3, rel=0.004)
    assert (columns.hollow_mm >= 0.0).all()
    assert sum(one.volume_mm3 for one in undercuts_of_mesh(lying)) == pytest.approx(
        columns.hollow_mm.sum() * 0.0625, rel=0.02, abs=3.0
    )


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
