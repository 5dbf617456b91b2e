"""The job's folder: written whole, the earlier one kept, one writer at a time."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from traywright.base.errors import JobError
from traywright.base.files import write_whole

LOCK = "job.lock"
RESULT = "result.json"
PREVIOUS = "result.previous"


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the folder's lock while the block runs.

    Parameters
    ----------
    folder
        The job's folder; the lock lies beside it, so that the folder itself can be replaced.

    Raises
    ------
    JobError
        JOB-002 if another writer holds it, or a stale lock was left; it is named, never removed in silence.
    """
    lock = folder.with_name(folder.name + "." + LOCK)
    lock.parent.mkdir(parents=True, exist_ok=True)
    try:
        handle = os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY)
    except FileExistsError as there:
        raise JobError("JOB-002", lock=str(lock)) from there
    except OSError as refused:
        raise JobError("JOB-003", folder=str(folder.parent), told=str(refused.strerror)) from refused
    try:
        os.write(handle, f"{os.getpid()}\n".encode())
        os.close(handle)
        yield
    finally:
        lock.unlink(missing_ok=True)


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put a whole new job folder in the place of the old one, which is kept as ``result.previous``.

    Parameters
    ----------
    folder
        Where the job lies; made if missing.
    files
        Content by name relative to the folder, with ``/`` between folders.

    Raises
    ------
    JobError
        JOB-003 if the folder cannot be written; JOB-004 if something lies there that is not a job.
    """
    if folder.exists() and not _is_job(folder):
        raise JobError("JOB-004", folder=str(folder))
    fresh = folder.with_name(folder.name + ".new")
    try:
        shutil.rmtree(fresh, ignore_errors=True)
        for name in sorted(files):
            write_whole(fresh / name, files[name])
        _keep_previous(folder, fresh)
    except OSError as refused:
        raise JobError("JOB-003", folder=str(folder), told=str(refused.strerror)) from refused
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _is_job(folder: Path) -> bool:
    """True for an empty folder or one that a job has written."""
    return folder.is_dir() and (not any(folder.iterdir()) or (folder / RESULT).is_file())


def _keep_previous(folder: Path, fresh: Path) -> None:
    """Move the old result into the new folder as its previous one, then the new folder into its place."""
    if not folder.exists():
        fresh.rename(folder)
        return
    if _same_files(folder, fresh):
        return
    old = folder.with_name(folder.name + ".old")
    shutil.rmtree(old, ignore_errors=True)
    folder.rename(old)
    fresh.rename(folder)
    shutil.rmtree(old / PREVIOUS, ignore_errors=True)
    if any(old.iterdir()):
        old.rename(folder / PREVIOUS)
    else:
        old.rmdir()


def _same_files(one: Path, other: Path) -> bool:
    """True if both folders hold the same files with the same bytes, the previous result left out."""

    def contents(folder: Path) -> dict[str, bytes]:
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*")
            if path.is_file() and path.relative_to(folder).parts[0] != PREVIOUS
        }

    return contents(one) == contents(other)


def read_result(folder: Path) -> dict[str, Any]:
    """The result.json of a job's folder as plain values.

    Raises
    ------
    JobError
        JOB-005 if there is none or it cannot be read.
    """
    path = folder / RESULT
    try:
        plain: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as refused:
        raise JobError("JOB-005", file=str(path)) from refused
    return plain
