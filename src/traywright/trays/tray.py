"""The tray: outline times thickness, minus the union of its features. Everything else is derived."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region
from traywright.trays.floor import Floor


class FeatureKind(StrEnum):
    """What a recess is for."""

    POCKET = "pocket"
    SLOT = "slot"
    WINDOW = "window"
    HOLE = "hole"
    FINGER_NOTCH = "finger notch"
    RELIEF = "relief"
    SADDLE = "saddle"
    ENGRAVING = "engraving"
    LABEL_RECESS = "label recess"
    KEY = "key"


class TrayKind(StrEnum):
    """What a piece of the pack is."""

    TRAY = "tray"
    PAD = "pad"
    CAP = "cap"
    COVER = "cover"
    LID = "lid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A recess: the union of all features is what is taken away; order means nothing.

    ``side`` is ``top`` or ``underside``; ``region`` lies in tray millimetres; ``floor`` is a height above the
    underside; ``for_cell`` is the id of the cell it serves, or empty; corners are already widened for the cutter.
    """

    id: str
    kind: FeatureKind
    side: str
    region: Region
    floor: Floor
    for_cell: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """Foam between a cell's opening and its neighbour (a cell id) or ``rim:left`` … in one direction.

    ``gap_mm`` is the least distance of the part itself to the neighbour's part (or to the tray's edge) at rest.
    ``needed_mm`` is None where it is not a length: ``without_need`` then says ``not calculated`` (the foam has no
    curve) or ``no thickness`` (no wall of this foam does it).
    """

    towards: str
    needed_mm: float | None
    kept_mm: float
    gap_mm: float
    without_need: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One part in its place.

    ``at_mm`` is where the origin of the part's pose frame lies in the tray (x, y, and z of the part's lowest
    point); ``turn_deg`` turns the pose about the vertical, counter-clockwise; ``play_mm`` is the clearance a side.
    """

    id: str
    part: str
    pose: int
    at_mm: tuple[float, float, float]
    turn_deg: float
    kit_no: int
    play_mm: float
    walls: tuple[Wall, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ply:
    """A tray between two heights, as one board gives it.

    ``region`` is the outline; ``features`` are clipped to the ply and their floors are heights above the **ply's**
    own underside; ``kind`` is the fingerprint that equal plies share; ``cut_before_bonding`` is true for now.
    """

    id: str
    kind: str
    from_mm: float
    to_mm: float
    board: str
    region: Region
    features: tuple[Feature, ...]
    sides: tuple[str, ...] = ("top",)
    cut_before_bonding: bool = True

    @property
    def thickness_mm(self) -> float:
        """Thickness of the ply."""
        return self.to_mm - self.from_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """A foam tray, pad, cap, cover or lid of one pack.

    ``ply_boards`` are the board cards from the underside up with their thickness; ``keep`` is ``floor`` or
    ``depth``. Frame: right-handed, mm, origin lower left of the underside, z up.
    """

    id: str
    name: str
    kind: TrayKind
    outline: Region
    thickness_mm: float
    foam: str
    ply_boards: tuple[tuple[str, float], ...]
    cells: tuple[Cell, ...] = ()
    features: tuple[Feature, ...] = ()
    keep: str = "floor"
    per_pack: int = 1

    def __post_init__(self) -> None:
        """Refuse a tray whose plies do not add up to its thickness."""
        if abs(sum(one for _, one in self.ply_boards) - self.thickness_mm) > SAME_MM:
            raise ValueError(self.id)
