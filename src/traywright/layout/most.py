"""The most copies that are found: from regular rows upward, one copy or one kit more at a time."""

from __future__ import annotations

from collections.abc import Sequence

from traywright.layout.apart import PLACES_A_ROUND, Apart
from traywright.layout.asked import LayoutAsked
from traywright.layout.inward import heavier_inward
from traywright.layout.lattice_start import lattice_start
from traywright.layout.no_fit import Pose, Raster, on_raster, poses_of, raster_of, to_raster
from traywright.layout.offer import Effort, Placement
from traywright.layout.place import same_turn
from traywright.layout.round_outlines import more_discs
from traywright.layout.row_states import Steps
from traywright.layout.settle import Settle

NEARLY_MM = 8.0
"""Sum of overlaps up to which all copies are moved at once."""  # source: own trials, half of them come to stand
PLACES_A_JOINT_MOVE = 300_000
"""What moving all at once counts for, in places weighed."""  # source: own timing


def most_copies(
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
        How long to look, at each shared angle.
    """
    best = tuple(start)
    if len(best) + asked.kit_size > bound or not effort.rounds:
        return best
    for base_deg in bases_deg:
        best = lattice_start(asked, base_deg, len(best)) or best
    discs = more_discs(asked, best, bound, effort)
    if discs is not None:
        return discs
    for base_deg in bases_deg:
        best = _Climb(asked, base_deg, step_mm).up_from(best, bound, effort)
    return best


class _Climb:
    """The search at one shared angle."""

    __slots__ = ("_apart", "_asked", "_poses", "_raster", "_settle")

    def __init__(self, asked: LayoutAsked, base_deg: float, step_mm: float) -> None:
        turns = sorted({(turn + base_deg) % 360.0 for turn in asked.turns_deg})
        self._asked, self._settle = asked, Settle(asked)
        self._poses: tuple[Pose, ...] = poses_of(asked, turns)
        self._raster: Raster = raster_of(asked, self._poses, step_mm)
        first = [len(turns) * kind for kind in range(len(asked.kinds))]
        self._apart = Apart(self._raster, first, [one + len(turns) for one in first])

    def up_from(self, start: tuple[Placement, ...], bound: int, effort: Effort) -> tuple[Placement, ...]:
        """The start, or a layout with more copies."""
        asked = self._asked
        kit = [number for number, kind in enumerate(asked.kinds) for _ in range(kind.in_kit)]
        best, places = start, effort.rounds * PLACES_A_ROUND
        while len(best) + asked.kit_size <= bound and places > 0:
            wanted = kit * (len(best) // asked.kit_size + 1)
            found, weighed = self._one_more(self._steps(best), wanted, places, effort.seed + len(wanted))
            places -= weighed
            if not found:
                break
            best = found
        return self._settled(best, effort) if len(best) > len(start) else start

    def _one_more(
        self, standing: Sequence[Steps], wanted: Sequence[int], places: int, seed: int
    ) -> tuple[tuple[Placement, ...], int]:
        """The copies wanted, all apart, or nothing; and the places weighed."""
        spent = 0
        for copies, left_mm, weighed in self._apart.tries(standing, wanted, places, seed):
            spent += weighed
            if left_mm <= 0.0:
                return self._placed(copies), spent
            if left_mm <= NEARLY_MM:
                spent += PLACES_A_JOINT_MOVE
                found = self._settle.settled(self._placed(copies))
                if found:
                    return found, spent
            if spent >= places:
                break
        return (), spent

    def _placed(self, copies: Sequence[Steps]) -> tuple[Placement, ...]:
        return tuple(on_raster(self._asked, self._poses, self._raster, one) for one in copies)

    def _steps(self, start: Sequence[Placement]) -> tuple[Steps, ...]:
        """A start on this raster; nothing if it stands at another shared angle."""
        turns = {one.turn_deg for one in self._poses}
        if not all(any(same_turn(one.turn_deg, turn) for turn in turns) for one in start):
            return ()
        return tuple(to_raster(self._asked, self._poses, self._raster, one) for one in start)

    def _settled(self, best: tuple[Placement, ...], effort: Effort) -> tuple[Placement, ...]:
        """The copies with the heavier ones further in, where masses differ."""
        masses = [self._asked.kinds[one.kind].mass_kg for one in self._poses]
        if max(masses) <= min(masses):
            return best
        container = self._asked.container
        left, front = self._raster.origin_mm
        middle = (
            (container.width_mm / 2.0 - left) / self._raster.step_mm,
            (container.depth_mm / 2.0 - front) / self._raster.step_mm,
        )
        copies = self._steps(best)
        found = heavier_inward(self._apart, copies, masses.__getitem__, middle, effort.seed)
        return best if found == copies else self._placed(found)
