"""The loop's own figures by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.quoting.asked import loop_asked

from traywright.quoting import plan_loop


def test_loop_by_hand() -> None:
    """100 kits / 3 a pack / 5 days x 10 days = 66.67 -> 67 packs, plus 1 spare; 100 x 10 x 1 kit trips."""
    plan = plan_loop(loop_asked())
    assert plan.loop_days.value == pytest.approx(10.0)
    assert plan.pool.value == 68
    assert plan.kit_trips.value == pytest.approx(1000.0)
    assert plan.trips_per_pack.value == 5


def test_a_whole_number_of_packs_is_not_rounded_up() -> None:
    """90 kits / 3 / 5 x 10 days = 60 packs exactly: float noise must not make it 61."""
    asked = loop_asked()
    plan = plan_loop(replace(asked, kits_per_week=replace(asked.kits_per_week, value=90.0)))
    assert plan.pool.value == 61
