"""Measured text: how wide a word is, where a line breaks, which sign the lettering lacks."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from traywright.base.errors import PaperError

_JOINT = re.compile(r"(?<=[-_/])")
MM_PER_PT = 25.4 / 72.0  # source: typographic point, 1/72 inch by definition
PAIR_JOINT = " · "
FIRST_RATIO = 0.4  # source: own choice: what the first of a pair keeps of a line that is too short
LEAST_PT = 8.0  # source: look of the house: no text on paper under 8 pt
FACES: dict[str, tuple[str, str]] = {
    "facts": ("TraywrightFacts", "Vera.ttf"),
    "strong": ("TraywrightStrong", "VeraBd.ttf"),
    "judgement": ("TraywrightStrong", "VeraBd.ttf"),
    "machine": ("TraywrightFacts", "Vera.ttf"),
    "aside": ("TraywrightAside", "VeraIt.ttf"),
}
"""Voice to the name and file of its face."""


@cache
def _face(voice: str) -> tuple[str, frozenset[int]]:
    """Name of a voice's face, made known to the PDF engine once, and the signs it has."""
    import reportlab  # noqa: PLC0415  # reason: --help stays quick
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415  # reason: --help stays quick
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415  # reason: --help stays quick

    name, file = FACES[voice]
    path = Path(reportlab.__file__).parent / "fonts" / file
    font = TTFont(name, str(path))
    pdfmetrics.registerFont(font)
    return name, frozenset(font.face.charToGlyph)


def face_name(voice: str) -> str:
    """The name under which the PDF engine knows the face of a voice."""
    return _face(voice)[0]


def checked(words: str, voice: str) -> str:
    """The words, if the lettering has a sign for each letter.

    Raises
    ------
    PaperError
        PAP-001 if a letter has no sign; it is never left out in silence.
    """
    signs = _face(voice)[1]
    for letter in words:
        if ord(letter) not in signs:
            raise PaperError("PAP-001", sign=f"U+{ord(letter):04X}", words=words.encode("ascii", "replace").decode())
    return words


def width_of_mm(words: str, size_pt: float, voice: str = "facts") -> float:
    """Width of a line of text on paper, mm.

    Examples
    --------
    >>> 10.0 < width_of_mm("Packing", 9.5) < 16.0
    True
    """
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415  # reason: --help stays quick

    return float(pdfmetrics.stringWidth(checked(words, voice), face_name(voice), size_pt)) * MM_PER_PT


def _split(word: str, size_pt: float, voice: str, within_mm: float) -> list[str]:
    """A word in pieces that are not wider than the line, broken after a hyphen where there is one."""
    if width_of_mm(word, size_pt, voice) <= within_mm:
        return [word]
    whole = [one for one in _JOINT.split(word) if one]
    if len(whole) > 1:
        return [piece for one in whole for piece in _split(one, size_pt, voice, within_mm)]
    pieces, piece = [], ""
    for letter in word:
        if piece and width_of_mm(piece + letter, size_pt, voice) > within_mm:
            pieces.append(piece)
            piece = ""
        piece += letter
    return [*pieces, piece]


def wrapped(words: str, within_mm: float, size_pt: float, voice: str = "facts") -> tuple[str, ...]:
    """The text in lines no wider than asked; a word that is too wide is broken.

    Parameters
    ----------
    words
        Text; line breaks count as spaces.
    within_mm
        Width of the column, above the width of one letter.
    size_pt, voice
        Size and face.

    Examples
    --------
    >>> wrapped("a tray of foam", 14.0, 9.5)
    ('a tray', 'of foam')
    """
    lines: list[str] = []
    line = ""
    for word in words.split():
        for number, piece in enumerate(_split(word, size_pt, voice, within_mm)):
            tried = f"{line}{'' if number else ' '}{piece}".strip()
            if line and width_of_mm(tried, size_pt, voice) > within_mm:
                lines.append(line)
                tried = piece
            line = tried
    return (*lines, line) if line or not lines else tuple(lines)


def fitted(words: str, within_mm: float, size_pt: float, voice: str = "facts") -> tuple[str, float]:
    """One line that fits: smaller down to the least size, then shortened with three dots.

    Returns
    -------
    tuple
        Text and its size in points.
    """
    size = size_pt
    while size > LEAST_PT and width_of_mm(words, size, voice) > within_mm:
        size = max(LEAST_PT, size - 0.5)
    if width_of_mm(words, size, voice) <= within_mm:
        return words, size
    short = words
    while short and width_of_mm(f"{short}…", size, voice) > within_mm:
        short = short[:-1]
    return f"{short.rstrip()}…", size


def fitted_pair(first: str, last: str, within_mm: float, size_pt: float, voice: str = "facts") -> tuple[str, float]:
    """Two things on one line, both still seen where they are too long: each is shortened, none is pushed off.

    Parameters
    ----------
    first, last
        What stands at the ends, such as title and customer, or number and revision.
    within_mm
        Width of the line, above the width of a few letters.
    size_pt, voice
        Size and face.

    Returns
    -------
    tuple
        Text and its size in points.

    Examples
    --------
    >>> fitted_pair("JOB-2026-000123-EXTRA", "C", 30.0, 9.5)[0]
    'JOB-2026-0001… · C'
    """
    whole = f"{first}{PAIR_JOINT}{last}"
    told, size = fitted(whole, within_mm, size_pt, voice)
    if told == whole:
        return told, size
    room = within_mm - width_of_mm(PAIR_JOINT, LEAST_PT, voice)
    own = max(FIRST_RATIO * room, room - width_of_mm(last, LEAST_PT, voice))
    head = fitted(first, own, LEAST_PT, voice)[0]
    tail = fitted(last, room - width_of_mm(head, LEAST_PT, voice), LEAST_PT, voice)[0]
    return f"{head}{PAIR_JOINT}{tail}", LEAST_PT
