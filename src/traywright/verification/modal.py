"""Which words may stand together on a line, and which this house reads at all.

Codes are ten times the number behind G or M, so that G59.1 is 591.
"""

from __future__ import annotations

from traywright.base import Finding
from traywright.verification.words import Block, refusal

RAPID, LINE, ARC_CW, ARC_CCW, CANCEL = 0, 10, 20, 30, 800
DWELL, MACHINE_FRAME = 40, 530
INCH, MILLIMETRE = 200, 210
LENGTH_ON, LENGTH_OFF = 430, 490
WORK_OFFSETS = frozenset(range(540, 600, 10))
MOTIONS = frozenset({RAPID, LINE, ARC_CW, ARC_CCW, CANCEL})

STOP_WORDS = frozenset({0, 20, 300})
END_WORDS = frozenset({20, 300})
SPINDLE_ON, SPINDLE_OFF, CHANGE = 30, 50, 60

_G_GROUPS = {
    1: {RAPID, LINE, ARC_CW, ARC_CCW, 382, CANCEL, *range(810, 900, 10)},
    2: {170, 180, 190},
    3: {900, 910},
    5: {930, 940},
    6: {INCH, MILLIMETRE},
    7: {400, 410, 420},
    8: {LENGTH_ON, LENGTH_OFF},
    10: {980, 990},
    12: {*WORK_OFFSETS, 591, 592, 593},
    13: {610, 611, 640},
    0: {DWELL, 100, 280, 300, MACHINE_FRAME, 920, 921, 922, 923},
}
"""Modal groups of G words. Source: NISTIR 6556, Table 4."""

_M_GROUPS = {
    4: {0, 10, 20, 300, 600},
    6: {CHANGE},
    7: {SPINDLE_ON, 40, SPINDLE_OFF},
    8: {70, 80, 90},
    9: {480, 490},
}
"""Modal groups of M words. Source: NISTIR 6556, Table 4."""

READ_G = MOTIONS | WORK_OFFSETS | {DWELL, MACHINE_FRAME, 170, INCH, MILLIMETRE, 400, LENGTH_ON, LENGTH_OFF}
READ_G |= {610, 640, 900, 940}
READ_M = STOP_WORDS | {SPINDLE_ON, SPINDLE_OFF, CHANGE, 70, 80, 90}

_GROUP_OF = {
    "G": {code: group for group, codes in _G_GROUPS.items() for code in codes},
    "M": {code: group for group, codes in _M_GROUPS.items() for code in codes},
}
_READ = {"G": READ_G, "M": READ_M}
_NEEDS = {"H": LENGTH_ON, "P": DWELL}
_ONLY_WITH_ARC = ("I", "J", "R")
_WHOLE = ("T", "H")


def _unread(block: Block, name: str) -> list[Finding]:
    """Codes that this house refuses."""
    found = []
    for letter in ("G", "M"):
        texts = [one.text for one in block.words if one.letter == letter]
        for text, code in zip(texts, block.codes(letter), strict=True):
            if code not in _READ[letter]:
                found.append(refusal("RB-015", block.line, name, word=text))
    return found


def _crowded(block: Block, name: str) -> list[Finding]:
    """Two codes of one modal group."""
    for letter in ("G", "M"):
        groups = [_GROUP_OF[letter].get(code, -1 - code) for code in block.codes(letter)]
        if len(groups) != len(set(groups)):
            words = " ".join(one.text for one in block.words if one.letter == letter)
            return [refusal("RB-014", block.line, name, word=words)]
    return []


def _useless(block: Block, motion: int) -> str:
    """A letter that has no meaning on this line, or that is missing; empty if all is well."""
    codes = block.codes("G")
    for letter, code in _NEEDS.items():
        if (block.value_of(letter) is None) == (code in codes):
            return letter
    arc = motion in {ARC_CW, ARC_CCW} and DWELL not in codes
    for letter in _ONLY_WITH_ARC:
        if block.value_of(letter) is not None and not arc:
            return letter
    return "K" if block.value_of("K") is not None else _bad_number(block)


def _bad_number(block: Block) -> str:
    """A letter whose number must not be negative or must be whole."""
    for letter in ("F", "S", "P", *_WHOLE):
        value = block.value_of(letter)
        if value is not None and (value < 0 or (letter in _WHOLE and not value.is_integer())):
            return letter
    return ""


def judge_block(block: Block, motion: int, name: str) -> tuple[Finding, ...]:
    """Why a line is refused as a whole; empty if it can be obeyed.

    Parameters
    ----------
    block
        The line's words.
    motion
        The motion code that holds on this line (its own, or the one still active), -1 for none.
    name
        Id of the program, for the finding.

    References
    ----------
    NISTIR 6556 (2000), 3.3.5, 3.4, Table 4.
    """
    found = _unread(block, name) or _crowded(block, name)
    if found:
        return tuple(found)
    letter = _useless(block, motion)
    return (refusal("RB-017", block.line, name, word=letter),) if letter else ()
