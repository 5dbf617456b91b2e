"""Lengths, transforms and view boxes of SVG.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011, chapter 7.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from traywright.base.units import MM_PER_INCH
from traywright.geometry import Point

Matrix = tuple[float, float, float, float, float, float]
"""a b c d e f of the recommendation: x' = a x + c y + e, y' = b x + d y + f."""

UserLength = float
"""A length in user units: what one means is told by the viewport."""

SAME_PLACE: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
NUMBER_MOST = 1_000_000_000.0  # source: ours: beyond it a double no longer tells micrometres

PX_PER_INCH = 96.0  # source: CSS Values and Units Module Level 3, 5.2: 1in = 96px
MM_OF_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "in": MM_PER_INCH,
    "pt": MM_PER_INCH / 72.0,
    "pc": MM_PER_INCH / 6.0,
    "q": 0.25,
}  # source: CSS Values and Units Module Level 3, 5.2

# possessive: a run of blanks that no number follows must not be tried twice
_NUMBER = r"[+-]?+(?:[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)(?:[eE][+-]?[0-9]++)?+"
_NEXT_NUMBER = re.compile(rf"[ \t\r\n\f]*+,?+[ \t\r\n\f]*+({_NUMBER})")
_LENGTH = re.compile(rf"[ \t\r\n\f]*+({_NUMBER})([A-Za-z]*+|%)[ \t\r\n\f]*+")
_TRANSFORM = re.compile(r"[ \t\r\n\f]*+,?+[ \t\r\n\f]*+([A-Za-z]++)[ \t\r\n\f]*+\(([^()]*+)\)")
_ASPECT = re.compile(r"(?:defer\s+)?(?:none|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?")
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
_BLANK = " \t\r\n\f"


class TooLargeError(ValueError):
    """A number of a drawing is not finite or beyond any drawing."""


def number_of(text: str) -> float:
    """A number that matched the grammar, refused beyond ``NUMBER_MOST``.

    Raises
    ------
    TooLargeError
        If it is larger.
    """
    read = float(text)
    if not abs(read) <= NUMBER_MOST:
        raise TooLargeError(text[:40])
    return read


def numbers_of(text: str) -> list[float]:
    """Numbers parted by blanks or single commas.

    Raises
    ------
    ValueError
        Where something else stands between them.

    Examples
    --------
    >>> numbers_of("1-2.5.5,3e1")
    [1.0, -2.5, 0.5, 30.0]
    """
    found, place = [], 0
    while hit := _NEXT_NUMBER.match(text, place):
        found.append(number_of(hit[1]))
        place = hit.end()
    if text[place:].strip(_BLANK):
        raise ValueError(text[place : place + 40])
    return found


def _parted(text: str) -> tuple[float, str]:
    hit = _LENGTH.fullmatch(text)
    if not hit:
        raise ValueError(text[:40])
    return number_of(hit[1]), hit[2].lower()


def user_length(text: str, whole: UserLength | None) -> float:  # the user unit is what the file says it is
    """A length in user units; a percentage is one of ``whole``.

    Raises
    ------
    ValueError
        For a unit that hangs on a font, or a percentage of a size that is not told.
    """
    number, unit = _parted(text)
    if unit == "%" and whole is not None:
        return number * whole / 100.0
    if unit in {"", "px"}:
        return number
    if unit not in MM_OF_UNIT:
        raise ValueError(text[:40])
    return number * MM_OF_UNIT[unit] / MM_PER_INCH * PX_PER_INCH


def stated_mm(text: str) -> float | None:
    """Millimetres of a length in a real unit; None for pixels, percentages and plain numbers.

    Examples
    --------
    >>> stated_mm("12.5cm"), stated_mm("300px"), stated_mm("300")
    (125.0, None, None)
    """
    number, unit = _parted(text)
    return number * MM_OF_UNIT[unit] if unit in MM_OF_UNIT else None


def joined(outer: Matrix, inner: Matrix) -> Matrix:
    """The matrix that first does ``inner``, then ``outer``."""
    a, b, c, d, e, f = outer
    p, q, r, s, t, u = inner
    return (a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f)


def mapped(matrix: Matrix, point: Point) -> Point:
    """A place in the outer frame."""
    a, b, c, d, e, f = matrix
    return (a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f)


def swung(matrix: Matrix, arm: Point) -> Point:
    """A direction with its length in the outer frame."""
    a, b, c, d, _, _ = matrix
    return (a * arm[0] + c * arm[1], b * arm[0] + d * arm[1])


def _rotated(numbers: list[float]) -> Matrix:
    angle = math.radians(numbers[0])
    turn: Matrix = (math.cos(angle), math.sin(angle), -math.sin(angle), math.cos(angle), 0.0, 0.0)
    if len(numbers) == 1:
        return turn
    x, y = numbers[1:]
    return joined(joined((1.0, 0.0, 0.0, 1.0, x, y), turn), (1.0, 0.0, 0.0, 1.0, -x, -y))


_MOVES: dict[str, tuple[tuple[int, ...], Callable[[list[float]], Matrix]]] = {
    "matrix": ((6,), lambda n: (n[0], n[1], n[2], n[3], n[4], n[5])),
    "translate": ((1, 2), lambda n: (1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) > 1 else 0.0)),
    "scale": ((1, 2), lambda n: (n[0], 0.0, 0.0, n[-1], 0.0, 0.0)),
    "rotate": ((1, 3), _rotated),
    "skewX": ((1,), lambda n: (1.0, 0.0, math.tan(math.radians(n[0])), 1.0, 0.0, 0.0)),
    "skewY": ((1,), lambda n: (1.0, math.tan(math.radians(n[0])), 0.0, 1.0, 0.0, 0.0)),
}


def transform_of(text: str) -> Matrix:
    """The matrix of a transform list.

    Raises
    ------
    ValueError
        For a transform that the recommendation does not know, or of a wrong count of numbers.

    Examples
    --------
    >>> transform_of("translate(10) scale(2,3)")
    (2.0, 0.0, 0.0, 3.0, 10.0, 0.0)
    """
    matrix, place = SAME_PLACE, 0
    while hit := _TRANSFORM.match(text, place):
        counts, move = _MOVES.get(hit[1], ((), _rotated))
        numbers = numbers_of(hit[2])
        if len(numbers) not in counts:
            raise ValueError(text[place : place + 40])
        matrix = joined(matrix, move(numbers))
        place = hit.end()
    if text[place:].strip(_BLANK) not in {"", "none"}:
        raise ValueError(text[place : place + 40])
    return matrix


ViewBox = tuple[float, float, float, float]
"""Left, top, width and height."""


def view_box_of(text: str) -> ViewBox | None:
    """A view box; None where none is told, or of no width or height.

    Raises
    ------
    ValueError
        For a count other than four, or a size below 0.
    """
    if not text.strip(_BLANK):
        return None
    numbers = numbers_of(text)
    if len(numbers) != 4 or min(numbers[2:]) < 0.0:
        raise ValueError(text[:40])
    return (numbers[0], numbers[1], numbers[2], numbers[3]) if min(numbers[2:]) > 0.0 else None


def stretches(aspect: str) -> bool:
    """True if a view box is to be stretched unevenly to its viewport."""
    return "none" in aspect.split()


def fitted(box: ViewBox, size: Point, aspect: str) -> Matrix:
    """From the user units of a view box to the viewport of a size, by ``preserveAspectRatio``.

    Raises
    ------
    ValueError
        If ``aspect`` is not of the recommendation's form.

    Examples
    --------
    >>> fitted((0, 0, 100, 50), (200.0, 200.0), "")
    (2.0, 0.0, 0.0, 2.0, 0.0, 50.0)
    """
    hit = _ASPECT.fullmatch(aspect.strip(_BLANK) or "xMidYMid")
    if not hit:
        raise ValueError(aspect[:40])
    across, deep = size[0] / box[2], size[1] / box[3]
    if hit[1] is None:
        return (across, 0.0, 0.0, deep, -box[0] * across, -box[1] * deep)
    both = max(across, deep) if hit[3] == "slice" else min(across, deep)
    aside, down = (size[0] - box[2] * both) * _SHARE[hit[1]], (size[1] - box[3] * both) * _SHARE[hit[2]]
    return (both, 0.0, 0.0, both, aside - box[0] * both, down - box[1] * both)
