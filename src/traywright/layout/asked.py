"""What is asked of a layout: outlines and how many of each, the container, and how far apart all must stand."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from typing import NamedTuple

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SNAP_MM
from traywright.geometry import Region

KINDS_MOST = 60
"""Kinds of outlines one layout takes; more is another question: that of boards."""  # source: own timing


POSES_MOST = 240
"""Kinds times turns: each two of them have a map of their own."""  # source: own memory, 60 kinds in quarter turns


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Spacing needed at the right, back, left and front of a frame, mm, 0 or more.

    Between two axes the need follows a quarter of an ellipse with the two spacings as half axes: four equal sides ask
    for one distance all round, and a need may differ by direction.
    """

    right_mm: float
    back_mm: float
    left_mm: float
    front_mm: float

    def __post_init__(self) -> None:
        for one in fields(self):
            value = getattr(self, one.name)
            if not math.isfinite(value) or value < 0.0:
                raise LayoutError("LAY-001", name=one.name, value=value)

    @classmethod
    def all_round(cls, spacing_mm: float) -> Sides:
        """The same spacing on all sides.

        Examples
        --------
        >>> Sides.all_round(8.0).left_mm
        8.0
        """
        return cls(right_mm=spacing_mm, back_mm=spacing_mm, left_mm=spacing_mm, front_mm=spacing_mm)

    @property
    def alike(self) -> bool:
        """True if the four are one length."""
        return max(self.each_mm()) - min(self.each_mm()) < SNAP_MM

    def each_mm(self) -> tuple[float, float, float, float]:
        """Right, back, left, front."""
        return (self.right_mm, self.back_mm, self.left_mm, self.front_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSlot:
    """A finger notch or lift slot along x of an outline's frame, through its part.

    It lies ``line_mm`` above the frame's origin, is ``width_mm`` wide and runs ``reach_mm`` past the outline at both
    ends. In rows it may run through the whole row, which then shares one line; alone it belongs to its cell.
    """

    line_mm: float
    width_mm: float
    reach_mm: float = 0.0

    def __post_init__(self) -> None:
        lengths = {"line_mm": self.line_mm, "width_mm": self.width_mm, "reach_mm": self.reach_mm}
        for name, value in lengths.items():
            if not math.isfinite(value) or (name != "line_mm" and value < 0.0) or (name == "width_mm" and value <= 0.0):
                raise LayoutError("LAY-001", name=name, value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One outline about its own frame origin; its holes count as filled.

    ``in_kit`` copies of it go with one kit. ``mass_kg`` only orders kinds: heavier ones stand nearer to the middle.
    ``notches`` are cut-outs of its own beside the outline, at turn 0: they take area and keep the wall like it.
    """

    id: str
    outline: Region
    in_kit: int = 1
    mass_kg: float = 0.0
    notches: Region = field(default_factory=Region.empty)
    slots: tuple[RowSlot, ...] = ()

    def __post_init__(self) -> None:
        if self.outline.is_empty or self.outline.area_mm2 < SNAP_MM * self.outline.perimeter_mm:
            raise LayoutError("LAY-003")  # nowhere thicker than two snap steps
        pieces = len(self.cell().pieces())
        if pieces > 1:
            raise LayoutError("LAY-005", kind=self.id, pieces=pieces)
        if self.in_kit < 1:
            raise LayoutError("LAY-001", name="in_kit", value=self.in_kit)
        if not math.isfinite(self.mass_kg) or self.mass_kg < 0.0:
            raise LayoutError("LAY-001", name="mass_kg", value=self.mass_kg)

    def body(self) -> Region:
        """The outline with its notches, without slots: what a copy takes where slots run through the row."""
        return self.outline.filled() if self.notches.is_empty else self.outline.union(self.notches).filled()

    def cell(self) -> Region:
        """The outline with its notches and with each slot as long as the cell alone needs it."""
        left, _, right, _ = self.outline.bounds_mm
        slots = [
            Region.rectangle(left - one.reach_mm, one.line_mm - half, right + one.reach_mm, one.line_mm + half)
            for one in self.slots
            for half in (one.width_mm / 2.0,)
        ]
        return Region.union_of([self.body(), *slots]).filled() if slots else self.body()


@dataclass(frozen=True, slots=True, kw_only=True)
class NoGo:
    """A region of the container that nothing may enter, and how far all must keep from it."""

    region: Region
    wall_mm: float

    def __post_init__(self) -> None:
        if not math.isfinite(self.wall_mm) or self.wall_mm < 0.0:
            raise LayoutError("LAY-001", name="wall_mm", value=self.wall_mm)
        if self.region.is_empty:
            raise LayoutError("LAY-003")


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """A rectangle from the origin to (``width_mm``, ``depth_mm``), with regions that nothing may enter."""

    width_mm: float
    depth_mm: float
    no_go: tuple[NoGo, ...] = ()

    def __post_init__(self) -> None:
        for name, value in (("width_mm", self.width_mm), ("depth_mm", self.depth_mm)):
            if not math.isfinite(value) or value < SNAP_MM:
                raise LayoutError("LAY-001", name=name, value=value)


class PairWall(NamedTuple):
    """What stands beside a copy of ``here`` towards a copy of ``there``, by the sides of ``here``'s own frame."""

    here: str
    there: str
    wall: Sides


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """How far apart all must stand.

    ``wall`` lies beside each outline by the sides of its own frame and turns with it; ``pairs`` overrule it for a
    pair of kinds, each in one direction. Of two outlines both needs hold. ``rim`` is what each side of the container
    asks for, in the container's frame; ``rims`` overrule it for a kind.
    """

    wall: Sides
    rim: Sides
    pairs: tuple[PairWall, ...] = ()
    rims: tuple[tuple[str, Sides], ...] = ()

    def beside(self, here: str, there: str) -> Sides:
        """What a copy of ``here`` asks for towards a copy of ``there``, in ``here``'s frame."""
        return next((one.wall for one in self.pairs if (one.here, one.there) == (here, there)), self.wall)

    def rim_of(self, kind: str) -> Sides:
        """What each side of the container asks for against a kind."""
        return next((sides for id_, sides in self.rims if id_ == kind), self.rim)


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutAsked:
    """One question: as many copies, or whole kits of several kinds, as go into the container.

    ``turns_deg`` are the turns allowed, counter-clockwise about each outline's frame origin. With ``free_turn`` all
    turns of ``turns_deg`` may be turned on by one angle that all copies share. ``together`` asks for copies of one
    kind side by side. ``kits_most`` ends the count; 0: as many as go in.
    """

    kinds: tuple[Kind, ...]
    container: Container
    spacing: Spacing
    turns_deg: tuple[float, ...] = (0.0,)
    free_turn: bool = False
    together: bool = False
    kits_most: int = 0

    def __post_init__(self) -> None:
        ids = [one.id for one in self.kinds]
        if not self.kinds or len(self.kinds) > KINDS_MOST:
            raise LayoutError("LAY-006", kinds=len(self.kinds), most=KINDS_MOST)
        if len(set(ids)) < len(ids):
            raise LayoutError("LAY-007", kind=next(one for one in ids if ids.count(one) > 1))
        if not self.turns_deg or not all(math.isfinite(one) for one in self.turns_deg):
            raise LayoutError("LAY-008", turns=", ".join(str(one) for one in self.turns_deg))
        if len(self.turns_deg) * len(self.kinds) > POSES_MOST:
            raise LayoutError("LAY-010", poses=len(self.turns_deg) * len(self.kinds), most=POSES_MOST)
        if self.kits_most < 0:
            raise LayoutError("LAY-001", name="kits_most", value=self.kits_most)
        self._refuse_unknown(ids)

    def _refuse_unknown(self, ids: Iterable[str]) -> None:
        named = {one for pair in self.spacing.pairs for one in pair[:2]} | {one for one, _ in self.spacing.rims}
        unknown = sorted(named - set(ids))
        if unknown:
            raise LayoutError("LAY-009", kind=unknown[0])

    @property
    def kit_size(self) -> int:
        """Outlines in one kit."""
        return sum(one.in_kit for one in self.kinds)

    def kind(self, id_: str) -> Kind:
        """The kind of that name."""
        return next(one for one in self.kinds if one.id == id_)
