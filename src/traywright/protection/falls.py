"""Each way a part may fall in the closed pack, with where it lands at both rates of the cell gas."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from traywright.base import Figure, Given
from traywright.base.tolerance import PROTECTION_CELL_MM, SAME_MM
from traywright.catalogue import Foam
from traywright.parts import Pose
from traywright.parts.part import Rule
from traywright.protection.drops import DropCase
from traywright.protection.gas_model import QUICK_RATIO, SLOW_RATIO, curve_of
from traywright.protection.landing import Columns, Landing, land
from traywright.protection.rays import Rays, rays_of
from traywright.protection.scan import Scans
from traywright.protection.surroundings import Surroundings
from traywright.protection.wall_need import DIRECTIONS


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """Where a part lands from one height: at the slow and at the quick rate."""

    case: DropCase
    slow: Landing
    quick: Landing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fall:
    """One part kind falling one way, for all cells with equal surroundings.

    ``landings`` is empty where no foam is ahead or the foam has no curve.
    """

    part: str
    pose: Pose
    direction: str
    cells: tuple[str, ...]
    rays: Rays
    columns: Columns
    landings: tuple[Landings, ...]

    @property
    def mass(self) -> Given | Figure:
        """Mass of the part."""
        return self.pose.part.mass

    def to_part_mm(self) -> float:
        """Least distance straight ahead to another part, mm; infinite where none is ahead."""
        return _least(self.rays.end_mm[self.rays.end >= 0])

    def to_hard_mm(self) -> float:
        """Least distance straight ahead, where there is no foam, to a divider or the edge of the stack, mm."""
        bare = (self.rays.end < 0) & (self.rays.foam_mm <= SAME_MM)
        return _least(self.rays.end_mm[bare])

    def clear_mm(self, rule: Rule) -> float:
        """Least air ahead of spots with a rule, mm: to foam, else to what is hard; infinite where no spot has it."""
        of_rule = self.rays.rules == rule
        return _least(np.minimum(self.rays.near_mm, self.rays.end_mm)[of_rule])


def _least(values: np.typing.NDArray[np.float64]) -> float:
    """Least of some lengths, infinite for none."""
    return float(values.min()) if values.size else float("inf")


def falls_of(around: Surroundings, foam: Foam, cases: tuple[DropCase, ...]) -> tuple[Fall, ...]:
    """Every part kind falling every way, cells of equal surroundings together.

    Parameters
    ----------
    around
        The closed pack.
    foam
        Grade of the trays.
    cases
        Heights to fall from.

    Returns
    -------
    tuple of Fall
        In the order of first cell, then direction. A part turned by no whole quarter has no level falls.
    """
    scans = Scans(around.slabs)
    groups: dict[tuple[str, str, bytes], list[str]] = {}
    first: dict[tuple[str, str, bytes], tuple[Pose, Rays]] = {}
    for place in around.places:
        for direction in DIRECTIONS:
            rays = rays_of(place, direction, around, scans=scans, cell_mm=PROTECTION_CELL_MM)
            if rays is not None:
                key = (place.part, direction, rays.key())
                groups.setdefault(key, []).append(place.cell)
                first.setdefault(key, (place.pose, rays))
    found = []
    for key, cells in groups.items():
        pose, rays = first[key]
        columns = rays.columns()
        found.append(
            Fall(
                part=key[0],
                pose=pose,
                direction=key[1],
                cells=tuple(dict.fromkeys(cells)),
                rays=rays,
                columns=columns,
                landings=_landings(columns, foam, cases, mass_kg=pose.part.mass_kg),
            )
        )
    return tuple(found)


def _landings(columns: Columns, foam: Foam, cases: tuple[DropCase, ...], *, mass_kg: float) -> tuple[Landings, ...]:
    """Landings from every height."""
    if not foam.has_curve or not columns.total_mm2 > 0.0:
        return ()
    slow, quick = curve_of(foam, SLOW_RATIO), curve_of(foam, QUICK_RATIO)
    return tuple(
        Landings(
            case=case,
            slow=land(columns, slow, mass_kg=mass_kg, drop_mm=case.height.value),
            quick=land(columns, quick, mass_kg=mass_kg, drop_mm=case.height.value),
        )
        for case in cases
    )
