"""Files that are whole or not there: temporary name, flush, rename. The one file with system-dependent calls."""

from __future__ import annotations

import os
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
