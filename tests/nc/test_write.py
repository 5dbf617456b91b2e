"""What the text says, read by a few lines of this test and by nothing of the room."""

from __future__ import annotations

import dataclasses
import math
import re

import pytest

from cutting.bench import CUTTERS, DIALECT, MACHINE, bridge, feature, piece, ply, setup
from traywright.base.errors import ProgramError
from traywright.cutting import Move, MoveKind, Operation, plan_cuts
from traywright.geometry import Region
from traywright.nc import ProgramHead, cut_box_mm, write_program

HEAD = ProgramHead(job="demo-1", revision="A", release="0.1", cut="c" * 64)
SETUP = setup(piece(), bridges=(bridge((40.0, 60.0), (0.0, -1.0)),))
PLIES = {
    "T1.P1": ply(
        feature("F1", "pocket", Region.rectangle(40, 30, 120, 90), 20.0),
        feature("F2", "slot", Region.rectangle(70, 0, 90, 150), 12.0),
        feature("F3", "hole", Region.disc((150.0, 60.0), 12.0), 0.0),
    )
}
PLAN = plan_cuts(SETUP, PLIES, MACHINE, CUTTERS)
WORD = re.compile(r"([A-Z])(-?\d+(?:\.\d+)?)")


def written(plan=PLAN, at=SETUP, **dialect):
    return write_program(plan, at, MACHINE, dataclasses.replace(DIALECT, **dialect), CUTTERS, HEAD)


def blocks(text):
    """Words of each block without its number."""
    for line in text.splitlines():
        if not line.startswith("("):
            yield [(letter, float(number)) for letter, number in WORD.findall(line) if letter != "N"]


def ends(text):
    """(word G, end) of each motion block."""
    here = {}
    for words in blocks(text):
        motion = [number for letter, number in words if letter == "G" and number <= 3]
        here |= {letter: number for letter, number in words if letter in "XYZ"}
        if motion:
            yield motion[0], tuple(here.get(axis) for axis in "XYZ"), dict(words)


def one_move(*moves, start=(0.0, 0.0, 60.0)):
    operation = Operation(id="B1.S1.O1", kind="pocket", level_mm=20.0, cutter=1, features=(), moves=moves)
    return dataclasses.replace(PLAN, operations=(operation,), start_mm=start)


def test_every_move_comes_back_from_the_text():
    planned = []
    here = (0.0, 0.0, 0.0)
    for operation in PLAN.operations:
        for move in operation.moves:
            if math.dist(here, move.to_mm) > 1e-9:
                planned.append(move)
            here = move.to_mm
    told = [one for one in ends(written().text) if one[1][0] is not None][: len(planned)]
    words = {MoveKind.RAPID: 0, MoveKind.LINE: 1, MoveKind.ARC_CW: 2, MoveKind.ARC_CCW: 3}
    assert [one[0] for one in told] == [words[move.kind] for move in planned]
    for (_, end, _), move in zip(told, planned, strict=True):
        assert end == pytest.approx(move.to_mm, abs=5e-5)


def test_arcs_keep_the_limit_after_rounding():
    here = None
    arcs = 0
    for word, end, words in ends(written().text):
        if word in (2, 3):
            start = math.hypot(words["I"], words["J"])
            centre = (here[0] + words["I"], here[1] + words["J"])
            assert abs(start - math.dist(end[:2], centre)) <= 0.002
            arcs += 1
        here = end
    assert arcs > 10


def test_the_start_is_complete_and_the_safe_height_comes_first():
    lines = [line for line in written(line_numbers=False).text.splitlines() if not line.startswith("(")]
    assert lines[0].split() == ["G17", "G21", "G40", "G49", "G80", "G90", "G94", "G54"]
    assert lines[1:4] == ["T1 M6", "S12000 M3", "G4 P5.0"]
    assert lines[4] == "G0 Z60.0000"
    assert lines[5].startswith("G0 X")


def test_the_end_stops_the_spindle_up_and_parks():
    lines = written(line_numbers=False).text.splitlines()
    assert lines[-4:] == ["G0 Z60.0000", "M5", "G0 X0.0000 Y0.0000", "M30"]


def test_the_length_of_the_cutter_is_called_with_the_first_height():
    assert "G0 Z60.0000 G43 H1" in written(length_offset=True).text


def test_no_block_breaks_a_rule_of_lines():
    text = written().text
    assert text.endswith("\n")
    assert "\r" not in text
    for line in text.splitlines():
        assert len(line) <= 256
        assert line.isascii()
        assert line.count("(") == line.count(")") <= 1
        if not line.startswith("("):
            letters = [letter for letter, _ in WORD.findall(line)]
            assert len([one for one in letters if one != "G"]) == len({one for one in letters if one != "G"})


def test_long_comments_are_wrapped_and_brackets_never_nest():
    head = dataclasses.replace(HEAD, job="a (b) é " + "word " * 60)
    text = write_program(PLAN, SETUP, MACHINE, dataclasses.replace(DIALECT, longest_line=90), CUTTERS, head).text
    first = text.splitlines()[0]
    assert first.startswith("(job a [b] ? word")
    assert max(len(line) for line in text.splitlines()) <= 90


def test_blocks_are_numbered_one_by_one_and_comments_are_not():
    numbers = [line.split()[0] for line in written(line_numbers=True).text.splitlines() if not line.startswith("(")]
    assert numbers == [f"N{number}" for number in range(1, len(numbers) + 1)]


def test_operations_point_at_their_first_block():
    program = written()
    lines = program.text.splitlines()
    assert [name for name, _ in program.operations] == [one.id for one in PLAN.operations]
    for (name, number), operation in zip(program.operations, PLAN.operations, strict=True):
        assert lines[number - 2] == f"({name} {operation.kind} level {operation.level_mm:.3f})"
        assert lines[number - 1].split()[1] == "G0"


def test_the_header_says_what_the_bench_needs():
    header = "\n".join(line for line in written().text.splitlines() if line.startswith("("))
    for told in (
        "demo-1",
        "c" * 64,
        "B1.S1",
        "side up: top",
        "Z0: surface of the spoil board",
        "50.000",
        "T1 ",
        "Z-0.500",
    ):
        assert told in header
    assert "dry run" in header


def test_heights_count_from_the_top_where_the_setup_says_so():
    at = dataclasses.replace(SETUP, z_zero="top")
    bed, top = list(ends(written().text)), list(ends(written(at=at).text))
    assert all(low[1][2] == pytest.approx(high[1][2] - 50.0) for high, low in zip(bed, top, strict=True))
    assert "Z0: top of the board" in written(at=at).text


def test_a_full_circle_is_two_halves():
    plan = one_move(
        Move(kind=MoveKind.RAPID, to_mm=(110.0, 50.0, 60.0), feed_mm_per_s=0.0),
        Move(kind=MoveKind.LINE, to_mm=(110.0, 50.0, 20.0), feed_mm_per_s=45.0),
        Move(kind=MoveKind.ARC_CCW, to_mm=(110.0, 50.0, 20.0), feed_mm_per_s=150.0, centre_mm=(100.0, 50.0)),
    )
    arcs = [line for line in written(plan, line_numbers=False).text.splitlines() if line.startswith("G3")]
    assert arcs == ["G3 X90.0000 Y50.0000 I-10.0000 J0.0000 F9000.0", "G3 X110.0000 Y50.0000 I10.0000 J0.0000"]


def test_an_arc_that_rounding_breaks_becomes_lines():
    plan = one_move(
        Move(kind=MoveKind.RAPID, to_mm=(110.0, 50.0, 60.0), feed_mm_per_s=0.0),
        Move(kind=MoveKind.LINE, to_mm=(110.0, 50.0, 20.0), feed_mm_per_s=45.0),
        Move(kind=MoveKind.ARC_CCW, to_mm=(100.0, 60.004, 20.0), feed_mm_per_s=150.0, centre_mm=(100.0, 50.0)),
    )
    lines = written(plan, line_numbers=False).text.splitlines()
    assert not [line for line in lines if line.startswith("G3")]
    chords = [end for word, end, _ in ends("\n".join(lines)) if word == 1][1:]
    assert len(chords) > 10
    assert chords[-1][:2] == pytest.approx((100.0, 60.004))
    assert all(math.dist(one[:2], (100.0, 50.0)) == pytest.approx(10.0, abs=0.01) for one in chords)


def test_a_rapid_of_all_axes_is_written_one_way_at_a_time():
    plan = one_move(
        Move(kind=MoveKind.RAPID, to_mm=(110.0, 50.0, 52.0), feed_mm_per_s=0.0),
        Move(kind=MoveKind.RAPID, to_mm=(10.0, 20.0, 70.0), feed_mm_per_s=0.0),
    )
    lines = [line for line in written(plan, line_numbers=False).text.splitlines() if line.startswith("G0")]
    assert lines[1:5] == ["G0 X110.0000 Y50.0000", "G0 Z52.0000", "G0 Z70.0000", "G0 X10.0000 Y20.0000"]


def test_inches_are_the_same_places():
    inch = written(unit="inch", decimals=5).text
    assert "G20" in inch
    for (word, end, words), (word_in, end_in, words_in) in zip(ends(written().text), ends(inch), strict=True):
        assert word == word_in
        places = [(a, b) for a, b in zip(end, end_in, strict=True) if a is not None]
        assert all(b * 25.4 == pytest.approx(a, abs=2e-4) for a, b in places)
        if "F" in words and "F" in words_in:
            assert words_in["F"] * 25.4 == pytest.approx(words["F"], rel=1e-3)


def test_the_box_of_the_cut_is_in_the_plan():
    low, high = cut_box_mm(PLAN)
    assert low == pytest.approx((34.0, 34.0, -0.5), abs=0.02)
    assert high[:2] == pytest.approx((246.0, 196.0), abs=0.02)


def test_same_plan_same_bytes():
    assert written().text == written().text


@pytest.mark.parametrize(("code", "dialect"), [("NC-001", {"unit": "furlong"}), ("NC-002", {"longest_line": 40})])
def test_a_dialect_that_cannot_be_written_is_refused(code, dialect):
    with pytest.raises(ProgramError) as refused:
        written(**dialect)
    assert refused.value.code == code
    assert len(str(refused.value).splitlines()) == 3
