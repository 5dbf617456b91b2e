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
WRITTEN = "written.txt"


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


def check_folder(folder: Path) -> None:
    """Refuse a folder that holds something else than a job; finish a replacement that was cut off.

    Raises
    ------
    JobError
        JOB-004 if something lies there that is not a job.
    """
    old = _old(folder)
    if old.is_dir() and not folder.exists():
        old.rename(folder)
    if folder.exists() and not _is_job(folder):
        raise JobError("JOB-004", folder=str(folder))


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

    Notes
    -----
    ``written.txt`` lists what a run wrote. Files that are not on the list are somebody's own: they stay.
    """
    check_folder(folder)
    fresh = folder.with_name(folder.name + ".new")
    named = {**files, WRITTEN: "".join(f"{name}\n" for name in sorted(files)).encode()}
    try:
        shutil.rmtree(fresh, ignore_errors=True)
        if not folder.exists() or _written(folder) != named:
            for name in sorted(named):
                write_whole(fresh / name, named[name])
            _replace(folder, fresh)
    except OSError as refused:
        raise JobError("JOB-003", folder=str(folder), told=str(refused.strerror)) from refused
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _is_job(folder: Path) -> bool:
    """True for an empty folder or one that a job has written."""
    return folder.is_dir() and (not any(folder.iterdir()) or (folder / RESULT).is_file())


def _old(folder: Path) -> Path:
    """Where the old folder waits while the new one takes its place."""
    return folder.with_name(folder.name + ".old")


def _names(folder: Path) -> set[str]:
    """Names of the files that the last run wrote into a folder."""
    listed = folder / WRITTEN
    return {*listed.read_text(encoding="utf-8").split("\n"), WRITTEN} - {""} if listed.is_file() else set()


def _written(folder: Path) -> dict[str, bytes]:
    """What the last run wrote and still lies there."""
    return {name: (folder / name).read_bytes() for name in sorted(_names(folder)) if (folder / name).is_file()}


def _replace(folder: Path, fresh: Path) -> None:
    """Put the fresh folder in the old one's place with somebody's own files in it; the old result goes inside it."""
    if not folder.exists():
        fresh.rename(folder)
        return
    ours = _names(folder)
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder)
        own = path.is_file() and name.parts[0] != PREVIOUS and name.as_posix() not in ours
        if own and not (fresh / name).exists():
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, fresh / name)
    old = _old(folder)
    shutil.rmtree(old, ignore_errors=True)
    folder.rename(old)
    try:
        fresh.rename(folder)
    except OSError:
        old.rename(folder)
        raise
    shutil.rmtree(old / PREVIOUS, ignore_errors=True)
    if any(old.iterdir()):
        old.rename(folder / PREVIOUS)
    else:
        old.rmdir()


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


def content_of(path: Path) -> bytes:
    """Bytes of a file.

    Raises
    ------
    JobError
        JOB-001 if it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as refused:
        raise JobError("JOB-001", file=str(path), told=str(refused.strerror)) from refused


def beside(folder: Path, name: str, key: str) -> bytes:
    """Bytes of a file that the enquiry names, which must lie in the enquiry's folder.

    Parameters
    ----------
    folder
        The folder.
    name
        The file's name as the enquiry has it.
    key
        The key that names it, for the refusal.

    Raises
    ------
    JobError
        JOB-009 if it is missing or lies outside, JOB-001 if it cannot be read.
    """
    path = (folder / name).resolve()
    if not path.is_relative_to(folder.resolve()) or not path.is_file():
        raise JobError("JOB-009", key=key, file=name)
    return content_of(path)


def cards_beside(folder: Path) -> dict[str, bytes]:
    """Bytes of the cards in a folder's ``cards``, by ``kind/id.toml``; none where there is no such folder.

    Raises
    ------
    JobError
        JOB-001 if a card cannot be read, a folder of that name too.
    """
    cards = folder / "cards"
    return {path.relative_to(cards).as_posix(): content_of(path) for path in sorted(cards.rglob("*.toml"))}
