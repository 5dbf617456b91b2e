"""Whole read-backs: the good program is true, each fault is told under its own code with line and place."""

from __future__ import annotations

import dataclasses
import math
import re

import pytest

from traywright.base import Severity, message
from traywright.base.errors import ReadBackError
from traywright.geometry import Region
from traywright.nesting.setup import Piece
from traywright.verification import read_back
from verification import scenes
from verification.faults import FAULTS, shallow
from verification.scenes import CUTTERS, GOOD, MACHINE, PLIES, SETUP


def read(text=GOOD, **changes):
    told = {"name": "B1-S1", "setup": SETUP, "plies": PLIES, "machine": MACHINE, "cutters": CUTTERS}
    return read_back(text, **(told | changes))


def codes(result):
    return {one.code for one in result.findings}


def test_the_good_program_reports_nothing():
    result = read()
    assert result.true
    assert result.findings == ()
    assert result.gouge_mm == result.remainder_mm == 0.0
    assert result.error_bound_mm == result.grid_mm == 0.5


def test_it_removes_the_pocket_and_the_kerf():
    # pocket 60 x 40 with corners of radius 6, 15 deep; kerf 12 round 100 x 80 with round outer corners; bridges stand
    pocket = (60.0 * 40.0 - (4.0 - 3.141593) * 36.0) * 15.0
    kerf = (2.0 * 12.0 * (100.0 + 80.0) + 3.141593 * 144.0) * 25.0
    bridges = 2 * 6.0 * 24.0 * 12.0
    assert read().removed_mm3 == pytest.approx(pocket + kerf - bridges, rel=0.005)


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_told_under_its_own_code_with_line_and_place(name):
    make, own = FAULTS[name]
    text, line = make(GOOD)
    assert text != GOOD
    result = read(text)
    assert not result.true
    told = [one for one in result.findings if one.code in own]
    assert told, codes(result)
    assert all(one.severity is Severity.STOP and one.point_mm for one in told)
    if len(own) == 1:
        lines = dict(told[0].parameters)
        assert line in {lines["line"], lines.get("z_line")}


def test_a_good_program_has_none_of_those_codes():
    assert not codes(read()) & set().union(*(own for _, own in FAULTS.values()))


HARMLESS = {
    7: "the approach above foam: the plunge starts higher",
    17: "the last side of the inner ring: its neighbours cut the same foam",
    20: "the approach above foam",
    40: "the end word stops the spindle too",
    41: "the park",
}


@pytest.mark.parametrize("line", range(1, 43))
def test_every_dropped_line_is_seen_unless_it_changes_nothing(line):
    rows = [row for row in GOOD.splitlines() if not row.startswith(f"N{line} ")]
    result = read(re.sub(r"^N[0-9]+ ", "", "\n".join(rows) + "\n", flags=re.MULTILINE))
    assert bool(result.findings) is (line not in HARMLESS)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("(pocket)", "(a recess for the block)"),
        ("F6000.0", "F4500.0"),
        ("F1800.0", "F900.0"),
        ("Z35.0000", "Z40.0000"),
        ("S12000", "S11000"),
        ("N15 G1 Y", "N15 Y"),
    ],
)
def test_what_is_no_fault_reports_nothing(old, new):
    assert old in GOOD
    result = read(GOOD.replace(old, new))
    assert result.true
    assert result.findings == ()


@pytest.mark.parametrize("by_mm", [0.3, -0.3])
def test_a_floor_off_by_three_tenths_is_false(by_mm):
    result = read(shallow(GOOD, by_mm)[0])
    assert not result.true
    assert codes(result) == ({"RB-061"} if by_mm > 0 else {"RB-060"})
    assert max(result.gouge_mm, result.remainder_mm) == pytest.approx(0.3, abs=0.001)


@pytest.mark.parametrize("by_mm", [0.19, -0.19])
def test_a_floor_within_the_tolerance_is_true(by_mm):
    assert read(shallow(GOOD, by_mm)[0]).true


def shifted(text, dx_mm):
    """The pocket moved sideways as a whole."""
    rows = text.splitlines()
    start, end = rows.index("(pocket)"), rows.index("(outline)")
    for at in range(start, end):
        rows[at] = re.sub(r"X([0-9.]+)", lambda hit: f"X{float(hit.group(1)) + dx_mm:.4f}", rows[at])
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize(("dx_mm", "true"), [(0.15, True), (-0.15, True), (0.71, False), (-0.71, False)])
def test_a_wall_off_by_more_than_tolerance_and_bound_is_false(dx_mm, true):
    result = read(shifted(GOOD, dx_mm))
    assert result.true is true
    if not true:
        assert {"RB-060", "RB-061"} <= codes(result)


@pytest.mark.parametrize("grid_mm", [0.5, 0.3, 0.25, 0.2])
def test_a_finer_grid_says_the_same(grid_mm):
    assert read(grid_mm=grid_mm).true
    assert not read(shallow(GOOD)[0], grid_mm=grid_mm).true


@pytest.mark.parametrize("turn_deg", [0, 90, 180, 270])
def test_a_piece_turned_away_is_told(turn_deg):
    turned = dataclasses.replace(SETUP, pieces=(dataclasses.replace(SETUP.pieces[0], turn_deg=turn_deg),))
    # the pocket lies in the middle of the block, so half a turn changes nothing
    assert read(setup=turned).true is (turn_deg in {0, 180})


def test_a_program_in_the_numbers_of_inches_is_told():
    inch = re.sub(r"([XYZIJ])(-?[0-9.]+)", lambda hit: f"{hit[1]}{float(hit[2]) / 25.4:.5f}", GOOD)
    assert "RB-032" in codes(read(inch))


def test_z_zero_on_top_reads_the_same():
    lowered = re.sub(r"Z(-?[0-9.]+)", lambda hit: f"Z{float(hit[1]) - 25.0:.4f}", GOOD)
    result = read(lowered, setup=scenes.setup(z_zero="top"))
    assert result.true
    assert result.removed_mm3 == read().removed_mm3


def test_a_good_bridge_that_the_setup_does_not_know_is_foam_left():
    result = read(setup=scenes.setup(bridges=SETUP.bridges[:1]))
    assert "RB-066" in codes(result)


def test_a_low_bridge_is_weak():
    assert "RB-064" in codes(read(GOOD.replace("Z6.0000", "Z4.0000")))


def test_a_narrow_bridge_is_weak():
    narrow = GOOD.replace("X38.0000", "X44.0000").replace("X31.7000", "X37.7000")
    assert "RB-064" in codes(read(narrow))


def test_a_shallow_outline_leaves_a_skin():
    result = read(GOOD.replace("Z-0.3000", "Z0.1000"))
    assert codes(result) == {"RB-066"}
    assert not result.true


def test_a_screw_in_the_way_is_told_also_on_a_rapid():
    assert "RB-055" in codes(read(setup=scenes.setup(screws_mm=((70.0, 10.0),))))
    assert read(setup=scenes.setup(screws_mm=((5.0, 5.0),))).true
    assert "RB-055" not in codes(read(setup=scenes.setup(screws_mm=((3.0, 60.0),))))  # 11 mm from the path at x 14


def test_a_side_that_is_not_up_is_noted():
    under = dataclasses.replace(scenes.POCKET, id="T1.C1.F2", side="underside")
    result = read(plies={"T1.P1": scenes.ply(scenes.POCKET, under)})
    assert result.true
    assert codes(result) == {"RB-068"}


def test_findings_repeat_at_most_three_times_and_count_the_rest():
    result = read(FAULTS["spindle off"][0](GOOD)[0])
    told = [one for one in result.findings if one.code == "RB-040"]
    assert len(told) == 3
    assert {dict(one.parameters)["count"] for one in told} == {28}


def test_a_wrong_unit_is_one_cause():
    result = read(FAULTS["G20 for G21"][0](GOOD)[0])
    assert {one.cause for one in result.findings} == {"RB-031 B1.S1"}


def test_every_finding_has_its_sentence():
    texts = [make(GOOD)[0] for make, _ in FAULTS.values()]
    for text in [*texts, GOOD.replace("G17 ", "G18 "), "G0 X1\n", GOOD.replace("I6.0000 J0.0000", "R6")]:
        for one in read(text).findings:
            told = message(one.code, dict(one.parameters))
            assert "{" not in told.what + told.why + told.fix


def test_same_text_same_read_back():
    assert read() == read()
    assert read(shallow(GOOD)[0]) == read(shallow(GOOD)[0])


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"plies": {}}, "RB-001"),
        ({"cutters": {}}, "RB-001"),
        ({"setup": scenes.setup(side_up="underside")}, "RB-002"),
        ({"grid_mm": 0.6}, "RB-003"),
        ({"grid_mm": 0.0}, "RB-003"),
    ],
)
def test_what_cannot_be_read_back_is_refused(changes, code):
    with pytest.raises(ReadBackError) as told:
        read(**changes)
    assert told.value.code == code
    assert str(told.value)


def test_a_cutter_that_is_too_thick_for_a_feature_is_told():
    slot = dataclasses.replace(scenes.POCKET, id="T1.C1.F9", region=Region.rectangle(5, 30, 13, 50))
    assert "RB-067" in codes(read(plies={"T1.P1": scenes.ply(scenes.POCKET, slot)}))


def test_square_corners_are_told_as_corners():
    square = dataclasses.replace(scenes.POCKET, region=Region.rectangle(20, 20, 80, 60))
    result = read(plies={"T1.P1": scenes.ply(square)})
    assert result.true
    assert codes(result) == {"RB-062"}


def test_a_window_must_be_open():
    through = dataclasses.replace(scenes.POCKET, floor=scenes.Flat(z_mm=0.0))
    plies = {"T1.P1": scenes.ply(through)}
    assert read(GOOD.replace("G1 Z10.0000", "G1 Z-0.3000"), plies=plies).true
    skin = read(GOOD.replace("G1 Z10.0000", "G1 Z0.1000"), plies=plies)
    assert codes(skin) == {"RB-065"}


def test_two_pieces_that_share_a_kerf_are_judged_each():
    pieces = (SETUP.pieces[0], Piece(id="B1.2", ply="T1.P1", at_mm=(132.0, 20.0), turn_deg=0))
    both = scenes.setup(pieces=pieces, blank=Region.rectangle(0, 0, 252, 120))
    told = [one for one in read(setup=both).findings if one.code == "RB-066"]
    assert [one.at[0] for one in told] == ["B1.2"]


def laid_trough(depth_mm):
    axis = {"start_mm": (0.0, 40.0, 25.0), "end_mm": (100.0, 40.0, 25.0), "radius_mm": 15.0}
    region = Region.rectangle(0, 25, 100, 55)  # open at both ends: a ball leaves fillets at end walls
    saddle = dataclasses.replace(scenes.POCKET, region=region, floor=scenes.Trough(**axis))
    rows = []
    for step in range(-36, 37):
        # the tip of a ball of radius 6 that touches the trough from inside: its centre runs at 15 - 6 from the axis
        angle = step * 2.5 * 3.14159265 / 180.0
        y, z = 60.0 + 9.0 * math.sin(angle), 25.0 - 9.0 * math.cos(angle) - 6.0 + depth_mm
        rows += [f"G0 X12 Y{y:.4f}", "G0 Z27", f"G1 Z{z:.4f} F1800", "X128 F6000", "G0 Z35"]
    head, tail = GOOD.split("(pocket)\n")[0], GOOD.split("(outline)\n")[1]
    return saddle, head + "\n".join(rows) + "\n" + tail


@pytest.mark.parametrize(("depth_mm", "true"), [(0.0, True), (0.3, False), (-0.3, False)])
def test_a_trough_cut_by_a_ball_is_read_at_its_floor(depth_mm, true):
    saddle, text = laid_trough(depth_mm)
    outline = text.replace("T1 M6", "T2 M6", 1)
    cards = {1: scenes.cutter(), 2: scenes.cutter(id="b12", form="ball")}
    # the outline needs its flat cutter
    outline = outline.replace("N19 G0 X100", "T1 M6\nM3\nG4 P4\nN19 G0 X100")
    told = read(
        outline.replace("G43 H1", ""),
        plies={"T1.P1": scenes.ply(saddle)},
        cutters=cards,
        setup=scenes.setup(cutters=((1, "c12"), (2, "b12"))),
    )
    floor = {one.code for one in told.findings} & {"RB-060", "RB-061"}
    assert bool(floor) is not true
