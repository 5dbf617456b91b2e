"""A flat region with holes, in millimetres: the one holder of a shapely geometry.

Coordinates are snapped to 0.001 mm at birth, rings are normalised, there is no minus zero; equal regions compare,
hash, pickle and print equal. Arcs are chords at most ``ARC_CHORD_MM`` off, outside for grown regions.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM

Point = tuple[float, float]
Ring = tuple[Point, ...]


def _segments_of_quarter(radius_mm: float) -> int:
    """Chords of a quarter circle that keep the chord tolerance."""
    if radius_mm <= ARC_CHORD_MM:
        return 1
    half = math.acos(1.0 - ARC_CHORD_MM / radius_mm)
    return max(2, math.ceil(math.pi / 4.0 / half))


def _polygonal(shape: BaseGeometry) -> MultiPolygon:
    """Only the areas of a geometry, snapped, valid and in one order."""
    snapped = shapely.set_precision(shape, SNAP_MM)
    areas = [one for one in shapely.get_parts(snapped).tolist() if isinstance(one, Polygon)]
    inner = [
        part for one in shapely.get_parts(snapped).tolist() if one.geom_type == "MultiPolygon" for part in one.geoms
    ]
    ordered = shapely.normalize(MultiPolygon([one for one in (*areas, *inner) if not one.is_empty]))
    rounded = shapely.transform(ordered, lambda xy: np.round(xy / SNAP_MM) * SNAP_MM + 0.0)
    exact: MultiPolygon = shapely.transform(rounded, lambda xy: np.round(xy, 6) + 0.0)
    return exact


class Region:
    """A set of polygons with holes in one plane, mm.

    Parameters
    ----------
    shape
        Any shapely geometry; lines and points in it are dropped.
    """

    __slots__ = ("_shape",)
    _shape: MultiPolygon

    def __init__(self, shape: BaseGeometry) -> None:
        object.__setattr__(self, "_shape", _polygonal(shape))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(name)

    # -- births -------------------------------------------------------------------------------------------------

    @classmethod
    def empty(cls) -> Region:
        """A region without area."""
        return cls(MultiPolygon())

    @classmethod
    def rectangle(cls, left_mm: float, front_mm: float, right_mm: float, back_mm: float) -> Region:
        """The rectangle between two corners.

        Examples
        --------
        >>> Region.rectangle(0, 0, 4, 3).area_mm2
        12.0
        """
        return cls(shapely.box(left_mm, front_mm, right_mm, back_mm))

    @classmethod
    def polygon(cls, shell: Sequence[Point], holes: Iterable[Sequence[Point]] = ()) -> Region:
        """One polygon with holes; a self-crossing shell is made valid by the even-odd rule."""
        return cls(shapely.make_valid(Polygon(shell, [list(one) for one in holes])))

    @staticmethod
    def crosses_itself(ring: Sequence[Point]) -> bool:
        """True if a closed ring of points meets itself anywhere but at its ends.

        Examples
        --------
        >>> Region.crosses_itself([(0, 0), (4, 4), (4, 0), (0, 4)])
        True
        """
        return not shapely.LinearRing(ring).is_simple

    @classmethod
    def disc(cls, centre_mm: Point, radius_mm: float) -> Region:
        """A disc whose chords lie inside its circle."""
        return cls(shapely.Point(centre_mm).buffer(radius_mm, quad_segs=_segments_of_quarter(radius_mm)))

    @classmethod
    def capsule(cls, start_mm: Point, end_mm: Point, radius_mm: float) -> Region:
        """What a disc sweeps along a straight line."""
        line = shapely.LineString([start_mm, end_mm])
        return cls(line.buffer(radius_mm, quad_segs=_segments_of_quarter(radius_mm)))

    @classmethod
    def union_of(cls, regions: Iterable[Region]) -> Region:
        """The union of any number of regions."""
        return cls(shapely.union_all([one.shape for one in regions]))

    @classmethod
    def near(cls, shape: BaseGeometry, within_mm: float) -> Region:
        """What lies within a distance of areas and lines together; round corners lie outside the exact arc."""
        if not within_mm > 0.0:
            return cls(shape)
        quarter = _segments_of_quarter(within_mm)
        return cls(shape.buffer(within_mm / math.cos(math.pi / 4.0 / quarter), quad_segs=quarter))

    # -- what it is ---------------------------------------------------------------------------------------------

    @property
    def shape(self) -> MultiPolygon:
        """The shapely geometry, for a computation; keep the Region, not this."""
        return self._shape

    @property
    def area_mm2(self) -> float:
        """Area in mm²."""
        return float(self._shape.area)

    @property
    def perimeter_mm(self) -> float:
        """Length of all rings in mm."""
        return float(self._shape.length)

    @property
    def is_empty(self) -> bool:
        """True if there is no area."""
        return bool(self._shape.is_empty)

    @property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Left, front, right, back; all zero for an empty region."""
        if self.is_empty:
            return (0.0, 0.0, 0.0, 0.0)
        left, front, right, back = self._shape.bounds
        return (float(left), float(front), float(right), float(back))

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width along x and depth along y of the bounding box."""
        left, front, right, back = self.bounds_mm
        return (right - left, back - front)

    @property
    def centre_mm(self) -> Point:
        """Centre of area."""
        centre = self._shape.centroid
        return (float(centre.x), float(centre.y))

    def rings(self) -> tuple[tuple[Ring, tuple[Ring, ...]], ...]:
        """Shell and holes of each polygon, closed rings without the repeated last point, shells counter-clockwise."""
        found = []
        for one in self._shape.geoms:
            turned = shapely.geometry.polygon.orient(one, 1.0)
            shell = tuple((float(x), float(y)) for x, y in turned.exterior.coords[:-1])
            holes = tuple(tuple((float(x), float(y)) for x, y in hole.coords[:-1]) for hole in turned.interiors)
            found.append((shell, holes))
        return tuple(found)

    def pieces(self) -> tuple[Region, ...]:
        """Each connected piece as a region of its own."""
        return tuple(Region(one) for one in self._shape.geoms)

    # -- what can be asked --------------------------------------------------------------------------------------

    def contains(self, other: Region) -> bool:
        """True if the other lies inside, touching allowed, to one snap step."""
        return other.is_empty or bool(self._shape.buffer(2.0 * SNAP_MM).covers(other.shape))

    def holds(self, point_mm: Point) -> bool:
        """True if a point lies inside or on the edge."""
        return bool(self._shape.covers(shapely.Point(point_mm)))

    def overlaps(self, other: Region) -> bool:
        """True if the two share area."""
        return bool(self._shape.intersection(other.shape).area > SNAP_MM * SNAP_MM)

    def distance_mm(self, other: Region) -> float:
        """Least distance of the two, 0 if they touch, infinite if either is empty."""
        if self.is_empty or other.is_empty:
            return math.inf
        return float(self._shape.distance(other.shape))

    def nearest_pair_mm(self, other: Region) -> tuple[Point, Point]:
        """The two nearest points: here, there."""
        line = shapely.shortest_line(self._shape, other.shape)
        (x0, y0), (x1, y1) = line.coords
        return ((float(x0), float(y0)), (float(x1), float(y1)))

    # -- what can be made of it ---------------------------------------------------------------------------------

    def union(self, *others: Region) -> Region:
        """Area of this or of any other."""
        return Region(shapely.union_all([self._shape, *(one.shape for one in others)]))

    def difference(self, other: Region) -> Region:
        """Area of this without the other."""
        return Region(self._shape.difference(other.shape))

    def intersection(self, other: Region) -> Region:
        """Area of both."""
        return Region(self._shape.intersection(other.shape))

    def grown(self, by_mm: float, *, square: bool = False) -> Region:
        """The parallel region, round at corners (square: mitred); a negative distance shrinks.

        The round corners of a grown region lie outside the exact arc (its chord error is added, never subtracted)
        and those of a shrunk one inside.
        """
        if abs(by_mm) < SNAP_MM * SNAP_MM:
            return self  # far below any coordinate; the library loses the region over it
        style: Any = "mitre" if square else "round"
        quarter = _segments_of_quarter(abs(by_mm))
        outside = by_mm if square else by_mm / math.cos(math.pi / 4.0 / quarter)
        return Region(self._shape.buffer(outside if by_mm > 0 else by_mm, quad_segs=quarter, join_style=style))

    def opened(self, radius_mm: float) -> Region:
        """What a disc that stays inside can reach."""
        return self.grown(-radius_mm).grown(radius_mm).intersection(self)

    def filled(self) -> Region:
        """The region without its holes."""
        return Region(shapely.union_all([Polygon(one.exterior) for one in self._shape.geoms]))

    def hull(self) -> Region:
        """The convex hull."""
        return Region(self._shape.convex_hull)

    def simpler(self, within_mm: float) -> Region:
        """Fewer points, no point further off than the distance given."""
        return Region(self._shape.simplify(within_mm))

    def moved(self, dx_mm: float, dy_mm: float) -> Region:
        """The region moved."""
        return Region(affinity.translate(self._shape, dx_mm, dy_mm))

    def turned(self, angle_deg: float, about_mm: Point = (0.0, 0.0)) -> Region:
        """The region turned counter-clockwise; quarter turns are exact."""
        return Region(affinity.rotate(self._shape, angle_deg, origin=about_mm))

    def flipped(self, width_mm: float) -> Region:
        """The region after the board is flipped about its X axis: y becomes width - y."""
        return Region(affinity.affine_transform(self._shape, [1.0, 0.0, 0.0, -1.0, 0.0, width_mm]))

    # -- value --------------------------------------------------------------------------------------------------

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Region) and self._shape.wkb == other._shape.wkb

    def __hash__(self) -> int:
        return hash(self._shape.wkb)

    def __repr__(self) -> str:
        return f"Region({self._shape.wkt})"

    def __reduce__(self) -> tuple[type[Region], tuple[MultiPolygon]]:
        return (Region, (self._shape,))
