"""The stages that are timed, each at three sizes."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from traywright.geometry import Region

ROOT = Path(__file__).resolve().parents[1]
EXAMPLE = ROOT / "examples" / "survey_kit"
OUT = ROOT / "build" / "bench"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """What is timed: a name, three sizes, what a size counts, and how the work is laid ready."""

    name: str
    sizes: tuple[int, ...]
    counted: str
    prepare: Callable[[int], Callable[[], object]]
    stands: Callable[[], bool] = lambda: True


def parallel_regions(corners: int) -> Callable[[], object]:
    """Ten parallel regions inside a star with many corners, as in clearing a pocket."""
    points = []
    for corner in range(corners):
        angle = 2.0 * math.pi * corner / corners
        radius_mm = 150.0 + 20.0 * math.cos(9.0 * angle)
        points.append((radius_mm * math.cos(angle), radius_mm * math.sin(angle)))
    star = Region.polygon(points)
    return lambda: [star.grown(-float(step_mm)).area_mm2 for step_mm in range(5, 55, 5)]


def whole_job(kits: int) -> Callable[[], object]:
    """The example job with another number of kits in a pack, in a process of its own."""
    text = (EXAMPLE / "enquiry.toml").read_text(encoding="utf-8")
    changed = EXAMPLE / f".bench-{kits}.toml"
    told = re.sub(r"(?m)^kits_per_pack *=.*$", f"kits_per_pack = {kits}", text)

    def work() -> None:
        changed.write_text(told, encoding="utf-8")
        words = [sys.executable, "-m", "traywright", "job", str(changed), "--out", str(OUT / str(kits))]
        try:
            subprocess.run(words, check=True, capture_output=True, stdin=subprocess.DEVNULL)
        finally:
            changed.unlink()

    return work


STAGES = (
    Stage(name="parallel-regions", sizes=(200, 800, 3200), counted="corners", prepare=parallel_regions),
    Stage(
        name="whole-job",
        sizes=(2, 4, 6),
        counted="kits in a pack",
        prepare=whole_job,
        stands=(EXAMPLE / "enquiry.toml").exists,
    ),
)
