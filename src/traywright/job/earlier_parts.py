"""Parts of earlier jobs, known again by their shape."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path
from typing import Any

from traywright.base import Finding
from traywright.base.errors import JobError
from traywright.parts import Earlier, known_again, print_of_text

RESULT = "result.json"


def _parts(result: Path) -> list[Earlier]:
    """The parts of one job with their prints; none where the file is no result or older than prints."""
    try:
        told: Any = json.loads(result.read_text(encoding="utf-8"))
        parts = [(one["id"], one["shape"]) for one in told["parts"]]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    prints = [(part, print_of_text(shape)) for part, shape in parts if isinstance(shape, str)]
    return [Earlier(job=result.parent.name, part=part, print=one) for part, one in prints if one is not None]


def found_again(folder: Path, shapes: list[tuple[str, str]]) -> tuple[Finding, ...]:
    """What is to be said of parts whose shape an earlier job has.

    Parameters
    ----------
    folder
        Holds job folders, or is one.
    shapes
        Names and prints of the parts that are looked for.

    Raises
    ------
    JobError
        JOB-044 if there is no such folder.
    """
    if not folder.is_dir():
        raise JobError("JOB-044", file=str(folder), told=os.strerror(errno.ENOENT))
    results = sorted([*folder.glob(RESULT), *folder.glob(f"*/{RESULT}")])
    earlier = [one for result in results for one in _parts(result)]
    found: list[Finding] = []
    for name, shape in shapes:
        now = print_of_text(shape)
        found += known_again(name, now, earlier) if now is not None else ()
    return tuple(found)
