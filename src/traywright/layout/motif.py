"""Copies of one outline side by side: which way round each stands, and the least pitch that keeps the wall."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.place import Place, snapped_mm

SCAN_STEPS = 64
"""Pitches tried before the bisection."""  # source: common practice, no source; a gap narrower than 1/64 is missed

PATTERNS: tuple[tuple[str, bool, bool, bool], ...] = (
    ("same", False, False, False),
    ("same", False, False, True),
    ("rows", True, False, False),
    ("columns", False, True, True),
    ("both", True, True, False),
    ("both", True, True, True),
)
"""Name, whether every second row and whether every second column is turned by 180 degrees, and whether the pitch
along x is the exact one (else that along y); ties go to the first. Turning the container turns the list into itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motif:
    """One way to set copies side by side.

    ``shapes`` are the outline at the base turn and turned on by 180 degrees, both with their lower left corner at
    the origin; ``origins_mm`` say where the outline's frame origin then lies. The pitch along one axis is exact to
    the wall, along x if ``exact_along_x``.
    """

    pattern: str
    order: int
    base_turn_deg: int
    by_row: bool
    by_column: bool
    exact_along_x: bool
    width_mm: float
    depth_mm: float
    shapes: tuple[BaseGeometry, BaseGeometry]
    origins_mm: tuple[tuple[float, float], tuple[float, float]]

    def second(self, column: int, row: int) -> int:
        """1 if the copy in this column and row is turned on by 180 degrees, else 0."""
        return (self.by_row * row + self.by_column * column) % 2

    def place(self, column: int, row: int, corner_mm: tuple[float, float]) -> Place:
        """Where the outline's frame origin stands if the copy's lower left corner stands at ``corner_mm``."""
        second = self.second(column, row)
        x, y = self.origins_mm[second]
        turn = (self.base_turn_deg + 180 * second) % 360
        return Place(snapped_mm(corner_mm[0] + x), snapped_mm(corner_mm[1] + y), turn)


def motifs(outline: Region, turns_deg: tuple[int, ...]) -> tuple[Motif, ...]:
    """Every way to set copies side by side that the turns allow.

    Parameters
    ----------
    outline
        The outline about its own frame origin.
    turns_deg
        Turns allowed, of 0, 90, 180, 270. A turn whose opposite is already a base gives the same rows seen from the
        other end and is left out.
    """
    bases = [turn for turn in sorted(set(turns_deg)) if turn < 180 or turn - 180 not in turns_deg]
    found = []
    for base in bases:
        both_ways = (base + 180) % 360 in turns_deg
        turned = [outline.filled().turned(float(turn)) for turn in (base, base + 180)]
        corners = [one.bounds_mm[:2] for one in turned]
        shapes = [one.moved(-x, -y).shape for one, (x, y) in zip(turned, corners, strict=True)]
        for order, (pattern, by_row, by_column, along_x) in enumerate(PATTERNS):
            if (by_row or by_column) and not both_ways:
                continue
            width, depth = turned[0].size_mm
            found.append(
                Motif(
                    pattern=pattern,
                    order=order,
                    base_turn_deg=base,
                    by_row=by_row,
                    by_column=by_column,
                    exact_along_x=along_x,
                    width_mm=width,
                    depth_mm=depth,
                    shapes=(shapes[0], shapes[1]),
                    origins_mm=((-corners[0][0], -corners[0][1]), (-corners[1][0], -corners[1][1])),
                )
            )
    return tuple(found)


class Pitches:
    """The least pitches of one motif at one wall; each asked for once.

    Parameters
    ----------
    motif
        The way to set copies side by side.
    wall_mm
        Least distance of any two copies, mm, 0 or more.
    """

    __slots__ = ("_found", "motif", "wall_mm")

    def __init__(self, motif: Motif, wall_mm: float) -> None:
        self.motif = motif
        self.wall_mm = wall_mm
        self._found: dict[tuple[bool, bool, float], float] = {}

    def full_mm(self, *, along_x: bool) -> float:
        """The pitch at which two bounding boxes stand a wall apart: always enough."""
        size = self.motif.width_mm if along_x else self.motif.depth_mm
        return math.ceil((size + self.wall_mm - SAME_MM) / SNAP_MM) * SNAP_MM

    def least_mm(self, *, along_x: bool, across_mm: float, every_wider: bool) -> float:
        """The least pitch that keeps the wall between all copies of an endless grid.

        Parameters
        ----------
        along_x
            The axis of the pitch.
        across_mm
            The pitch along the other axis; infinite if there is one copy only.
        every_wider
            True: the least pitch from which on every wider one keeps the wall too (so that spare space may widen
            it); False: the least of all, which a concave outline may have below a stretch that does not keep it.
        """
        across = min(across_mm, self.full_mm(along_x=not along_x))
        if math.isinf(across_mm):
            across = across_mm
        key = (along_x, every_wider, across)
        if key not in self._found:
            self._found[key] = self._search_mm(along_x=along_x, across_mm=across, every_wider=every_wider)
        return self._found[key]

    def _search_mm(self, *, along_x: bool, across_mm: float, every_wider: bool) -> float:
        full = self.full_mm(along_x=along_x)

        def keeps(pitch_mm: float) -> bool:
            return self.keeps(pitch_mm, across_mm) if along_x else self.keeps(across_mm, pitch_mm)

        scan = [full * step / SCAN_STEPS for step in range(1, SCAN_STEPS)]
        if every_wider:
            bad = next((one for one in reversed(scan) if not keeps(one)), 0.0)
            good = next((one for one in scan if one > bad), full)
        else:
            good = next((one for one in scan if keeps(one)), full)
            bad = max((one for one in scan if one < good), default=0.0)
        while good - bad > SAME_MM:
            middle = (good + bad) / 2.0
            good, bad = (middle, bad) if keeps(middle) else (good, middle)
        steps = math.ceil(good / SNAP_MM - SAME_MM)
        # rounding up may leave a narrow gap between two interlocking places: then the boxes decide
        return next((snapped_mm(n * SNAP_MM) for n in (steps, steps + 1) if keeps(n * SNAP_MM)), snapped_mm(full))

    def keeps(self, pitch_x_mm: float, pitch_y_mm: float) -> bool:
        """True if all copies of an endless grid with these pitches (infinite: one copy) stand a wall apart."""
        columns = self._reach(self.motif.width_mm, pitch_x_mm)
        rows = self._reach(self.motif.depth_mm, pitch_y_mm)
        for row, column in product(range(rows + 1), range(-columns, columns + 1)):
            if row == 0 and column <= 0:
                continue
            x = column * pitch_x_mm if column else 0.0
            y = row * pitch_y_mm if row else 0.0
            other = self.motif.second(column, row)
            if not self._apart(0, other, (x, y)) or (other and not self._apart(1, 0, (x, y))):
                return False
        return True

    def _reach(self, size_mm: float, pitch_mm: float) -> int:
        """How many neighbours may stand nearer than the wall."""
        return 0 if math.isinf(pitch_mm) else int((size_mm + self.wall_mm) / pitch_mm)

    def _apart(self, first: int, other: int, by_mm: tuple[float, float]) -> bool:
        gap_x = abs(by_mm[0]) - self.motif.width_mm
        gap_y = abs(by_mm[1]) - self.motif.depth_mm
        if max(gap_x, gap_y) >= self.wall_mm - SAME_MM:
            return True
        here, there = self.motif.shapes[first], self.motif.shapes[other]
        moved = shapely.transform(there, lambda xy: xy + by_mm)
        if self.wall_mm <= SAME_MM:
            return bool(shapely.intersection(here, moved).area <= SNAP_MM * SNAP_MM)
        shapely.prepare(here)
        return not shapely.dwithin(here, moved, self.wall_mm - SAME_MM)
