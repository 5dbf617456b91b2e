"""A strip packed by the engine, in a process that was made for it: the engine may panic, print, or never end."""

from __future__ import annotations

import os
import threading
from typing import NamedTuple

from traywright.base.errors import JobError
from traywright.layout.proposal import StripAsked, StripPlace

LOOK_S = 0.05  # source: ours: between two looks at what the engine has found
SILENT = 2  # source: POSIX: the number of the error stream


class EngineAsked(NamedTuple):
    """A strip, the whole seconds that the engine may look, the seed of its draws and its number of threads."""

    strip: StripAsked
    most_s: int
    seed: int
    workers: int


def strip_answer(asked: EngineAsked) -> tuple[StripPlace, ...]:
    """The first packing that is short enough, or nothing; call it in a process of its own, whose error stream it shuts.

    Parameters
    ----------
    asked
        The strip and how long the engine may look; every outline goes in alone, in each of its turns.

    Raises
    ------
    JobError
        JOB-045 if the engine is not installed, JOB-046 if it falls over the question.
    """
    with open(os.devnull, "wb") as nowhere:  # noqa: PTH123  # reason: a device, not a path
        os.dup2(nowhere.fileno(), SILENT)  # a panic prints a trace of the engine's own language
    try:
        import spyrrow  # noqa: PLC0415  # reason: an extra
    except ImportError as missing:
        raise JobError("JOB-045") from missing
    strip, told = asked.strip, spyrrow.ProgressQueue()
    useful = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)
    items = [spyrrow.Item(one.kind, one.ring, one.copies, one.turns_deg) for one in strip.items]
    packing = spyrrow.StripPackingInstance("", strip.height_mm, items)
    settings = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=strip.apart_mm,
        total_computation_time=asked.most_s,
        num_workers=asked.workers,
        seed=asked.seed,
    )
    ended: list[bool] = []

    def pack() -> None:
        packing.solve(settings, told)
        ended.append(True)

    engine = threading.Thread(target=pack, daemon=True)
    engine.start()
    looking = True
    while looking:
        engine.join(LOOK_S)
        looking = engine.is_alive()
        for kind, found in told.drain():
            if kind in useful and found.width <= strip.length_mm:
                return tuple(StripPlace(one.id, *one.translation, one.rotation) for one in found.placed_items)
    if not ended:
        raise JobError("JOB-046")
    return ()
