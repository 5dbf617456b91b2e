"""Kramer, Proctor, Messina: The NIST RS274NGC Interpreter, version 3. NISTIR 6556, 2000. What it asks of a text."""

from __future__ import annotations

import math
import re

import pytest

from cutting.bench import CUTTERS, DIALECT, MACHINE, feature, ply, setup
from traywright.cutting import plan_cuts
from traywright.geometry import Region
from traywright.nc import ProgramHead, write_program

FEATURES = (
    feature("F1", "pocket", Region.disc((100.0, 75.0), 41.237), 20.0),
    feature("F2", "hole", Region.disc((100.0, 75.0), 17.611), 0.0),
    feature(
        "F3",
        "slot",
        Region.rectangle(30, 0, 52, 150).turned(7.0, (41.0, 75.0)).intersection(Region.rectangle(0, 0, 200, 150)),
        12.0,
    ),
)
MODAL_GROUPS = (
    {"G0", "G1", "G2", "G3", "G80"},
    {"G17", "G18", "G19"},
    {"G90", "G91"},
    {"G93", "G94"},
    {"G20", "G21"},
    {"G40", "G41", "G42"},
    {"G43", "G49"},
    {"G54", "G55"},
    {"M0", "M1", "M2", "M30"},
    {"M3", "M4", "M5"},
)


@pytest.fixture(scope="module")
def lines():
    at = setup()
    plan = plan_cuts(at, {"T1.P1": ply(*FEATURES)}, MACHINE, CUTTERS)
    head = ProgramHead(job="demo", revision="A", release="0.1", cut="0" * 64)
    return write_program(plan, at, MACHINE, DIALECT, CUTTERS, head).text.splitlines()


def test_lines_are_short_and_comments_flat(lines):
    """3.3: a line has at most 256 characters; 3.3.4: comments do not nest. Exact."""
    for line in lines:
        assert len(line) <= 256
        assert re.fullmatch(r"\([^()]*\)|[^()]*", line)


def test_one_word_of_a_modal_group_a_line(lines):
    """3.3.5 and Table 4: no two words of one modal group, no letter but G twice. Exact."""
    for line in (one for one in lines if not one.startswith("(")):
        words = line.split()
        for group in MODAL_GROUPS:
            assert len(group & set(words)) <= 1, line
        letters = [word[0] for word in words if word[0] != "G"]
        assert len(letters) == len(set(letters)), line


def test_arcs_keep_the_millimetre_limit(lines):
    """3.5.3: start and end radius differ by at most 0.002 mm. With three decimals 0.00255 occurs, with four 0.00025."""
    here: dict[str, float] = {}
    worst, arcs = 0.0, 0
    for line in (one for one in lines if not one.startswith("(")):
        words = {word[0]: float(word[1:]) for word in line.split() if word[0] in "XYIJ"}
        there = here | {axis: words[axis] for axis in "XY" if axis in words}
        if " G2 " in f" {line} " or " G3 " in f" {line} ":
            centre = (here["X"] + words["I"], here["Y"] + words["J"])
            start, end = (math.dist((one["X"], one["Y"]), centre) for one in (here, there))
            worst, arcs = max(worst, abs(start - end)), arcs + 1
        here = there
    assert arcs > 20
    assert worst <= 0.0005


def test_it_ends_with_the_end_of_the_program(lines):
    """3.7: a program without percent signs ends with M2 or M30. Exact."""
    assert lines[-1].split()[-1] == "M30"
