"""The command line answers at once: help costs little and compiles nothing."""

from __future__ import annotations

import os
import subprocess
import sys

LIMIT_S = 0.4
HEAVY = ("numba", "scipy", "shapely", "trimesh", "manifold3d", "reportlab", "ezdxf")
ASK = f"""
import sys
from traywright.__main__ import main
sys.argv = ["traywright", "--help"]
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("loaded:", *[name for name in {HEAVY!r} if name in sys.modules])
"""


def test_help_loads_nothing_heavy():
    words = [sys.executable, "-c", ASK]
    told = subprocess.run(words, stdin=subprocess.DEVNULL, check=False, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    assert told.stdout.splitlines()[-1].strip() == "loaded:"


def test_help_costs_little():
    spent_s = []
    for _ in range(3):  # the least of three: other work on the machine only adds
        before = os.times()
        words = [sys.executable, "-m", "traywright", "--help"]
        subprocess.run(words, stdin=subprocess.DEVNULL, check=True, capture_output=True)
        after = os.times()
        used_s = after.children_user + after.children_system - before.children_user - before.children_system
        spent_s.append(used_s)
    assert min(spent_s) < LIMIT_S, spent_s
