"""Numbers and comments as a control reads them, after NISTIR 6556."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

from traywright.base.errors import ProgramError
from traywright.base.units import MM_PER_INCH, S_PER_MIN
from traywright.catalogue.cards import Dialect

LONGEST_LINE = 256  # source: NISTIR 6556 (2000), section 3.3
SHORTEST_LINE = 80  # source: the longest block we write has under 80 characters
LAST_NUMBER = 99999  # source: NISTIR 6556 (2000), section 3.3.1
UNIT_WORDS = {"mm": ("G21", 1.0), "inch": ("G20", MM_PER_INCH)}
_OUTSIDE_ASCII = re.compile(r"[^\x20-\x7e]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """How numbers are written: word of the unit, millimetres of one unit, decimals, longest line."""

    unit_word: str
    unit_mm: float
    decimals: int
    longest_line: int

    def length(self, value_mm: float) -> float:
        """A length as it will stand in the text, in the text's unit, without minus zero."""
        return round(value_mm / self.unit_mm, self.decimals) + 0.0

    def word(self, letter: str, value: float) -> str:
        """A word with its decimals."""
        return f"{letter}{value:.{self.decimals}f}"

    def feed(self, feed_mm_per_s: float) -> str:
        """The feed word, units a minute."""
        return f"F{feed_mm_per_s * S_PER_MIN / self.unit_mm:.{1 if self.unit_mm <= 1.0 else 2}f}"

    def comment(self, told: str) -> tuple[str, ...]:
        """A text as comment lines: plain characters, no brackets inside brackets, none too long."""
        plain = _OUTSIDE_ASCII.sub("?", told).replace("(", "[").replace(")", "]")
        return tuple(f"({line})" for line in textwrap.wrap(plain, self.longest_line - 2)) or ("()",)


def writing_of(dialect: Dialect) -> Writing:
    """How a dialect writes numbers.

    Parameters
    ----------
    dialect
        The dialect's card.

    Returns
    -------
    Writing
        With the longest line at most 256 characters.

    Raises
    ------
    ProgramError
        NC-001 an unknown unit, NC-002 a line too short to hold a block.
    """
    if dialect.unit not in UNIT_WORDS:
        raise ProgramError("NC-001", dialect=dialect.id, unit=dialect.unit, known=", ".join(sorted(UNIT_WORDS)))
    if dialect.longest_line < SHORTEST_LINE:
        raise ProgramError("NC-002", dialect=dialect.id, longest=dialect.longest_line, least=SHORTEST_LINE)
    unit_word, unit_mm = UNIT_WORDS[dialect.unit]
    return Writing(
        unit_word=unit_word,
        unit_mm=unit_mm,
        decimals=dialect.decimals,
        longest_line=min(dialect.longest_line, LONGEST_LINE),
    )
