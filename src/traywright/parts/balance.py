"""How a part balances: mass, centre of gravity and inertia of bodies that may be of different densities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Given, Severity, finding
from traywright.base.errors import PartError
from traywright.base.units import MM_PER_M
from traywright.geometry import MassProperties

EQUAL_RATIO = 0.0001  # source: ours: moments nearer than this are one, and their axes lie anywhere in a plane
MM3_PER_M3 = MM_PER_M**3
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyWeight:
    """A body of a part: its name, what it is at density one, and its density, None where it is not known."""

    name: str
    properties: MassProperties
    density: Given | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Mass, centre of gravity and inertia of a part, in the frame of its file.

    ``inertia_kg_mm2`` is the tensor about the centre of gravity, along the frame's axes; ``principal_kg_mm2`` its
    moments, least first, and ``axes`` their unit directions. ``equal_density`` says that bodies of one part were taken
    to be of one density: the centre of gravity is then estimated.
    """

    mass_kg: float
    centre_of_gravity_mm: Triple
    inertia_kg_mm2: tuple[Triple, Triple, Triple]
    principal_kg_mm2: Triple
    axes: tuple[Triple, Triple, Triple]
    equal_density: bool = False
    findings: tuple[Finding, ...] = ()


def _triple(row: NDArray[np.float64]) -> Triple:
    x, y, z = (float(one) + 0.0 for one in row)
    return x, y, z


def _masses(part_id: str, bodies: Sequence[BodyWeight], mass_kg: float | None) -> tuple[NDArray[np.float64], bool]:
    """Mass of each body, kg, and whether bodies were taken to be of one density.

    Raises
    ------
    PartError
        PART-015 if neither a mass nor a density is known.
    """
    volumes = np.array([one.properties.volume_mm3 for one in bodies]) / MM3_PER_M3
    known = np.array([one.density is not None for one in bodies])
    own = np.array([0.0 if one.density is None else one.density.value for one in bodies]) * volumes
    if known.all():
        return own * (1.0 if mass_kg is None else mass_kg / own.sum()), False
    if mass_kg is None and not known.any():
        raise PartError("PART-015", part=part_id)
    if mass_kg is None:  # bodies of no known density are as dense as those of known density together
        return np.where(known, own, volumes * own.sum() / volumes[known].sum()), True
    rest_kg = mass_kg - float(own.sum())
    if known.any() and rest_kg > 0.0:
        return np.where(known, own, volumes * rest_kg / volumes[~known].sum()), int((~known).sum()) > 1
    return volumes * mass_kg / volumes.sum(), len(bodies) > 1


def _principal(tensor: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Principal moments, least first, and their axes; where moments are equal, axes lie along the frame's."""
    moments, columns = np.linalg.eigh(tensor)
    axes = np.empty((3, 3))
    start = 0
    while start < 3:
        same = np.nonzero(np.abs(moments - moments[start]) <= EQUAL_RATIO * moments[2])[0]
        space = columns[:, same[same >= start]]
        onto = space @ space.T
        for row in range(start, start + space.shape[1]):
            spans = np.linalg.norm(onto, axis=0)
            axis = onto[:, int(np.argmax(np.round(spans, 6)))]
            axis = axis / np.linalg.norm(axis)
            largest = int(np.argmax(np.round(np.abs(axis), 6)))
            axes[row] = axis * np.sign(axis[largest])
            onto -= np.outer(onto @ axis, axis)
        start += space.shape[1]
    return moments, axes


def balance(part_id: str, bodies: Sequence[BodyWeight], mass_kg: float | None = None) -> Balance:
    """Mass, centre of gravity and inertia of a part of one or several bodies.

    Parameters
    ----------
    part_id
        Named in errors and findings.
    bodies
        At least one; they do not overlap.
    mass_kg
        The mass of all as stated, None if it is not. Where all densities are known they are scaled to it; where some
        are, the others share what is left, at one density.

    Raises
    ------
    PartError
        PART-015 if neither a mass nor a density is known.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded, mass_properties
    >>> block = mass_properties(extruded(Region.rectangle(0, 0, 60, 30), 0.0, 20.0))
    >>> told = balance("block", (BodyWeight(name="block", properties=block),), 0.12)
    >>> [round(one, 6) for one in told.principal_kg_mm2], told.axes[0]
    ([13.0, 40.0, 45.0], (1.0, 0.0, 0.0))
    """
    masses, equal = _masses(part_id, bodies, mass_kg)
    centres = np.array([one.properties.centre_mm for one in bodies])
    total_kg = float(masses.sum())
    centre = masses @ centres / total_kg
    tensor = np.zeros((3, 3))
    for kg, own, at in zip(masses, bodies, centres, strict=True):
        arm = at - centre
        tensor += kg / own.properties.volume_mm3 * np.array(own.properties.inertia_mm5)
        tensor += kg * (arm @ arm * np.eye(3) - np.outer(arm, arm))
    moments, axes = _principal(tensor)
    noticed = (finding("PART-126", Severity.NOTE, (part_id,), part=part_id, count=len(bodies)),) if equal else ()
    rows, lines = [_triple(row) for row in tensor], [_triple(row) for row in axes]
    return Balance(
        mass_kg=total_kg,
        centre_of_gravity_mm=_triple(centre),
        inertia_kg_mm2=(rows[0], rows[1], rows[2]),
        principal_kg_mm2=_triple(moments),
        axes=(lines[0], lines[1], lines[2]),
        equal_density=equal,
        findings=noticed,
    )
