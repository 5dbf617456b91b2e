"""Words of one line: letters with numbers, comments taken out, everything else refused."""

from __future__ import annotations

import re
from dataclasses import dataclass

from traywright.base import Finding
from traywright.verification.tell import tell

LONGEST_LINE = 256  # source: NISTIR 6556, 3.3
LARGEST_LINE_NUMBER = 99999  # source: NISTIR 6556, 3.3.1
_MOST_M_WORDS = 4  # source: NISTIR 6556, 3.3.5
_WORD = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")
_COMPUTED = frozenset("[]#=/*")
_LETTERS = frozenset("FGHIJKMNPRSTXYZ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A letter and its number."""

    letter: str
    value: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The words of one line without its line number (-1: none)."""

    line: int
    number: int
    words: tuple[Word, ...]

    def value_of(self, letter: str) -> float | None:
        """Number behind a letter that stands at most once on a line."""
        return next((one.value for one in self.words if one.letter == letter), None)

    def codes(self, letter: str) -> tuple[int, ...]:
        """Ten times the numbers behind G or M, in their order; -1 where it is no tenth."""
        return tuple(_tenths(one) for one in self.words if one.letter == letter)


def _tenths(word: Word) -> int:
    """Ten times a code's number; -1 if the number has more than one decimal."""
    bare = word.text[1:].rstrip("0") if "." in word.text else word.text[1:]
    whole, _, decimal = bare.partition(".")
    if len(decimal) > 1 or whole.startswith(("-", "+")):
        return -1
    return int(whole or "0") * 10 + int(decimal or "0")


def refusal(code: str, line: int, name: str, **parameters: str | float) -> Finding:
    """A stop of the reader at one line."""
    return tell(code, (name,), {"line": line, **parameters})


def without_comments(text: str) -> tuple[str, bool]:
    """A line's upper-case text without comments and spaces, and whether its comments are well formed.

    Examples
    --------
    >>> without_comments("g1 x 7 (to the left) y2")
    ('G1X7Y2', True)
    >>> without_comments("g1 (open")[1]
    False
    """
    kept: list[str] = []
    inside = False
    for sign in text:
        if sign in {"(", ")"}:
            if inside == (sign == "("):
                return "".join(kept), False
            inside = sign == "("
        elif not inside and sign not in " \t":
            kept.append(sign.upper())
    return "".join(kept), not inside


def _fault_at(rest: str, line: int, name: str) -> Finding:
    """The refusal of what cannot be read as a word."""
    computed = any(one in _COMPUTED for one in rest)
    return refusal("RB-016" if computed else "RB-011", line, name, word=rest[:24])


def split_words(bare: str, line: int, name: str) -> tuple[tuple[Word, ...], Finding | None]:
    """Words of a line without comments, or the refusal of the first thing that is none."""
    words: list[Word] = []
    at = 0
    while at < len(bare):
        hit = _WORD.match(bare, at)
        if hit is None or hit.group(1) not in _LETTERS:
            return (), _fault_at(bare[at:], line, name)
        words.append(Word(letter=hit.group(1), value=float(hit.group(2)), text=hit.group(0)))
        at = hit.end()
    return tuple(words), None


def _number_of(words: tuple[Word, ...]) -> int:
    """The line number, -1 if there is none, -2 if it is not allowed as it stands."""
    numbered = [index for index, one in enumerate(words) if one.letter == "N"]
    if not numbered:
        return -1
    text = words[numbered[0]].text[1:]
    allowed = numbered == [0] and text.isdigit() and len(text) <= len(str(LARGEST_LINE_NUMBER))
    return int(text) if allowed else -2


def _repeated(words: tuple[Word, ...]) -> str:
    """A letter that stands too often on the line, or nothing."""
    letters = [one.letter for one in words]
    for letter in dict.fromkeys(letters):
        most = {"G": len(letters), "M": _MOST_M_WORDS}.get(letter, 1)
        if letters.count(letter) > most:
            return letter
    return ""


def read_line(text: str, line: int, name: str) -> tuple[Block | None, Finding | None]:
    """The words of one line, or why it is refused; nothing at all for a line without words.

    Parameters
    ----------
    text
        The line without its end.
    line
        1-based place in the text.
    name
        Id of the program, for the finding.

    References
    ----------
    NISTIR 6556 (2000), 3.3.
    """
    if len(text) > LONGEST_LINE:
        return None, refusal("RB-010", line, name, length=len(text))
    bare, well_formed = without_comments(text)
    if not well_formed:
        return None, refusal("RB-012", line, name)
    if not bare:
        return None, None
    words, fault = split_words(bare, line, name)
    return (None, fault) if fault is not None else _block_of(words, line, name)


def _block_of(words: tuple[Word, ...], line: int, name: str) -> tuple[Block | None, Finding | None]:
    """The words without the line number, or why they cannot stand on one line."""
    number, twice = _number_of(words), _repeated(words)
    if twice:
        return None, refusal("RB-013", line, name, word=twice)
    if number < -1:
        return None, refusal("RB-017", line, name, word="N")
    kept = tuple(one for one in words if one.letter != "N")
    return (Block(line=line, number=number, words=kept) if kept else None), None
