"""The most copies that are found: from regular rows upward, one copy or one kit more at a time."""

from __future__ import annotations

from collections.abc import Sequence

from traywright.layout.apart import Apart
from traywright.layout.asked import LayoutAsked
from traywright.layout.fill import filled
from traywright.layout.inward import heavier_inward
from traywright.layout.no_fit import Pose, Raster, on_raster, poses_of, raster_of, same_turn, to_raster
from traywright.layout.offer import Effort, Placement
from traywright.layout.row_states import Steps


def most_copies(  # reason: a start, a raster, an end and an effort are one search
    asked: LayoutAsked,
    bases_deg: Sequence[float],
    start: Sequence[Placement],
    step_mm: float,
    bound: int,
    effort: Effort,
) -> tuple[Placement, ...]:
    """A layout with more copies than the start, if one is found, else the start.

    Parameters
    ----------
    asked
        The question.
    bases_deg
        Angles that all turns may share, each tried.
    start
        A layout that stands.
    step_mm
        Step of the raster.
    bound
        Copies that no layout can beat.
    effort
        How long to look for each further copy.
    """
    best = tuple(start)
    for base_deg in bases_deg:
        best = _Climb(asked, base_deg, step_mm).up_from(best, bound, effort)
    return best


class _Climb:
    """The search at one shared angle."""

    __slots__ = ("_apart", "_asked", "_poses", "_raster")

    def __init__(self, asked: LayoutAsked, base_deg: float, step_mm: float) -> None:
        turns = sorted({(turn + base_deg) % 360.0 for turn in asked.turns_deg})
        self._asked = asked
        self._poses: tuple[Pose, ...] = poses_of(asked, turns)
        self._raster: Raster = raster_of(asked, self._poses, step_mm)
        first = [len(turns) * kind for kind in range(len(asked.kinds))]
        self._apart = Apart(self._raster, first, [one + len(turns) for one in first])

    def up_from(self, start: tuple[Placement, ...], bound: int, effort: Effort) -> tuple[Placement, ...]:
        """The start, or a layout with more copies."""
        asked = self._asked
        kit = [number for number, kind in enumerate(asked.kinds) for _ in range(kind.in_kit)]
        ends = min(bound, asked.kits_most * asked.kit_size) if asked.kits_most else bound
        standing = self._steps(start)
        placed, found = len(start), standing
        while placed + asked.kit_size <= ends:
            one_more = self._one_more(standing, kit * (placed // asked.kit_size + 1), effort)
            if not one_more:
                break
            if len(asked.kinds) == 1 and asked.kit_size == 1:
                one_more = filled(self._raster, one_more, ends)
            standing, found, placed = one_more, one_more, len(one_more)
        if placed == len(start):
            return start
        settled = self._settled(found, effort)
        return tuple(on_raster(asked, self._poses, self._raster, one) for one in settled)

    def _steps(self, start: Sequence[Placement]) -> tuple[Steps, ...]:
        """A start on this raster; nothing if it stands at another shared angle."""
        turns = {one.turn_deg for one in self._poses}
        if not all(any(same_turn(one.turn_deg, turn) for turn in turns) for one in start):
            return ()
        return tuple(to_raster(self._asked, self._poses, self._raster, one) for one in start)

    def _one_more(self, standing: Sequence[Steps], wanted: Sequence[int], effort: Effort) -> tuple[Steps, ...]:
        """The copies wanted, all apart, or nothing."""
        for copies, left_mm in self._apart.tries(standing, wanted, effort.rounds, effort.seed):
            if left_mm <= 0.0:
                return copies
        return ()

    def _settled(self, copies: tuple[Steps, ...], effort: Effort) -> tuple[Steps, ...]:
        """The copies with the heavier ones further in, where masses differ."""
        masses = [self._asked.kinds[one.kind].mass_kg for one in self._poses]
        if max(masses) <= min(masses):
            return copies
        container = self._asked.container
        middle = (container.width_mm / 2.0 / self._raster.step_mm, container.depth_mm / 2.0 / self._raster.step_mm)
        return heavier_inward(self._apart, copies, masses.__getitem__, middle, effort.seed)
