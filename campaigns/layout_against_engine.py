"""Unseen outlines in a tray: the most that lay_out finds, against a general packing engine asked for one more.

The engine gets 0.01 mm of grace along the container and across; its answer counts only if it keeps wall and rim.
"""

from __future__ import annotations

import os
import random
import sys
from pathlib import Path
from typing import NamedTuple

from traywright.geometry import Region
from traywright.job.strip_engine import proposed_places
from traywright.layout import Container, Effort, Kind, LayoutAsked, Sides, Spacing, lay_out
from traywright.layout.proposal import strip_asked

sys.path.insert(0, str(Path(__file__).resolve().parent))
from cases.unseen_outlines import broken, drawn_outline  # after the path, since this folder is no package

TITLE = "Most copies of 20 unseen outlines in 560 x 360 at 8 mm, beside a packing engine: 20 s, 5 seeds, 2 workers."
COUNT = 20
SIZE_MM = (560.0, 360.0)
WALL_MM = 8.0
GRACE_MM = 0.01
TURNS_DEG = (0.0, 90.0, 180.0, 270.0)


class Engine(NamedTuple):
    """How long the engine may look with each seed, and whether our own count is asked for where one more fails."""

    most_s: int = 20
    seeds: tuple[int, ...] = (1, 2, 3, 4, 5)
    workers: int = 2
    ask_for_equal: bool = False


BRIEFLY = Engine(most_s=2, seeds=(1,), ask_for_equal=False)


def judge(draw: random.Random) -> tuple[str, str]:
    """Nothing if our count is no less than the engine's, and what it is beside it."""
    return _judged(draw, Effort(), Engine())


def judge_briefly(draw: random.Random) -> tuple[str, str]:
    """The same with little time for both, for the suite."""
    return _judged(draw, Effort(rounds=5), BRIEFLY)


def _judged(draw: random.Random, effort: Effort, engine: Engine) -> tuple[str, str]:
    family, outline = drawn_outline(draw)
    even = Sides.all_round(WALL_MM)
    asked = LayoutAsked(
        kinds=(Kind(id=family, outline=outline),),
        container=Container(width_mm=SIZE_MM[0], depth_mm=SIZE_MM[1]),
        spacing=Spacing(wall=even, rim=even),
        turns_deg=TURNS_DEG,
    )
    start_s = _cpu_s()
    regular, most = lay_out(asked, effort)
    ours_s = _cpu_s() - start_s
    for offer in (regular, most):
        fault = broken(outline, [one[1:] for one in offer.placements], SIZE_MM, WALL_MM)
        if fault or offer.count > offer.bound:
            return fault or f"{offer.count} copies beyond the bound of {offer.bound}", family
    start_s = _cpu_s()
    reached = _reached(outline, asked, most.count, engine)
    told = {1: f"{most.count + 1} or more", 0: str(most.count), -1: f"below {most.count + (not engine.ask_for_equal)}"}
    line = f"{family}: rows {regular.count}, most {most.count}, engine {told[reached]}, bound {most.bound}"
    print(f"{line}; {ours_s:.1f} s and {_cpu_s() - start_s:.1f} s of CPU")
    if reached > 0:
        return f"below the engine: {line}", "below"
    return "", "above or equal" if not engine.ask_for_equal else ("equal" if reached == 0 else "above")


def _reached(outline: Region, asked: LayoutAsked, count: int, engine: Engine) -> int:
    """1 if the engine places one copy more than we do, 0 if it places as many, -1 if not even that or not asked."""
    for more in (1, 0) if engine.ask_for_equal else (1,):
        strip = strip_asked(asked, count + more, grace_mm=GRACE_MM)
        size_mm = (SIZE_MM[0] + GRACE_MM, SIZE_MM[1] + GRACE_MM)
        for seed in engine.seeds:
            places = proposed_places(strip, most_s=engine.most_s, seed=seed, workers=engine.workers)
            if places and not broken(outline, [one[1:] for one in places], size_mm, WALL_MM):
                return more
    return -1


def _cpu_s() -> float:
    """CPU seconds of this process and of those that it has ended."""
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system
