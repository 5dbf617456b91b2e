"""States of a part checked and laid on its surface, and what is to be told of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from traywright.base import Finding, Given, Severity, Status, finding, text
from traywright.base.errors import PartError
from traywright.base.tolerance import TIE_RATIO
from traywright.parts.asked import PartAsked
from traywright.parts.contact import Skin, pieces_at
from traywright.parts.states import RAW, GrownSkin, PartState

MOST_ADDED_MM = 100.0  # source: ours: no coating and no bag is that thick, a larger number is a slip of unit
COLDEST_C = -273.15  # source: absolute zero, by definition
HOTTEST_C = 2000.0  # source: ours: foam ends far below
MOST_PER_K = 0.01  # source: ours: no solid grows by a hundredth a kelvin


def _numbers(state: PartState) -> Iterator[tuple[str, float, float, float]]:
    """Each number of a state with its key and the limits it must keep."""
    yield "added_mm", state.added_mm, 0.0, MOST_ADDED_MM
    yield "bag_mm", state.bag_mm, 0.0, MOST_ADDED_MM
    for one in state.added:
        yield "added.mm", one.added_mm, 0.0, MOST_ADDED_MM
    told: tuple[tuple[str, Given | None, float, float], ...] = (
        ("mass_kg", state.mass, 0.0, math.inf),
        ("temperature_c", state.temperature, COLDEST_C, HOTTEST_C),
        ("expansion_per_k", state.expansion, 0.0, MOST_PER_K),
    )
    for key, given, low, high in told:
        if given is not None:
            yield key, given.value, low, high


def _checked(asked: PartAsked) -> None:
    """Refuse a number that cannot be meant, and two states of one name.

    Raises
    ------
    PartError
        PART-114.
    """
    seen = {RAW}
    for state in asked.states:
        if not state.name or state.name in seen:
            raise PartError("PART-114", part=asked.id, state=state.name, key="name", value=state.name)
        seen.add(state.name)
        for key, value, low, high in _numbers(state):
            if not (math.isfinite(value) and low <= value <= high) or (key == "mass_kg" and value <= 0.0):
                raise PartError("PART-114", part=asked.id, state=state.name, key=key, value=str(value))


def _told(asked: PartAsked, state: PartState, raw_kg: float) -> Iterator[Finding]:
    """What a state leaves open: a size or mass that is not calculated, an expansion that was not told."""
    told: dict[str, Any] = {"part": asked.id, "state": state.name}
    if state.is_hot and state.expansion is None:
        yield finding("PART-112", Severity.WARN, (asked.id,), what_left=text("state_left", "expansion"), **told)
    elif state.is_hot and state.expansion is not None and state.expansion.status >= Status.MEMORY:
        grown_mm = 1000.0 * (state.size_ratio - 1.0)
        yield finding("PART-116", Severity.NOTE, (asked.id,), grown_mm=round(grown_mm, 3), **told)
    if state.wet and state.mass is None:
        yield finding("PART-112", Severity.WARN, (asked.id,), what_left=text("state_left", "wet_mass"), **told)
    if state.mass is not None and state.mass.value > raw_kg * (1.0 + TIE_RATIO):
        masses: dict[str, Any] = {"mass_kg": round(state.mass.value, 4), "raw_kg": round(raw_kg, 4)}
        yield finding("PART-113", Severity.WARN, (asked.id,), **masses, **told)


def grown_skins(asked: PartAsked, skin: Skin, raw_kg: float) -> tuple[tuple[GrownSkin, ...], tuple[Finding, ...]]:
    """Where each state adds material place by place, and what is to be told of the states.

    Parameters
    ----------
    asked
        The part with its states.
    skin
        Closed mesh with its faces, mm, frame of the file.
    raw_kg
        Mass of the raw part.

    Returns
    -------
    tuple
        Skins in the order of the states; findings PART-112, PART-113, PART-115, PART-116, and PART-100 to PART-103 of
        named faces.

    Raises
    ------
    PartError
        PART-114 for a number that cannot be meant or a name that stands twice; PART-011, PART-012 or PART-013 for a
        ``where`` that cannot be read.
    """
    _checked(asked)
    found: list[GrownSkin] = []
    noticed: list[Finding] = []
    for state in asked.states:
        noticed += _told(asked, state, raw_kg)
        for number, one in enumerate(state.added, start=1):
            corners, rules, placed = pieces_at(asked.id, skin, asked.contacts, asked.default_rule, one.where)
            noticed += placed
            if len(corners):
                found.append(GrownSkin(state=state.name, corners_mm=corners, rules=rules, added_mm=one.added_mm))
            elif not placed:
                told: dict[str, Any] = {"part": asked.id, "state": state.name, "number": number}
                noticed.append(finding("PART-115", Severity.WARN, (asked.id,), **told))
    return tuple(found), tuple(noticed)
