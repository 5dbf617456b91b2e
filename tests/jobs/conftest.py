"""Whole jobs, each run once for all tests of this folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Ran:
    """One run of the command line and the folder it wrote."""

    folder: Path
    code: int
    stdout: str
    stderr: str

    @property
    def result(self) -> dict[str, Any]:
        """The result file."""
        return json.loads((self.folder / "result.json").read_text(encoding="utf-8"))

    def findings(self) -> list[dict[str, Any]]:
        """Every finding of the result, whatever its room."""
        found = []
        for key in ("design", "protection", "nesting", "quote", "job"):
            found += self.result[key]["findings"]
        for key in ("parts", "hold", "verification"):
            for one in self.result[key]:
                found += one["findings"]
        return found


def traywright(*words: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own."""
    command = [sys.executable, "-m", "traywright", *map(str, words)]
    wide = {**os.environ, "COLUMNS": "240"}
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False, env=wide)


def run_example(name: str, folder: Path, *words: object) -> Ran:
    """Run one of the examples into a folder."""
    told = traywright("job", ROOT / "examples" / name / "enquiry.toml", "--out", folder, *words)
    return Ran(folder, told.returncode, told.stdout, told.stderr)


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Ran:
    """The survey kit, run with two workers and JSON on standard output."""
    return run_example("survey_kit", tmp_path_factory.mktemp("demo") / "job", "--json", "--workers", 2)


@pytest.fixture(scope="session")
def two_blocks(tmp_path_factory) -> Ran:
    """The second example."""
    return run_example("two_blocks", tmp_path_factory.mktemp("two") / "job", "--workers", 1)


@pytest.fixture(scope="session")
def one_block(tmp_path_factory) -> Ran:
    """One block in one tray."""
    return run_example("one_block", tmp_path_factory.mktemp("one") / "job", "--workers", 1)
