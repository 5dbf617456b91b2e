"""The ring that stands for a spacing around a point, as the searches draw it: nowhere too near."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from traywright.layout.asked import Sides


def spacing_ring(sides: Sides, corners: int) -> NDArray[np.float64]:
    """Corners around what a spacing asks for about one point, counter-clockwise, shape (corners, 2), mm.

    Parameters
    ----------
    sides
        The spacing; four quarters of ellipses with its sides as half axes.
    corners
        Corners of the ring, a multiple of four: then it is exact along the axes, and elsewhere outside by the share
        1 / cos(pi / corners) - 1 of the spacing at most.

    Examples
    --------
    >>> spacing_ring(Sides.all_round(8.0), 32).max(axis=0).round(9).tolist()
    [8.0, 8.0]
    """
    angles = (np.arange(corners) + 0.5) * 2.0 * math.pi / corners
    x, y = np.cos(angles) / math.cos(math.pi / corners), np.sin(angles) / math.cos(math.pi / corners)
    wide = np.where(x > 0.0, sides.right_mm, sides.left_mm)
    deep = np.where(y > 0.0, sides.back_mm, sides.front_mm)
    return np.column_stack([x * wide, y * deep])
