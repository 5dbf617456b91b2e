"""Solids: no plunge into material, ramps, steps, skin; each program is looked at by the read-back's own cutting."""

from __future__ import annotations

import dataclasses
import math

import pytest

from cutting import drawer, jig
from cutting.bench import CARDS, DIALECT, MACHINE
from traywright.base.errors import CutError
from traywright.cutting import MoveKind, machine_for, plan_cuts
from traywright.geometry import Contour
from traywright.nc import ProgramHead, write_program
from traywright.nesting.setup import Piece
from traywright.verification import first_stock, read_back, read_program, sweep

HDPE = CARDS.solid("hdpe")
HEAD = ProgramHead(job="j", revision="A", release="0", cut="sha256:0")
CUTTERS = {1: CARDS.cutter("flat-8"), 2: CARDS.cutter("flat-6"), 3: CARDS.cutter("flat-3")}


def planned(ply=None, setup=None, numbers=(1,), **asked):
    ply = ply or jig.ply()
    cutters = {number: CUTTERS[number] for number in numbers}
    setup = setup or jig.setup(tuple((number, CUTTERS[number].id) for number in numbers))
    plan = plan_cuts(setup, {"T1.P1": ply}, MACHINE, cutters, **({"solid": HDPE} | asked))
    program = write_program(plan, setup, machine_for(MACHINE, HDPE), DIALECT, cutters, HEAD)
    return plan, program, setup, {"T1.P1": ply}, cutters


def bites_of(program, setup, cutters):
    return sweep(first_stock(setup), read_program(program.text).motions, cutters).bites


def read(program, setup, plies, cutters):
    return read_back(program.text, name="p", setup=setup, plies=plies, machine=MACHINE, cutters=cutters)


def test_no_move_enters_the_sheet_steeper_than_it_allows_and_none_takes_more_than_a_step():
    _, program, setup, _, cutters = planned()
    bites = bites_of(program, setup, cutters)
    down = [one for one in bites if one.motion.start_mm[2] - one.motion.end_mm[2] > 0.0005]
    assert len(down) > 100
    for one in down:
        drop_mm = one.motion.start_mm[2] - one.motion.end_mm[2]
        assert math.degrees(math.atan2(drop_mm, one.motion.plan_mm)) <= HDPE.ramp_deg
    assert max(one.deepest_mm for one in bites) <= HDPE.step_down_ratio * 8.0 + 0.001


@pytest.mark.parametrize("bridges", [jig.BRIDGES, jig.BRIDGES[:1], ()], ids=["three", "one", "none"])
def test_a_plate_is_read_back_true(bridges):
    _, program, setup, plies, cutters = planned(setup=jig.setup(bridges=bridges))
    result = read(program, setup, plies, cutters)
    assert [one.code for one in result.findings] == []
    assert result.true


def test_two_plates_with_a_shared_kerf_and_turned_are_read_back_true():
    pieces = (
        Piece(id="B1.1", ply="T1.P1", at_mm=(20.0, 20.0), turn_deg=0),
        Piece(id="B1.2", ply="T1.P1", at_mm=(268.0, 20.0), turn_deg=90),
    )
    _, program, setup, plies, cutters = planned(setup=jig.setup(pieces=pieces))
    result = read(program, setup, plies, cutters)
    assert result.true
    down = [one for one in bites_of(program, setup, cutters) if not one.motion.goes_across]
    assert down == []


def test_all_is_cut_to_a_skin_before_anything_goes_through_and_the_outline_goes_last():
    plan, *_ = planned()
    assert [(one.kind, one.level_mm) for one in plan.operations] == [
        ("pocket", 9.0),
        ("pocket", 7.0),
        ("pocket", 4.0),
        ("hole", HDPE.skin_mm),
        ("outline", HDPE.skin_mm),
        ("hole", -MACHINE.into_spoil_mm),
        ("outline", -MACHINE.into_spoil_mm),
    ]
    for one in plan.operations[:5]:
        assert min(move.to_mm[2] for move in one.moves) >= HDPE.skin_mm - 1e-9


def test_feed_and_spindle_are_the_sheet_s():
    plan, program, *_ = planned()
    feeds = {move.feed_mm_per_s for one in plan.operations for move in one.moves if move.kind is not MoveKind.RAPID}
    assert max(feeds) == HDPE.feed_mm_per_s
    assert MACHINE.spindle_rpm < HDPE.spindle_rpm  # the machine does not turn as fast as the sheet would like
    assert f"S{MACHINE.spindle_rpm:.0f} M3" in program.text
    assert machine_for(dataclasses.replace(MACHINE, spindle_rpm=24000.0), HDPE).spindle_rpm == HDPE.spindle_rpm
    assert machine_for(MACHINE, None) is MACHINE


def test_a_slow_machine_stays_slow():
    slow = dataclasses.replace(MACHINE, feed_mm_per_s=20.0, spindle_rpm=9000.0)
    told = machine_for(slow, HDPE)
    assert (told.feed_mm_per_s, told.spindle_rpm) == (20.0, 9000.0)


def test_a_hole_as_wide_as_the_cutter_is_given_to_a_smaller_one_or_refused():
    ply = jig.with_feature(jig.ply(), 0.0, Contour.circle((50.0, 80.0), 4.0))
    with pytest.raises(CutError) as told:
        planned(ply)
    assert told.value.code == "CUT-007"
    plan, program, setup, plies, cutters = planned(ply, numbers=(1, 2))
    assert {one.cutter for one in plan.operations if "B1.1/F99" in one.features} == {2}
    assert read(program, setup, plies, cutters).true
    assert not [one for one in bites_of(program, setup, cutters) if not one.motion.goes_across]


@pytest.mark.parametrize(("width", "enters"), [(6.84, False), (7.1, False), (7.3, True)])
def test_a_hole_hardly_wider_than_the_cutter_is_refused_and_never_left_out(width, enters):
    # 6.84 with a cutter of 6 was taken as wide enough by one rule and left out by the next
    ply = dataclasses.replace(jig.ply(), features=())
    ply = jig.with_hole(ply, width)
    if not enters:
        with pytest.raises(CutError) as told:
            planned(ply, numbers=(2,))
        assert told.value.code == "CUT-007"
        return
    _, program, setup, plies, cutters = planned(ply, numbers=(2,))
    assert read(program, setup, plies, cutters).true


def test_corners_of_a_solid_are_cleaned_without_a_plunge():
    square = jig.with_feature(jig.ply(), 5.0, drawer.rectangle(20, 60, 90, 100))
    plan, program, setup, plies, cutters = planned(square, numbers=(1, 2), clean_corners=True)
    assert {one.cutter for one in plan.operations if "B1.1/F99" in one.features} == {1, 2}
    assert read(program, setup, plies, cutters).true
    for one in bites_of(program, setup, cutters):
        drop_mm = one.motion.start_mm[2] - one.motion.end_mm[2]
        assert drop_mm <= 0.0005 or math.degrees(math.atan2(drop_mm, one.motion.plan_mm)) <= HDPE.ramp_deg


def test_same_plate_same_plan():
    assert planned()[0] == planned()[0]
