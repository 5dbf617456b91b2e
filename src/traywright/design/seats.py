"""Where a part rests on the floors of its cell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.catalogue import Table
from traywright.design.rules import rule
from traywright.geometry import Grid, Region
from traywright.parts import underside, underside_rules
from traywright.parts.part import Pose, Rule
from traywright.trays.height_map import cells_in

SEAT_CELL_MM = 1.0  # source: a third of the narrowest land that foam holds
LINE_RATIO = 0.1  # source: a tenth of the sink; a flat face lies wholly within it
LINE_SHARE = 0.5  # source: a round part has a third of its seat within a tenth of the sink, a flat one all


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seat:
    """Foam of one floor on which the part rests: one mark a cell of the part's underside map."""

    floor_mm: float
    cells: NDArray[np.bool_]
    line: bool

    @property
    def area_mm2(self) -> float:
        """Area of the seat in plan, mm²."""
        return float(self.cells.sum()) * SEAT_CELL_MM**2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seats:
    """All seats of one kind of part, on one map."""

    origin_mm: tuple[float, float]
    each: tuple[Seat, ...]

    @property
    def area_mm2(self) -> float:
        """Area of all seats in plan, mm²."""
        return sum(one.area_mm2 for one in self.each)

    def without(self, region: Region) -> Seats:
        """The seats that are left where a region is cut away."""
        told = []
        for one in self.each:
            shape = (one.cells.shape[0], one.cells.shape[1])
            cut = cells_in(region, self.origin_mm, SEAT_CELL_MM, shape)
            told.append(Seat(floor_mm=one.floor_mm, cells=one.cells & ~cut, line=one.line))
        return Seats(origin_mm=self.origin_mm, each=tuple(told))

    def centre_is_held(self, centre_mm: tuple[float, float]) -> bool:
        """True if a point lies over the hull of all seats: the part does not tip."""
        points = [
            (self.origin_mm[0] + (column + 0.5) * SEAT_CELL_MM, self.origin_mm[1] + (row + 0.5) * SEAT_CELL_MM)
            for one in self.each
            for row, column in zip(*np.nonzero(one.cells), strict=True)
        ]
        hull = shapely.MultiPoint(points).convex_hull
        return bool(hull.buffer(SEAT_CELL_MM).covers(shapely.Point(centre_mm)))


def seats_on(pose: Pose, levels: Sequence[tuple[float, Region]], rules: Table) -> Seats:
    """The seats of a part: allowed spots that lie on a floor where the floor's foam stands.

    Parameters
    ----------
    pose
        The part as it lies.
    levels
        Floor and region of each recess of its cell, lowest first, each region holding the one before; pose frame.
    rules
        Table ``design_rules``.
    """
    below = underside(pose, SEAT_CELL_MM)
    allowed = underside_rules(pose, SEAT_CELL_MM).values == int(Rule.ALLOWED)
    sink = rule(rules, "seat_sink").value
    lower = Region.empty()
    found = []
    for floor_mm, region in levels:
        seat = _seat(below, allowed, floor_mm, region.difference(lower), sink)
        lower = region
        if seat is not None:
            found.append(seat)
    return Seats(origin_mm=below.origin_mm, each=tuple(found))


def _seat(below: Grid, allowed: NDArray[np.bool_], floor_mm: float, foam: Region, sink_mm: float) -> Seat | None:
    """The seat on one floor, or nothing."""
    heights = below.values
    rows, columns = heights.shape
    stands = cells_in(foam, below.origin_mm, below.cell_mm, (rows, columns))
    near = allowed & stands & (heights >= floor_mm - sink_mm) & (heights <= floor_mm + sink_mm)
    flat = near & (heights <= floor_mm + LINE_RATIO * sink_mm)
    if not flat.any():
        return None
    return Seat(floor_mm=floor_mm, cells=near, line=float(flat.sum()) < LINE_SHARE * float(near.sum()))


def width_mm(seat: Seat) -> float:
    """Width of the widest place of a seat, mm."""
    from scipy import ndimage  # noqa: PLC0415  # reason: heavy, and asked once a part

    depth = ndimage.distance_transform_edt(np.pad(seat.cells, 1))
    # a strip of n cells has its middle (n + 1) / 2 cells from the nearest cell outside
    return float((2.0 * depth.max() - 1.0) * SEAT_CELL_MM)
