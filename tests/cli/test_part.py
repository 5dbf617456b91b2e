"""`traywright part` tells what a file holds, or refuses it in three lines."""

from __future__ import annotations

import json
import time

import pytest
from tests.jobs.conftest import ROOT
from typer.testing import CliRunner

from traywright.cli.commands import app

RUNNER = CliRunner()
KIT = ROOT / "examples" / "survey_kit" / "files"
SOLIDS = ROOT / "tests" / "data" / "solids"


def told(*words):
    answer = RUNNER.invoke(app, ["part", *map(str, words), "--json"])
    assert answer.exit_code == 0, answer.stderr
    return json.loads(answer.stdout)


def test_the_answer_has_the_keys_that_were_agreed():
    answer = told(KIT / "prism.step", "--material", "crown_glass")
    assert {"unit", "bodies", "questions", "findings"} <= set(answer)
    (body,) = answer["bodies"]
    assert {
        "name",
        "count",
        "volume_mm3",
        "mass_kg",
        "centre_of_gravity_mm",
        "size_mm",
        "watertight",
        "mends",
        "poses",
    } <= set(body)
    for pose in body["poses"]:
        assert {"down", "tip_energy_j", "silhouette_mm2", "height_mm", "undercuts"} <= set(pose)
    assert body["mass_kg"] == pytest.approx(0.15631, rel=0.001)
    assert (body["watertight"], body["count"]) == (True, 1)


def test_all_six_axis_directions_are_told_once():
    downs = [tuple(one["down"]) for one in told(KIT / "prism.step")["bodies"][0]["poses"]]
    axes = [one for one in downs if max(map(abs, one)) == 1.0]
    assert len(set(axes)) == len(axes) == 6


def test_a_unit_that_was_typed_is_not_asked():
    answer = told(SOLIDS / "prism.stl", "--unit", "inch")
    assert answer["unit"] == "inch"
    assert answer["bodies"][0]["size_mm"][2] == pytest.approx(1270.0)
    assert [one for one in answer["questions"] if one["field"] == "length_unit"] == []


def test_without_a_mass_no_energy_is_told():
    (body,) = told(KIT / "prism.step")["bodies"]
    assert body["mass_kg"] is None
    assert {one["tip_energy_j"] for one in body["poses"]} == {None}
    assert body["poses"][0]["tip_rise_mm"] > 0.0


def test_several_files_make_a_list():
    answers = told(KIT / "prism.step", SOLIDS / "prism.stl")
    assert [one["kind"] for one in answers] == ["step", "stl"]


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("gone.stl", None, "JOB-044"),
        ("empty.stl", b"", "PART-003"),
        ("picture.step", b"\x89PNG\r\n", "PART-002"),
        ("cut.step", b"ISO-10303-21;\nHEADER;", "PART-003"),
        ("claims.stl", b"\0" * 80 + (10_000_000).to_bytes(4, "little"), "PART-062"),
        ("words.doc", b"a letter", "PART-002"),
    ],
)
def test_a_file_that_cannot_be_read_is_three_lines_and_exit_2(tmp_path, name, content, code):
    if content is not None:
        (tmp_path / name).write_bytes(content)
    answer = RUNNER.invoke(app, ["part", str(tmp_path / name), "--json"])
    assert answer.exit_code == 2
    assert answer.stdout == ""
    lines = answer.stderr.splitlines()
    assert len(lines) == 3
    assert lines[2].endswith(f"[{code}]")


def test_without_json_a_table_is_shown():
    answer = RUNNER.invoke(app, ["part", str(SOLIDS / "prism.stl")], env={"COLUMNS": "160"})
    assert answer.exit_code == 0
    assert "Which unit has the file?" in answer.stdout
    assert "only if held" in answer.stdout


@pytest.mark.parametrize("name", ["fells_its_reader.step", "keeps_its_reader_busy.step"])
def test_a_file_that_harms_its_reader_is_refused_in_time(name):
    start = time.monotonic()
    # less than the 17 s that are allowed unless told, to keep the suite short
    answer = RUNNER.invoke(app, ["part", str(ROOT / "tests" / "data" / "hostile" / name), "--most-s", "6"])
    assert answer.exit_code == 2
    assert len(answer.stderr.splitlines()) == 3
    assert time.monotonic() - start < 20.0  # and what a busy machine adds


def test_a_pose_is_told_in_full():
    answer = told(KIT / "prism.step", "--pose", "0")
    rows = answer["pose"]["opening"]
    assert answer["pose"]["down"] == pytest.approx(answer["bodies"][0]["poses"][0]["down"])
    assert rows[-1]["until_mm2"] >= answer["bodies"][0]["poses"][0]["silhouette_mm2"]
    assert [one["area_mm2"] for one in rows] == sorted(one["area_mm2"] for one in rows)
    refused = RUNNER.invoke(app, ["part", str(KIT / "prism.step"), "--pose", "99"])
    assert (refused.exit_code, "PART-136" in refused.stderr) == (2, True)


def test_a_second_file_is_held_against_the_first():
    differs = told(KIT / "spindle.step", SOLIDS / "spindle_inch.step")[1]["differs"]
    assert [one["code"] for one in differs] == ["PART-073"]


def test_a_conflict_of_mass_is_asked():
    answer = told(KIT / "spindle.step", "--material", "steel", "--mass", "0.7")
    assert "PART-125" in [one["code"] for one in answer["findings"]]
    assert "mass_kg" in [one["field"] for one in answer["questions"]]
    assert answer["bodies"][0]["mass_kg"] == pytest.approx(0.7)


def test_a_drawing_tells_its_layers_and_asks_for_its_thickness():
    answer = told(SOLIDS / "control_board.dxf")
    assert {one["name"]: one["taken"] for one in answer["layers"]}["BOARD_OUTLINE"] == "outline"
    assert answer["bodies"][0]["poses"][0]["silhouette_mm2"] == pytest.approx(14410.274, abs=0.01)
    assert "thickness_mm" in [one["field"] for one in answer["questions"]]


def test_the_photo_sheet_is_written(tmp_path):
    answer = RUNNER.invoke(app, ["photo-sheet", "--out", str(tmp_path / "sheet.pdf"), "--paper", "letter"])
    assert answer.exit_code == 0
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
