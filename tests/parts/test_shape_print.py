from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from parts.asked import KIT, SOLIDS
from parts.bodies import block, bolt, bracket, mirror, rod, turned
from traywright.geometry import Mesh, combined
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.shape_print import (
    SAME_RATIO,
    Earlier,
    how_far,
    is_other_hand,
    known_again,
    print_of_text,
    same_shape,
    shape_print,
    size_ratio,
    unit_slip,
)


@cache
def body(folder, name, number=0):
    unit = "mm" if name.endswith("stl") else "file"
    return (
        read_shape(ShapeAsked(id="p", file_name=name, length_unit=unit), (folder / name).read_bytes())
        .bodies[number]
        .mesh
    )


def scaled(mesh, times):
    return Mesh(mesh.points_mm * times, mesh.triangles)


def spindle():
    return body(KIT, "spindle.step")


def stepped(flange, *, sides=160):
    return combined([rod(flange, 0.0, 14.0, sides=sides), rod(40.0, 13.0, 120.0, sides=sides)])


@pytest.mark.parametrize(
    "other",
    [(SOLIDS, "spindle_inch.step"), (SOLIDS, "spindle.stl"), (SOLIDS, "kit_assembly.stl")],
    ids=lambda told: told[1],
)
def test_the_spindle_is_known_in_every_file(other):
    one, again = shape_print(spindle()), shape_print(body(*other))
    assert same_shape(one, again)
    assert size_ratio(one, again) == pytest.approx(1.0, abs=0.0005)


def test_turned_and_mirrored_spindles_of_the_kit_are_the_spindle():
    for number in (17, 18, 19):
        assert same_shape(shape_print(spindle()), shape_print(body(SOLIDS, "kit_assembly.step", number)))


@pytest.mark.parametrize("more", [2.0, 4.0])
def test_a_larger_flange_is_another_shape(more):
    # revision B of the demo's spindle: flange 96 instead of 92
    assert how_far(shape_print(stepped(92.0)), shape_print(stepped(92.0 + more))) > 2.0 * SAME_RATIO
    assert same_shape(shape_print(stepped(92.0)), shape_print(stepped(92.0, sides=200)))


@pytest.mark.parametrize("seed", range(5))
def test_a_print_stays_when_the_part_is_turned_moved_and_scaled(seed):
    mesh = bracket()
    again = turned(scaled(mesh, 3.7), seed)
    assert how_far(shape_print(mesh), shape_print(again)) < SAME_RATIO / 10.0
    assert size_ratio(shape_print(again), shape_print(mesh)) == pytest.approx(3.7, abs=1e-6)


@pytest.mark.parametrize(("unit", "times"), [("inch", 25.4), ("cm", 10.0), ("m", 1000.0), ("foot", 304.8)])
def test_a_slip_of_units_is_named(unit, times):
    one, other = shape_print(bracket()), shape_print(scaled(bracket(), times))
    assert same_shape(one, other)
    assert unit_slip(one, other) == unit_slip(other, one) == unit
    assert not unit_slip(one, shape_print(scaled(bracket(), times * 1.02)))


def test_numbers_of_a_block_are_those_of_the_handbook():
    # block a x b x c of volume V: surface 2 (ab + bc + ca), second moments V a²/12 and so on
    told = shape_print(block(60.0, 40.0, 20.0))
    volume = 60.0 * 40.0 * 20.0
    assert told.scale_mm**3 == pytest.approx(volume, rel=1e-12)
    assert told.area_ratio == pytest.approx(2 * (2400 + 800 + 1200) / volume ** (2 / 3), rel=1e-12)
    wanted = [volume * side**2 / 12 / volume ** (5 / 3) for side in (20.0, 40.0, 60.0)]
    assert told.moments_ratio == pytest.approx(wanted, rel=1e-12)
    assert told.hand_ratio == pytest.approx(0.0, abs=1e-12)


def test_the_hand_is_the_integral_of_xyz():
    # a big block with small ones of side 2 at (x, y, z) and half a turn from it: 2 * 8 xyz, nearly along the axes
    big = block(100.0, 60.0, 30.0, (-50.0, -30.0, -15.0))
    one = block(2.0, 2.0, 2.0, (39.0, 19.0, 15.0))
    other = block(2.0, 2.0, 2.0, (-41.0, -21.0, 15.0))
    told = shape_print(combined([big, one, other]))
    scale = told.scale_mm
    assert abs(told.hand_ratio) * scale**6 == pytest.approx(2 * 8 * 40.0 * 20.0 * 16.0, rel=0.3)


def test_left_and_right_are_told_apart():
    left, right = shape_print(bracket()), shape_print(turned(mirror(bracket(sides=50)), 4))
    assert how_far(left, right) < SAME_RATIO
    assert is_other_hand(left, right)
    assert not same_shape(left, right)
    assert same_shape(left, shape_print(turned(bracket(sides=50), 4)))


def test_a_shape_that_is_its_own_mirror_image_has_no_hand():
    for mesh in (bracket(10.0), block(50, 30, 20), bolt(6, 20), spindle()):
        assert not is_other_hand(shape_print(mesh), shape_print(turned(mirror(mesh), 1)))


def test_a_longer_bolt_is_another_shape():
    assert not same_shape(shape_print(bolt(5, 16)), shape_print(bolt(5, 17)))


def test_the_text_of_a_print_reads_back():
    told = shape_print(bracket())
    again = print_of_text(told.text)
    assert again.text == told.text
    assert len(told.text) < 300
    assert same_shape(told, again)
    assert told.text == shape_print(bracket()).text


@pytest.mark.parametrize("text", ["", "shape/1", "shape/2 1 1 1,1,1 1 1", "shape/1 a b c d e", "shape/1 1 1 1,1 1 1"])
def test_a_text_that_is_no_print_is_none(text):
    assert print_of_text(text) is None


def test_an_earlier_part_is_known_again():
    now = shape_print(bracket())
    earlier = tuple(
        Earlier(job=job, part="arm", print=shape_print(mesh))
        for job, mesh in (
            ("J1", turned(bracket(), 1)),
            ("J2", scaled(bracket(), 1 / 25.4)),
            ("J3", mirror(bracket())),
            ("J4", block(40, 20, 4)),
        )
    )
    told = known_again("arm_b", now, earlier)
    assert [(one.code, dict(one.parameters)["job"]) for one in told] == [
        ("PART-075", "J1"),
        ("PART-076", "J2"),
        ("PART-077", "J3"),
    ]
    assert dict(told[1].parameters)["times"] == "25.4"
    assert dict(told[1].parameters)["unit"] == "inch"


def test_prints_do_not_hang_on_the_order_of_triangles():
    mesh = spindle()
    mixed = Mesh(mesh.points_mm, mesh.triangles[np.random.default_rng(3).permutation(len(mesh.triangles))])
    assert how_far(shape_print(mesh), shape_print(mixed)) < SAME_RATIO / 2.0
