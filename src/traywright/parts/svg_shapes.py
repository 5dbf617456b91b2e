"""Basic shapes of SVG as subpaths.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011, chapter 9.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from traywright.geometry import Point
from traywright.parts.svg_curve import Piece, Round, Run, Straight
from traywright.parts.svg_path import runs_of_path
from traywright.parts.svg_plane import numbers_of, user_length

Length = Callable[[str], float]
"""The length of an attribute in user units, 0 where it is not told."""


def _size(length: Length, key: str) -> float:
    """A length that may not be below 0."""
    if (read := length(key)) < 0.0:
        raise ValueError(key, read)
    return read


def _oval(centre: Point, rx: float, ry: float) -> tuple[Run, ...]:
    if min(rx, ry) <= 0.0:
        return ()
    start = (centre[0] + rx, centre[1])
    whole = Round(centre=centre, arm=(rx, 0.0), side=(0.0, ry), turn=2.0 * math.pi, end=start)
    return (Run(start=start, pieces=(whole,), closed=True),)


def _circle(length: Length, _given: Mapping[str, str]) -> tuple[Run, ...]:
    radius = _size(length, "r")
    return _oval((length("cx"), length("cy")), radius, radius)


def _radii(length: Length, given: Mapping[str, str]) -> Point:
    """Both radii; one that is not told is as the other."""
    told = [key for key in ("rx", "ry") if given.get(key, "auto").strip() != "auto"]
    if not told:
        return (0.0, 0.0)
    return (_size(length, told[0]), _size(length, told[-1]))


def _ellipse(length: Length, given: Mapping[str, str]) -> tuple[Run, ...]:
    return _oval((length("cx"), length("cy")), *_radii(length, given))


def _rect(length: Length, given: Mapping[str, str]) -> tuple[Run, ...]:
    x, y, width, height = length("x"), length("y"), _size(length, "width"), _size(length, "height")
    if min(width, height) <= 0.0:
        return ()
    rx, ry = _radii(length, given)
    rx, ry = min(rx, width / 2.0), min(ry, height / 2.0)
    right, low = x + width, y + height
    if min(rx, ry) <= 0.0:
        corners = ((right, y), (right, low), (x, low))
        return (Run(start=(x, y), pieces=tuple(Straight(end=one) for one in corners), closed=True),)

    def corner(centre: Point, arm: Point, side: Point) -> Piece:
        end = (centre[0] + side[0], centre[1] + side[1])
        return Round(centre=centre, arm=arm, side=side, turn=math.pi / 2.0, end=end)

    pieces = (
        Straight(end=(right - rx, y)),
        corner((right - rx, y + ry), (0.0, -ry), (rx, 0.0)),
        Straight(end=(right, low - ry)),
        corner((right - rx, low - ry), (rx, 0.0), (0.0, ry)),
        Straight(end=(x + rx, low)),
        corner((x + rx, low - ry), (0.0, ry), (-rx, 0.0)),
        Straight(end=(x, y + ry)),
        corner((x + rx, y + ry), (-rx, 0.0), (0.0, -ry)),
    )
    return (Run(start=(x + rx, y), pieces=pieces, closed=True),)


def _line(length: Length, _given: Mapping[str, str]) -> tuple[Run, ...]:
    end = Straight(end=(length("x2"), length("y2")))
    return (Run(start=(length("x1"), length("y1")), pieces=(end,), closed=False),)


def _points(given: Mapping[str, str], *, closed: bool) -> tuple[Run, ...]:
    numbers = numbers_of(given.get("points", ""))
    if len(numbers) % 2:
        raise ValueError("points", len(numbers))
    places = list(zip(numbers[::2], numbers[1::2], strict=True))
    if len(places) < 2:
        return ()
    return (Run(start=places[0], pieces=tuple(Straight(end=one) for one in places[1:]), closed=closed),)


SHAPES: dict[str, Callable[[Length, Mapping[str, str]], tuple[Run, ...]]] = {
    "path": lambda _length, given: runs_of_path(given.get("d", "")),
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": lambda _length, given: _points(given, closed=False),
    "polygon": lambda _length, given: _points(given, closed=True),
}
"""What draws each element."""

_ACROSS = frozenset({"x", "cx", "rx", "x1", "x2", "width"})
_DOWN = frozenset({"y", "cy", "ry", "y1", "y2", "height"})


def runs_of_shape(name: str, given: Mapping[str, str], view: Point | None) -> tuple[Run, ...]:
    """Subpaths of one element, in its own user units.

    Parameters
    ----------
    name
        path, rect, circle, ellipse, line, polyline or polygon.
    given
        Its attributes.
    view
        Width and height of its viewport, for percentages; None where the file tells none.

    Raises
    ------
    ValueError
        If a number of it cannot be read, or a size is below 0.
    PartError
        PART-052 if it has too many pieces.
    """

    def length(key: str) -> float:
        if view is None:
            whole = None
        elif key in _ACROSS:
            whole = view[0]
        else:
            whole = view[1] if key in _DOWN else math.hypot(*view) / math.sqrt(2.0)
        return user_length(given.get(key, "0"), whole)

    return SHAPES[name](length, given)
