"""Copies put into what a layout leaves free, front left first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from traywright.layout._kernels_maps import taken_map
from traywright.layout.no_fit import Raster
from traywright.layout.row_states import Steps


def filled(raster: Raster, copies: Sequence[Steps], most: int) -> tuple[Steps, ...]:
    """The copies and as many more as find a free place, one after the other, up to ``most`` in all.

    Parameters
    ----------
    raster
        The question; copies may take any of its poses.
    copies
        Copies that stand.
    most
        Copies at which to end.
    """
    found = list(copies)
    taken = [_taken(raster, pose, found) for pose in range(raster.maps.shape[0])]
    while len(found) < most:
        free = [spot for pose, marks in enumerate(taken) if (spot := _first(raster, pose, marks)) is not None]
        if not free:
            break
        pose, x, y = min(free, key=lambda one: (one[2] + raster.ends[one[0], 3] / raster.step_mm, one[1], one[0]))
        found.append((pose, x, y))
        for other, marks in enumerate(taken):
            _take(raster, other, marks, (pose, x, y))
    return tuple(found)


def _first(raster: Raster, pose: int, taken: NDArray[np.bool_]) -> Steps | None:
    """The free place with the least y, then x."""
    lines = np.flatnonzero(~taken.all(axis=0))
    if not taken.size or not len(lines):
        return None
    y = int(lines[0])
    x = int(np.argmin(taken[:, y]))
    return pose, x + int(raster.places[pose, 0]), y + int(raster.places[pose, 2])


def _taken(raster: Raster, pose: int, copies: Sequence[Steps]) -> NDArray[np.bool_]:
    x0, x1, y0, y1 = raster.places[pose].tolist()
    marks = np.zeros((max(0, x1 - x0 + 1), max(0, y1 - y0 + 1)), dtype=np.bool_)
    if raster.ground:
        marks |= raster.ground[pose]
    for one in copies:
        _take(raster, pose, marks, one)
    return marks


def _take(raster: Raster, pose: int, taken: NDArray[np.bool_], copy: Steps) -> None:
    """Mark what one copy takes of a pose's places."""
    if taken.size:
        place = np.array([copy[1], copy[2]], dtype=np.int64)
        first = (int(raster.places[pose, 0]), int(raster.places[pose, 2]))
        taken_map(raster.maps[copy[0], pose], place, first[0], first[1], taken)
