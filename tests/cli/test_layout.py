"""`traywright layout` prints two offers, or refuses in three lines."""

from __future__ import annotations

import json

import jsonschema
import pytest
from tests.jobs.conftest import ROOT
from typer.testing import CliRunner

from traywright.base import canonical_json
from traywright.cli.commands import app
from traywright.layout import Offer, Placement

RUNNER = CliRunner()
SCHEMA = json.loads((ROOT / "schemas" / "layout.schema.json").read_text(encoding="utf-8"))
PLATE = "POLYGON ((0 0, 40 0, 40 30, 0 30, 0 0))"
SLIP = "POLYGON ((0 0, 40 40, 40 0, 0 40, 0 0))"
TRAY = ("--tray", "200x100", "--wall", "8")
WIDE = {"COLUMNS": "160"}


def run(*words, env=WIDE):
    return RUNNER.invoke(app, ["layout", *map(str, words)], env=env)


def grid(asked, effort):
    """Plain rows of the first kind's bounding box, and one copy more in the other offer; seed and rounds unused."""
    del effort
    kind = asked.kinds[0]
    left, front, right, back = kind.outline.bounds_mm
    rim, wall = asked.spacing.rim, asked.spacing.wall
    wide, deep = right - left + wall.right_mm, back - front + wall.back_mm
    columns = int((asked.container.width_mm - rim.left_mm - rim.right_mm + wall.right_mm) // wide)
    rows = int((asked.container.depth_mm - rim.front_mm - rim.back_mm + wall.back_mm) // deep)
    places = tuple(
        Placement(kind.id, rim.left_mm - left + x * wide, rim.front_mm - front + y * deep, 0.0)
        for y in range(rows)
        for x in range(columns)
    )
    told = {"kits": len(places), "bound": 8, "slots": (), "least_wall_mm": wall.right_mm, "fill_ratio": 0.42}
    return (
        Offer(name="regular", placements=places, rows=rows, proven=False, **told),
        Offer(name="most", placements=places, rows=0, proven=len(places) == 8, **told),
    )


@pytest.fixture
def rows(monkeypatch):
    monkeypatch.setattr("traywright.job.layout_told.lay_out", grid)


def test_json_alone_on_standard_output(rows, tmp_path):
    told = run(PLATE, *TRAY, "--json", "--svg", tmp_path / "both.svg")
    assert told.exit_code == 0
    plain = json.loads(told.stdout)
    assert told.stdout == canonical_json(plain)
    jsonschema.Draft202012Validator(SCHEMA).validate(plain)
    assert [one["name"] for one in plain["offers"]] == ["regular", "most"]
    regular = plain["offers"][0]
    # 4 x 40 + 3 x 8 + 2 x 8 = 200 mm; 2 x 30 + 8 + 2 x 8 = 84 mm
    assert (regular["count"], regular["rows"], regular["bound"], regular["least_wall_mm"]) == (8, 2, 8, 8.0)
    assert regular["placements"][5] == {"kind": "outline", "x_mm": 56.0, "y_mm": 46.0, "turn_deg": 0.0}
    assert "both.svg" in told.stderr
    assert (tmp_path / "both.svg").read_bytes().startswith(b"<svg ")


def test_a_table_with_honest_words(rows):
    told = run(PLATE, *TRAY)
    assert told.exit_code == 0
    assert "Tray 200 × 100 mm, wall 8 mm, rim 8 mm" in told.stdout
    assert "regular rows: more is not shown to be impossible; no layout holds more than 8." in told.stdout
    assert "most found: no layout holds more." in told.stdout
    assert "Distances were checked pair by pair" in told.stdout
    assert "8.000" in told.stdout
    assert "42.0" in told.stdout


def test_notes_of_reading_stand_beside_the_answer(rows):
    frame = "POLYGON ((0 0, 40 0, 40 30, 0 30, 0 0), (9 9, 20 9, 20 20, 9 9))"
    assert "counts as filled" in run(frame, *TRAY).stdout
    told = run(frame, *TRAY, "--json")
    assert "counts as filled" in told.stderr
    json.loads(told.stdout)


def test_a_name_of_a_file_that_looks_like_markup_is_printed_as_it_is(rows, tmp_path):
    file = tmp_path / "[bold]x[red].wkt"
    file.write_text("POLYGON ((0 0, 40 0, 40 30, 0 30, 0 0), (9 9, 20 9, 20 20, 9 9))", encoding="utf-8")
    assert "[bold]x[red].wkt: 1 loop" in run(file, *TRAY).stdout


def test_every_option_is_taken(monkeypatch):
    seen = []
    monkeypatch.setattr("traywright.job.lay_out_outlines", lambda typed, **_: seen.append(typed))
    monkeypatch.setattr("traywright.cli.commands.show_layout", lambda told, *, as_json: None)
    words = ["--rim", "9", "--turns", "-90,0", "--ratio", "1,2", "--mass", "1,2", "--together", "--kits", "3"]
    words += ["--no-go", "a.wkt", "--no-go", "b.wkt", "--no-go-wall", "4", "--slot", "-5,10", "--slot", "3,4,5"]
    words += ["--unit", "mm", "--rounds", "6", "--seed", "0", "--svg", "x.svg", "--most-s", "5"]
    assert run("a.dxf", "b.svg", *TRAY, *words).exit_code == 0
    (typed,) = seen
    assert (typed.outlines, typed.tray, typed.wall) == (("a.dxf", "b.svg"), "200x100", "8")
    assert (typed.rim, typed.turns, typed.ratio, typed.mass, typed.together) == ("9", "-90,0", "1,2", "1,2", True)
    assert (typed.kits, typed.no_go, typed.no_go_wall) == (3, ("a.wkt", "b.wkt"), "4")
    assert (typed.slots, typed.length_unit) == (("-5,10", "3,4,5"), "mm")
    assert (typed.rounds, typed.seed, str(typed.svg), typed.most_s) == (6, 0, "x.svg", 5.0)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("gone.wkt", *TRAY), "JOB-050"),
        ((SLIP, *TRAY), "JOB-052"),
        ((PLATE, "--tray", "big", "--wall", "8"), "JOB-026"),
        ((PLATE, "--tray", "200x100", "--wall", "-8"), "JOB-055"),
        ((PLATE, "--tray", "200x100", "--wall", "nan"), "JOB-055"),
        ((PLATE, *TRAY, "--rim", "-1"), "JOB-055"),
        ((PLATE, *TRAY, "--turns", "half"), "JOB-026"),
        ((PLATE, *TRAY, "--ratio", "1,2"), "JOB-026"),
        ((PLATE, *TRAY, "--mass", "-1"), "JOB-055"),
        ((PLATE, *TRAY, "--slot", "500,10"), "JOB-057"),
        ((PLATE, *TRAY, "--no-go", "gone.wkt"), "JOB-050"),
        ((PLATE, *TRAY, "--no-go", PLATE, "--no-go-wall", "nan"), "JOB-055"),
        ((*[PLATE] * 300, *TRAY), "LAY-006"),
    ],
)
def test_a_question_that_is_refused_is_three_lines_and_exit_2(words, code):
    told = run(*words, "--json")
    assert told.exit_code == 2
    assert told.stdout == ""
    lines = told.stderr.splitlines()
    assert len(lines) == 3
    assert lines[2].endswith(f"[{code}]")


@pytest.mark.parametrize(
    "words", [(), (PLATE,), (PLATE, "--tray", "9x9"), (PLATE, *TRAY, "--kits", "0"), (PLATE, *TRAY, "--rounds", "-1")]
)
def test_a_wrong_call_exits_with_2(words):
    assert run(*words).exit_code == 2


def test_too_large_an_outline_is_said_plainly_and_exits_with_0():
    told = run("POLYGON ((0 0, 600 0, 600 10, 0 10, 0 0))", *TRAY)
    assert told.exit_code == 0
    assert "most found: not one goes in; with its walls it is too large for this tray." in told.stdout
    told = run("POLYGON ((0 0, 600 0, 600 10, 0 10, 0 0))", PLATE, *TRAY)
    assert "not one kit goes in" in told.stdout


def test_kits_that_were_asked_for_and_went_in(monkeypatch):
    def two(asked, effort):
        regular, most = grid(asked, effort)
        told = {"kits": 2, "bound": 2, "proven": True, "slots": (), "least_wall_mm": 8.0, "fill_ratio": 0.1}
        return (
            Offer(name="regular", placements=regular.placements[:2], rows=1, **told),
            Offer(name="most", placements=most.placements[:2], rows=0, **told),
        )

    monkeypatch.setattr("traywright.job.layout_told.lay_out", two)
    told = run(PLATE, *TRAY, "--kits", "2")
    assert "most found: all that was asked for goes in." in told.stdout
