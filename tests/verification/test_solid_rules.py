"""Rules of solids on a written plate: the good program is true, and each fault in it is told at its line."""

from __future__ import annotations

import dataclasses
import re
from itertools import pairwise

import pytest

from cutting import jig
from traywright.base import Severity
from traywright.base.messages import message
from traywright.catalogue import load_cards
from traywright.cutting import machine_for, plan_cuts
from traywright.nc import ProgramHead, write_program
from traywright.verification import read_back
from traywright.verification.motion import Motion, MotionKind
from traywright.verification.solid_rules import slope_deg

CARDS = load_cards(None)
MACHINE = CARDS.machine("demo-router-1300")
HDPE = CARDS.solid("hdpe")
CUTTERS = {1: CARDS.cutter("flat-8")}
HEAD = ProgramHead(job="j", revision="A", release="0", cut="sha256:0")
SETUP, PLIES = jig.setup(), {"T1.P1": jig.ply()}


def written(solid=HDPE, plies=PLIES):
    plan = plan_cuts(SETUP, plies, MACHINE, CUTTERS, solid=solid)
    return write_program(plan, SETUP, machine_for(MACHINE, solid), CARDS.dialect("demo-mm"), CUTTERS, HEAD).text


def read(text, solid=HDPE, machine=MACHINE):
    return read_back(text, name="p", setup=SETUP, plies=PLIES, machine=machine, cutters=CUTTERS, solid=solid)


@pytest.fixture(scope="module")
def good():
    return written()


def told(result, code):
    return [one for one in result.findings if one.code == code]


def numbered(rows):
    """Rows with line numbers that leave no gap."""
    plain = [re.sub(r"^N\d+ ", "", row) for row in rows]
    return "\n".join(plain) + "\n"


def moved(text, first, *last):
    """A program whose operations ``last`` stand before ``first``; each starts and ends at the safe height."""
    rows = text.splitlines()
    starts = [index for index, row in enumerate(rows) if row.startswith("(B1.S1.O")]
    end = next(index for index, row in enumerate(rows) if row.endswith("M5"))
    parts = {rows[at].split()[0][1:]: rows[at:to] for at, to in pairwise([*starts, end])}
    order = [name for name in parts if name not in last]
    order[order.index(first) : order.index(first)] = last
    return numbered([*rows[: starts[0]], *(row for name in order for row in parts[name]), *rows[end:]])


def test_a_good_program_of_a_plate_has_no_finding(good):
    result = read(good)
    assert result.findings == ()
    assert result.true


def test_a_foam_program_plunges_feeds_and_steps_too_much_for_a_plate():
    result = read(written(solid=None))
    assert {"RB-069", "RB-070", "RB-071"} <= {one.code for one in result.findings}
    assert not result.true
    assert told(result, "RB-069")[0].severity is Severity.STOP


def test_the_rules_of_solids_are_not_asked_of_foam():
    assert read(written(solid=None), solid=None).findings == ()


def steeper(text):
    """The first ramp leaves out every second of its steps down, and then all but the last."""
    rows = text.splitlines()
    first = next(index for index, row in enumerate(rows) if re.search(r"G1 X\S+ Y\S+ Z11\.9", row))
    last = next(index for index, row in enumerate(rows) if index > first and "Z" not in row)
    return numbered([*rows[:first], rows[last - 1], *rows[last:]])


def test_a_ramp_that_is_too_steep_is_told_with_its_angle(good):
    result = read(steeper(good))
    one = told(result, "RB-069")[0]
    assert dict(one.parameters)["angle_deg"] > HDPE.ramp_deg
    assert dict(one.parameters)["limit_deg"] == HDPE.ramp_deg
    assert one.point_mm
    assert not result.true


def plunged(text):
    rows = text.splitlines()
    first = next(index for index, row in enumerate(rows) if re.search(r"G1 X\S+ Y\S+ Z11\.9", row))
    return numbered([*rows[:first], "G1 Z9.0000", *rows[first:]])


def test_a_plunge_is_told_at_ninety_degrees(good):
    one = told(read(plunged(good)), "RB-069")[0]
    assert dict(one.parameters)["angle_deg"] == 90.0


def test_a_plunge_through_air_is_well(good):
    # up and straight down again where all is cut
    rows = good.splitlines()
    last = max(index for index, row in enumerate(rows) if re.search(r"G1 Y[0-9.]+$", row))
    assert read(numbered([*rows[: last + 1], "G1 Z9.0", "G1 Z3.0", *rows[last + 1 :]])).true


@pytest.mark.parametrize(("feed", "count"), [("F3000.0", 0), ("F3600.0", 1)])
def test_a_feed_above_the_sheet_s_is_told(good, feed, count):
    result = read(good.replace("F3000.0", feed))
    assert len(told(result, "RB-070")[:1]) == count
    assert result.true  # a warning, not a stop: the shape is right


@pytest.mark.parametrize(("rpm", "count"), [(12000, 0), (11000, 0), (10000, 1), (6000, 1)])
def test_a_spindle_speed_off_the_sheet_s_is_told_once_a_start(good, rpm, count):
    # the machine turns 12000 at most, the sheet would like 16000
    assert len(told(read(good.replace("S12000 ", f"S{rpm} ")), "RB-072")) == count


def test_a_machine_that_turns_faster_is_held_to_the_sheet(good):
    quick = dataclasses.replace(MACHINE, spindle_rpm=24000.0)
    assert told(read(good.replace("S12000 ", "S24000 "), machine=quick), "RB-072")
    assert not told(read(good.replace("S12000 ", "S16000 "), machine=quick), "RB-072")


def test_a_pass_deeper_than_the_step_is_told():
    result = read(written(dataclasses.replace(HDPE, step_down_ratio=1.0)))
    assert {one.code for one in result.findings} == {"RB-071"}
    one = told(result, "RB-071")[0]
    assert dict(one.parameters)["depth_mm"] > dict(one.parameters)["limit_mm"] == 4.0
    assert result.true


def test_an_outline_that_is_cut_through_before_the_rest_is_told(good):
    early = moved(good, "B1.S1.O1", "B1.S1.O5", "B1.S1.O7")
    result = read(early)
    (one,) = told(result, "RB-073")
    assert one.severity is Severity.WARN
    assert one.at[0] == "B1.1"
    assert dict(one.parameters)["line"] > dict(one.parameters)["free_line"]
    assert not told(read(good), "RB-073")


def test_holes_before_the_outline_are_well(good):
    # all to the skin, then the outline to its skin, then holes: any order of these leaves the skin
    assert not told(read(moved(good, "B1.S1.O1", "B1.S1.O5")), "RB-073")


def test_every_sentence_is_there(good):
    results = [read(written(solid=None)), read(moved(good, "B1.S1.O1", "B1.S1.O5", "B1.S1.O7"))]
    results.append(read(good.replace("S12000 ", "S6000 ")))
    codes = set()
    for one in (finding for result in results for finding in result.findings):
        codes.add(one.code)
        words = message(one.code, dict(one.parameters))
        assert "{" not in words.what + words.why + words.fix
    assert {"RB-069", "RB-070", "RB-071", "RB-072", "RB-073"} <= codes


def motion(start, end, kind=MotionKind.FEED, sweep_deg=0.0):
    return Motion(
        line=1,
        kind=kind,
        axes="XYZ",
        start_mm=start,
        end_mm=end,
        centre_mm=(0.0, 0.0),
        sweep_deg=sweep_deg,
        feed_mm_per_s=10.0,
        spindle_line=1,
        spindle_rpm=1.0,
        spun_s=1.0,
        tool=1,
        length_offset=0,
        unit="mm",
    )


@pytest.mark.parametrize(
    ("start", "end", "angle"),
    [
        ((0, 0, 10), (0, 0, 5), 90.0),
        ((0, 0, 10), (5, 0, 5), 45.0),
        ((0, 0, 5), (5, 0, 5), 0.0),
        ((0, 0, 5), (0, 0, 10), 0.0),
    ],
)
def test_how_steep_a_way_down_is(start, end, angle):
    assert slope_deg(motion(start, end)) == pytest.approx(angle)


def test_a_helix_is_as_steep_as_its_way_is_long():
    # one turn of radius 10 (62.83 mm) down 6.283 mm: 5.71 degrees
    helix = motion((10, 0, 6.2832), (10, 0, 0), MotionKind.ARC_CCW, 360.0)
    assert slope_deg(helix) == pytest.approx(5.7106, abs=1e-3)
