"""Guided separation: one copy more than stands is put in, and all that overlap are moved until none does."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from traywright.layout._kernels_apart import separated
from traywright.layout.no_fit import Raster
from traywright.layout.row_states import Steps

SWEEPS = (300, 1000, 3000)
"""Sweeps of one try after the other: most that can be had comes quickly, some only late."""  # source: own trials
STANDING_EACH = 3
"""Every so many tries begin with what stands; the others with nothing of it."""  # source: own trials
PLACES_A_ROUND = 1_000_000
"""Places weighed in one round of an effort."""  # source: own timing, 0.1 to 0.3 s on one core
TAKEN_SHARE = 3
"""Up to one copy in so many is taken out of a standing layout before it is tried again."""  # source: own trials

Copies = NDArray[np.int64]


class Apart:
    """Moves copies apart on one raster.

    Parameters
    ----------
    raster
        The question.
    first, last
        For each copy's kind, by number, its poses: from ``first[kind]`` to ``last[kind]`` - 1.
    """

    __slots__ = ("_depth", "_first", "_ground", "_kind_of", "_last", "_open", "_raster")

    def __init__(self, raster: Raster, first: Sequence[int], last: Sequence[int]) -> None:
        self._raster, self._first, self._last = raster, tuple(first), tuple(last)
        self._depth = _depths(raster)
        self._ground = _ground(raster)
        roomy = (raster.places[:, 0] <= raster.places[:, 1]) & (raster.places[:, 2] <= raster.places[:, 3])
        self._open = [
            [pose for pose in range(begin, end) if roomy[pose]] for begin, end in zip(first, last, strict=True)
        ]
        self._kind_of = {
            pose: kind for kind, (begin, end) in enumerate(zip(first, last, strict=True)) for pose in range(begin, end)
        }

    def tries(
        self, standing: Sequence[Steps], kinds: Sequence[int], places: int, seed: int
    ) -> Iterator[tuple[tuple[Steps, ...], float, int]]:
        """Layouts of one copy of each kind listed, the sum of their overlaps in mm, and the places weighed for each.

        Parameters
        ----------
        standing
            Copies that stand now: a start for some of the tries.
        kinds
            The kind of each copy wanted.
        places
            Places to be weighed at most, nearly.
        seed
            Seed of the draws.
        """
        if not all(self._open[kind] for kind in kinds):
            return
        draws = np.random.default_rng(seed)
        for number in itertools.count():
            start = self._start(standing, kinds, number, draws)
            drawn = int(draws.integers(1 << 30))
            found, left_mm, weighed = self._separated(start, SWEEPS[number % len(SWEEPS)], places, drawn)
            yield found, left_mm, weighed
            places -= max(1, weighed)
            if places <= 0:
                return

    def moved(self, start: Sequence[Steps], sweeps: int, seed: int) -> tuple[Steps, ...]:
        """The copies moved apart from a start, each in a turn of its kind, or nothing if some still overlap."""
        found, left_mm, _ = self._separated(start, sweeps, PLACES_A_ROUND, seed)
        return found if left_mm <= 0.0 else ()

    def _separated(
        self, start: Sequence[Steps], sweeps: int, places: int, seed: int
    ) -> tuple[tuple[Steps, ...], float, int]:
        kinds = [self._kind_of[pose] for pose, _, _ in start]
        poses = np.array([(self._first[kind], self._last[kind]) for kind in kinds], dtype=np.int64)
        copies = np.array(start, dtype=np.int64)
        room = self._raster.places[copies[:, 0]]
        copies[:, 1:] = np.clip(copies[:, 1:], room[:, ::2], room[:, 1::2])
        found, left_mm, weighed = separated(
            self._depth, self._ground, self._raster.places, poses, copies, sweeps, places, seed
        )
        return tuple((int(a), int(x), int(y)) for a, x, y in found), float(left_mm), int(weighed)

    def _start(
        self, standing: Sequence[Steps], kinds: Sequence[int], number: int, draws: np.random.Generator
    ) -> list[Steps]:
        """Pose and first place of each copy: what stands, all or in part, or nothing of it; the rest anywhere."""
        kept = list(standing) if number % STANDING_EACH == 0 else []
        if number and kept:
            out = int(draws.integers(1, max(2, len(kept) // TAKEN_SHARE + 1)))
            kept = [kept[int(k)] for k in np.sort(draws.permutation(len(kept))[out:])]
        left = list(kinds)
        found = []
        for copy in kept:
            kind = self._kind_of[copy[0]]
            if kind in left:
                left.remove(kind)
                found.append(copy)
        for kind in left:
            pose = self._open[kind][int(draws.integers(len(self._open[kind])))]
            x0, x1, y0, y1 = (int(one) for one in self._raster.places[pose])
            found.append((pose, int(draws.integers(x0, x1 + 1)), int(draws.integers(y0, y1 + 1))))
        return found


def _depths(raster: Raster) -> NDArray[np.float32]:
    """How deep each pose at each offset overlaps each other, mm: the distance to the nearest free offset."""
    size = range(raster.maps.shape[0])
    shape = raster.maps.shape
    found = np.zeros(shape, dtype=np.float32)
    for a in size:
        for b in range(a, len(size)):
            # the border of the map is free, but the transform must see it so
            deep = distance_transform_edt(np.pad(raster.maps[a, b], 1))[1:-1, 1:-1] * raster.step_mm
            found[a, b] = deep
            found[b, a] = deep[::-1, ::-1]
    return found


def _ground(raster: Raster) -> NDArray[np.float32]:
    """How deep each pose at each of its places stands in a region that nothing may enter, mm."""
    if not raster.ground:
        return np.zeros((len(raster.places), 0, 0), dtype=np.float32)
    wide = max(one.shape[0] for one in raster.ground)
    deep = max(one.shape[1] for one in raster.ground)
    found = np.zeros((len(raster.ground), wide, deep), dtype=np.float32)
    for pose, marks in enumerate(raster.ground):
        if marks.size and not marks.all():
            found[pose, : marks.shape[0], : marks.shape[1]] = distance_transform_edt(marks) * raster.step_mm
        elif marks.size:
            found[pose, : marks.shape[0], : marks.shape[1]] = max(marks.shape) * raster.step_mm
    return found
