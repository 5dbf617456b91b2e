"""Operations in their order and the paths that do them."""

from traywright.cutting.cut_plan import XYZ, CutPlan, Move, MoveKind, Operation
from traywright.cutting.for_solid import machine_for
from traywright.cutting.moves import clear_height_mm, points_along, walked
from traywright.cutting.plan import outline_cutter, outlines_of, plan_cuts

__all__ = [
    "XYZ",
    "CutPlan",
    "Move",
    "MoveKind",
    "Operation",
    "clear_height_mm",
    "machine_for",
    "outline_cutter",
    "outlines_of",
    "plan_cuts",
    "points_along",
    "walked",
]
