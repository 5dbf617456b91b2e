"""CPU seconds of whole stages at three sizes, beside a baseline of the same run, with the growth exponent.

Called by: python3 run.py bench [NAME]. Seconds of two machines compare as multiples of the baseline.
"""

from __future__ import annotations

import functools
import gc
import math
import os
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))
import layout_figures  # after the path, since this folder is no package
from stages import STAGES, Stage

REPEATS = 3  # of the baseline


def cpu_s() -> float:
    """CPU seconds of this process and of the children that ended."""
    now = os.times()
    return now.user + now.system + now.children_user + now.children_system


def forget() -> None:
    """Nothing; answers that rooms keep for questions asked twice are dropped, cards and tables stay."""
    for one in gc.get_objects():
        if isinstance(one, functools._lru_cache_wrapper) and one.cache_parameters()["maxsize"] is not None:  # noqa: SLF001  # reason: the type has no public name
            one.cache_clear()


def least_cpu_s(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """The least CPU seconds of a few runs: other work on the machine only adds."""
    spent_s = []
    for _ in range(repeats):
        forget()
        before_s = cpu_s()
        work()
        spent_s.append(cpu_s() - before_s)
    return min(spent_s)


def baseline() -> float:
    """A fixed piece of work: half plain Python, half numpy on one core."""
    total = 0.0
    for number in range(1_000_000):
        total += math.sqrt(number)
    return total + float(np.sort(np.cos(np.arange(2_000_000.0))).sum())


def growth(sizes: tuple[int, ...], seconds: list[float]) -> float:
    """The exponent p of time ~ size^p, by least squares over the logarithms."""
    slope = np.polyfit(np.log(sizes), np.log(np.maximum(seconds, 0.001)), 1)[0]
    return float(slope)


def timed(stage: Stage, base_s: float) -> list[str]:
    """The lines of one stage: size, CPU seconds, multiples of the baseline, and how it grows."""
    stage.prepare(stage.sizes[0])()  # compiles and fills caches
    seconds = [least_cpu_s(stage.prepare(size), stage.repeats) for size in stage.sizes]
    others = [least_cpu_s(stage.beside(size), stage.repeats) for size in stage.sizes] if stage.beside else []
    lines = []
    for number, (size, spent_s) in enumerate(zip(stage.sizes, seconds, strict=True)):
        told = f"{stage.name:<24} {size:>8} {stage.counted:<16} {spent_s:8.2f} {spent_s / base_s:8.2f}"
        lines.append(
            f"{told}   beside {others[number]:.2f} s: ratio {spent_s / others[number]:.2f}" if others else told
        )
    return [*lines, f"{stage.name:<24} grows with exponent {growth(stage.sizes, seconds):.2f}"]


def tell_layouts(timings: list[str]) -> None:
    """Nothing; the figures of the layout room are printed and written into its page, with its timings."""
    lines = []
    for line in layout_figures.tables(cpu_s):
        print(line, flush=True)
        lines.append(line)
    layout_figures.write([*lines, "CPU seconds against size:", "", "```text", *timings, "```"])


def main(words: list[str]) -> int:
    """0 after the table was printed; 2 if no stage has the name."""
    chosen = [stage for stage in STAGES if not words or any(stage.name.startswith(word) for word in words)]
    if not chosen:
        print("stages:", ", ".join(stage.name for stage in STAGES), file=sys.stderr)
        return 2
    base_s = least_cpu_s(baseline)
    print(f"baseline {base_s:.2f} s CPU; the columns: size, CPU seconds, multiples of the baseline")
    lines = []
    for stage in chosen:
        told = timed(stage, base_s)
        print("\n".join(told), flush=True)
        lines += told
    if "layout" in words:
        tell_layouts(lines)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
