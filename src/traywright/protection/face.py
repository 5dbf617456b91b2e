"""A part as the foam meets it: the outermost spots on one of its six sides, each with its contact rule."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import NARROW_CELL_MM
from traywright.geometry import Grid
from traywright.parts import Pose, side_reach, side_rules, topside, topside_rules, underside, underside_rules
from traywright.parts.part import Rule

Array = NDArray[np.float64]

AXES: dict[str, tuple[int, int]] = {
    "under": (2, -1),
    "over": (2, 1),
    "left": (0, -1),
    "right": (0, 1),
    "front": (1, -1),
    "back": (1, 1),
}
"""Axis and sign of each direction, in the order in which directions are told."""

OPPOSITE = {"under": "over", "over": "under", "left": "right", "right": "left", "front": "back", "back": "front"}
"""The direction that looks back."""

FINEST_CELL_MM = 0.05  # source: common practice, no source: no edge thinner than this carries a part
RIM_SHARE = 0.25  # source: a strip of eight cells across has a quarter of them on its rim
FINER = 4  # source: cells of 0.5 mm become 0.125, so the area of a board's edge of 1.6 mm is known to 6 %

_TURNED = ("right", "back", "left", "front")
"""Level directions in the order of quarter turns counter-clockwise."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Face:
    """One side of a pose: where its outermost spots lie and what may touch them.

    ``spots_mm`` has one row (x, y, z) a seen cell, pose frame; ``rules`` one ``Rule`` number a spot; ``reach`` and
    ``rule_map`` are the maps they came from; ``area_mm2`` is the area that each spot stands for: spots of one rule
    share the area that a finer map finds for that rule, so that a thin edge counts with its own thickness.
    """

    direction: str
    spots_mm: Array
    rules: NDArray[np.int8]
    reach: Grid
    area_mm2: Array

    @property
    def recess_mm(self) -> Array:
        """How far each spot lies behind the outermost one, mm."""
        axis, sign = AXES[self.direction]
        out = self.spots_mm[:, axis] * sign
        # a part thinner than a cell may show no spot on its edge
        return np.asarray(out.max(initial=-np.inf) - out)


@lru_cache(maxsize=256)
def face_of(pose: Pose, direction: str, cell_mm: float) -> Face:
    """One side of a pose on a map of square cells.

    Parameters
    ----------
    pose
        The part as it lies.
    direction
        One of ``AXES``, in the pose's own frame.
    cell_mm
        Side of a cell, above 0; halved, down to ``NARROW_CELL_MM``, where what may carry is narrower than eight cells.
    """
    reach, rule_map = _maps(pose, direction, cell_mm)
    seen = np.isfinite(reach.values)
    if not seen.any() and cell_mm > FINEST_CELL_MM:  # an edge thinner than a cell shows between no centres
        return face_of(pose, direction, cell_mm / 2.0)
    if cell_mm > NARROW_CELL_MM and _is_narrow(seen & (rule_map.values == Rule.ALLOWED)):
        return face_of(pose, direction, cell_mm / 2.0)
    rows, columns = np.nonzero(seen)
    first, second = reach.centres_mm()
    flat = [first[columns], second[rows]]
    flat.insert(AXES[direction][0], reach.values[seen].astype(np.float64))
    rules = _strict(rule_map.values[seen])
    return Face(
        direction=direction,
        spots_mm=np.stack(flat, axis=1),
        rules=rules,
        reach=reach,
        area_mm2=_areas_mm2(pose, direction, rules, cell_mm),
    )


def _is_narrow(carries: NDArray[np.bool_]) -> bool:
    """True if more than the share of cells that may carry lies on the rim of what may, or none is seen at all."""
    inside = np.pad(carries, 1)
    around = (inside[:-2, 1:-1], inside[2:, 1:-1], inside[1:-1, :-2], inside[1:-1, 2:])
    rim = carries & ~np.logical_and.reduce(around)
    return bool(rim.sum() > RIM_SHARE * carries.sum()) or not carries.any()


def _strict(rules: NDArray[np.int8]) -> NDArray[np.int8]:
    """Rules of spots; a spot without one counts as never."""
    return np.where(rules < 0, int(Rule.NEVER), rules).astype(np.int8)


def _areas_mm2(pose: Pose, direction: str, rules: NDArray[np.int8], cell_mm: float) -> Array:
    """Area of each spot: the area of all spots of its rule on a finer map, shared evenly."""
    fine_mm = cell_mm / FINER
    reach, rule_map = _maps(pose, direction, fine_mm)
    fine = _strict(rule_map.values[np.isfinite(reach.values)])
    areas = np.full(rules.shape, cell_mm * cell_mm)
    for rule in Rule:
        of_rule = rules == int(rule)
        found = int((fine == int(rule)).sum())
        if of_rule.any() and found:
            areas[of_rule] = found * fine_mm * fine_mm / of_rule.sum()
    return areas


def _maps(pose: Pose, direction: str, cell_mm: float) -> tuple[Grid, Grid]:
    """Reach and rules of one side."""
    if direction == "under":
        return underside(pose, cell_mm), underside_rules(pose, cell_mm)
    if direction == "over":
        return topside(pose, cell_mm), topside_rules(pose, cell_mm)
    return side_reach(pose, direction, cell_mm), side_rules(pose, direction, cell_mm)


def own_direction(direction: str, turn_deg: float) -> str | None:
    """The side of a turned part that faces a direction of the tray; None unless it is turned by quarters.

    Examples
    --------
    >>> own_direction("left", 180.0), own_direction("right", 90.0), own_direction("under", 30.0)
    ('right', 'front', 'under')
    """
    if direction not in _TURNED:
        return direction
    quarters = turn_deg / 90.0
    if not math.isclose(quarters, round(quarters)):
        return None
    return _TURNED[(_TURNED.index(direction) - round(quarters)) % 4]


def turned(spots_mm: Array, turn_deg: float) -> Array:
    """Spots turned about the vertical, counter-clockwise; quarter turns are exact."""
    cos, sin = round(math.cos(math.radians(turn_deg)), 12), round(math.sin(math.radians(turn_deg)), 12)
    x, y, z = spots_mm[:, 0], spots_mm[:, 1], spots_mm[:, 2]
    return np.stack([cos * x - sin * y + 0.0, sin * x + cos * y + 0.0, z], axis=1)


def sampled(grid: Grid, first_mm: Array, second_mm: Array) -> Array:
    """Values of a map at points, by the cell that holds each; NaN where there is none."""
    columns = np.floor((first_mm - grid.origin_mm[0]) / grid.cell_mm).astype(np.int64)
    rows = np.floor((second_mm - grid.origin_mm[1]) / grid.cell_mm).astype(np.int64)
    height, width = grid.values.shape
    within = (columns >= 0) & (columns < width) & (rows >= 0) & (rows < height)
    found = np.full(first_mm.shape, np.nan)
    found[within] = grid.values[rows[within], columns[within]]
    return found
