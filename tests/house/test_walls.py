"""The walls between rooms stand: kept by the tree as it is, broken by each forbidden import."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from house.source import ROOT, SRC, project

CONTRACTS = {contract["id"]: contract for contract in project()["tool"]["importlinter"]["contracts"]}
# contract, module that breaks the wall, its text
SINS = [
    ("layers", "base/broken_wall.py", "import traywright.job"),
    ("layers", "parts/broken_wall.py", "import traywright.enquiry"),
    ("layers", "nesting/broken_wall.py", "import traywright.design"),
    ("layers", "broken_wall/__init__.py", ""),
    ("two-witnesses", "verification/broken_wall.py", "import traywright.cutting"),
    ("two-witnesses", "verification/broken_wall.py", "from traywright import nc"),
    ("two-witnesses", "verification/broken_wall.py", "import traywright.holddown"),
    ("two-witnesses", "verification/broken_wall.py", "import traywright.design"),
    ("protection-judges", "protection/broken_wall.py", "import traywright.design"),
    ("making-sees-the-tray", "cutting/broken_wall.py", "import traywright.protection"),
    ("making-sees-the-tray", "nesting/broken_wall.py", "import traywright.design"),
    ("kernels-bare", "layout/_kernels.py", "import scipy  # broken_wall"),
    ("rooms-dry", "quoting/broken_wall.py", "import sqlite3"),
    ("papers-print", "papers/broken_wall.py", "import typer"),
    ("drawing-files", "trays/broken_wall.py", "import ezdxf"),
    ("no-rings", "base/broken_wall.py", "import traywright.base.broken_ring"),
]


def lint(tree: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()"]
    words = ("--no-logo", "--no-cache", *words)
    settings = {"PYTHONPATH": str(tree), "COLUMNS": "200", "NO_COLOR": "1"}
    return subprocess.run(
        [*command, *words, str(ROOT / "pyproject.toml")],
        cwd=tree,
        env=os.environ | settings,
        stdin=subprocess.DEVNULL,
        check=False,
        capture_output=True,
        text=True,
    )


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    shutil.copytree(SRC, tmp_path / "traywright", ignore=shutil.ignore_patterns("__pycache__", "data"))
    return tmp_path


def test_the_tree_keeps_every_wall(tree):
    told = lint(tree)
    assert told.returncode == 0, told.stdout


@pytest.mark.parametrize(("contract", "module", "text"), SINS)
def test_a_broken_wall_is_seen(tree, contract, module, text):
    path = tree / "traywright" / module
    path.parent.mkdir(exist_ok=True)
    with path.open("a", encoding="utf-8") as file:
        file.write(f"\n{text}\n")
    if contract == "no-rings":
        path.with_name("broken_ring.py").write_text("import traywright.base.broken_wall\n", encoding="utf-8")
    told = lint(tree, "--contract", contract)
    assert told.returncode == 1, told.stdout
    assert "broken_wall" in told.stdout or "layout._kernels -> scipy" in told.stdout


def test_each_wall_is_broken_once():
    assert {contract for contract, _, _ in SINS} == set(CONTRACTS)
