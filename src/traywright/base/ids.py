"""Permanent ids: ``T1`` tray, ``T1.P2`` ply, ``T1.C3`` cell, ``T1.C3.F1`` feature, ``B1.S1.O4`` operation."""

from __future__ import annotations

import re

_NATURAL = re.compile(r"(\d+)")
_FILE_NAME = re.compile(r"[^A-Z0-9_-]")


def natural_key(name: str) -> tuple[tuple[int, int, str], ...]:
    """Sort key that puts ``T10`` after ``T9``.

    Examples
    --------
    >>> sorted(["T10", "T9", "T1.C2"], key=natural_key)
    ['T1.C2', 'T9', 'T10']
    """
    parts = (one for one in _NATURAL.split(name) if one)
    return tuple((0, int(one), "") if one.isdigit() else (1, 0, one) for one in parts)


def file_name(*ids: str) -> str:
    """A file name made from ids only: A-Z, 0-9, minus and underline.

    Examples
    --------
    >>> file_name("demo-001", "B1.S1")
    'DEMO-001-B1-S1'
    """
    return "-".join(_FILE_NAME.sub("-", one.upper()) for one in ids)
