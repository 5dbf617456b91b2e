"""How firm a number is, drawn as the line it stands on; figures as papers show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base import Figure, Finding, Status, shown, text
from traywright.base.units import MM_PER_INCH
from traywright.papers.lettering import MM_PER_PT, width_of_mm
from traywright.papers.marks import Lettering, Marks, Stroke
from traywright.papers.paper import AnyAsked

LETTERS = 26
_DASHES: dict[str, tuple[float, ...]] = {"practice": (1.2, 0.7), "memory": (0.25, 0.6)}
_DIGITS = {"gn": 1, "mm": 1, "kg": 2, "ratio": 2, "": 2, "h": 2, "min": 1, "m2": 2, "EUR": 2, "kPa": 1}
WHOLE = frozenset({"boards", "board", "blanks", "piece", "joint", "bridge", "pack", "trip", "kit trip", "days"})


COUNTED = frozenset({"board", "piece", "joint", "bridge", "pack", "trip"})
"""Units that have another word where there are several."""


def counted(key: str, count: int) -> str:
    """How many of something, in words.

    Examples
    --------
    >>> counted("stops", 1), counted("stops", 3)
    ('1 stop', '3 stops')
    """
    return text("count", f"{key}_one" if count == 1 else key, count=count)


def bracketed(words: str, status: str) -> str:
    """The words, in brackets where they are invented.

    Examples
    --------
    >>> bracketed("19.6 kg", "invented"), bracketed("19.6 kg", "stated")
    ('[19.6 kg]', '19.6 kg')
    """
    return f"[{words}]" if status == Status.INVENTED.word else words


def _wave(left_mm: float, right_mm: float, y_mm: float) -> Stroke:
    """A wavy line."""
    step = 0.8
    count = max(2, int((right_mm - left_mm) / step))
    points = tuple(
        (left_mm + (right_mm - left_mm) * one / count, y_mm + (0.22 if one % 2 else -0.22)) for one in range(count + 1)
    )
    return Stroke(points_mm=points, width_mm=0.2)


def ground_line(status: str, words: str, mark: Lettering, size_pt: float) -> Marks:
    """The line under a number.

    Thick measured, double published, single stated, dashed practice, dotted memory, wavy assumed; none for invented,
    which stands in brackets.
    """
    width = width_of_mm(words, size_pt, mark.voice)
    left = mark.at_mm[0] - (width if mark.anchor == "right" else 0.0)
    right, y = left + width, mark.at_mm[1] - 0.18 * size_pt * MM_PER_PT
    if status == Status.INVENTED.word:
        return ()
    if status == Status.ASSUMED.word:
        return (_wave(left, right, y),)
    heights = (y, y - 0.45) if status == Status.PUBLISHED.word else (y,)
    thick = 0.5 if status == Status.MEASURED.word else 0.22
    return tuple(
        Stroke(points_mm=((left, one), (right, one)), width_mm=thick, dash_mm=_DASHES.get(status, ()))
        for one in heights
    )


def letter_of(place: int) -> str:
    """The letter of the finding at a place of the list: A to Z, then AA.

    Examples
    --------
    >>> letter_of(0), letter_of(25), letter_of(26)
    ('A', 'Z', 'AA')
    """
    return ("" if place < LETTERS else letter_of(place // LETTERS - 1)) + chr(ord("A") + place % LETTERS)


def unit_word(unit: str, value: float = 1.0) -> str:
    """A unit as papers print it beside a value.

    Examples
    --------
    >>> unit_word("gn"), unit_word("board", 12.0), unit_word("board")
    ('G', 'boards', 'board')
    """
    if unit in COUNTED and round(value) != 1:
        return text("unit_many", unit)
    return {"gn": "G", "ratio": "", "m2": "m²", "mm2": "mm²"}.get(unit, unit)


def told_value(value: float, unit: str, *, limit: float | None = None, upper: bool = True) -> str:
    """A number with the digits of its unit, never rounded to the passing side of its limit.

    Examples
    --------
    >>> told_value(0.7004, "", limit=0.7), told_value(12.0, "boards")
    ('0.71', '12')
    """
    digits = 0 if unit in WHOLE and abs(value - round(value)) < 0.01 else _DIGITS.get(unit, 1)
    return shown(value, digits, limit=limit, upper=upper).replace("-", "−")


def length(value_mm: float, asked_unit: str) -> str:
    """A length in the job's unit, without the unit's name.

    Examples
    --------
    >>> length(25.4, "inch"), length(25.0, "mm")
    ('1.000', '25')
    """
    if asked_unit == "inch":
        return f"{value_mm / MM_PER_INCH:.3f}"
    return f"{round(value_mm, 1):g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """Figures by path, their G numbers, and the letters of findings."""

    figures: Mapping[str, Figure]
    numbers: Mapping[str, str]
    letters: Mapping[int, str]

    def number(self, path: str) -> str:
        """G number of a figure, or nothing."""
        return self.numbers.get(path, "")


def book_of(asked: AnyAsked) -> Book:
    """Figures and letters of a job, ready to be looked up."""
    return Book(
        figures={one.path: one for one in asked.figures},
        numbers=dict(asked.numbers),
        letters={place: letter_of(place) for place in range(len(asked.findings))},
    )


def lettered(asked: AnyAsked) -> tuple[tuple[str, Finding], ...]:
    """All findings with their letters in reading order."""
    return tuple((letter_of(place), one) for place, one in enumerate(asked.findings))


def status_word(status: Status) -> str:
    """The word of a ground."""
    return text("ground", status.word)
