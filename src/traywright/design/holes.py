"""Lightening holes: round through holes where a tray has foam to spare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from traywright.catalogue import Table
from traywright.design.rules import rule
from traywright.geometry import Region

HOLE_GRID_MM = 2.0  # source: a hole's place is nobody's measure; a third of a cutter radius
ROUGH_MM = 0.2  # source: a tenth of the grid; the hole gives it back in distance
SIZES = ("hole_large", "hole_middle", "hole_small")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole right through a tray."""

    centre_mm: tuple[float, float]
    radius_mm: float

    @property
    def region(self) -> Region:
        """The hole as a region of the tray."""
        return Region.disc(self.centre_mm, self.radius_mm)


def holes_of(
    outline: Region, taken: Sequence[Region], rules: Table, *, wall_mm: float, rim_mm: float
) -> tuple[Hole, ...]:
    """Holes of the table's diameters, largest first, each where most foam is left around it.

    Parameters
    ----------
    outline
        Outline of the tray.
    taken
        Openings and slots; a hole stands ``wall_mm`` from each and from other holes.
    rules
        Table ``design_rules``.
    wall_mm, rim_mm
        Least foam from a hole to an opening, and to the tray's edge, mm.
    """
    left, front, right, back = outline.bounds_mm
    x_mm, y_mm = np.meshgrid(
        np.arange(left + HOLE_GRID_MM, right, HOLE_GRID_MM), np.arange(front + HOLE_GRID_MM, back, HOLE_GRID_MM)
    )
    points = shapely.points(x_mm, y_mm)
    room = np.asarray(shapely.distance(points, outline.shape.boundary)) - rim_mm
    for one in taken:
        away = shapely.distance(points, one.simpler(ROUGH_MM).shape) - ROUGH_MM
        room = np.minimum(room, away - wall_mm)
    radii = [rule(rules, size).value / 2.0 for size in SIZES]
    found: list[Hole] = []
    while len(found) < round(rule(rules, "holes_most").value):
        # the first of equal places in reading order, so that the same tray has the same holes
        best = int(np.argmax(np.round(room, 3)))
        radius = next((one for one in radii if one <= float(room.flat[best])), None)
        if radius is None:
            break
        centre = (float(x_mm.flat[best]), float(y_mm.flat[best]))
        found.append(Hole(centre_mm=centre, radius_mm=radius))
        apart = np.hypot(x_mm - centre[0], y_mm - centre[1]) - radius - wall_mm
        room = np.minimum(room, apart)
    return tuple(found)
