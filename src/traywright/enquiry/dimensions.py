"""A part told by its dimensions: the closed list of kinds, each with the keys of its file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from traywright.enquiry.border import Bare, Flag, Noun, Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedStep(Noun):
    """One step of a turned part, mm; the steps follow each other along x from 0."""

    length_mm: Bare
    diameter_mm: Bare
    bore_mm: Bare = 0.0
    chamfer_mm: Bare = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned(Noun):
    """A turned part: its steps along x, each round about the x axis."""

    kind: Literal["turned"]
    step: Annotated[tuple[TurnedStep, ...], Field(min_length=1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrilledHole(Noun):
    """A round hole from the top of a plate or block, mm from its lower left corner; blind by its depth, or through."""

    x_mm: Bare
    y_mm: Bare
    diameter_mm: Bare
    depth_mm: Bare | None = None
    through: Flag = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate(Noun):
    """A plate with its lower left corner at the origin, mm, z up from its underside."""

    kind: Literal["plate"]
    length_mm: Bare
    width_mm: Bare
    thickness_mm: Bare
    corner_radius_mm: Bare = 0.0
    hole: tuple[DrilledHole, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BossSize(Noun):
    """A boss seen from above, mm: round by its diameter, or square-cornered by length along x and width along y."""

    diameter_mm: Bare | None = None
    length_mm: Bare | None = None
    width_mm: Bare | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Boss(Noun):
    """A boss on the top or the underside of a block; x and y are its middle, mm from the lower left corner."""

    x_mm: Bare
    y_mm: Bare
    size: BossSize
    height_mm: Bare
    side: Literal["top", "bottom"] = "top"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block(Noun):
    """A plate with bosses."""

    kind: Literal["block"]
    length_mm: Bare
    width_mm: Bare
    thickness_mm: Bare
    corner_radius_mm: Bare = 0.0
    hole: tuple[DrilledHole, ...] = ()
    boss: tuple[Boss, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube(Noun):
    """A tube with square corners along x, mm: outside sizes and wall."""

    kind: Literal["tube"]
    length_mm: Bare
    width_mm: Bare
    height_mm: Bare
    wall_mm: Bare


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc(Noun):
    """A disc about z, mm, with or without a bore."""

    kind: Literal["disc"]
    diameter_mm: Bare
    thickness_mm: Bare
    bore_mm: Bare = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcTo(Noun):
    """An arc from the point before to ``to`` about ``centre``, mm; ``cw`` is clockwise, seen from above."""

    to: Pair
    centre: Pair
    way: Literal["cw", "ccw"]


OutlinePoint = Pair | ArcTo


@dataclass(frozen=True, slots=True, kw_only=True)
class Level(Noun):
    """An outline that stands between two heights, mm."""

    points_mm: Annotated[tuple[OutlinePoint, ...], Field(min_length=2)]
    from_mm: Bare
    to_mm: Bare


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineShape(Noun):
    """A part drawn by its outline, mm: one thickness, or several levels."""

    kind: Literal["outline"]
    points_mm: tuple[OutlinePoint, ...] = ()
    thickness_mm: Bare | None = None
    level: tuple[Level, ...] = ()


Dimensions = Annotated[Turned | Plate | Block | Tube | Disc | OutlineShape, Field(discriminator="kind")]
"""A part told by its dimensions."""
