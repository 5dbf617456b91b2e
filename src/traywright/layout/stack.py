"""Rows stacked to the most copies: the best sequence of rows, each as low as all rows under it let it stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from traywright.layout._kernels_rows import NOWHERE, row_lifts, stacks
from traywright.layout.no_fit import Raster
from traywright.layout.row_states import Row, Steps, as_arrays

TOPS = 40
"""Stacks of one count that are built up again, the lowest first."""  # source: own trials

Counts = NDArray[np.int64]


def best_stack(raster: Raster, rows: Sequence[Row], most: int) -> tuple[tuple[Steps, ...], ...]:
    """The rows of the stack with the most copies, from the front; empty if not one row goes in.

    Parameters
    ----------
    raster
        The question.
    rows
        Rows to choose from, each as often as wanted.
    most
        Copies that no stack needs to pass.
    """
    if not rows or most < 1:
        return ()
    group = _Group(raster, rows)
    between = group.between(group)
    best, under = stacks(group.counts, group.lowest, group.highest, between, most)
    found: list[tuple[int, int]] = []
    placed = 0
    for count, sequence in _sequences(best, under, group.counts):
        if count <= placed:
            break
        heights = _heights(sequence, group, between)
        copies = sum(len(rows[row].copies) for row, _ in heights)
        if copies > placed:
            found, placed = heights, copies
    return _risen([rows[row] for row, _ in found], [y for _, y in found])


def chained_stack(
    raster: Raster, groups: Sequence[Sequence[Row]], counts: Sequence[int]
) -> tuple[tuple[Steps, ...], ...]:
    """Rows of the first group with so many copies, on them rows of the second, and so on; empty if they do not go in.

    Parameters
    ----------
    raster
        The question.
    groups
        Rows to choose from, one group after the other.
    counts
        Copies wanted of each group.
    """
    if not all(groups):
        return ()
    links: list[tuple[Counts, Counts, Counts, int]] = []
    before: _Group | None = None
    for some, count in zip(groups, counts, strict=True):
        group = _Group(raster, some)
        first, last = group.lowest, np.full(len(some), -1, dtype=np.int64)
        if before is not None:
            over = links[-1][0][links[-1][3]][:, None] + before.between(group)
            last = over.argmin(axis=0)
            first = np.maximum(first, over.min(axis=0))
        best, under = stacks(group.counts, first, group.highest, group.between(group), count)
        if best[count].min() >= NOWHERE:
            return ()
        links.append((best, under, last, count))
        before = group
    rows = _unwound(groups, links)
    group = _Group(raster, rows)
    heights = [y for _, y in _heights(range(len(rows)), group, group.between(group))]
    return _risen(rows, heights) if len(heights) == len(rows) else ()


def _unwound(groups: Sequence[Sequence[Row]], links: Sequence[tuple[Counts, Counts, Counts, int]]) -> list[Row]:
    """The rows of a chain, from the bottom up."""
    found: list[Row] = []
    row = int(links[-1][0][links[-1][3]].argmin())
    for rows, (_, under, last, count) in zip(reversed(groups), reversed(links), strict=True):
        left = count
        while True:
            found.append(rows[row])
            below, left = int(under[left, row]), left - len(rows[row].copies)
            if below < 0:
                break
            row = below
        row = int(last[row])
    return found[::-1]


class _Group:
    """Rows as arrays, with the heights they may stand at."""

    __slots__ = ("_raster", "_rows", "counts", "highest", "lowest")

    def __init__(self, raster: Raster, rows: Sequence[Row]) -> None:
        self._raster, self._rows = raster, rows
        self.counts, copies = as_arrays(rows)
        within = np.arange(copies.shape[1])[None, :] < self.counts[:, None]
        lowest = np.where(within, raster.places[copies[:, :, 0], 2] - copies[:, :, 2], -NOWHERE)
        highest = np.where(within, raster.places[copies[:, :, 0], 3] - copies[:, :, 2], NOWHERE)
        self.lowest, self.highest = lowest.max(axis=1), highest.min(axis=1)

    def between(self, above: _Group) -> NDArray[np.int64]:
        """What each row of another group needs over each row of this."""
        size = len(self._rows)
        if above is self:
            return _between(self._raster, self._rows)
        return _between(self._raster, [*self._rows, *above._rows])[:size, size:]


def _between(raster: Raster, rows: Sequence[Row]) -> NDArray[np.int64]:
    counts, copies = as_arrays(rows)
    apart = row_lifts(raster.lift, counts, copies)
    low, high = (np.array([one.strip_steps[k] for one in rows]) for k in (0, 1))
    if np.isinf(low).all():
        return apart
    front, back = (np.array([one.ends_steps[k] for one in rows]) for k in (0, 1))
    over_slot = high[:, None] - np.minimum(front, low)[None, :]
    under_slot = np.maximum(back, high)[:, None] - low[None, :]
    by_slot = np.maximum(
        np.where(np.isfinite(over_slot), over_slot, 0.0), np.where(np.isfinite(under_slot), under_slot, 0.0)
    )
    return np.maximum(apart, np.ceil(by_slot).astype(np.int64))


def _sequences(best: Counts, under: Counts, counts: Counts) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Copies and rows of each stack from the bottom up, those with the most copies first, then the lowest."""
    for count in range(best.shape[0] - 1, 0, -1):
        tops = np.flatnonzero(best[count] < NOWHERE)
        for top in tops[np.argsort(best[count][tops], kind="stable")][:TOPS]:
            sequence, left, row = [], count, int(top)
            while row >= 0:
                sequence.append(row)
                row, left = int(under[left, row]), left - int(counts[row])
            yield count, tuple(sequence[::-1])


def _heights(sequence: Sequence[int], group: _Group, between: Counts) -> list[tuple[int, int]]:
    """Row and height of each row of a sequence, as low as all rows under it let it stand, while they go in."""
    found: list[tuple[int, int]] = []
    for row in sequence:
        y = max([int(group.lowest[row]), *(high + int(between[under, row]) for under, high in found)])
        if y > group.highest[row]:
            break
        found.append((row, y))
    return found


def _risen(rows: Sequence[Row], heights: Sequence[int]) -> tuple[tuple[Steps, ...], ...]:
    return tuple(tuple((pose, x, v + y) for pose, x, v in row.copies) for row, y in zip(rows, heights, strict=True))
