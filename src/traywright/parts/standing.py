"""How a part stands in its other states on the floors that are made for it raw."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from traywright.parts.faces import FLAT_RATIO, normals_of
from traywright.parts.heights import LEVEL_CELL_MM, resting_levels
from traywright.parts.part import Pose
from traywright.parts.states import PartState

KEPT_ANSWERS = 64


def larger_states(pose: Pose) -> tuple[PartState, ...]:
    """States in which the part is larger than raw, in the order of the enquiry.

    Parameters
    ----------
    pose
        The part as it lies.
    """
    return tuple(one for one in pose.part.states if one.grows)


def placed_mm(pose: Pose, corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points of the file's frame in the pose frame.

    Parameters
    ----------
    pose
        The part as it lies.
    corners
        Array whose last axis is x, y, z in the frame of the file.
    """
    placed: NDArray[np.float64] = np.round(corners @ np.array(pose.turn).T + np.array(pose.shift_mm), 6) + 0.0
    return placed


def _added_under_mm(pose: Pose, state: PartState, bottom_mm: float) -> float:
    """What a state adds under the seat at a height, all round and on the place itself."""
    local_mm = 0.0
    for one in pose.part.grown:
        if one.state == state.name:
            corners = placed_mm(pose, one.corners_mm)
            down = normals_of(corners)[0][:, 2] < -FLAT_RATIO
            level = np.abs(corners[:, :, 2].min(axis=1) - bottom_mm) <= LEVEL_CELL_MM
            local_mm = max(local_mm, one.added_mm if bool((down & level).any()) else 0.0)
    return state.wider_mm + local_mm


def lift_mm(pose: Pose, state: PartState) -> float:
    """How much higher than the raw part a part stands in a state, on the same floors; below 0 where it sinks.

    Parameters
    ----------
    pose
        The part as it lies.
    state
        One of its states.

    Notes
    -----
    Floors stand where the raw part rests (``seat_levels``). What is added under a seat lifts the part, what is added
    elsewhere does not. A hot part grows from its origin, so that a seat further up rises with it; the seat that is met
    first carries.
    """
    return _lifts(pose)[state.name]


@lru_cache(maxsize=KEPT_ANSWERS)
def _lifts(pose: Pose) -> dict[str, float]:
    """The lift of each state by its name."""
    seats = resting_levels(pose) or (0.0,)
    return {
        state.name: max(_added_under_mm(pose, state, one) - one * (state.size_ratio - 1.0) for one in seats)
        for state in pose.part.states
    }
