"""A part: its solid, its mass, and what may touch it where."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from traywright.base import Figure, Given
from traywright.geometry import Mesh
from traywright.parts.states import GrownSkin, PartState


class Rule(IntEnum):
    """What foam may do at a spot of the surface; the larger number is the stricter rule."""

    ALLOWED = 0
    NOT_AT_REST = 1
    NEVER = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactRule:
    """One line of the contact map; ``where`` holds the enquiry's keys with their values (see ``contact``)."""

    rule: Rule
    where: tuple[tuple[str, object], ...]
    must_hold: bool = False
    load: bool = True
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """The part's surface cut so fine that one triangle has one rule.

    ``rules`` has one ``Rule`` number a triangle of ``mesh``; a triangle that a stricter rule touches has it.
    ``faces`` numbers the face of the solid that a triangle belongs to; ``carries`` is False where foam may touch but
    must not carry, ``must_hold`` is True where a contact of the enquiry says that this spot carries the part.
    """

    mesh: Mesh
    rules: NDArray[np.int8]
    faces: NDArray[np.int32]
    carries: NDArray[np.bool_]
    must_hold: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """A part as it was understood, in the frame of its file (mm).

    ``solid`` is the closed mesh as read; ``chord_mm`` is how far it may lie inside the true surface;
    ``mass`` is given, or a figure worked out from density and volume; ``mass`` and ``fragility`` carry their ground;
    fragility is None where the customer does not know it. ``mends`` are the codes of what was mended on reading.
    ``states`` are those besides raw; ``grown`` is where they add material place by place.
    """

    id: str
    name: str
    revision: str
    solid: Mesh
    surface: Surface
    sha256: str
    unit_read: str
    watertight: bool
    chord_mm: float
    volume_mm3: float
    mass: Given | Figure
    fragility: Given | None
    centre_of_gravity_mm: tuple[float, float, float]
    size_mm: tuple[float, float, float]
    tolerance_mm: float
    static_sensitive: bool
    stack_over_fragile: bool
    mends: tuple[str, ...] = ()
    states: tuple[PartState, ...] = ()
    grown: tuple[GrownSkin, ...] = ()

    @property
    def mass_kg(self) -> float:
        """Mass in kg."""
        return self.mass.value


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pose:
    """A part as it lies: turned so that ``down`` points to -z.

    Pose frame: z 0 at the part's lowest point, x and y 0 at the middle of its bounding box in plan, mm.
    ``solid`` and ``surface`` are in that frame; ``turn`` is the 3x3 rotation from the file's frame and ``shift_mm``
    what is added after it.
    """

    part: Part
    index: int
    down: tuple[float, float, float]
    turn: tuple[tuple[float, float, float], ...]
    shift_mm: tuple[float, float, float]
    solid: Mesh
    surface: Surface
    centre_of_gravity_mm: tuple[float, float, float]
    size_mm: tuple[float, float, float]
