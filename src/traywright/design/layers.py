"""The stack: which layer lies where, how thick each is, and of which boards."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from traywright.base.errors import DesignError
from traywright.base.tolerance import SAME_MM, SNAP_MM, TIE_RATIO
from traywright.catalogue import Board
from traywright.design.asked import KindAsked, PackAsked
from traywright.design.openings import CellShape
from traywright.design.rules import floor_least_mm, needed_mm, rule

Plies = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Storey:
    """One tray with what lies on it.

    ``order`` is the place of its kind in part order; ``base_mm`` the foam of a plain pad right under it.
    """

    order: int
    kind: KindAsked
    shape: CellShape
    thickness_mm: float
    cover_mm: float
    base_mm: float

    @property
    def part_zero_mm(self) -> float:
        """Height of the part's lowest point over the tray's underside: spare thickness goes to the floor."""
        return self.thickness_mm - self.shape.top_mm

    @property
    def floor_mm(self) -> float:
        """Foam under the lowest recess, mm."""
        return self.part_zero_mm + self.shape.lowest_mm

    @property
    def covered(self) -> bool:
        """True if a cover frame lies on the tray instead of a plain cap."""
        return self.cover_mm > 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """All storeys from the bottom up, the thickness of caps and lid, and the height of it all."""

    storeys: tuple[Storey, ...]
    pad_mm: float
    divider_mm: float
    height_mm: float
    box_mm: float

    @property
    def fits(self) -> bool:
        """True if the lid closes at nominal thickness."""
        return self.height_mm <= self.box_mm + SAME_MM


def ply_boards(boards: Sequence[Board], least_mm: float) -> Plies:
    """Boards of the least sum of thicknesses that reaches a height, in the fewest plies, the thinnest lowest.

    Parameters
    ----------
    boards
        Board cards of one foam, at least one; of equal thickness the first by id is taken.
    least_mm
        Height to reach, above 0.

    Raises
    ------
    DesignError
        TRAY-020 if there is no board.

    Examples
    --------
    >>> from traywright.catalogue import load_cards
    >>> cards = load_cards()
    >>> boards = [cards.board(one) for one in ("demo-2000x1000x25", "demo-2000x1000x50")]
    >>> [thickness for _, thickness in ply_boards(boards, 110.0)]
    [25.0, 50.0, 50.0]
    """
    if not boards:
        raise DesignError("TRAY-020", foam="")
    by_thickness: dict[float, str] = {}
    for one in sorted(boards, key=lambda board: board.id):
        by_thickness.setdefault(one.thickness_mm, one.id)
    steps = {round(one / SNAP_MM): one for one in sorted(by_thickness)}
    # fewest boards for each sum in whole snap steps; the first way found to the fewest stays
    fewest: dict[int, tuple[int, ...]] = {0: ()}
    goal = max(1, math.ceil((least_mm - SAME_MM) / SNAP_MM))
    edge = {0}
    while edge:
        reached: dict[int, tuple[int, ...]] = {}
        for total in sorted(edge):
            for step in steps:
                if total < goal and total + step not in fewest:
                    reached.setdefault(total + step, (*fewest[total], step))
        fewest |= reached
        edge = set(reached)
    best = min(total for total in fewest if total >= goal)
    return tuple((by_thickness[steps[step]], steps[step]) for step in sorted(fewest[best]))


def thickness_mm(plies: Plies) -> float:
    """Sum of the boards' thicknesses, mm."""
    return round(sum(one for _, one in plies), 3)


def stack_of(asked: PackAsked, shapes: Sequence[CellShape]) -> Stack:
    """The stack of least thickness, then with the box's spare height put where foam is shortest.

    Parameters
    ----------
    asked
        The pack as asked.
    shapes
        The cell of each kind, in part order.

    Notes
    -----
    Heavy layers lie low. A cover frame has windows and cannot be the lid, so the lightest layer with a plain cap lies
    on top if there is one. As long as the box has room for another board of the thinnest kind, it goes under the part
    whose foam below falls shortest of its need; of equal ones, the first in part order. A part for which no thickness
    is enough comes after those that thickness helps. Where no part lacks foam below, the thinnest floor that is under
    the table's wish has it, and at last the base pad fills the box.
    """
    storeys = [
        _least(asked, order, kind, shape) for order, (kind, shape) in enumerate(zip(asked.kinds, shapes, strict=True))
    ]
    pad = thickness_mm(ply_boards(asked.boards, SNAP_MM))
    ordered = _ordered(storeys)
    ordered[0] = replace(ordered[0], base_mm=pad)
    stack = _stack(asked, tuple(ordered), pad)
    while stack.box_mm - stack.height_mm >= pad - SAME_MM:
        stack = _stack(asked, _filled(asked, stack.storeys, pad), pad)
    return stack


def _filled(asked: PackAsked, storeys: tuple[Storey, ...], board_mm: float) -> tuple[Storey, ...]:
    """The storeys with one more board where it does most."""
    lacking = [one for one in storeys if _shortfall(asked, one) > 1.0]
    wanted = rule(asked.rules, "floor_wanted").value
    thin = [one for one in storeys if one.floor_mm < wanted - SAME_MM]
    lowest = storeys[0]
    if lacking:
        weakest = min(lacking, key=lambda one: (math.isinf(_shortfall(asked, one)), -_shortfall(asked, one), one.order))
    elif thin:
        weakest = min(thin, key=lambda one: (round(one.floor_mm, 3), one.order))
    else:
        return (replace(lowest, base_mm=_raised(asked, lowest.base_mm, board_mm)), *storeys[1:])
    thicker = replace(weakest, thickness_mm=_raised(asked, weakest.thickness_mm, board_mm))
    return tuple(thicker if one is weakest else one for one in storeys)


def _raised(asked: PackAsked, height_mm: float, board_mm: float) -> float:
    """A height with one more board, as boards make it up."""
    return thickness_mm(ply_boards(asked.boards, height_mm + board_mm))


def _least(asked: PackAsked, order: int, kind: KindAsked, shape: CellShape) -> Storey:
    """The thinnest tray and cover that hold a part."""
    least = floor_least_mm(asked.rules, kind.pose.part).value - shape.lowest_mm + shape.top_mm
    cover = thickness_mm(ply_boards(asked.boards, shape.cover_mm)) if shape.cover_mm > 0.0 else 0.0
    thick = thickness_mm(ply_boards(asked.boards, least))
    return Storey(order=order, kind=kind, shape=shape, thickness_mm=thick, cover_mm=cover, base_mm=0.0)


def _ordered(storeys: list[Storey]) -> list[Storey]:
    """Heaviest layer first; the last one has a plain cap where any has."""
    heavy_first = sorted(storeys, key=lambda one: (-one.kind.pose.part.mass_kg * one.kind.per_kit, one.order))
    plain = [one for one in heavy_first if not one.covered]
    if plain and heavy_first[-1].covered:
        heavy_first.remove(plain[-1])
        heavy_first.append(plain[-1])
    return heavy_first


def _stack(asked: PackAsked, storeys: tuple[Storey, ...], pad_mm: float) -> Stack:
    """The stack with its height: base pad, each tray with cap or cover, a lid pad over a last cover, the divider."""
    divider = asked.divider.thickness_mm if asked.divider else 0.0
    covers = sum(one.cover_mm if one.covered else pad_mm for one in storeys)
    lid = pad_mm if storeys[-1].covered else 0.0
    height = sum(one.base_mm + one.thickness_mm for one in storeys) + covers + lid + divider
    return Stack(
        storeys=storeys,
        pad_mm=pad_mm,
        divider_mm=divider,
        height_mm=round(height, 3),
        box_mm=asked.box.inside_height_mm,
    )


def _shortfall(asked: PackAsked, storey: Storey) -> float:
    """Foam needed under a part over the foam that is there; 0 where the need is not calculated."""
    needed = needed_mm(asked.needs, storey.kind.pose.part.id, "under")
    if needed is None:
        return 0.0
    # rounded so that float noise does not decide between two equal shortfalls
    digits = round(-math.log10(TIE_RATIO))
    return needed if math.isinf(needed) else round(needed / (storey.floor_mm + storey.base_mm), digits)
