"""Machine and cutters as a solid sheet lets them work: its own feed, spindle speed and step down."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

from traywright.catalogue.cards import Cutter, Machine, Solid

ROUNDED_RATIO = 0.98
"""Share of the steepest ramp that is planned: a step of 0.2 mm printed with four decimals is at most 2 % steeper."""


def machine_for(machine: Machine, solid: Solid | None) -> Machine:
    """The machine at the feed and spindle speed of what it cuts: for plan, program and times alike.

    Parameters
    ----------
    machine
        The machine; its own feed and speed are those of foam and bound every other.
    solid
        What the board is of; None: foam, and the machine stays as it is.

    Examples
    --------
    >>> from traywright.catalogue import load_cards
    >>> cards = load_cards(None)
    >>> machine_for(cards.machine("demo-router-1300"), cards.solid("hdpe")).feed_mm_per_s
    50.0
    """
    if solid is None:
        return machine
    return dataclasses.replace(
        machine,
        feed_mm_per_s=float(min(machine.feed_mm_per_s, solid.feed_mm_per_s)),
        spindle_rpm=float(min(machine.spindle_rpm, solid.spindle_rpm)),
    )


def cutters_for(cutters: Mapping[int, Cutter], solid: Solid | None) -> Mapping[int, Cutter]:
    """Cutters with the step down that a solid allows.

    Parameters
    ----------
    cutters
        Cutters by their number on the machine.
    solid
        What the board is of; None: foam.
    """
    if solid is None:
        return cutters
    return {
        number: dataclasses.replace(one, step_down_mm=min(one.step_down_mm, solid.step_down_ratio * one.diameter_mm))
        for number, one in cutters.items()
    }


def slope_ratio_of(solid: Solid | None) -> float:
    """Height over way of the steepest entry; 0 for foam, which is plunged into.

    Parameters
    ----------
    solid
        What the board is of; None: foam.
    """
    return 0.0 if solid is None else ROUNDED_RATIO * math.tan(math.radians(solid.ramp_deg))
