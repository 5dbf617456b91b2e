"""How many shapes no layout can beat, by what each takes of the lines that cross it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SNAP_MM, TIE_RATIO

CUTS = 192
"""Lines beside those through corners at which a shape's chords are taken."""  # source: own timing
MOST_A_LINE = 100
"""Shapes on one line up to which lines are counted."""  # source: own timing
NO_BOUND = 10**9
"""What is told where lines bound nothing."""


class Profile(NamedTuple):
    """A shape cut by lines along x: the height of each slab and a chord that no line within the slab falls below."""

    heights_mm: NDArray[np.float64]
    chords_mm: NDArray[np.float64]


def profile(shape: BaseGeometry) -> Profile:
    """The slabs of a shape without holes from its front to its back.

    Examples
    --------
    >>> cut = profile(shapely.box(0, 0, 6, 4))
    >>> float(cut.heights_mm.sum()), float(cut.chords_mm.min())
    (4.0, 6.0)
    """
    rings = [shapely.get_coordinates(one.exterior) for one in shapely.get_parts(shapely.orient_polygons(shape))]
    starts = np.concatenate([ring[:-1] for ring in rings])
    ends = np.concatenate([ring[1:] for ring in rings])
    corners = np.unique(starts[:, 1])
    levels = np.unique(np.concatenate([corners, np.linspace(corners[0], corners[-1], CUTS)]))
    chords = np.zeros((2, len(levels) - 1))
    for (x, y), (x_end, y_end) in zip(starts.tolist(), ends.tolist(), strict=True):
        low, high = np.searchsorted(levels, (min(y, y_end), max(y, y_end)))
        if low < high:
            at = x + (x_end - x) * ((levels[low : high + 1] - y) / (y_end - y))
            signed = at if y_end > y else -at
            chords[0, low:high] += signed[:-1]
            chords[1, low:high] += signed[1:]
    return Profile(np.diff(levels), np.maximum(np.abs(chords).min(axis=0) - SNAP_MM * TIE_RATIO, 0.0))


def kits_by_lines(kinds: Sequence[tuple[int, Sequence[BaseGeometry]]], along_mm: float, across_mm: float) -> int:
    """Kits of shapes that share no area which no layout in a rectangle can beat.

    Parameters
    ----------
    kinds
        How many of each kind are in a kit, and its shape in each turn allowed, without holes.
    along_mm, across_mm
        The rectangle along x, in which lines run, and along y.

    Notes
    -----
    Of one line, no longer than the rectangle, each shape takes its chord, and no two chords share a length.

    By shares: let x be a chord over the line's length. For a whole k the largest whole number below (k + 1) x, summed
    over a line, is a whole number below k + 1, thus at most k. So the sum over all shapes of that number over k,
    taken along all lines across the rectangle, is at most its depth: the least such length that a kit takes bounds
    the kits. Where k + 1 chords do not go on a line, this counts what is left over at its end as lost.

    By counting: let each shape have a zone of height g or more in which its chord is longer than 1 / (q + 1) of the
    line. Lines g apart cross the zone of each shape, wherever it lies, and none crosses more than q of them.
    """
    cut = [(number, [profile(one) for one in turns]) for number, turns in kinds]
    size = sum(number for number, _ in cut)
    return min(
        _by_shares(cut, along_mm, across_mm), _by_counting([p for _, t in cut for p in t], along_mm, across_mm) // size
    )


Cut = Sequence[tuple[int, Sequence[Profile]]]


def _by_shares(cut: Cut, along_mm: float, across_mm: float) -> int:
    found = float(NO_BOUND)
    for k in range(1, MOST_A_LINE):
        taken = sum(number * min(_share_mm(one, along_mm, k) for one in turns) for number, turns in cut)
        if taken > 0.0:
            found = min(found, across_mm / taken)
    return int(found * (1.0 + TIE_RATIO))


def _share_mm(one: Profile, along_mm: float, k: int) -> float:
    """The length across that a shape takes for itself if a line takes k of its size."""
    whole = np.floor((k + 1) * one.chords_mm / along_mm - TIE_RATIO)
    return float((np.clip(whole, 0.0, k) / k * one.heights_mm).sum())


def _by_counting(cut: Sequence[Profile], along_mm: float, across_mm: float) -> int:
    found = NO_BOUND
    for q in range(1, MOST_A_LINE):
        zones = [_zone(one, along_mm / (q + 1) * (1.0 + TIE_RATIO)) for one in cut]
        least = min(high - low for low, high, _ in zones)
        if least > SNAP_MM:
            first = min(low for low, _, _ in zones)
            last = max(across_mm - (whole - high) for _, high, whole in zones)
            found = min(found, q * int((last - first) / least + TIE_RATIO))
    return found


def _zone(one: Profile, chord_mm: float) -> tuple[float, float, float]:
    """Where the longest run of slabs with longer chords begins and ends above the front, and the whole depth."""
    tops = np.concatenate([[0.0], np.cumsum(one.heights_mm)])
    long = np.concatenate([[False], one.chords_mm > chord_mm, [False]])
    turns = np.flatnonzero(long[1:] != long[:-1])
    starts, ends = tops[turns[::2]], tops[turns[1::2]]
    if not len(starts):
        return 0.0, 0.0, float(tops[-1])
    k = int(np.argmax(ends - starts))
    return float(starts[k]), float(ends[k]), float(tops[-1])
