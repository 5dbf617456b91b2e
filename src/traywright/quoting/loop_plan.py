"""How long a pack is away, how many packs the loop holds, how many kit trips they carry."""

from __future__ import annotations

import math
from dataclasses import dataclass

from traywright.base import Figure, Given, derive
from traywright.base.tolerance import TIE_RATIO


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopAsked:
    """Terms of the loop as given; ``days`` are the legs', stays' and queue's working days."""

    kits_per_week: Given
    weeks_per_year: Given
    years: Given
    days: tuple[Given, ...]
    spare_packs: Given
    kits_per_pack: Given
    working_days_per_week: Given


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopPlan:
    """The loop in figures: days of a trip, packs in it, kit trips asked over the years, trips one pack can make."""

    loop_days: Figure
    pool: Figure
    kit_trips: Figure
    trips_per_pack: Figure

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All four figures."""
        return (self.loop_days, self.pool, self.kit_trips, self.trips_per_pack)


def plan_loop(asked: LoopAsked) -> LoopPlan:
    """The loop's own figures by Little's law: packs in the loop = rate times time away.

    Parameters
    ----------
    asked
        Terms of the loop, each above 0 (spares may be 0).

    Returns
    -------
    LoopPlan
        Pool is rounded up and has the spares on top; no spread and no stock-out chance is calculated.

    References
    ----------
    Little, J. D. C., Operations Research 9(3), 1961, 383-387 (L = lambda W, from memory).
    """
    loop_days = derive(
        "quoting/loop/days",
        sum(one.value for one in asked.days),
        "days",
        what="loop time",
        method="sum of legs, stays and queue",
        inputs=asked.days,
    )
    packs_a_day = asked.kits_per_week.value / asked.kits_per_pack.value / asked.working_days_per_week.value
    pool = derive(
        "quoting/loop/pool",
        float(math.ceil(packs_a_day * loop_days.value * (1.0 - TIE_RATIO)) + int(asked.spare_packs.value)),
        "pack",
        what="packs in the loop with spares",
        method="rate times loop time, rounded up, plus spares; no spread",
        inputs=(
            asked.kits_per_week,
            asked.kits_per_pack,
            asked.working_days_per_week,
            loop_days,
            asked.spare_packs,
        ),
    )
    kit_trips = derive(
        "quoting/loop/kit_trips",
        asked.kits_per_week.value * asked.weeks_per_year.value * asked.years.value,
        "kit trip",
        what="kit trips over the years",
        method="kits a week times weeks times years",
        inputs=(asked.kits_per_week, asked.weeks_per_year, asked.years),
    )
    working_days = asked.weeks_per_year.value * asked.years.value * asked.working_days_per_week.value
    trips = derive(
        "quoting/loop/trips_per_pack",
        float(math.floor(working_days / loop_days.value)),
        "trip",
        what="most trips of one pack",
        method="working days over loop time",
        inputs=(asked.weeks_per_year, asked.years, asked.working_days_per_week, loop_days),
    )
    return LoopPlan(loop_days=loop_days, pool=pool, kit_trips=kit_trips, trips_per_pack=trips)
