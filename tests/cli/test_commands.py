"""The command line shows what the job made, and nothing else on standard output with --json."""

from __future__ import annotations

import json

import pytest
from tests.jobs.conftest import ROOT
from typer.testing import CliRunner

from traywright.base.errors import JobError
from traywright.cli.commands import app

RUNNER = CliRunner()
ENQUIRY = ROOT / "examples" / "one_block" / "enquiry.toml"


@pytest.mark.parametrize("command", ["job", "explain", "read-back"])
def test_every_command_has_a_help(command):
    told = RUNNER.invoke(app, [command, "--help"])
    assert told.exit_code == 0
    assert "--" in told.stdout


def test_json_alone_on_standard_output(tmp_path):
    told = RUNNER.invoke(app, ["job", str(ENQUIRY), "--out", str(tmp_path / "out"), "--workers", "1", "--json"])
    assert told.exit_code == 0
    assert json.loads(told.stdout)["format"] == 1
    assert "Verdict" in told.stderr


def test_ctrl_c_exits_with_130_and_leaves_nothing(tmp_path, monkeypatch):
    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("traywright.job.pipeline.draw_pack", stopped)
    told = RUNNER.invoke(app, ["job", str(ENQUIRY), "--out", str(tmp_path / "out"), "--workers", "1"])
    assert told.exit_code == 130
    assert list(tmp_path.iterdir()) == []


def test_an_error_of_the_family_is_three_lines_and_exit_2(monkeypatch):
    def refused(*_, **__):
        raise JobError("JOB-005", file="there")

    monkeypatch.setattr("traywright.job.explain", refused)
    told = RUNNER.invoke(app, ["explain", "G-0001", "--job", "there"])
    assert told.exit_code == 2
    assert len(told.stderr.splitlines()) == 3


@pytest.mark.parametrize(
    "words", [["job"], ["job", "x.toml"], ["job", "x.toml", "--out", "y", "--workers", "0"], ["nothing"]]
)
def test_a_wrong_call_exits_with_2(words):
    assert RUNNER.invoke(app, words).exit_code == 2
