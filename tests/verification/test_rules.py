"""Rules on motions, one by one, on programs of a few lines."""

from __future__ import annotations

import dataclasses

import pytest

from traywright.base import Severity
from traywright.verification import read_program
from traywright.verification.rules import allowed_on, judge_bites, judge_motions
from traywright.verification.stock import first_stock, sweep
from verification.scenes import MACHINE, SETUP, cutter

START = "G21 G17 G90 G94 T1 M6 S12000 M3\nG4 P4\nG0 Z35\nG0 X40 Y40\nG0 Z27\n"
END = "G0 Z35\nM5\nM30\n"


def judged(lines, start=START, end=END, machine=MACHINE, **card):
    cutters = {1: cutter(**card)}
    heard = read_program(start + lines + end)
    assert not [one for one in heard.findings if one.severity is Severity.STOP]
    allowed = allowed_on(SETUP, machine, cutters, "p")
    bites = sweep(first_stock(SETUP), heard.motions, allowed.cutters).bites
    found = (*judge_motions(heard, heard.motions, allowed), *judge_bites(bites, allowed))
    return [(one.code, dict(one.parameters)["line"]) for one in found]


def test_up_across_down_and_feed_is_well():
    assert judged("G1 Z10 F1000\nG1 X60\n") == []


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("G1 Z10 F6001\n", [("RB-042", 6)]),
        ("S12001\nG1 Z10 F1000\n", [("RB-043", 7)]),
        ("G43 H2\nG1 Z10 F1000\n", [("RB-046", 7)]),
        ("G1 Z-0.4 F1000\n", [("RB-051", 6)]),
        ("G1 Z10 F1000\nT1 M6\nM3\nG4 P4\n", [("RB-056", 7)]),
        ("G1 Z10 F1000\nM5\nM3\nG4 P1\nG1 X60\n", [("RB-044", 10)]),
        ("G1 Z10 F1000\nG0 X60\n", [("RB-052", 7), ("RB-054", 7)]),
        ("G0 Z24\n", [("RB-053", 6), ("RB-054", 6)]),
        ("G0 X60 Z26\n", [("RB-053", 6)]),
        ("G0 Z35\nG0 X60 Z40\n", [("RB-053", 7)]),
        ("G1 Z10\n", [("RB-041", 6)]),
        ("M5\nG1 Z10 F1000\n", [("RB-040", 7)]),
    ],
)
def test_a_breach_is_told_at_its_line(lines, told):
    found = judged(lines)
    assert found[: len(told)] == told
    assert {code for code, _ in found} == {code for code, _ in told}


def test_a_way_across_before_any_height_is_told():
    assert ("RB-052", 3) in judged("", start="G21 T1 M6 S12000 M3\nG4 P4\nG0 X40 Y40\n")


def test_a_park_in_the_machine_s_frame_is_a_retract():
    assert judged("G1 Z10 F1000\nG53 G0 Z0\nG53 G0 X0 Y0\nG0 Z35\nG0 X50 Y50\n") == []


def test_a_park_across_without_a_retract_is_told():
    assert ("RB-052", 7) in judged("G1 Z10 F1000\nG53 G0 X0 Y0\nG53 G0 Z0\n")


def test_reach_and_centre():
    assert judged("G1 Z10 F1000\n", reach_mm=15.0) == []
    assert judged("G1 Z10 F1000\n", reach_mm=14.9)[0] == ("RB-047", 6)
    assert judged("G1 Z10 F1000\n", centre_cutting=False)[0] == ("RB-048", 6)
    assert judged("G1 X60 Z10 F1000\n", centre_cutting=False) == []


def test_a_cutter_that_nobody_listed():
    told = judged("T2 M6\nM3\nG4 P4\nG1 Z10 F1000\n")
    assert ("RB-045", 9) in told


@pytest.mark.parametrize(("x", "told"), [(420.0, False), (420.1, True), (-20.0, False), (-20.1, True)])
def test_travel_round_the_bed(x, told):
    machine = dataclasses.replace(MACHINE, travel_x_mm=440.0)
    found = judged(f"G0 Z35\nG0 X{x}\n", machine=machine)
    assert (("RB-050", 7) in found) is told


def test_an_arc_may_not_bulge_past_the_travel():
    lines = "G0 Z35\nG0 X390 Y40\nG1 Z34 F1000\nG3 X390 Y70 J15\n"
    assert ("RB-050", 9) in judged(lines)
    assert judged(lines.replace("G3", "G2")) == []


def test_a_rapid_down_in_its_own_pocket_is_told_too():
    assert ("RB-053", 8) in judged("G1 Z10 F1000\nG0 Z35\nG0 Z12\n")
