from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import PartError
from traywright.geometry import is_closed, mass_properties
from traywright.parts import ArcTo, Boss, Disc, Hole, Level, Outline, Plate, Step, Tube, Turned
from traywright.parts.build import solid_of_dimensions


def volume(shape):
    mesh = solid_of_dimensions("p", shape)
    assert is_closed(mesh)
    return mass_properties(mesh).volume_mm3


def code(shape):
    with pytest.raises(PartError) as caught:
        solid_of_dimensions("p", shape)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


PLATE = {"length_mm": 60.0, "width_mm": 40.0, "thickness_mm": 5.0}


def test_a_turned_part_is_its_steps():
    steps = (Step(length_mm=10, diameter_mm=40, bore_mm=10), Step(length_mm=30, diameter_mm=20, bore_mm=10))
    exact = math.pi * (10 * (400 - 25) + 30 * (100 - 25))
    assert volume(Turned(steps=steps)) == pytest.approx(exact, rel=0.001)


def test_a_chamfer_takes_both_edges():
    sharp = volume(Turned(steps=(Step(length_mm=10, diameter_mm=40),)))
    broken = volume(Turned(steps=(Step(length_mm=10, diameter_mm=40, chamfer_mm=2),)))
    # Pappus: two triangles of 2 x 2 / 2 whose centres lie 2/3 from the rim
    assert sharp - broken == pytest.approx(2 * 2 * math.pi * (20 - 2 / 3) * 2, rel=0.001)


def test_a_plate_has_its_holes_and_its_corners():
    shape = Plate(
        **PLATE,
        corner_radius_mm=8.0,
        holes=(Hole(x_mm=20, y_mm=20, diameter_mm=6), Hole(x_mm=40, y_mm=20, diameter_mm=10, depth_mm=2)),
    )
    exact = (60 * 40 - (4 - math.pi) * 64) * 5 - math.pi * 9 * 5 - math.pi * 25 * 2
    assert volume(shape) == pytest.approx(exact, rel=0.0005)


def test_a_block_has_bosses_on_both_sides():
    bosses = (
        Boss(x_mm=20, y_mm=20, size_mm=(10.0,), height_mm=7),
        Boss(x_mm=45, y_mm=20, size_mm=(8.0, 12.0), height_mm=3, on_top=False),
    )
    mesh = solid_of_dimensions("p", Plate(**PLATE, bosses=bosses))
    assert mass_properties(mesh).volume_mm3 == pytest.approx(12000 + math.pi * 25 * 7 + 8 * 12 * 3, rel=0.0005)
    assert (mesh.bounds_mm[0][2], mesh.bounds_mm[1][2]) == (-3.0, 12.0)


def test_a_through_hole_goes_through_the_boss_over_it():
    boss = Boss(x_mm=20, y_mm=20, size_mm=(12.0,), height_mm=6)
    shape = Plate(**PLATE, bosses=(boss,), holes=(Hole(x_mm=20, y_mm=20, diameter_mm=4),))
    assert volume(shape) == pytest.approx(12000 + math.pi * 36 * 6 - math.pi * 4 * 11, rel=0.0005)


def test_a_tube_lies_along_x():
    mesh = solid_of_dimensions("p", Tube(length_mm=100, width_mm=30, height_mm=20, wall_mm=2))
    assert mesh.bounds_mm[1].tolist() == [100, 30, 20]
    assert mass_properties(mesh).volume_mm3 == pytest.approx(100 * (600 - 26 * 16))


def test_a_disc_stands_about_z():
    assert volume(Disc(diameter_mm=50, thickness_mm=4, bore_mm=10)) == pytest.approx(
        math.pi * (625 - 25) * 4, rel=0.001
    )


def test_an_outline_follows_its_arcs():
    slot = (
        (0.0, 0.0),
        (40.0, 0.0),
        ArcTo(to_mm=(40.0, 20.0), centre_mm=(40.0, 10.0), counter_clockwise=True),
        (0.0, 20.0),
        ArcTo(to_mm=(0.0, 0.0), centre_mm=(0.0, 10.0), counter_clockwise=False),
    )
    # a bulge outward on the right, the same bulge inward on the left: as if it were straight
    shape = Outline(levels=(Level(points_mm=slot, bottom_mm=0.0, top_mm=3.0),))
    assert volume(shape) == pytest.approx(40 * 20 * 3, rel=0.0005)


def test_levels_stand_on_each_other():
    square = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))
    small = ((5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0))
    shape = Outline(
        levels=(
            Level(points_mm=square, bottom_mm=0.0, top_mm=4.0),
            Level(points_mm=small, bottom_mm=4.0, top_mm=9.0),
        )
    )
    assert volume(shape) == pytest.approx(1600 + 500)


@given(st.floats(1, 200), st.floats(1, 200), st.floats(0.1, 50))
@settings(max_examples=20)
def test_a_block_keeps_its_numbers(length, width, thick):
    mesh = solid_of_dimensions("p", Plate(length_mm=length, width_mm=width, thickness_mm=thick))
    # coordinates of a region are snapped to 0.001 mm
    assert mesh.bounds_mm[1].tolist() == pytest.approx([length, width, thick], abs=0.0006)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf, 1e9])
@pytest.mark.parametrize("key", ["length_mm", "width_mm", "thickness_mm"])
def test_a_number_that_is_no_length_is_refused(key, bad):
    assert code(Plate(**(PLATE | {key: bad}))) == "PART-006"


@pytest.mark.parametrize(
    "shape",
    [
        Disc(diameter_mm=10, thickness_mm=2, bore_mm=10),
        Tube(length_mm=10, width_mm=10, height_mm=4, wall_mm=2),
        Turned(steps=(Step(length_mm=4, diameter_mm=10, chamfer_mm=2),)),
        Turned(steps=(Step(length_mm=4, diameter_mm=10, bore_mm=11),)),
        Plate(**PLATE, corner_radius_mm=20.0),
        Plate(**PLATE, holes=(Hole(x_mm=9, y_mm=9, diameter_mm=4, depth_mm=5.0),)),
    ],
)
def test_a_cut_that_leaves_nothing_is_refused(shape):
    assert code(shape) == "PART-007"


def test_an_arc_off_its_centre_is_refused():
    arc = ArcTo(to_mm=(10.0, 10.0), centre_mm=(0.0, 0.0), counter_clockwise=True)
    assert code(Outline(levels=(Level(points_mm=((5.0, 0.0), arc), bottom_mm=0.0, top_mm=1.0),))) == "PART-008"
    assert code(Outline(levels=(Level(points_mm=(arc, (5.0, 0.0)), bottom_mm=0.0, top_mm=1.0),))) == "PART-008"


def test_a_line_is_no_outline():
    line = ((0.0, 0.0), (5.0, 0.0), (9.0, 0.0))
    assert code(Outline(levels=(Level(points_mm=line, bottom_mm=0.0, top_mm=1.0),))) == "PART-009"


def test_an_outline_that_crosses_itself_is_refused_not_mended():
    """A bow tie was made into two triangles without a word."""
    bow = Outline(
        levels=(Level(points_mm=((0.0, 0.0), (80.0, 40.0), (80.0, 0.0), (0.0, 40.0)), bottom_mm=0.0, top_mm=5.0),)
    )
    with pytest.raises(PartError) as refused:
        solid_of_dimensions("bow", bow)
    assert refused.value.code == "PART-027"
