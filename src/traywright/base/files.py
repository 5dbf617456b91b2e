"""Files that are whole or not there: temporary name, flush, rename. The one file with system-dependent calls."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never half.

    Raises
    ------
    OSError
        If the folder is missing or full.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    temporary = path.with_name(path.name + ".part")
    with temporary.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
    temporary.replace(path)


@contextmanager
def quiet_library() -> Iterator[None]:
    """Keep what a foreign library prints by itself away from our standard output and error.

    Notes
    -----
    Compiled libraries write to the process's own streams, past Python; one stray line would spoil the JSON on
    standard output. Both streams are pointed at the null device for as long as the block runs.
    """
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
    kept = [os.dup(number) for number in (1, 2)]
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        for number in (1, 2):
            os.dup2(nowhere, number)
        yield
    finally:
        for number, own in zip((1, 2), kept, strict=True):
            os.dup2(own, number)
            os.close(own)
        os.close(nowhere)


def bound_memory(most_bytes: int) -> None:
    """Hold this process to an amount of memory, where the system can; beyond it an allocation fails.

    Parameters
    ----------
    most_bytes
        What the process may take for itself, above 0.
    """
    try:
        import resource  # noqa: PLC0415  # reason: not on every system
    except ImportError:
        return
    if sys.platform.startswith("linux"):
        resource.setrlimit(resource.RLIMIT_DATA, (most_bytes, most_bytes))
