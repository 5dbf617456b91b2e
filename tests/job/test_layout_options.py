"""What is typed for a layout is read as it is meant, or refused with an example."""

from __future__ import annotations

import math

import pytest

from traywright.base.errors import JobError
from traywright.job.layout_options import masses_of, no_go_wall_of, ratio_of, sides_of, slot_of, tray_of, turns_of
from traywright.layout import Sides


@pytest.mark.parametrize("typed", ["560x360", " 560 X 360.0 ", "560×360", "5.6e2x360"])
def test_a_tray(typed):
    assert tray_of(typed) == (560.0, 360.0)


@pytest.mark.parametrize("typed", ["", "560", "560x", "x360", "560x360x50", "560,360", "axb", "560 mm x 360 mm"])
def test_a_tray_that_cannot_be_read(typed):
    with pytest.raises(JobError) as told:
        tray_of(typed)
    assert told.value.code == "JOB-026"
    assert "560x360" in str(told.value)


@pytest.mark.parametrize("typed", ["0x360", "-5x360", "560xnan", "infx360", "560x20000", "560x1e-9"])
def test_a_tray_that_cannot_be_meant(typed):
    with pytest.raises(JobError) as told:
        tray_of(typed)
    assert told.value.code == "JOB-055"


def test_a_wall_is_one_length_or_right_back_left_front():
    assert sides_of("--wall", "8") == Sides.all_round(8.0)
    assert sides_of("--wall", "1,2,3,4") == Sides(right_mm=1.0, back_mm=2.0, left_mm=3.0, front_mm=4.0)
    assert sides_of("--wall", "0") == Sides.all_round(0.0)
    assert math.copysign(1.0, sides_of("--wall", "-0").left_mm) == 1.0


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        *[(one, "JOB-026") for one in ("", "8 mm", "8,8", "1,2,3", "1,2,3,4,5", "8;8", "eight")],
        *[(one, "JOB-055") for one in ("-1", "nan", "inf", "-inf", "8,8,8,-8", "1e9", "8,nan,8,8")],
    ],
)
def test_a_wall_that_is_refused_names_its_option(typed, code):
    with pytest.raises(JobError) as told:
        sides_of("--rim", typed)
    assert told.value.code == code
    assert "--rim" in str(told.value)


@pytest.mark.parametrize(
    ("typed", "turns_deg", "free"),
    [
        ("0", (0.0,), False),
        ("0,180", (0.0, 180.0), False),
        ("180,0", (180.0, 0.0), False),
        ("quarter", (0.0, 90.0, 180.0, 270.0), False),
        ("free", (0.0, 180.0), True),
        ("free:0,90,180,270", (0.0, 90.0, 180.0, 270.0), True),
        ("free:quarter", (0.0, 90.0, 180.0, 270.0), True),
        ("-90,450,0.5", (270.0, 90.0, 0.5), False),
        ("0,360,-360", (0.0,), False),
    ],
)
def test_turns(typed, turns_deg, free):
    told = turns_of(typed)
    assert (told.turns_deg, told.free) == (turns_deg, free)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        *[(one, "JOB-026") for one in ("", "half", "0,", "free:", "free:x", "0 180")],
        *[(one, "JOB-055") for one in ("nan", "inf", "1e9")],
        (",".join(str(one) for one in range(361)), "JOB-056"),
    ],
)
def test_turns_that_are_refused(typed, code):
    with pytest.raises(JobError) as told:
        turns_of(typed)
    assert told.value.code == code


def test_how_many_in_a_kit_and_masses():
    assert ratio_of("1,2,1", 3) == (1, 2, 1)
    assert ratio_of(None, 3) == (1, 1, 1)
    assert masses_of("0.2,1.1", 2) == (0.2, 1.1)
    assert masses_of(None, 2) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("read", "typed", "code"),
    [
        (ratio_of, "1", "JOB-026"),
        (ratio_of, "1,2,3", "JOB-026"),
        (ratio_of, "1,1.5", "JOB-026"),
        (ratio_of, "1,x", "JOB-026"),
        (ratio_of, "1,0", "JOB-055"),
        (ratio_of, "1,-2", "JOB-055"),
        (ratio_of, "nan,1", "JOB-055"),
        (masses_of, "1", "JOB-026"),
        (masses_of, "1,-0.1", "JOB-055"),
        (masses_of, "1,nan", "JOB-055"),
    ],
)
def test_numbers_of_two_outlines_that_are_refused(read, typed, code):
    with pytest.raises(JobError) as told:
        read(typed, 2)
    assert told.value.code == code


def test_a_slot():
    told = slot_of("-5,20")
    assert (told.line_mm, told.width_mm, told.reach_mm) == (-5.0, 20.0, 0.0)
    assert slot_of("12,20,15").reach_mm == 15.0


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        *[(one, "JOB-026") for one in ("", "12", "1,2,3,4", "a,b")],
        *[(one, "JOB-055") for one in ("12,0", "12,-3", "nan,3", "12,3,-1", "12,3,inf")],
    ],
)
def test_a_slot_that_is_refused(typed, code):
    with pytest.raises(JobError) as told:
        slot_of(typed)
    assert told.value.code == code


def test_what_nothing_may_enter_is_kept_off_by_the_largest_wall_unless_told():
    wall = Sides(right_mm=1.0, back_mm=9.0, left_mm=3.0, front_mm=4.0)
    assert no_go_wall_of(None, wall) == 9.0
    assert no_go_wall_of("0", wall) == 0.0
    for typed, code in (("x", "JOB-026"), ("1,2", "JOB-026"), ("-1", "JOB-055"), ("nan", "JOB-055")):
        with pytest.raises(JobError) as told:
            no_go_wall_of(typed, wall)
        assert told.value.code == code
