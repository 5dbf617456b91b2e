"""Equal circles in a square against the best known: which counts are reached, in squares how much larger.

Run as a script it prints every count at three enlargements: python campaigns/circles.py.
"""

from __future__ import annotations

import json
import math
import random
from itertools import combinations
from pathlib import Path

from traywright.layout import Effort, discs_in_rectangle

TITLE = (
    "Best known counts of equal circles in a square (E. Specht's table, read in copies): a count drawn from 1 to 36 "
    "must go into the square enlarged by 0.3 %."
)
COUNT = 36
ENLARGED_RATIOS = (1.003, 1.001, 1.0001)
RADII = json.loads(
    (
        Path(__file__).resolve().parents[1] / "tests" / "data" / "layout" / "circles" / "unit_square_radius_n1_36.json"
    ).read_text(encoding="utf-8")
)
R_MM = 30.0
SAME_MM = 0.0005


def judge(draw: random.Random) -> tuple[str, str]:
    """What is wrong with the layout of one count in the square that is 0.3 % larger."""
    count = draw.randint(1, COUNT)
    told = judged(count, ENLARGED_RATIOS[0])
    return told, f"n up to {10 * math.ceil(count / 10)}"


def judged(count: int, enlarged_ratio: float, rounds: int = 120) -> str:
    """Nothing if so many circles go into the square, else what is wrong."""
    side_mm = R_MM / RADII[str(count)] * enlarged_ratio
    centres = discs_in_rectangle(R_MM, 0.0, side_mm, side_mm, (0.0,) * 4, count=count, effort=Effort(rounds=rounds))
    if not centres:
        return f"n = {count}: not found"
    least_mm = min((math.dist(a, b) for a, b in combinations(centres, 2)), default=math.inf)
    inside = all(R_MM - SAME_MM <= one <= side_mm - R_MM + SAME_MM for centre in centres for one in centre)
    good = len(centres) == count and inside and least_mm >= 2.0 * R_MM - SAME_MM
    return "" if good else f"n = {count}: {len(centres)} centres, {least_mm:.4f} mm apart"


def table(counts: range = range(1, COUNT + 1), rounds: int = 120) -> str:
    """Each count with the enlargements at which it was reached, and how many were, as a table."""
    reached = {ratio: [n for n in counts if not judged(n, ratio, rounds)] for ratio in ENLARGED_RATIOS}
    heads = [f"{100.0 * (ratio - 1.0):.2f} %" for ratio in ENLARGED_RATIOS]
    lines = ["| n | " + " | ".join(heads) + " |", "|---" * (1 + len(heads)) + "|"]
    lines += [f"| {n} | " + " | ".join("yes" if n in reached[r] else "no" for r in reached) + " |" for n in counts]
    lines.append(f"| of {len(counts)} | " + " | ".join(str(len(one)) for one in reached.values()) + " |")
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
