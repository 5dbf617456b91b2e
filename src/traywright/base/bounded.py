"""Work in a process that was made for it: memory held, the answer or the refusal handed back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from traywright.base.errors import JobError, TraywrightError
from traywright.base.files import bound_memory
from traywright.base.threads import one_thread


class Answering(Protocol):
    """The end of a pipe that an answer is sent into."""

    def send(self, told: Any) -> None:  # noqa: ANN401  # reason: whatever the work gives
        """Hand something over."""


def answer_within(
    work: Callable[[Any], Any],
    asked: Any,  # noqa: ANN401  # reason: whatever the work takes
    file: str,
    answer: Answering,
    most_bytes: int,
) -> None:
    """Do the work in this process and hand back the answer or the refusal.

    Parameters
    ----------
    work, asked
        What is done, and with what.
    file
        Named where memory runs out.
    answer
        Where the pair of answer and refusal is sent; one of them is None.
    most_bytes
        Memory that the process may take.

    Notes
    -----
    It stands in ``base`` so that a process made for one room starts with that room only.
    """
    one_thread()
    bound_memory(most_bytes)
    try:
        answer.send((work(asked), None))
    except TraywrightError as refused:
        answer.send((None, refused))
    except MemoryError:
        answer.send((None, JobError("JOB-041", file=file, most_mb=most_bytes // 1_000_000)))
