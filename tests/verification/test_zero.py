"""Zero on the bed or on the board's top: the same board either way, and a mix-up is told."""

from __future__ import annotations

import dataclasses

import pytest

from cutting import drawer, jig
from traywright.catalogue import load_cards
from traywright.cutting import machine_for, plan_cuts
from traywright.nc import ProgramHead, write_program
from traywright.verification import read_back

CARDS = load_cards(None)
MACHINE = CARDS.machine("demo-router-1300")
CUTTERS = {1: CARDS.cutter("flat-8")}
HEAD = ProgramHead(job="j", revision="A", release="0", cut="sha256:0")
BOARDS = {
    "foam": (drawer.setup(), {"T1.P1": drawer.ply()}, None),
    "solid": (jig.setup(), {"T1.P1": jig.ply()}, CARDS.solid("hdpe")),
}


@pytest.fixture(scope="module", params=BOARDS)
def board(request):
    setup, plies, solid = BOARDS[request.param]
    plan = plan_cuts(setup, plies, MACHINE, CUTTERS, solid=solid)
    texts = {}
    for z_zero in ("bed", "top"):
        zeroed = dataclasses.replace(setup, z_zero=z_zero)
        assert plan_cuts(zeroed, plies, MACHINE, CUTTERS, solid=solid) == plan
        program = write_program(plan, zeroed, machine_for(MACHINE, solid), CARDS.dialect("demo-mm"), CUTTERS, HEAD)
        texts[z_zero] = program.text

    def read(written, taken, thickness_mm=None):
        own = dataclasses.replace(setup, z_zero=taken, thickness_mm=thickness_mm or setup.thickness_mm)
        return read_back(
            texts[written], name="p", setup=own, plies=plies, machine=MACHINE, cutters=CUTTERS, solid=solid
        )

    return texts, read, setup


def test_the_same_board_reads_the_same_from_either_zero(board):
    _, read, _ = board
    bed, top = read("bed", "bed"), read("top", "top")
    assert bed.true
    assert top.true
    assert (bed.gouge_mm, bed.remainder_mm, bed.removed_mm3) == (top.gouge_mm, top.remainder_mm, top.removed_mm3)
    assert [(one.code, one.point_mm) for one in bed.findings] == [(one.code, one.point_mm) for one in top.findings]


def test_the_text_says_where_its_zero_is_and_counts_from_there(board):
    texts, _, setup = board
    assert "(Z0: surface of the spoil board)" in texts["bed"]
    assert "(Z0: top of the board)" in texts["top"]
    assert f"(cut from Z{-MACHINE.into_spoil_mm:.3f} to" in texts["bed"]
    assert f"(cut from Z{-MACHINE.into_spoil_mm - setup.thickness_mm:.3f} to" in texts["top"]
    for text in texts.values():
        assert f"(board thickness {setup.thickness_mm:.3f} mm)" in text


def test_a_program_for_the_bed_on_a_machine_zeroed_on_top_is_told(board):
    _, read, _ = board
    told = read("bed", "top")
    assert not told.true
    assert told.remainder_mm > 1.0  # all but a scratch of the outline is cut in air
    assert {"RB-061", "RB-066"} & {one.code for one in told.findings}


def test_a_program_for_the_top_on_a_machine_zeroed_on_the_bed_is_told(board):
    _, read, _ = board
    told = read("top", "bed")
    assert not told.true
    assert "RB-051" in {one.code for one in told.findings}  # a whole board deep in the spoil board
    assert told.gouge_mm > 1.0


def test_top_zero_keeps_the_depth_and_bed_zero_the_floor_of_a_thinner_board(board):
    # a board 0.6 thinner than the program was written for: from the bed its floors stay, from the top they sink
    _, read, setup = board
    thin = setup.thickness_mm - 0.6
    assert read("bed", "bed", thin).gouge_mm == 0.0
    assert read("top", "top", thin).gouge_mm == pytest.approx(0.6, abs=0.001)


@pytest.mark.parametrize(
    ("datum", "told"),
    [
        ("front left", "X0 Y0: front left)"),
        ("front left pin", "X0 Y0: front left pin: the corner that both its edges touch)"),
        ("front left fence", "X0 Y0: front left fence: the corner where its two rails meet)"),
    ],
)
def test_the_text_says_where_the_board_lies(datum, told):
    setup = drawer.setup(datum=datum)
    plan = plan_cuts(setup, {"T1.P1": drawer.ply()}, MACHINE, CUTTERS)
    text = write_program(plan, setup, MACHINE, CARDS.dialect("demo-mm"), CUTTERS, HEAD).text
    assert told in text
