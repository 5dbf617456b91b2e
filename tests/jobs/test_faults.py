"""Ten deliberate faults in a good program, each told by the command line under its own rule's code."""

from __future__ import annotations

import json

import pytest
from tests.jobs.conftest import traywright
from tests.verification.faults import FAULTS


def good_program(ran):
    """A program of the job that has pockets, arcs and bridges."""
    for one in ran.result["programs"]:
        text = (ran.folder / one["file"]).read_text(encoding="ascii")
        kinds = {each["kind"] for each in one["operations"]}
        if (
            "pocket" in kinds
            and ("G2 " in text or "G3 " in text)
            and any(each["level_mm"] > 0 for each in one["operations"])
        ):
            return one["id"], text
    raise AssertionError


def read_back(ran, tmp_path, name, text):
    """What the command line says of a program's text."""
    path = tmp_path / name
    path.write_text(text, encoding="ascii", newline="\n")
    told = traywright("read-back", path, "--job", ran.folder, "--json")
    assert told.returncode == 0, told.stderr
    return json.loads(told.stdout)


def test_the_good_program_reports_nothing(demo, tmp_path):
    name, text = good_program(demo)
    told = read_back(demo, tmp_path, name, text)
    assert told["true"] is True
    assert told["findings"] == []


def test_another_comment_and_another_legal_feed_report_nothing(demo, tmp_path):
    name, text = good_program(demo)
    changed = text.replace("(job ", "(JOB ", 1).replace("F9000.0", "F8000.0")
    assert changed != text
    told = read_back(demo, tmp_path, name, changed)
    assert told["true"] is True
    assert told["findings"] == []


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_a_fault_is_told_under_its_own_code_with_line_and_place(demo, tmp_path, fault):
    name, text = good_program(demo)
    make, codes = FAULTS[fault]
    changed = make(text)
    changed = changed[0] if isinstance(changed, tuple) else changed
    assert changed != text
    told = read_back(demo, tmp_path, name, changed)
    assert told["true"] is False
    met = [one for one in told["findings"] if one["code"] in codes]
    assert met, [one["code"] for one in told["findings"]]
    words = {one["name"]: one["value"] for one in met[0]["parameters"]}
    assert words["line"] > 0
    assert len(met[0]["point_mm"]) in {2, 3}


def test_a_file_that_is_no_program_is_told(demo, tmp_path):
    path = tmp_path / good_program(demo)[0]
    path.write_bytes(b"\x00\xff not a program")
    told = traywright("read-back", path, "--job", demo.folder)
    assert "Traceback" not in told.stderr
    assert told.returncode in {0, 2}


def test_an_unknown_program_names_the_known_ones(demo, tmp_path):
    path = tmp_path / "other.nc"
    path.write_text("M30\n", encoding="ascii")
    told = traywright("read-back", path, "--job", demo.folder)
    assert told.returncode == 2
    assert "JOB-008" in told.stderr


def test_any_dropped_line_leaves_a_jump_in_the_line_numbers(demo, tmp_path):
    """A block lost on the way to the machine, nothing renumbered: told with its line, whatever it would have cut."""
    name, text = good_program(demo)
    lines = text.split("\n")
    cuts = [row for row, line in enumerate(lines) if " G1 X" in line]
    for row in (cuts[1], cuts[len(cuts) // 2], cuts[-2]):
        told = read_back(demo, tmp_path, name, "\n".join(lines[:row] + lines[row + 1 :]))
        met = next(one for one in told["findings"] if one["code"] == "RB-023")
        assert {"name": "line", "value": row + 1} in met["parameters"]
        assert len(met["point_mm"]) == 3
        assert told["true"] is False
