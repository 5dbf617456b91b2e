"""Work on a file from outside, done in a process of its own with limits of time and memory."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from typing import TypeVar

from traywright.base.bounded import answer_within
from traywright.base.errors import JobError

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")

MOST_S = 17.0  # source: ours: with start and end of the process, an answer within 20 s
MOST_BYTES = 1_000_000_000  # source: ours: what a shop's computer can spare
STOPPING_S = 2.0  # source: ours: time for a process to end when it is told to


def guarded(
    work: Callable[[Asked], Answer],
    asked: Asked,
    *,
    file: str,
    most_s: float = MOST_S,
    most_bytes: int = MOST_BYTES,
) -> Answer:
    """The answer to a question about a file that nobody has looked at yet.

    Parameters
    ----------
    work
        A function of a module (it is sent to the process by name).
    asked
        A value that can be pickled.
    file
        Named in errors.
    most_s
        Time after which the process is ended.
    most_bytes
        Memory it may take, where the system can hold it to that.

    Raises
    ------
    TraywrightError
        Whatever the work raises.
    JobError
        JOB-040 if it takes too long, JOB-041 if it wants too much memory, JOB-042 if a library fell over the file.
    """
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=answer_within, args=(work, asked, file, there, most_bytes), daemon=True)
    process.start()
    there.close()
    try:
        if not here.poll(most_s):
            raise JobError("JOB-040", file=file, most_s=most_s)
        answer, refused = here.recv()
    except EOFError as fallen:
        raise JobError("JOB-042", file=file) from fallen
    finally:
        here.close()
        process.join(STOPPING_S if not process.is_alive() else 0.0)
        if process.is_alive():
            process.terminate()
            process.join(STOPPING_S)
    if refused is not None:
        raise refused
    return answer  # type: ignore[no-any-return]
