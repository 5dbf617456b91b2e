"""Parts told by their dimensions: the nouns, each in its own frame (mm)."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a turned part; ``bore_mm`` is a diameter, ``chamfer_mm`` breaks both outer edges at 45 degrees."""

    length_mm: float
    diameter_mm: float
    bore_mm: float = 0.0
    chamfer_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole from above; without ``depth_mm`` it goes through."""

    x_mm: float
    y_mm: float
    diameter_mm: float
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Boss:
    """What stands on a block: centre, size (diameter, or width and depth), height, on its top or its bottom."""

    x_mm: float
    y_mm: float
    size_mm: tuple[float, ...]
    height_mm: float
    on_top: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One outline between two heights."""

    points_mm: tuple[OutlinePoint, ...]
    bottom_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcTo:
    """An arc to a point about a centre, counter-clockwise or clockwise."""

    to_mm: Point
    centre_mm: Point
    counter_clockwise: bool


OutlinePoint = Point | ArcTo


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """A turned part along x from x = 0, its axis on y = z = 0."""

    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate, or a block: lower left corner at the origin, from z = 0 to its thickness, bosses on top or below."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    corner_radius_mm: float = 0.0
    holes: tuple[Hole, ...] = ()
    bosses: tuple[Boss, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A rectangular tube along x, open at both ends, lower left corner at the origin."""

    length_mm: float
    width_mm: float
    height_mm: float
    wall_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A disc about z, from z = 0 to its thickness; ``bore_mm`` is a diameter."""

    diameter_mm: float
    thickness_mm: float
    bore_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """Outlines of lines and arcs, each between two heights, in the frame of their points."""

    levels: tuple[Level, ...]


Dimensions = Turned | Plate | Tube | Disc | Outline
