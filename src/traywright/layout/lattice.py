"""The densest lattices of copies of one outline: one copy a cell, or a copy and a half-turned copy."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.asked import Sides
from traywright.layout.barred import barred, grown
from traywright.layout.coarse import coarser
from traywright.layout.lattice_polish import area_mm2, reduced
from traywright.layout.lattice_search import dense

Floats = NDArray[np.float64]
OFF_MM = SNAP_MM * SNAP_MM
"""What float noise may take of a spacing."""
TIGHTER_RATIO = 0.01
"""How much a lattice of a simplified outline is scaled down at most."""  # source: bound of what fewer corners add
HALVINGS = 12
"""Halvings of that: to a part in 400 000."""
THIN_RATIO = 0.01
"""A needle thinner than this share of its length is searched as if it were that thick, else it has thousands of
neighbours."""  # source: own timing


CORNERS_MOST = 120
"""Corners of an outline that is laid out in lattices."""  # source: own timing
ADDED_RATIO = 0.0002
"""Area that may be added for fewer corners, as a share."""  # source: a fifth of what a lattice is held to


@dataclass(frozen=True, slots=True, kw_only=True)
class Lattice:
    """Copies of one outline at all whole multiples of two vectors, in the outline's frame.

    ``second_mm`` is where the frame origin of a copy turned by 180 degrees stands in each cell; empty if all stand
    the same way. ``density_ratio`` is the share of the plane that bare outlines take.
    """

    u_mm: tuple[float, float]
    v_mm: tuple[float, float]
    second_mm: tuple[()] | tuple[float, float]
    density_ratio: float

    @property
    def cell_mm2(self) -> float:
        """Area of one cell of the lattice."""
        return abs(self.u_mm[0] * self.v_mm[1] - self.u_mm[1] * self.v_mm[0])

    @property
    def copies(self) -> int:
        """Copies a cell."""
        return 2 if self.second_mm else 1


def densest_lattice(cell: Region, spacing: Sides, *, half_turned: bool, finish: bool = True) -> Lattice:
    """The densest lattice found; see `dense_lattices`.

    Parameters
    ----------
    cell
        The outline about its own frame origin, one piece; holes count as filled.
    spacing
        What each copy asks for beside it, by the sides of its own frame; 0: touching is allowed.
    half_turned
        Try a copy and a half-turned copy a cell, too.
    finish
        Polish; without, the lattice is some percent less dense and found in half the time.

    Returns
    -------
    Lattice
        No two copies stand nearer than the spacing, by exact distances.

    Raises
    ------
    LayoutError
        LAY-003 without area, LAY-005 for an outline in pieces.

    Examples
    --------
    >>> triangle = Region.polygon([(0, 0), (40, 3), (12, 30)])
    >>> round(densest_lattice(triangle, Sides.all_round(0.0), half_turned=True).density_ratio, 4)
    1.0
    """
    return dense_lattices(cell, spacing, half_turned=half_turned, finish=finish)[0]


def dense_lattices(
    cell: Region, spacing: Sides, *, half_turned: bool, finish: bool = True, most: int = 1
) -> tuple[Lattice, ...]:
    """The densest lattices found that differ from each other, densest first; one or more.

    Parameters
    ----------
    cell, spacing, half_turned, finish
        As for `densest_lattice`.
    most
        Lattices at most. In a small container a less dense one may hold more copies.

    Returns
    -------
    tuple of Lattice
        In each, no two copies stand nearer than the spacing, by exact distances.

    Raises
    ------
    LayoutError
        LAY-003 without area, LAY-005 for an outline in pieces.

    Notes
    -----
    Double lattices reach at least sqrt(3)/2 with convex outlines (Kuperberg & Kuperberg 1990), and the densest of
    all packings of regular pentagons is one (Hales & Kusner 2016). The search is thorough but not exhaustive: a
    lattice found is a layout, its density is not an upper bound. An outline of more than 120 corners is simplified
    outward for the search, and the lattice is then drawn together about the true outline.
    """
    if cell.is_empty:
        raise LayoutError("LAY-003")
    if len(cell.pieces()) > 1:
        raise LayoutError("LAY-005", kind="cell", pieces=len(cell.pieces()))
    centre = np.array(cell.centre_mm)
    true = Polygon(shapely.transform(cell.shape, lambda xy: xy - centre).geoms[0].exterior)
    simple = _thick_enough(coarser(true, CORNERS_MOST, free_ratio=ADDED_RATIO), spacing)
    regions = barred(simple, spacing)
    beside = _Beside(true, spacing)
    wide, deep = cell.size_mm
    cells = (wide + spacing.right_mm + spacing.left_mm) * (deep + spacing.back_mm + spacing.front_mm)
    found = dense(regions, true.area, double=False, enough_mm2=cells, finish=finish)[:most]
    made = [_lattice(one, beside, centre, double=False) for one in found]
    if half_turned:
        enough = 2.0 * min((one.cell_mm2 for one in made), default=cells)
        pairs = dense(regions, true.area, double=True, enough_mm2=enough, finish=finish)[:most]
        made += [_lattice(one, beside, centre, double=True) for one in pairs]
    made = [*made, _lattice(_boxed(simple, spacing), beside, centre, double=False)]
    order = sorted(range(len(made)), key=lambda n: (-round(made[n].density_ratio, 9), n))
    return tuple(made[n] for n in order[: max(most, 1)])


def _thick_enough(outline: Polygon, spacing: Sides) -> Polygon:
    """The outline; a needle made thicker all round, so that no search takes for ever."""
    left, front, right, back = outline.bounds
    length = float(np.hypot(right - left, back - front))
    if grown(outline, spacing).area >= THIN_RATIO * length * length:
        return outline
    return outline.buffer(THIN_RATIO * length / 2.0, join_style="bevel")


def _boxed(outline: Polygon, spacing: Sides) -> Floats:
    """The lattice of the bounding box: always there."""
    left, front, right, back = outline.bounds
    wide = right - left + max(spacing.right_mm, spacing.left_mm)
    return np.array([[wide, 0.0], [0.0, back - front + max(spacing.back_mm, spacing.front_mm)], [0.0, 0.0]])


class _Beside:
    """Whether copies of an outline keep the spacing, by exact distances on the outline as it is."""

    def __init__(self, outline: Polygon, spacing: Sides) -> None:
        self.outline = outline
        self.turned = shapely.transform(outline, lambda xy: -xy)
        self.spacing = spacing
        self.reach_mm = 2.0 * float(np.hypot(*np.array(outline.exterior.coords).T).max()) + max(spacing.each_mm())
        # predicates, not areas of overlays: those fail where edges lie on each other to float noise
        self.around: BaseGeometry = grown(outline, spacing).buffer(-OFF_MM, join_style="mitre")
        shapely.prepare(self.outline)
        shapely.prepare(self.around)

    def keeps(self, lattice: Floats, *, double: bool) -> bool:
        """True if no two copies of a lattice stand nearer than the spacing."""
        kinds = ((self.outline, np.zeros(2)), (self.turned, lattice[2]))[: 1 + double]
        return all(self._apart(other, by) for other, offset in kinds for by in self._near(lattice, offset, other))

    def _near(self, lattice: Floats, offset: Floats, other: Polygon) -> list[Floats]:
        """Vectors to all copies that may stand too near; the copy itself is none."""
        longest = self.reach_mm + float(np.hypot(*offset))
        area = area_mm2(lattice)
        most = [int(longest * float(np.hypot(*lattice[1 - i])) / area) + 1 for i in (0, 1)]
        rows = product(range(-most[0], most[0] + 1), range(-most[1], most[1] + 1))
        itself = other is self.outline
        at = [offset + m * lattice[0] + k * lattice[1] for m, k in rows if not itself or (m, k) != (0, 0)]
        return [one for one in at if np.hypot(*one) < self.reach_mm]

    def _apart(self, other: Polygon, by: Floats) -> bool:
        moved = shapely.transform(other, lambda xy: xy + by)
        most = max(self.spacing.each_mm())
        if most <= SAME_MM or not self.spacing.alike:
            return not shapely.intersects(self.around, moved)
        return not shapely.dwithin(self.outline, moved, most - OFF_MM)


def _lattice(found: Floats, beside: _Beside, centre: Floats, *, double: bool) -> Lattice:
    """The lattice as a noun: drawn together or apart until the outline as it is just keeps the spacing."""
    low, high = 1.0 - TIGHTER_RATIO, 1.0
    while not beside.keeps(found * high, double=double):
        low, high = high, 1.0 + 4.0 * (high - 1.0) if high > 1.0 else 1.0 + OFF_MM / beside.reach_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if beside.keeps(found * middle, double=double) else (middle, high)
    u, v, second = reduced(found * high)
    cell = area_mm2(np.array([u, v]))
    return Lattice(
        u_mm=(float(u[0]), float(u[1])),
        v_mm=(float(v[0]), float(v[1])),
        second_mm=(float(second[0] + 2.0 * centre[0]), float(second[1] + 2.0 * centre[1])) if double else (),
        density_ratio=float(beside.outline.area) * (2 if double else 1) / cell,
    )
