"""Starts for dense lattices: all short vectors for a row, rows on a raster, the best of each.

The shorter vector of a lattice of cell area D is no longer than sqrt(2 D / sqrt(3)) (Lagrange), so all rows that can
lie in a denser lattice are tried: each direction in a fan, each length up to that.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.layout._kernels_lattice import barred_rows, row_lattices, ways_out
from traywright.layout.barred import Barred, edges_of, eroded
from traywright.layout.lattice_polish import ROUNDS, Ground, area_mm2, ground_of, polished, reduced

Floats = NDArray[np.float64]
DIRECTIONS = 60
"""Directions of rows in half a turn."""  # source: own timing
LENGTHS = 14
"""Lengths of a row's pitch, from nothing to the longest."""  # source: own timing
CELLS = 36
"""Cells of the raster along the side of a square as large as a lattice's cell."""  # source: own timing
EROSION_RATIO = 0.35
"""What is barred is smaller on the raster by this share of a cell, as points see no edge."""  # source: own timing
STARTS = 96
"""Starts that are polished a little."""  # source: own timing
FINALISTS = 10
"""Starts that are polished to the end."""  # source: own timing
FIRST_ROUNDS = 8
"""Rounds of polishing before the finalists are chosen."""  # source: own timing
ALIKE_RATIO = 0.02
"""Starts whose vectors differ by less than this share of the cell's side are one."""  # source: own timing


class Raster(NamedTuple):
    """Edges of both regions, a little smaller, the step, and whether half-turned copies are asked for."""

    same: Floats
    half: Floats
    step_mm: float
    double: bool


def _pitches(ground: Ground, longest_mm: float) -> list[Floats]:
    """Vectors for a row that keep all their multiples free: each direction, the least length and longer ones."""
    found = []
    for direction in range(DIRECTIONS):
        angle = math.pi * direction / DIRECTIONS
        way = np.array([math.cos(angle), math.sin(angle)])
        crossings = _crossings(ground.same, way)
        even = [longest_mm * n / LENGTHS for n in range(1, LENGTHS + 1)]
        for length in sorted({*crossings, *even}):
            if length > longest_mm * (1.0 + 1.0 / LENGTHS):
                continue
            repeats = np.arange(1, max(2, int(ground.same_reach_mm / length) + 1) + 1)
            points = repeats[:, None] * way[None, :] * length
            if np.all(ways_out(points, ground.same, ground.touch_mm) <= 1.0):
                found.append(way * length)
    return found


def _crossings(edges: Floats, way: Floats) -> list[float]:
    """Lengths at which a ray from the origin meets edges."""
    x0, y0, x1, y1 = edges[:, :4].T
    across0, across1 = way[0] * y0 - way[1] * x0, way[0] * y1 - way[1] * x1
    hit = (across0 <= 0.0) != (across1 <= 0.0)
    share = across0[hit] / (across0[hit] - across1[hit])
    at = (way[0] * x0 + way[1] * y0)[hit], (way[0] * x1 + way[1] * y1)[hit]
    lengths = at[0] + share * (at[1] - at[0])
    return [float(one) for one in lengths if one > 0.0]


def _of_row(pitch: Floats, raster: Raster, least_mm2: float, most_mm2: float) -> list[tuple[float, Floats]]:
    """The best lattices with one row vector: area and three vectors."""
    length = float(np.hypot(*pitch))
    columns = max(8, round(length / raster.step_mm))
    most = int(most_mm2 / length / raster.step_mm)
    least = max(1, math.ceil(0.98 * least_mm2 / length / raster.step_mm))
    if most < least:
        return []
    same = barred_rows(raster.same, pitch, columns, 0, 2 * most + 1, raster.step_mm)
    half = (
        barred_rows(raster.half, pitch, columns, -2 * most, 4 * most + 1, raster.step_mm)
        if raster.double
        else np.empty((4 * most + 1, 0), np.bool_)
    )
    table = row_lattices(same, half, least, most)
    along, up = pitch / columns, np.array([-pitch[1], pitch[0]]) / length * raster.step_mm
    found = []
    rises = table[:, 0]
    for shift in range(columns):
        rise = int(rises[shift])
        beside = [int(rises[(shift + k) % columns]) for k in (-1, 1)]
        if rise < 0 or any(0 <= one < rise for one in beside):
            continue
        second = max(int(table[shift, 1]), 0) * along + max(int(table[shift, 2]), 0) * up
        found.append(np.array([pitch, shift * along + rise * up, second]))
    ranked = sorted(((area_mm2(one), n) for n, one in enumerate(found)), key=lambda pair: pair)
    return [(area, found[n]) for area, n in ranked[:3]]


def _unlike(ranked: list[tuple[float, Floats]], most: int, rows: int) -> list[Floats]:
    """The first of a ranked list that differ: in their vectors (2 rows), or in the second copy, too (3 rows)."""
    found: list[Floats] = []
    for area, one in ranked:
        if len(found) == most:
            break
        small = reduced(one)[:rows]
        most_mm = ALIKE_RATIO * math.sqrt(area)
        if not any(_difference(small, other[:rows], most_mm) <= most_mm for other in found):
            found.append(reduced(one))
    return found


def _difference(one: Floats, other: Floats, most_mm: float) -> float:
    """Largest difference of two reduced lattices, whichever vector comes first and whichever way it points.

    Infinite if the lengths of the shorter vectors show that it is more than asked about.
    """
    u, v = other[0], other[1]
    if abs(math.hypot(*one[0]) - math.hypot(*u)) > 2.0 * most_mm:
        return math.inf
    turned = [(u, v), (-u, -v), (v, -u), (-v, u)]
    return min(float(np.abs(one - np.array([*pair, *other[2:]])).max()) for pair in turned)


def dense(regions: Barred, area_of_one_mm2: float, *, double: bool, enough_mm2: float, finish: bool) -> list[Floats]:
    """Lattices without overlap, the densest first: three vectors each (no second copy: the third is zero).

    Parameters
    ----------
    regions
        Where a second copy may not stand.
    area_of_one_mm2
        Area that one copy takes at least, mm2.
    double
        A copy and a half-turned copy a cell.
    enough_mm2
        A cell no larger than this is of interest.
    finish
        Polish; else the starts are only scaled until nothing overlaps.
    """
    copies = 2 if double else 1
    step = math.sqrt(enough_mm2) / CELLS
    smaller = [edges_of(eroded(one, EROSION_RATIO * step)) for one in (regions.same, regions.half)]
    raster = Raster(smaller[0], smaller[1], step, double)
    ground = ground_of(edges_of(regions.same), edges_of(regions.half) if double else np.empty((0, 6)))
    longest = math.sqrt(2.0 * enough_mm2 / math.sqrt(3.0))
    ranked = []
    for pitch in _pitches(ground, longest):
        ranked += _of_row(pitch, raster, copies * area_of_one_mm2, enough_mm2 * 1.1)
    order = sorted(range(len(ranked)), key=lambda n: (ranked[n][0], n))
    starts = _unlike([ranked[n] for n in order], STARTS, 3)
    return _polish_all(starts, ground, step, finish=finish)


def _polish_all(starts: list[Floats], ground: Ground, step_mm: float, *, finish: bool) -> list[Floats]:
    """Starts polished in two heats, densest first; those that became alike count once."""
    heats = ((FIRST_ROUNDS, FINALISTS), (ROUNDS, FINALISTS)) if finish else ((0, FINALISTS),)
    now = starts
    for rounds, most in heats:
        done = [polished(one, ground, step_mm, rounds) for one in now]
        ranked = sorted(((area_mm2(one), n) for n, one in enumerate(done) if one is not None), key=lambda pair: pair)
        now = _unlike([(area, found) for area, n in ranked for found in (done[n],) if found is not None], most, 2)
    return now
