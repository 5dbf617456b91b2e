from __future__ import annotations

import time
import tomllib
from functools import cache

import numpy as np
import pytest

from parts.asked import SOLIDS
from parts.bodies import block, bolt, bracket, mirror, ring, rod, spun, turned
from traywright.geometry import Mesh, combined, extruded
from traywright.parts import ShapeAsked, _kernels, read_shape
from traywright.parts.alike import group_alike
from traywright.parts.congruent import LIKE_MM, laid_on, measured, spots_of
from traywright.parts.spread import by_place, spread_over
from twins import nearest_spots as twin


def grouped(*meshes):
    """Members of each group, its other hand, and whether it is its own mirror image."""
    told = group_alike(meshes, [str(number) for number in range(len(meshes))])
    return [(one.members, one.other_hand_of, one.congruent_to_mirror_image) for one in told]


def together(*meshes):
    return [members for members, _, _ in grouped(*meshes)]


@cache
def kit(ending):
    shape = read_shape(
        ShapeAsked(id="kit", file_name=f"kit.{ending}", length_unit="mm"),
        (SOLIDS / f"kit_assembly.{ending}").read_bytes(),
    )
    return tuple(one.mesh for one in shape.bodies), tuple(one.name for one in shape.bodies)


@pytest.mark.parametrize("ending", ["step", "stl"])
def test_the_kit_s_groups_are_those_of_its_facts(ending):
    facts = tomllib.loads((SOLIDS / "FACTS.toml").read_text())["file"]["kit_assembly.step"]["groups"]
    told = group_alike(*kit(ending))
    wanted = sorted((one["count"], one["congruent_to_mirror_image"]) for one in facts)
    assert sorted((len(one.members), one.congruent_to_mirror_image) for one in told) == wanted
    assert all(one.other_hand_of is None for one in told)
    if ending == "step":
        assert {name.rstrip("_0123456789") for one in told for name in one.names} == {one["like"] for one in facts}
        assert all(len({name.rstrip("_0123456789") for name in one.names}) == 1 for one in told)


def test_bodies_of_the_step_file_are_those_of_the_stl_file():
    # chords of 0.031 and 0.015 mm, other triangles throughout
    (step, names), (stl, others) = kit("step"), kit("stl")
    told = group_alike([*step, *stl], [*names, *others])
    assert sorted(len(one.members) for one in told) == [2, 4, 6, 28]


def test_a_body_s_own_box_stands_along_its_flats():
    # FACTS.toml: the board's bounding box as drawn is 155 x 96 x 23.6; in the kit it is turned and moved
    meshes, names = kit("step")
    board = next(one for one in group_alike(meshes, names) if one.names == ("control_board_1",))
    assert board.size_mm == pytest.approx((155.0, 96.0, 23.6), abs=0.002)


def test_turns_lay_each_member_on_the_first():
    meshes, names = kit("step")
    for one in group_alike(meshes, names):
        corners = measured(meshes[one.first]).corners
        for number, placed in zip(one.members, one.turns, strict=True):
            turn = np.array(placed.turn)
            assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-9)
            assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-9)
            moved = Mesh(placed.moved(meshes[number].points_mm), meshes[number].triangles)
            own = (moved.points_mm - measured(meshes[one.first]).centre) @ measured(meshes[one.first]).axes.T
            assert spots_of(own, np.inf, corners)[0].max() <= LIKE_MM


def test_left_and_right_brackets_are_a_pair_and_no_group():
    left = bracket()
    meshes = (left, turned(bracket(sides=50, start_deg=3), 1), turned(mirror(bracket(sides=60)), 2), mirror(left))
    assert grouped(*meshes) == [((0, 1), 1, False), ((2, 3), 0, False)]


def test_a_bracket_that_is_its_own_mirror_image_has_one_hand():
    assert grouped(bracket(10.0), turned(mirror(bracket(10.0)), 3)) == [((0, 1), None, True)]


@pytest.mark.parametrize("rate_deg", [30.0, 60.0, 180.0])
def test_a_twisted_bar_has_two_hands(rate_deg):
    # turning it end for end or half a turn about its length brings it back: all its odd moments are zero
    bar = extruded(ring(4, 10.0), 0.0, 1.0)
    layers = np.linspace(0.0, 50.0, 41)
    grid = np.array([[-10.0, -3.0], [10.0, -3.0], [10.0, 3.0], [-10.0, 3.0]])
    points, triangles = [], []
    for number, z in enumerate(layers):
        angle = np.radians(rate_deg) * z / 50.0
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        points += [(*xy, z) for xy in grid @ turn]
        base = 4 * number
        if number:
            for side in range(4):
                a, b = base - 4 + side, base - 4 + (side + 1) % 4
                triangles += [(a, b, b + 4), (a, b + 4, a + 4)]
    top = 4 * (len(layers) - 1)
    triangles += [(2, 1, 0), (3, 2, 0), (top, top + 1, top + 2), (top, top + 2, top + 3)]
    twisted = Mesh(np.array(points), np.array(triangles))
    assert len(bar.triangles) < len(twisted.triangles)
    assert grouped(twisted, turned(mirror(twisted), 5), turned(twisted, 6)) == [((0, 2), 1, False), ((1,), 0, False)]


@pytest.mark.parametrize("seed", range(4))
def test_a_small_hole_makes_another_body(seed):
    plate = block(120, 80, 6)
    holed = combined([plate], [rod(1.0, -1.0, 7.0, 31.0, 22.0, sides=16)])
    assert together(plate, turned(holed, seed), turned(plate, seed + 10)) == [(0, 2), (1,)]


def test_a_blind_hole_makes_another_body():
    plate = block(120, 80, 6)
    assert together(plate, combined([plate], [rod(2.0, 5.0, 7.0, 31.0, 22.0, sides=16)])) == [(0,), (1,)]


@pytest.mark.parametrize("more_mm", [0.2, -0.2])
def test_one_diameter_of_0_2_mm_more_makes_another_shaft(more_mm):
    def shaft(journal, *, sides, start_deg):
        flange = rod(60.0, 0.0, 12.0, sides=160, start_deg=start_deg)
        return combined(
            [flange, rod(journal, 11.0, 60.0, sides=sides, start_deg=start_deg), rod(30.0, 59.0, 150.0, sides=sides)]
        )

    same = turned(shaft(40.0, sides=150, start_deg=1.3), 1)
    other = turned(shaft(40.0 + more_mm, sides=128, start_deg=0.4), 2)
    assert together(shaft(40.0, sides=128, start_deg=0.0), other, same) == [(0, 2), (1,)]


def test_a_disc_with_one_hole_is_turned_until_the_holes_meet():
    # two of its principal moments differ by a hundred thousandth only
    def disc(start_deg, bore_mm=2.0):
        plain = combined([rod(100.0, 0.0, 8.0, sides=200)], [rod(bore_mm, -1.0, 9.0, 40.0, 0.0, sides=32)])
        return spun(plain, start_deg)

    meshes = (disc(0.0), turned(disc(73.2), 1), turned(mirror(disc(211.9)), 2), disc(0.0, 2.3))
    assert grouped(*meshes) == [((0, 1, 2), None, True), ((3,), None, True)]


def test_bodies_without_principal_directions_are_laid_by_their_flats():
    cube = block(30, 30, 30)
    holed = combined([cube], [rod(1.5, -1.0, 5.0, 10.0, 7.0, sides=24)])
    meshes = (cube, turned(cube, 1), turned(holed, 4), turned(mirror(holed), 5), holed)
    assert grouped(*meshes) == [((0, 1), None, True), ((2, 4), 2, False), ((3,), 1, False)]


def test_gears_differ_by_one_tooth():
    def gear(teeth, start_deg):
        tooth = block(6, 2, 8, (23, -1, 0))
        body = [rod(50.0, 0.0, 8.0, sides=180, start_deg=start_deg)]
        return combined([*body, *(spun(tooth, 360.0 / teeth * n + start_deg) for n in range(teeth))])

    assert together(gear(24, 0.0), turned(gear(24, 4.1), 1), turned(gear(23, 2.0), 2)) == [(0, 1), (2,)]


def test_three_hundred_bodies_take_less_than_ten_seconds():
    sizes = [(4, 16), (5, 20), (6, 16), (6, 20)]
    bolts = [turned(bolt(*sizes[n % 4], sides=72 + n % 5, start_deg=n), n) for n in range(280)]
    others = [combined([block(60 + 3 * n, 40, 10)], [rod(6 + 0.5 * n, -1.0, 11.0, 15, 12)]) for n in range(20)]
    start = time.process_time()
    told = together(*bolts, *others)
    assert time.process_time() - start < 10.0
    assert [len(one) for one in told] == [70] * 4 + [1] * 20
    assert [one[:2] for one in told[:4]] == [(0, 4), (1, 5), (2, 6), (3, 7)]


def test_the_same_bodies_give_the_same_turns():
    meshes, names = kit("stl")
    assert group_alike(meshes, names) == group_alike(meshes, names)


def test_a_body_is_laid_on_no_mirror_image_of_it():
    assert laid_on(measured(mirror(bracket())), measured(bracket())) is None


@pytest.mark.parametrize("reach_mm", [np.inf, 1.0])
def test_nearest_spots_are_those_of_the_twin(reach_mm):
    draw = np.random.default_rng(1)
    corners = draw.normal(size=(200, 3, 3)) * np.array([5.0, 1.0, 1.0])
    corners = corners[by_place(corners.mean(axis=1))]
    points = draw.normal(size=(300, 3)) * 5.0
    far, owner, spots = _kernels.nearest_spots(points, reach_mm, corners)
    wanted, by, where = twin.nearest_spots(points.tolist(), reach_mm, corners.tolist())
    assert far == pytest.approx(wanted, abs=1e-12)
    assert owner.tolist() == by
    assert spots == pytest.approx(np.array(where), abs=1e-9)


def test_points_are_spread_by_area():
    corners = np.array([[[0, 0, 0], [3, 0, 0], [0, 2, 0]], [[0, 0, 5], [3, 0, 5], [0, 6, 5]]], dtype=float)
    points, triangles = spread_over(corners, np.array([3.0, 9.0]), 4000)
    assert np.bincount(triangles).tolist() == [1000, 3000]
    # the mean of points of a triangle is its middle; 0.5 % for points that are spread better than by chance
    assert points[triangles == 1].mean(axis=0) == pytest.approx([1.0, 2.0, 5.0], abs=0.01)
