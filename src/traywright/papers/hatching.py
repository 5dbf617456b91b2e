"""Hatches as lines and dots that stay inside their region: never by colour alone."""

from __future__ import annotations

import math

import shapely
from shapely import affinity

from traywright.geometry import Region
from traywright.papers.marks import Disc, Marks, Stroke

_FOAM_CELLS = ((1.0, 1.0, 0.45), (3.6, 1.8, 0.62), (1.8, 3.4, 0.56), (4.5, 4.1, 0.33))
FOAM_PITCH_MM = (5.2, 4.8)  # source: look of the house: hatches drawn there


def lines_in(region: Region, *, pitch_mm: float, angle_deg: float, ink: str = "ink", width_mm: float = 0.15) -> Marks:
    """Parallel lines in a region on paper, mm."""
    if region.is_empty:
        return ()
    turned = affinity.rotate(region.shape, -angle_deg, origin=(0.0, 0.0))
    left, low, right, high = turned.bounds
    first = math.ceil(low / pitch_mm)
    heights = [number * pitch_mm for number in range(first, math.floor(high / pitch_mm) + 1)]
    rows = shapely.MultiLineString([[(left - 1.0, y), (right + 1.0, y)] for y in heights]) if heights else None
    if rows is None:
        return ()
    cut = affinity.rotate(shapely.intersection(rows, turned), angle_deg, origin=(0.0, 0.0))
    runs = [
        one for one in shapely.get_parts(cut).tolist() if one.geom_type == "LineString" and one.length > pitch_mm / 9
    ]
    ordered = sorted(tuple((round(x, 3), round(y, 3)) for x, y in one.coords) for one in runs)
    return tuple(Stroke(points_mm=one, ink=ink, width_mm=width_mm) for one in ordered)


def cross_in(region: Region, *, pitch_mm: float = 1.1, ink: str = "red") -> Marks:
    """Cross hatch: what is missing, what must never be touched."""
    one = lines_in(region, pitch_mm=pitch_mm, angle_deg=45.0, ink=ink, width_mm=0.2)
    return one + lines_in(region, pitch_mm=pitch_mm, angle_deg=-45.0, ink=ink, width_mm=0.2)


def part_in(region: Region) -> Marks:
    """The fine slant of a part that is cut through."""
    return lines_in(region, pitch_mm=1.1, angle_deg=45.0, ink="ink-2", width_mm=0.12)


def _dots(
    region: Region, spots: tuple[tuple[float, float, float], ...], pitch_mm: tuple[float, float]
) -> list[tuple[float, float, float]]:
    """Places of a repeated pattern whose discs lie inside a region."""
    left, low, right, high = region.bounds_mm
    columns = range(math.floor(left / pitch_mm[0]), math.ceil(right / pitch_mm[0]) + 1)
    rows = range(math.floor(low / pitch_mm[1]), math.ceil(high / pitch_mm[1]) + 1)
    places = [
        (column * pitch_mm[0] + x, row * pitch_mm[1] + y, radius)
        for row in rows
        for column in columns
        for x, y, radius in spots
    ]
    if not places:
        return []
    centres = shapely.points([(x, y) for x, y, _ in places])
    room = region.shape.buffer(-max(radius for _, _, radius in spots))
    shapely.prepare(room)
    return [one for one, fits in zip(places, shapely.contains(room, centres), strict=True) if fits]


def foam_in(region: Region) -> Marks:
    """The small open cells of foam that is cut through."""
    return tuple(
        Disc(centre_mm=(x, y), radius_mm=radius, ink="foam-6", width_mm=0.12)
        for x, y, radius in _dots(region, _FOAM_CELLS, FOAM_PITCH_MM)
    )


def spent_in(region: Region) -> Marks:
    """The dense red dots of foam that is squashed."""
    return tuple(
        Disc(centre_mm=(x, y), radius_mm=radius, fill="red")
        for x, y, radius in _dots(region, ((0.3, 0.3, 0.2), (0.9, 0.9, 0.2)), (1.2, 1.2))
    )
