"""Bad input is three lines with a stable code and exit code 2: no traceback, nothing written."""

from __future__ import annotations

import json
import re
import shutil

import pytest
from tests.jobs.conftest import ROOT, traywright

EXAMPLE = ROOT / "examples" / "survey_kit"

EDITS = {
    "an unknown key names the nearest": ("per_kit = 1", "per_kt = 1", "per_kit"),
    "a zero": ("kits_per_pack = 6", "kits_per_pack = 0", "kits_per_pack"),
    "a negative number": ("kits_per_pack = 6", "kits_per_pack = -6", "kits_per_pack"),
    "a fraction of a kit": ("kits_per_pack = 6", "kits_per_pack = 2.5", "kits_per_pack"),
    "not a number": ("tolerance_mm = 0.1", "tolerance_mm = nan", "tolerance_mm"),
    "an endless number": ("tolerance_mm = 0.1", "tolerance_mm = inf", "tolerance_mm"),
    "a huge number": ("wall_mm = 20", "wall_mm = 1e9", "wall_mm"),
    "a card that is not there": ('machine = "demo-router-1300"', 'machine = "demo-router-1330"', "demo-router-1300"),
    "a file that is not there": ('file = "files/spindle.step"', 'file = "files/spindel.step"', "spindel"),
    "a file outside the folder": ('file = "files/spindle.step"', 'file = "../../pyproject.toml"', "pyproject"),
    "a newer layout": ("format = 1", "format = 2", "format"),
    "broken TOML": ("format = 1", "format = = 1", ""),
    "a unit that is none": ('length_unit = "file"', 'length_unit = "furlong"', "length_unit"),
    "a rule that is none": ('rule = "never"', 'rule = "nevr"', "rule"),
}


def refused(told, folder):
    """Check the three lines, the code, the exit and that nothing was written; return the text."""
    lines = [line for line in told.stderr.strip().splitlines() if line]
    assert told.returncode == 2, told.stderr
    assert "Traceback" not in told.stderr
    assert told.stdout == ""
    assert re.search(r"\[[A-Z]{2,4}-\d{3}\]$", lines[-1]), lines
    assert not folder.exists()
    assert sorted(path.name for path in folder.parent.iterdir() if path.name.startswith("out")) == []
    return "\n".join(lines[-3:])


@pytest.mark.parametrize("name", EDITS)
def test_a_slip_in_the_enquiry(tmp_path, name):
    before, after, named = EDITS[name]
    shutil.copytree(EXAMPLE, tmp_path / "job")
    path = tmp_path / "job" / "enquiry.toml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    told = refused(traywright("job", path, "--out", tmp_path / "out"), tmp_path / "out")
    assert named in told


def test_no_enquiry_at_all(tmp_path):
    told = refused(traywright("job", tmp_path / "none.toml", "--out", tmp_path / "out"), tmp_path / "out")
    assert "JOB-001" in told


@pytest.mark.parametrize(
    "content", [b"", b"not a STEP file", b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n"]
)
def test_a_step_file_without_a_solid(tmp_path, content):
    shutil.copytree(EXAMPLE, tmp_path / "job")
    (tmp_path / "job" / "files" / "prism.step").write_bytes(content)
    told = refused(traywright("job", tmp_path / "job" / "enquiry.toml", "--out", tmp_path / "out"), tmp_path / "out")
    assert "PART-" in told


def test_the_earlier_result_stays_when_the_next_run_is_refused(tmp_path, one_block):
    folder = tmp_path / "out"
    shutil.copytree(one_block.folder, folder)
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    path = tmp_path / "enquiry.toml"
    path.write_text("format = 1\n", encoding="utf-8")
    told = traywright("job", path, "--out", folder)
    assert told.returncode == 2
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_foam_without_a_curve_is_laid_out_cut_and_priced(tmp_path):
    shutil.copytree(ROOT / "examples" / "one_block", tmp_path / "job")
    path = tmp_path / "job" / "enquiry.toml"
    cards = tmp_path / "job" / "cards"
    shutil.copytree(ROOT / "src/traywright/catalogue/data/cards", cards)
    foam = re.search(r'^allowed = \["([^"]+)"\]', path.read_text(encoding="utf-8"), re.MULTILINE).group(1)
    card = cards / "foam" / f"{foam}.toml"
    kept = [line for line in card.read_text(encoding="utf-8").splitlines() if not line.startswith(("plateau", "gas_"))]
    card.write_text("\n".join(kept) + "\n", encoding="utf-8")
    told = traywright("job", path, "--out", tmp_path / "out")
    assert told.returncode == 0, told.stderr
    assert "not calculated" in told.stdout
    assert list((tmp_path / "out" / "programs").iterdir())


def test_a_part_larger_than_the_box_is_a_finding_not_an_error(tmp_path):
    shutil.copytree(ROOT / "examples" / "one_block", tmp_path / "job")
    path = tmp_path / "job" / "enquiry.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r"length_mm = \d+(\.\d+)?", "length_mm = 900.0", text, count=1), encoding="utf-8")
    told = traywright("job", path, "--out", tmp_path / "out")
    assert told.returncode == 0, told.stderr
    assert "TRAY-002" in told.stdout
    assert "Or: Let the part lie another way." in told.stdout
    assert "Traceback" not in told.stderr


def test_trays_that_no_board_holds_have_no_price(tmp_path):
    """A bed smaller than the trays gave a price of the boxes and the bench alone, and a quote to send."""
    path = tmp_path / "job" / "enquiry.toml"
    shutil.copytree(ROOT / "examples" / "one_block", path.parent)
    shipped = ROOT / "src" / "traywright" / "catalogue" / "data" / "cards" / "machine" / "demo-router-1300.toml"
    own = path.parent / "cards" / "machine" / shipped.name
    own.parent.mkdir(parents=True)
    small = re.sub(r"^(bed_[xy]_mm) = .*$", r"\1 = 150", shipped.read_text(encoding="utf-8"), flags=re.MULTILINE)
    own.write_text(small, encoding="utf-8")
    told = traywright("job", path, "--out", tmp_path / "out", "--json")
    assert told.returncode == 0, told.stderr
    result = json.loads(told.stdout)
    assert result["quote"]["breaks"] == []
    assert result["papers"] == []
    codes = {one["code"] for key in ("nesting", "job") for one in result[key]["findings"]}
    assert codes >= {"NEST-003", "JOB-024"}


def test_strict_exits_with_three_on_a_stop(tmp_path):
    told = traywright("job", ROOT / "examples" / "one_block" / "enquiry.toml", "--out", tmp_path / "out", "--strict")
    assert told.returncode == 3, told.stderr


def test_a_figure_that_is_not_there_is_three_lines(one_block):
    told = traywright("explain", "G-9999", "--job", one_block.folder)
    assert told.returncode == 2
    assert "JOB-007" in told.stderr


def changed(tmp_path, name, edit):
    """An example with its enquiry edited; the path of the edited enquiry."""
    shutil.copytree(ROOT / "examples" / name, tmp_path / "job")
    path = tmp_path / "job" / "enquiry.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(edit(text), encoding="utf-8")
    return path


def test_goods_under_other_rules_get_a_layout_and_no_protection_figures(tmp_path):
    path = changed(tmp_path, "one_block", lambda text: text.replace("[job]", '[job]\nhazards = ["lithium_cells"]', 1))
    told = traywright("job", path, "--out", tmp_path / "out")
    assert told.returncode == 0, told.stderr
    result = json.loads((tmp_path / "out" / "result.json").read_text(encoding="utf-8"))
    assert result["verdict"]["word"] == "not calculated"
    assert [one["path"] for one in result["figures"] if one["path"].startswith("protection")] == []
    assert {wall["needed_mm"] for tray in result["trays"] for cell in tray["cells"] for wall in cell["walls"]} == {None}
    assert result["programs"]


def test_an_override_stays_visible_and_makes_the_verdict_not_shown(tmp_path):
    override = (
        '\n[[override]]\nfinding = "PRO-022"\nat = "T1.C1"\nbecause = "tested"\nby = "owner"\ndated = 2026-11-25\n'
    )
    path = changed(tmp_path, "one_block", lambda text: text + override)
    told = traywright("job", path, "--out", tmp_path / "out")
    assert told.returncode == 0, told.stderr
    result = json.loads((tmp_path / "out" / "result.json").read_text(encoding="utf-8"))
    assert result["verdict"]["word"] == "not shown"
    assert result["verdict"]["overrides"] == 1
    assert [one["code"] for one in result["protection"]["findings"] if one["overridden"]] == ["PRO-022"]
    assert "JOB-020" in {one["code"] for one in result["job"]["findings"]}
