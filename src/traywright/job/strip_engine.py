"""Places proposed by a general packing engine, asked in a process of its own with a limit of time."""

from __future__ import annotations

from traywright.base.errors import JobError
from traywright.job.guarded import guarded
from traywright.job.strip_answer import EngineAsked, strip_answer
from traywright.layout.offer import Placement
from traywright.layout.proposal import StripAsked, placements_of

STARTING_S = 20.0  # source: ours: for the process to start and end on a busy machine, on top of the engine's time
MOST_BYTES = 2_000_000_000  # source: ours: the engine's threads reserve more than they use
WHAT = "strip"


def proposed_places(strip: StripAsked, *, most_s: int, seed: int, workers: int) -> tuple[Placement, ...]:
    """All copies placed in the container as the engine proposes it, or nothing if it found no room in its time.

    Parameters
    ----------
    strip
        The question, from ``traywright.layout.proposal.strip_asked``.
    most_s
        Whole seconds that the engine may look, 1 or more; it is ended at the first packing that is short enough.
    seed, workers
        Of the engine's draws, 0 or more, and its number of threads, 1 or more.

    Raises
    ------
    JobError
        JOB-047 for a number out of its range, JOB-045 if the engine is not installed, JOB-046 if it falls over the
        question or wants too much memory.

    Notes
    -----
    The engine goes by the clock: the same question and seed may give another answer. So an answer is a proposal, to
    be checked by exact distances before any use, and stored with the job if it is used: nobody can ask for it again.
    """
    for name, number, least in (("most_s", most_s, 1), ("seed", seed, 0), ("workers", workers, 1)):
        if number < least:
            raise JobError("JOB-047", name=name, value=number, least=least)
    if strip.hopeless:
        return ()
    asked = EngineAsked(strip=strip, most_s=most_s, seed=seed, workers=workers)
    try:
        places = guarded(strip_answer, asked, file=WHAT, most_s=most_s + STARTING_S, most_bytes=MOST_BYTES)
    except JobError as refused:
        if refused.code == "JOB-040":  # the engine overran its own limit: no answer in time
            return ()
        raise JobError("JOB-046") if refused.code in {"JOB-041", "JOB-042"} else refused from refused
    return placements_of(strip, places)
