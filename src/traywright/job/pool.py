"""Work spread over processes; the answers come in the order of the questions."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import TypeVar

from traywright.base.threads import one_thread

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")


def _timed(work: Callable[[Asked], Answer], asked: Asked) -> tuple[Answer, float]:
    """The answer and the CPU seconds it took in this process."""
    start = time.process_time()
    answer = work(asked)
    return answer, time.process_time() - start


def map_in_order(
    work: Callable[[Asked], Answer],
    questions: Sequence[Asked],
    *,
    workers: int,
    told: Callable[[int], None],
) -> tuple[tuple[Answer, ...], float]:
    """Answers in the order of the questions, whatever the number of workers, and their CPU seconds.

    Parameters
    ----------
    work
        A function of a module (it is sent to the workers by name).
    questions
        Values that can be pickled.
    workers
        Processes, 1 or more; 1 works in this process.
    told
        Called with the number of answers that are in.

    Raises
    ------
    TraywrightError
        Whatever the work raises, from the first question that fails.
    """
    answers: list[tuple[Answer, float]] = []
    if workers == 1 or len(questions) < 2:  # reason: one question needs no pool
        for one in questions:
            answers.append(_timed(work, one))
            told(len(answers))
    else:
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(workers, mp_context=context, initializer=one_thread) as pool:
            coming = [pool.submit(_timed, work, one) for one in questions]
            try:
                for future in coming:
                    answers.append(future.result())
                    told(len(answers))
            except BaseException:
                pool.shutdown(wait=False, cancel_futures=True)
                raise
    return tuple(answer for answer, _ in answers), sum(cpu for _, cpu in answers)
