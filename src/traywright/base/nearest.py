"""The known word that a wrong one was meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like a given one; equal likeness goes to the first in the alphabet; empty if none is known.

    Examples
    --------
    >>> nearest("lenght_mm", ["width_mm", "length_mm"])
    'length_mm'
    """
    best, most_ratio = "", -1.0
    for one in sorted(set(known)):
        ratio = SequenceMatcher(a=word.lower(), b=one.lower(), autojunk=False).ratio()
        if ratio > most_ratio:
            best, most_ratio = one, ratio
    return best
