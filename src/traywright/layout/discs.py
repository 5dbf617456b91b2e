"""Equal discs in a rectangle: their centres are pressed apart from many starts, and the nearest miss is finished."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SAME_MM, SNAP_MM, TIE_RATIO
from traywright.layout.offer import Effort
from traywright.layout.place import refuse_lengths

Spots = NDArray[np.float64]

RESERVE_MM = 1.5 * SNAP_MM
"""Looked for beyond the distance needed: rounding both centres takes at most 1.42 snap steps off it."""
PRESS_RATIO = 1.003
"""Distance to which discs are pressed over the one needed: close layouts then touch."""  # source: own trials
NEAR_RATIO = 0.001
"""Energy a disc, in squared distances, up to which a layout is worth finishing."""  # source: own trials
NUDGE_RATIO = 0.02
"""How far each disc of a start is moved at random, in distances."""  # source: own trials
STEPS, PROGRAMS = 200, 30
"""Steps of one pressing and linear programs of one finish at most."""  # source: own trials
LEAST_GAIN_RATIO = 0.05
"""Share of the gain that a program promised below which the next one moves less far."""  # source: own trials
LOADED_SHARE, WIDEST_SHARE = 0.6, 0.6
"""Share of moves that take the most loaded disc, and of these that take it to the widest hole."""  # source: own trials
HOLES = 4
"""Holes between which a move chooses."""  # source: own trials
PAIRS_A_ROUND, TRIES_A_ROUND = 20_000, 20
"""Tries in one round of effort: so many, fewer where discs are many."""  # source: own timing


class _Room(NamedTuple):
    """The rectangle of the centres from its own corner, and how far apart they must stand."""

    wide_mm: float
    deep_mm: float
    apart_mm: float

    def holds(self, count: int) -> bool:
        """False if Oler's inequality shows that so many centres cannot stand."""
        d = self.apart_mm
        area, round_ = self.wide_mm * self.deep_mm, 2.0 * (self.wide_mm + self.deep_mm)
        return count <= (2.0 * area / (math.sqrt(3.0) * d * d) + round_ / (2.0 * d) + 1.0) * (1.0 + TIE_RATIO)


class _Pressed(NamedTuple):
    """Centres after pressing and the energy that is left."""

    spots: Spots
    energy_mm2: float


def discs_in_rectangle(  # noqa: PLR0913  # reason: disc, spacing, container, count and effort are one question
    radius_mm: float,
    spacing_mm: float,
    width_mm: float,
    depth_mm: float,
    rims_mm: tuple[float, float, float, float],
    *,
    count: int,
    effort: Effort,
) -> tuple[tuple[float, float], ...]:
    """Centres of so many equal discs that all stand apart, sorted by y, x; empty if none were found.

    Parameters
    ----------
    radius_mm
        Radius of each disc, above 0.
    spacing_mm
        Least distance of two discs, 0 or more.
    width_mm, depth_mm
        Container along x and y, above 0; its lower left corner is the origin.
    rims_mm
        Least distance to the left, front, right and back side, 0 or more.
    count
        Discs wanted, 1 or more.
    effort
        How long to look; more discs get fewer tries.

    Raises
    ------
    LayoutError
        LAY-001 if a length is not finite or not in its range.

    Notes
    -----
    The centres lie in a rectangle of their own. From rows and grids, then from random centres, the sum of squared
    overlaps is brought down (L-BFGS-B). A layout of little energy is finished by linear programs that raise the least
    distance: along the present line of two centres a distance is never above the true one, so that each program's
    answer stands and none is worse. A layout that does not come to stand hops on: its most loaded disc, or any, is
    taken to one of the widest holes and all are pressed again; what gains is kept. Empty is no evidence that there is
    no layout, except where Oler's inequality excludes the count.

    References
    ----------
    Oler 1961, *An inequality in the geometry of numbers*, Acta Mathematica 105 (from memory, unverified). Hopping
    from minimum to minimum: Wales & Doye 1997, J. Phys. Chem. A 101 (from memory).

    Examples
    --------
    >>> discs_in_rectangle(10, 2, 44, 24, (1, 2, 1, 2), count=2, effort=Effort())
    ((11.0, 12.0), (33.0, 12.0))
    """
    left, front, right, back = rims_mm
    refuse_lengths(
        {"radius_mm": radius_mm, "width_mm": width_mm, "depth_mm": depth_mm, "count": float(count)},
        {"spacing_mm": spacing_mm, "left_mm": left, "front_mm": front, "right_mm": right, "back_mm": back},
    )
    corner = (_up(left + radius_mm), _up(front + radius_mm))
    size = (-_up(right + radius_mm - width_mm) - corner[0], -_up(back + radius_mm - depth_mm) - corner[1])
    if min(size) < -SAME_MM:
        return ()
    room = _Room(max(0.0, size[0]), max(0.0, size[1]), 2.0 * radius_mm + spacing_mm)
    found = _searched(room, count, effort) if room.holds(count) else None
    if found is None:
        return ()
    spots = np.round(_snapped(found) + np.array(corner), 6) + 0.0
    return tuple(sorted(((float(x), float(y)) for x, y in spots), key=lambda spot: (spot[1], spot[0])))


def _up(length_mm: float) -> float:
    """The next snap step that is not below a length."""
    return math.ceil(length_mm / SNAP_MM - SAME_MM) * SNAP_MM


def _snapped(spots: Spots) -> Spots:
    return np.round(spots / SNAP_MM) * SNAP_MM


def _searched(room: _Room, count: int, effort: Effort) -> Spots | None:
    """Centres that stand, or nothing within the effort."""
    if count == 1:
        return np.array([[room.wide_mm / 2.0, room.deep_mm / 2.0]])
    search = _Search(room, count, effort.seed)
    tries = effort.rounds * min(TRIES_A_ROUND, max(1, PAIRS_A_ROUND // count**2))
    starts = search.starts()
    while search.tried < tries:
        pressed = search.pressed(next(starts))
        misses = 0
        while True:
            found = search.finished(pressed)
            if found is not None:
                return found
            hopped, misses = search.hopped(pressed, misses, tries)
            if hopped is None:
                break
            pressed = hopped
    return None


class _Search:
    """One question with its draws: starts, pressing, finish and hops."""

    __slots__ = ("_count", "_draw", "_first", "_lattice", "_room", "_second", "tried")

    def __init__(self, room: _Room, count: int, seed: int) -> None:
        self._room, self._count = room, count
        self._draw = np.random.default_rng(seed)
        self._first, self._second = np.triu_indices(count, 1)
        across = [max(1, math.ceil(3.0 * side / room.apart_mm)) for side in (room.wide_mm, room.deep_mm)]
        axes = np.linspace(0.0, room.wide_mm, across[0] + 1), np.linspace(0.0, room.deep_mm, across[1] + 1)
        self._lattice: Spots = np.stack(np.meshgrid(*axes, indexing="ij"), -1).reshape(-1, 2)
        self.tried = 0

    # -- starts -------------------------------------------------------------------------------------------------

    def starts(self) -> Iterator[Spots]:
        """Rows shifted, rows of one less, and grids along both axes; then random centres without end."""
        size = np.array(self._room[:2])
        for along in (0, 1):
            long, across = size[along], size[1 - along]
            middle = math.sqrt(self._count * across / long) if long > SNAP_MM else float(self._count)
            for rows in range(max(1, math.ceil(middle - 2.5)), math.floor(middle + 2.5) + 1):
                for shares in self._rows(rows):
                    spots = shares * np.array([long, across])
                    yield self._nudged(self._filled(spots[:, ::-1] if along else spots))
        while True:
            yield self._draw.random((self._count, 2)) * size

    def _rows(self, rows: int) -> Iterator[Spots]:
        """Shares of both sides: rows shifted by half a pitch, every second one short, and a plain grid."""
        heights = [row / (rows - 1) if rows > 1 else 0.5 for row in range(rows)]
        full = math.ceil(self._count / rows)
        short = math.ceil((self._count + rows // 2) / rows)
        shifted = [(k + row % 2 / 2.0) / max(1.0, full - 0.5) for row in range(rows) for k in range(full)]
        yield np.column_stack([shifted, np.repeat(heights, full)])
        last = max(1, short - 1)
        pairs = [
            ((k + row % 2 / 2.0) / last, heights[row]) for row in range(rows) for k in range(max(1, short - row % 2))
        ]
        yield np.array(pairs)
        yield np.column_stack(
            [[k / max(1, full - 1) for _ in range(rows) for k in range(full)], np.repeat(heights, full)]
        )

    def _filled(self, spots: Spots) -> Spots:
        """As many as wanted: random ones more, or some dropped at random."""
        missing = self._count - len(spots)
        if missing > 0:
            return np.vstack([spots, self._draw.random((missing, 2)) * np.array(self._room[:2])])
        kept = np.sort(self._draw.permutation(len(spots))[: self._count])
        return np.asarray(spots[kept])

    def _nudged(self, spots: Spots) -> Spots:
        off = self._draw.normal(size=spots.shape) * NUDGE_RATIO * self._room.apart_mm
        return np.clip(spots + off, 0.0, np.array(self._room[:2]))

    # -- pressing -----------------------------------------------------------------------------------------------

    def pressed(self, spots: Spots) -> _Pressed:
        """The centres moved to where the sum of squared overlaps is least nearby."""
        from scipy.optimize import Bounds, minimize  # noqa: PLC0415  # reason: heavy, waits until discs are laid out

        self.tried += 1
        count = self._count
        most = np.repeat(self._room[:2], count)
        told = minimize(
            self._energy,
            np.concatenate([spots[:, 0], spots[:, 1]]),
            jac=True,
            method="L-BFGS-B",
            bounds=Bounds(np.zeros(2 * count), most),
            options={"maxiter": STEPS, "ftol": TIE_RATIO * TIE_RATIO, "gtol": TIE_RATIO},
        )
        return _Pressed(told.x.reshape(2, count).T, float(told.fun))

    def _energy(self, flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        """Sum of squared overlaps of all pairs, and its slope."""
        count, reach = self._count, PRESS_RATIO * self._room.apart_mm
        x, y = flat[:count], flat[count:]
        dx, dy = x[self._first] - x[self._second], y[self._first] - y[self._second]
        squares = dx * dx + dy * dy
        near = np.flatnonzero(squares < reach * reach)
        far = np.sqrt(np.maximum(squares[near], SNAP_MM * SNAP_MM))
        over = reach - far
        pull = -2.0 * over / far
        first, second = self._first[near], self._second[near]
        slope = [
            np.bincount(first, pull * off[near], count) - np.bincount(second, pull * off[near], count)
            for off in (dx, dy)
        ]
        return float(over @ over), np.concatenate(slope)

    # -- finish -------------------------------------------------------------------------------------------------

    def finished(self, pressed: _Pressed) -> Spots | None:
        """The centres if they stand, or as linear programs spread them, or nothing."""
        if self._stands(pressed.spots):
            return pressed.spots
        if pressed.energy_mm2 > NEAR_RATIO * self._count * self._room.apart_mm**2:
            return None
        spots, goal = pressed.spots, self._room.apart_mm + RESERVE_MM
        least, reach = float(self._lengths(spots).min()), 0.1 * goal
        for _ in range(PROGRAMS):
            told = self._spread(spots, reach, goal)
            if told is None:
                break
            moved, promised = told
            reached, hoped = float(self._lengths(moved).min()), promised - least
            if reached < least + LEAST_GAIN_RATIO * hoped:
                reach /= 3.0
            if reached > least:
                spots, least = moved, reached
            if least >= goal - SAME_MM or hoped < RESERVE_MM / 10.0:
                break
        return spots if self._stands(spots) else None

    def _stands(self, spots: Spots) -> bool:
        return bool(self._lengths(_snapped(spots)).min() >= self._room.apart_mm - SAME_MM)

    def _lengths(self, spots: Spots) -> NDArray[np.float64]:
        off = spots[self._first] - spots[self._second]
        return np.asarray(np.hypot(off[:, 0], off[:, 1]))

    def _spread(self, spots: Spots, reach_mm: float, goal_mm: float) -> tuple[Spots, float] | None:
        """The centres moved so that the least distance, along the present lines, is greatest; and that distance."""
        from scipy.optimize import linprog  # noqa: PLC0415  # reason: heavy, waits until discs are laid out
        from scipy.sparse import coo_array  # noqa: PLC0415

        lengths = self._lengths(spots)
        near = np.flatnonzero(lengths < goal_mm + 2.0 * math.sqrt(2.0) * reach_mm)
        a, b = self._first[near], self._second[near]
        way = (spots[a] - spots[b]) / np.maximum(lengths[near], SNAP_MM)[:, None]
        count, rows = self._count, np.arange(len(near))
        values = np.concatenate([-way[:, 0], way[:, 0], -way[:, 1], way[:, 1], np.ones(len(near))])
        columns = np.concatenate([a, b, a + count, b + count, np.full(len(near), 2 * count)])
        matrix = coo_array((values, (np.tile(rows, 5), columns)), shape=(len(near), 2 * count + 1))
        flat, most = spots.T.ravel(), np.repeat(self._room[:2], count)
        bounds = np.column_stack([np.maximum(-flat, -reach_mm), np.minimum(most - flat, reach_mm)])
        told = linprog(
            np.append(np.zeros(2 * count), -1.0),
            A_ub=matrix.tocsr(),
            b_ub=lengths[near],
            bounds=np.vstack([bounds, [0.0, goal_mm]]),
            method="highs-ds",
        )
        if told.status != 0:
            return None
        moved = np.clip(flat + told.x[:-1], 0.0, most)
        return moved.reshape(2, count).T, float(told.x[-1])

    # -- hops ---------------------------------------------------------------------------------------------------

    def hopped(self, pressed: _Pressed, misses: int, tries: int) -> tuple[_Pressed | None, int]:
        """A layout of less energy after one disc was taken elsewhere; nothing after too many misses."""
        while misses < 8 + self._count and self.tried < tries:
            found = self.pressed(self._moved(pressed.spots))
            if found.energy_mm2 < pressed.energy_mm2 * (1.0 - SNAP_MM * SNAP_MM):
                return found, 0
            misses += 1
        return None, misses

    def _moved(self, spots: Spots) -> Spots:
        """The centres with one disc in one of the widest holes between the others."""
        loaded = self._draw.random() < LOADED_SHARE
        taken = self._most_loaded(spots) if loaded else int(self._draw.integers(self._count))
        others = np.delete(spots, taken, axis=0)
        room = ((self._lattice[:, None, :] - others[None]) ** 2).sum(-1).min(1)
        apart = self._room.apart_mm
        room[((self._lattice - spots[taken]) ** 2).sum(1) < (0.5 * apart) ** 2] = 0.0
        holes = []
        for _ in range(HOLES):
            holes.append(int(room.argmax()))
            room[((self._lattice - self._lattice[holes[-1]]) ** 2).sum(1) < (0.4 * apart) ** 2] = 0.0
        widest = loaded and self._draw.random() < WIDEST_SHARE
        moved = spots.copy()
        moved[taken] = self._lattice[holes[0 if widest else int(self._draw.integers(HOLES))]]
        return moved

    def _most_loaded(self, spots: Spots) -> int:
        over = np.maximum(0.0, PRESS_RATIO * self._room.apart_mm - self._lengths(spots)) ** 2
        load = np.bincount(self._first, over, self._count) + np.bincount(self._second, over, self._count)
        return int((load * (0.5 + self._draw.random(self._count))).argmax())
