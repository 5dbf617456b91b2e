"""What a file holds: its bodies in millimetres, with what had to be asked and what was noticed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding
from traywright.geometry import Mesh, Region
from traywright.parts.question import PartQuestion
from traywright.parts.true_volume import Missing


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerHeight:
    """How far a layer of an outline drawing stands above the plate (below it if negative), or that it goes through."""

    layer: str
    height_mm: float
    through: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerTold:
    """One layer: its loops, their area (holes of the layer off it), their length in all, and what it was taken as.

    ``taken`` is outline, added, step, hole or mark.
    """

    name: str
    loops: int
    area_mm2: float
    perimeter_mm: float
    taken: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeAsked:
    """What is said of a file beside its content.

    ``length_unit`` is file or a unit; ``mass_kg`` and ``thickness_mm`` are None where they are not stated;
    ``turned`` says that an outline is the half section of a turned part. Of a photograph ``square_mm`` is the side of
    the printed square, ``line_mm`` what the marker sheet's line of 100 mm measures on the print.
    """

    id: str
    file_name: str
    length_unit: str = "file"
    mass_kg: float | None = None
    thickness_mm: float | None = None
    heights: tuple[LayerHeight, ...] = ()
    turned: bool = False
    square_mm: float = 60.0
    line_mm: float = 100.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClosedBody:
    """One closed body of a file, mm.

    ``faces`` is the file's face of each triangle (empty where the file has none), ``kinds`` the kinds of the faces as
    the file tells them; ``mends`` are codes of what was mended, ``deviation_mm`` how far a mend may lie off;
    ``missing`` is what the mesh lacks to the true surface, where the file tells that surface.
    """

    name: str
    mesh: Mesh
    faces: NDArray[np.int64]
    kinds: tuple[tuple[int, str], ...] = ()
    mends: tuple[str, ...] = ()
    deviation_mm: float = 0.0
    missing: Missing | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """The shape that a file holds.

    ``unit_told`` is the unit that the file states, or empty; ``unit`` the one that was taken; ``chord_mm`` how far the
    meshes may lie inside the true surface. A drawing or photograph also has its plan and layers, and how far the
    plan may be off; without a thickness it has no bodies.
    """

    kind: str
    sha256: str
    unit_told: str
    unit: str
    bodies: tuple[ClosedBody, ...]
    chord_mm: float
    questions: tuple[PartQuestion, ...] = ()
    findings: tuple[Finding, ...] = ()
    plan: Region | None = None
    layers: tuple[LayerTold, ...] = ()
    plus_minus_mm: float = 0.0
