"""Path data of SVG as subpaths: strict where a number or a letter is wrong, exact where it is an arc.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011, chapter 8 and appendix F.6.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from traywright.base.errors import PartError
from traywright.base.tolerance import TIE_RATIO
from traywright.geometry import Point
from traywright.parts.svg_curve import Bend, Piece, Round, Run, Straight
from traywright.parts.svg_plane import number_of, numbers_of

PIECES_MOST = 400_000  # source: ours: a drawing of a tray has some 10 to 10 000 edges

_COMMAND = re.compile(r"[ \t\r\n\f]*+([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*+)")
_NUMBER = r"[+-]?+(?:[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)(?:[eE][+-]?[0-9]++)?+"
_PART = r"[ \t\r\n\f]*+,?+[ \t\r\n\f]*+"
_ARC = re.compile(
    rf"{_PART}({_NUMBER}){_PART}({_NUMBER}){_PART}({_NUMBER}){_PART}([01]){_PART}([01])"
    rf"{_PART}({_NUMBER}){_PART}({_NUMBER})"
)
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_BLANK = " \t\r\n\f"


def arc_of_ends(start: Point, end: Point, *, radii: Point, tilt_deg: float, large: bool, sweep: bool) -> Piece:
    """An elliptical arc by its ends, as an arc about its centre.

    Parameters
    ----------
    start, end
        Its ends.
    radii
        Half axes; too short ones are lengthened until they reach (F.6.6), one of 0 makes a straight edge (F.6.2).
    tilt_deg
        Angle from the x axis to the first half axis, degrees, as y runs.
    large, sweep
        The two flags: more than half a turn; towards growing angles.

    References
    ----------
    SVG 1.1 (Second Edition), F.6.5, equations 5.1 to 5.6: x1', y1' as ``x``, ``y``; cx', cy' as ``u``, ``v``.
    """
    rx, ry = abs(radii[0]), abs(radii[1])
    half = ((start[0] - end[0]) / 2.0, (start[1] - end[1]) / 2.0)
    if min(rx, ry) <= TIE_RATIO or math.hypot(*half) <= 0.0:
        return Straight(end=end)
    c, s = math.cos(math.radians(tilt_deg)), math.sin(math.radians(tilt_deg))
    x, y = c * half[0] + s * half[1], c * half[1] - s * half[0]
    short = math.hypot(x / rx, y / ry)
    if short > 1.0:
        rx, ry = rx * short, ry * short
    # with x = rx sin a ..., the root of 5.2 is one of 1/short² - 1
    short = min(math.hypot(x / rx, y / ry), 1.0)
    root = math.sqrt(max(1.0 - short * short, 0.0)) / short * (-1.0 if large == sweep else 1.0)
    u, v = root * rx * y / ry, -root * ry * x / rx
    centre = (c * u - s * v + (start[0] + end[0]) / 2.0, s * u + c * v + (start[1] + end[1]) / 2.0)
    first = math.atan2((y - v) / ry, (x - u) / rx)
    turn = (math.atan2((-y - v) / ry, (-x - u) / rx) - first) % (2.0 * math.pi)
    if not sweep:
        turn -= 2.0 * math.pi
    ca, sa = rx * math.cos(first), ry * math.sin(first)
    cb, sb = -rx * math.sin(first), ry * math.cos(first)
    arm, side = (c * ca - s * sa, s * ca + c * sa), (c * cb - s * sb, s * cb + c * sb)
    return Round(centre=centre, arm=arm, side=side, turn=turn, end=end)


def arguments_of(letter: str, text: str) -> list[tuple[float, ...]]:
    """Numbers of one command, in groups of as many as it takes.

    Raises
    ------
    ValueError
        If they do not come out even.
    """
    count = _COUNTS[letter.upper()]
    if count == 7:
        return _arcs(text)
    numbers = numbers_of(text)
    if count == 0 and not numbers:
        return [()]
    if count == 0 or not numbers or len(numbers) % count:
        raise ValueError((letter + text)[:40])
    return [tuple(numbers[one : one + count]) for one in range(0, len(numbers), count)]


def _arcs(text: str) -> list[tuple[float, ...]]:
    """Arguments of arcs, whose flags need no blank behind them."""
    found, place = [], 0
    while hit := _ARC.match(text, place):
        found.append(tuple(number_of(one) for one in hit.groups()))
        place = hit.end()
    if text[place:].strip(_BLANK) or not found:
        raise ValueError(text[place : place + 40])
    return found


class _Pen:
    """Where the path stands while it is drawn."""

    def __init__(self) -> None:
        self.runs: list[Run] = []
        self.pieces: list[Piece] = []
        self.count = 0
        self.start: Point = (0.0, 0.0)
        self.here: Point = (0.0, 0.0)
        self.cubic: Point | None = None
        self.square: Point | None = None

    def put(self, piece: Piece) -> None:
        """One piece more.

        Raises
        ------
        PartError
            PART-052 if there are too many.
        """
        self.count += 1
        if self.count > PIECES_MOST:
            raise PartError("PART-052", most=PIECES_MOST, of="points")
        self.pieces.append(piece)
        self.here, self.cubic, self.square = piece.end, None, None

    def lift(self, *, closed: bool) -> None:
        """The subpath ends; the next one starts where it started."""
        if self.pieces:
            self.runs.append(Run(start=self.start, pieces=tuple(self.pieces), closed=closed))
        self.pieces, self.here, self.cubic, self.square = [], self.start, None, None

    def move(self, n: tuple[float, ...]) -> None:
        """M."""
        self.lift(closed=False)
        self.start = self.here = (n[0], n[1])

    def line(self, n: tuple[float, ...]) -> None:
        """L, H, V."""
        self.put(Straight(end=(n[0], n[1])))

    def close(self, _n: tuple[float, ...]) -> None:
        """Z."""
        self.lift(closed=True)

    def bend(self, n: tuple[float, ...]) -> None:
        """C."""
        self.put(Bend(first=(n[0], n[1]), second=(n[2], n[3]), end=(n[4], n[5])))
        self.cubic = (n[2], n[3])

    def bend_on(self, n: tuple[float, ...]) -> None:
        """S: the first handle mirrors the last one."""
        self.bend((*self._mirrored(self.cubic), *n))

    def square_bend(self, n: tuple[float, ...]) -> None:
        """Q: a quadratic is the cubic with handles two thirds of the way."""
        handle, end, here = (n[0], n[1]), (n[2], n[3]), self.here
        first = (here[0] + (handle[0] - here[0]) * 2.0 / 3.0, here[1] + (handle[1] - here[1]) * 2.0 / 3.0)
        second = (end[0] + (handle[0] - end[0]) * 2.0 / 3.0, end[1] + (handle[1] - end[1]) * 2.0 / 3.0)
        self.put(Bend(first=first, second=second, end=end))
        self.square = handle

    def square_bend_on(self, n: tuple[float, ...]) -> None:
        """T: the handle mirrors the last one."""
        self.square_bend((*self._mirrored(self.square), *n))

    def arc(self, n: tuple[float, ...]) -> None:
        """A."""
        self.put(
            arc_of_ends(self.here, (n[5], n[6]), radii=(n[0], n[1]), tilt_deg=n[2], large=n[3] > 0.0, sweep=n[4] > 0.0)
        )

    def _mirrored(self, handle: Point | None) -> Point:
        if handle is None:
            return self.here
        return (2.0 * self.here[0] - handle[0], 2.0 * self.here[1] - handle[1])


_DRAWS: dict[str, Callable[[_Pen, tuple[float, ...]], None]] = {
    "M": _Pen.move,
    "Z": _Pen.close,
    "L": _Pen.line,
    "H": _Pen.line,
    "V": _Pen.line,
    "C": _Pen.bend,
    "S": _Pen.bend_on,
    "Q": _Pen.square_bend,
    "T": _Pen.square_bend_on,
    "A": _Pen.arc,
}


def _absolute(letter: str, n: tuple[float, ...], here: Point) -> tuple[float, ...]:
    """Numbers of a command as places; H and V get their other coordinate."""
    x, y = here if letter.islower() else (0.0, 0.0)
    name = letter.upper()
    if name == "H":
        return (n[0] + x, here[1])
    if name == "V":
        return (here[0], n[0] + y)
    if name == "A":
        return (*n[:5], n[5] + x, n[6] + y)
    return tuple(one + (y if place % 2 else x) for place, one in enumerate(n))


def runs_of_path(text: str) -> tuple[Run, ...]:
    """Subpaths of path data; none where it is empty or the word ``none``.

    Raises
    ------
    ValueError
        If it does not begin with M, or a letter, a number or a count of numbers is wrong.
    PartError
        PART-052 if it has too many pieces.

    Examples
    --------
    >>> runs_of_path("M0,0h10v5z")[0].closed, len(runs_of_path("M0 0L1 1M5 5L6 6"))
    (True, 2)
    """
    if text.strip(_BLANK) in {"", "none"}:
        return ()
    pen, place, last = _Pen(), 0, ""
    while hit := _COMMAND.match(text, place):
        letter = hit[1]
        if not last and letter not in "Mm":
            raise ValueError(text[place : place + 40])
        for number, group in enumerate(arguments_of(letter, hit[2])):
            draws = _Pen.line if letter in "Mm" and number else _DRAWS[letter.upper()]
            draws(pen, _absolute(letter, group, pen.here))
        place, last = hit.end(), letter
    if text[place:].strip(_BLANK):
        raise ValueError(text[place : place + 40])
    pen.lift(closed=False)
    return tuple(pen.runs)
