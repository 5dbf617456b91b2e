"""A lattice made denser by steps: linear limits about where it is, the best step within them, out of what is barred.

Sequential linear programming: each round asks for the step of least area that keeps all straight limits near by.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM, TIE_RATIO
from traywright.layout._kernels_lattice import best_step, limits, near_copies, ways_out

Floats = NDArray[np.float64]
ROUNDS = 80
"""Rounds at most."""  # source: own timing; a circle of 192 corners takes some 40
OUT_ROUNDS = 60
"""Scalings at most until nothing overlaps."""  # source: own timing


class Ground(NamedTuple):
    """Edges of what bars equal copies and half-turned ones, how far each reaches, and a touch, mm."""

    same: Floats
    half: Floats
    same_reach_mm: float
    half_reach_mm: float
    touch_mm: float


def ground_of(same: Floats, half: Floats) -> Ground:
    """The ground of a search from the edges of both regions."""
    reach = [float(np.hypot(one[:, 0], one[:, 1]).max()) if len(one) else 0.0 for one in (same, half)]
    return Ground(same, half, reach[0], reach[1], max(reach) * TIE_RATIO)


def area_mm2(lattice: Floats) -> float:
    """Area of one cell of a lattice: two vectors and the second copy."""
    return float(lattice[0, 0] * lattice[1, 1] - lattice[0, 1] * lattice[1, 0])


def reduced(lattice: Floats) -> Floats:
    """The same lattice by its two shortest vectors (Gauss), counter-clockwise, the second copy within half of both."""
    u, v, second = (one.copy() for one in lattice)
    if u @ u > v @ v:
        u, v = v, u
    while True:
        v = v - np.round((u @ v) / (u @ u)) * u
        if v @ v >= (u @ u) * (1.0 - TIE_RATIO):
            break
        u, v = v, u
    if u[0] * v[1] - u[1] * v[0] < 0.0:
        v = -v
    shares = np.linalg.solve(np.array([u, v]).T, second)
    return np.array([u, v, second - np.round(shares) @ np.array([u, v])])


def neighbours(lattice: Floats, ground: Ground, spare_mm: float) -> tuple[Floats, Floats]:
    """Multiples (of u, v and the second) of the copies near by: equal ones, of each pair one; half-turned ones."""
    same = near_copies(lattice, 0, ground.same_reach_mm + spare_mm)
    if not len(ground.half):
        return same, np.empty((0, 3))
    return same, near_copies(lattice, 1, ground.half_reach_mm + spare_mm)


def freed(lattice: Floats, ground: Ground) -> Floats | None:
    """The lattice scaled up until no two copies overlap; nothing if it does not get there soon."""
    now = lattice
    for _ in range(OUT_ROUNDS):
        same, half = neighbours(now, ground, 0.0)
        out = max(
            float(ways_out(one @ now, edges, ground.touch_mm).max(initial=1.0))
            for one, edges in ((same, ground.same), (half, ground.half))
        )
        if out <= 1.0:
            return now
        now = now * out
    return None


def _asked(lattice: Floats, ground: Ground, trust_mm: float, lean: int) -> tuple[Floats, Floats]:
    """Rows over the six coordinates and the room of each straight limit near by."""
    tables, rooms = [np.empty((0, 6))], [np.empty(0)]
    counts = neighbours(lattice, ground, 4.0 * trust_mm)
    for rows, edges in zip(counts, (ground.same, ground.half), strict=True):
        if not len(rows):
            continue
        reach = 1.5 * trust_mm * float(np.abs(rows).sum(axis=1).max())
        found = limits(rows @ lattice, edges, reach, ground.touch_mm, lean)
        multiples = rows[found[:, 0].astype(np.int64)]
        # a limit farther off than the point can move with this step is none
        near = found[:, 3] <= 1.5 * trust_mm * np.abs(multiples).sum(axis=1)
        found, multiples = found[near], multiples[near]
        tables.append(-(multiples[:, :, None] * found[:, None, 1:3]).reshape(-1, 6))
        rooms.append(found[:, 3])
    return np.ascontiguousarray(np.vstack(tables)), np.concatenate(rooms)


def _stepped(lattice: Floats, ground: Ground, trust_mm: float, lean: int) -> Floats | None:
    """The lattice after the best step within its limits, freed again."""
    (ux, uy), (vx, vy) = lattice[0], lattice[1]
    gain = -np.array([vy, -vx, -uy, ux, 0.0, 0.0]) / np.hypot(*lattice[1])
    rows, room = _asked(lattice, ground, trust_mm, lean)
    moved = lattice + best_step(gain, rows, room, trust_mm).reshape(3, 2)
    if area_mm2(moved) <= 0.0:
        return None
    return freed(moved, ground)


def polished(lattice: Floats, ground: Ground, trust_mm: float, rounds: int = ROUNDS) -> Floats | None:
    """A lattice at least as dense, without overlap; nothing if the start cannot be freed.

    Parameters
    ----------
    lattice
        Three rows: both vectors, the second copy, mm; counter-clockwise.
    ground
        What is barred.
    trust_mm
        How far a coordinate may move in the first round.
    rounds
        Rounds at most.
    """
    best = freed(reduced(lattice), ground)
    lean, stale = 0, 0
    if best is None:
        return None
    for _ in range(rounds):
        best = reduced(best)
        tried = _stepped(best, ground, trust_mm, lean)
        if tried is not None and area_mm2(tried) < area_mm2(best) * (1.0 - TIE_RATIO):
            small = area_mm2(tried) > area_mm2(best) * (1.0 - TIE_RATIO * 1000.0)
            best, stale = tried, stale + 1 if small else 0
        else:
            stale += 1
            lean = (lean + 1) % 3
            trust_mm /= 2.0
        if trust_mm < SNAP_MM * TIE_RATIO * 1000.0 or stale > 12:
            break
    return best
