"""Level lines through the sections of a tray: where foam begins and ends along them, exactly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Region
from traywright.protection.surroundings import Slab
from traywright.trays import Flat, Tray, section_at

Array = NDArray[np.float64]


class Scans:
    """Lines through the sections of a pack's trays, each worked out once and then remembered.

    Parameters
    ----------
    slabs
        The stack; its trays are only read.
    """

    __slots__ = ("_edges", "_levels", "_lines")

    def __init__(self, slabs: tuple[Slab, ...]) -> None:
        self._levels = {one.bottom_mm: levels_mm(one.tray) for one in slabs if one.tray is not None}
        self._edges: dict[tuple[float, float], Array] = {}
        self._lines: dict[tuple[float, float, int, float], Array] = {}

    def foam_mm(self, slab: Slab, axis: int, sign: int, spots_mm: Array) -> tuple[Array, Array]:
        """Where foam begins and ends along an axis from each spot, two arrays (spots, pieces); no piece: infinite.

        Distances are negative behind the spot.

        Parameters
        ----------
        slab
            A slab of the stack that holds the spots' heights.
        axis, sign
            0 for x, 1 for y, and the way along it.
        spots_mm
            Rows x, y, z in the pack's frame.
        """
        if slab.tray is None:
            return np.zeros((spots_mm.shape[0], 0)), np.zeros((spots_mm.shape[0], 0))
        levels = self._level_mm(slab, spots_mm[:, 2] - slab.bottom_mm)
        pairs, place = np.unique(np.stack([levels, spots_mm[:, 1 - axis]]), axis=1, return_inverse=True)
        lines = [self._line(slab, slab.tray, float(level), axis, at_mm=float(at)) for level, at in pairs.T]
        crossed = np.full((len(lines), max((one.size for one in lines), default=0)), np.inf)
        for row, one in enumerate(lines):
            crossed[row, : one.size] = one
        away = (crossed[place.reshape(-1)] - spots_mm[:, axis, None]) * sign
        first, last = away[:, 0::2], away[:, 1::2]
        return (first, last) if sign > 0 else (last, first)

    def _level_mm(self, slab: Slab, heights_mm: Array) -> Array:
        """Heights with the same sections: midway between two floors where all are flat, else the heights."""
        levels = self._levels[slab.bottom_mm]
        if not levels:
            return heights_mm
        steps = np.array(levels)
        place = np.clip(np.searchsorted(steps, heights_mm, side="right"), 1, steps.size - 1)
        return np.asarray((steps[place - 1] + steps[place]) / 2.0)

    def _line(self, slab: Slab, tray: Tray, level_mm: float, axis: int, *, at_mm: float) -> Array:
        """Rising positions along an axis at which a line enters and leaves the foam of a section."""
        section = (slab.bottom_mm, level_mm)
        line = (*section, axis, at_mm)
        if line not in self._lines:
            if section not in self._edges:
                self._edges[section] = edges_of(section_at(tray, level_mm))
            self._lines[line] = crossings_mm(self._edges[section], axis, at_mm)
        return self._lines[line]


def levels_mm(tray: Tray) -> tuple[float, ...]:
    """Heights at which the section of a tray changes; empty where a curved floor changes it all the way."""
    if not all(isinstance(one.floor, Flat) for one in tray.features):
        return ()
    top = tray.thickness_mm
    return tuple(sorted({0.0, top, *(min(max(one.floor.lowest_mm, 0.0), top) for one in tray.features)}))


def edges_of(region: Region) -> Array:
    """All edges of a region."""
    rings = [np.array(ring) for shell, holes in region.rings() for ring in (shell, *holes)]
    found = [np.concatenate([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings]
    return np.concatenate(found) if found else np.zeros((0, 4))


def crossings_mm(edges: Array, axis: int, at_mm: float) -> Array:
    """Rising positions at which a level line crosses edges; an even number, entering first.

    Parameters
    ----------
    edges
        Rows x0, y0, x1, y1 of closed rings, mm.
    axis
        0 for a line along x, 1 for one along y.
    at_mm
        The line's place on the other axis.

    Examples
    --------
    >>> edges = edges_of(Region.rectangle(1, 0, 5, 4))
    >>> crossings_mm(edges, 0, 2.0).tolist()
    [1.0, 5.0]
    """
    across, along = edges[:, [1 - axis, 3 - axis]], edges[:, [axis, 2 + axis]]
    met = (across[:, 0] <= at_mm) != (across[:, 1] <= at_mm)
    (u0, u1), (p0, p1) = across[met].T, along[met].T
    return np.sort(p0 + (at_mm - u0) / (u1 - u0) * (p1 - p0))
