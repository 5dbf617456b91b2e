"""The same question of equal rectangles in small whole numbers, and the way back from its layout."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from traywright.layout._bounds import Spot, Steps, tight, upper_bound

Wholes = NDArray[np.int64]

LONGEST = 64
"""Longest side of a rectangle that is tried as a small number."""  # source: own timing, about 3 ms
BEST_OF = 40
"""Small questions whose bounds are compared."""  # source: own timing; the shortest sides come first


def small_questions(steps: Steps) -> tuple[Steps, ...]:
    """The question itself, tight, and shorter ones that have the same answer; shortest sides first.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.

    Notes
    -----
    Only rectangles in a row along a side tell how much of it is used: m of one way and n of the other. Where two small
    lengths let the same pairs (m, n) into a small side as the true lengths into the true side, for both sides, each
    layout of one question is one of the other: keep which rectangle is beside or behind which, and push all left and
    front. The small side is the largest sum of a pair that goes in; it is right if every pair that does not go in
    makes more.

    Examples
    --------
    >>> small_questions(Steps(width=1000, depth=1000, item_width=599, item_depth=399))[0]
    Steps(width=5, depth=5, item_width=3, item_depth=2)
    """
    lengths = np.arange(1, LONGEST + 1, dtype=np.int64)
    a, b = lengths[:, None], lengths[None, :]
    same = np.ones((LONGEST, LONGEST), dtype=bool)
    sides = []
    for side in (steps.width, steps.depth):
        firsts = np.arange(side // steps.item_width + 1, dtype=np.int64)[:, None, None]
        seconds = (side - firsts * steps.item_width) // steps.item_depth
        goes_in = (firsts * a + seconds * b).max(axis=0)
        too_much = np.minimum((firsts * a + (seconds + 1) * b).min(axis=0), (firsts[-1, 0, 0] + 1) * a)
        same &= too_much > goes_in
        sides.append(goes_in)
    found = sorted((int(i + j), int(i), int(j)) for i, j in zip(*np.nonzero(same), strict=True))[:BEST_OF]
    small = [
        Steps(width=int(sides[0][i, j]), depth=int(sides[1][i, j]), item_width=i + 1, item_depth=j + 1)
        for _, i, j in found
    ]
    return (*small, tight(steps))


def small_question(steps: Steps) -> tuple[Steps, int]:
    """The short question with the least bound, and that bound.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.
    """
    bounds = [(upper_bound(one), one) for one in small_questions(steps)]
    least, small = min(bounds, key=lambda pair: pair[0])
    return small, least


def pushed(spots: tuple[Spot, ...], small: Steps, steps: Steps) -> tuple[Spot, ...]:
    """The layout of the small question with the true lengths, all pushed left and front; sorted.

    Parameters
    ----------
    spots
        Where the rectangles stand in the small question.
    small, steps
        The small question and the true one.
    """
    order = sorted(spots)
    size = np.array(_sizes(order, small), dtype=np.int64).reshape(-1, 2)
    true = np.array(_sizes(order, steps), dtype=np.int64).reshape(-1, 2)
    low = np.array([spot[:2] for spot in order], dtype=np.int64).reshape(-1, 2)
    beside = low[:, None, 0] + size[:, None, 0] <= low[None, :, 0]
    behind = low[:, None, 1] + size[:, None, 1] <= low[None, :, 1]
    x = _ends(beside, low[:, 0], true[:, 0])
    y = _ends(behind & ~beside & ~beside.T, low[:, 1], true[:, 1])
    return tuple(sorted((int(u), int(v), spot[2]) for u, v, spot in zip(x, y, order, strict=True)))


def _sizes(spots: list[Spot], steps: Steps) -> list[tuple[int, int]]:
    a, b = steps.item_width, steps.item_depth
    return [(b, a) if turned else (a, b) for _, _, turned in spots]


def _ends(after: NDArray[np.bool_], low: Wholes, length: Wholes) -> Wholes:
    """Where each begins, at the end of the last one it comes after."""
    begins = np.zeros(len(low), dtype=np.int64)
    for number in np.argsort(low, kind="stable"):
        before = after[:, number]
        if before.any():
            begins[number] = (begins[before] + length[before]).max()
    return begins
