"""Silhouettes that are mirror images of each other: a left and a right tool, or one drawn from below."""

from __future__ import annotations

import math
from collections.abc import Iterator

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import DRAWN_MM
from traywright.design.drawn_shapes import Shape
from traywright.geometry import Contour
from traywright.trays import Tray

MOST_CORNERS = 400
"""Loops with more corners are curves taken as chords: where their corners lie is the file's choice.
# source: common practice, no source"""

Way = tuple[tuple[float, float, float], ...]
"""A walk round a loop, counter-clockwise: each edge's length, the angle its arc turns through, the angle at its end."""


def mirrored(tray: Tray, shapes: tuple[Shape, ...]) -> Iterator[Finding]:
    """Pairs of loops that are mirror images of each other and no turned copies.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.

    Notes
    -----
    Two loops are copies if the walk round one is that round the other from some corner on, to 0.01 mm an edge; mirror
    images if it is the walk the other way round. However they are turned makes no difference.
    """
    kinds: list[tuple[Way, list[Shape]]] = []
    for one in shapes:
        if len(one.line.contour.corners) > MOST_CORNERS:
            continue
        walk = walk_round(one.line.contour)
        known = next((group for way, group in kinds if is_copy(way, walk)), None)
        if known is None:
            kinds.append((walk, [one]))
        else:
            known.append(one)
    pairs = [
        (here[0], there[0])
        for number, (way, here) in enumerate(kinds)
        for other, there in kinds[number + 1 :]
        if is_copy(walked_back(way), other)
    ]
    for one, other in pairs:
        (x, y), (u, v) = one.place_mm, other.place_mm
        yield finding(
            "TRAY-042",
            Severity.NOTE,
            (tray.id,),
            point_mm=(round(x, 3), round(y, 3)),
            cause=f"mirrored {tray.id}",
            count=len(pairs),
            place=f"({x:.1f}, {y:.1f})",
            other=f"({u:.1f}, {v:.1f})",
        )


def walk_round(contour: Contour) -> Way:
    """The walk round a closed contour, counter-clockwise.

    Parameters
    ----------
    contour
        A closed contour.

    Examples
    --------
    >>> square = Contour.polygon(((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)))
    >>> {tuple(round(number, 3) for number in step) for step in walk_round(square)}
    {(2.0, 0.0, 1.571)}
    """
    edges = (contour if contour.signed_area_mm2 > 0.0 else contour.turned_back()).edges
    found = []
    for here, there in zip(edges, (*edges[1:], edges[0]), strict=True):
        leaving = _heading(here.start_mm, here.end_mm) + here.turn_rad / 2.0
        entering = _heading(there.start_mm, there.end_mm) - there.turn_rad / 2.0
        found.append((here.chord_mm, here.turn_rad, math.remainder(entering - leaving, 2.0 * math.pi)))
    return tuple(found)


def _heading(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Direction from one point to another, radians."""
    return math.atan2(end[1] - start[1], end[0] - start[0])


def walked_back(way: Way) -> Way:
    """The walk round the mirror image of a loop.

    Parameters
    ----------
    way
        The walk round the loop.
    """
    back = way[::-1]
    corners = [angle for _, _, angle in back]
    return tuple(
        (length, turn, angle) for (length, turn, _), angle in zip(back, (*corners[1:], corners[0]), strict=True)
    )


def is_copy(one: Way, other: Way) -> bool:
    """True if two walks are the same from some corner on, to 0.01 mm an edge.

    Parameters
    ----------
    one, other
        Walks round two loops.
    """
    if len(one) != len(other) or abs(sum(each[0] for each in one) - sum(each[0] for each in other)) > (
        DRAWN_MM * len(one)
    ):
        return False
    return any(
        all(_alike(a, b) for a, b in zip(one, (*other[start:], *other[:start]), strict=True))
        for start in range(len(other))
    )


def _alike(here: tuple[float, float, float], there: tuple[float, float, float]) -> bool:
    """True if two edges and the corners behind them are the same; an angle counts by what it moves the edge's end."""
    lever_mm = max(min(here[0], there[0]), DRAWN_MM)
    turned = max(abs(here[1] - there[1]), abs(math.remainder(here[2] - there[2], 2.0 * math.pi)))
    return abs(here[0] - there[0]) <= DRAWN_MM and turned * lever_mm <= 2.0 * DRAWN_MM
