"""The mass of what a part's file holds: by density, by the scale, and whether the two agree."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Finding, Given
from traywright.base.units import MM_PER_M
from traywright.geometry import mass_properties
from traywright.parts import (
    Balance,
    BodyWeight,
    Examined,
    PartQuestion,
    WeighedAsked,
    balance,
    normals_of,
    true_properties,
    weighed,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMass:
    """What the bodies weigh that are likely parts: at what density each, and how they balance together.

    ``density_kg_m3`` is None where neither a density nor a mass is known; ``balance`` then too.
    """

    density_kg_m3: float | None = None
    balance: Balance | None = None
    findings: tuple[Finding, ...] = ()
    questions: tuple[PartQuestion, ...] = ()


def _volume_error_mm3(told: Examined) -> float:
    """What chords may hide of the parts' volume, where the true surface is not known."""
    chord_mm = told.shape.chord_mm
    open_to_doubt = [one for one in told.shape.bodies if one.missing is None]
    return chord_mm * sum(float(normals_of(one.mesh.corners_mm)[1].sum()) for one in open_to_doubt)


def mass_of(
    part_id: str,
    told: Examined,
    *,
    density: Given | None,
    mass: Given | None,
    materials: tuple[tuple[str, float], ...] = (),
) -> PartMass:
    """The mass of a file's parts.

    Parameters
    ----------
    part_id
        Named in findings.
    told
        The file as it was understood.
    density, mass
        As stated; with both they are held against each other.
    materials
        Names and densities (kg/m3) that may explain a conflict.
    """
    if density is None and mass is None:
        return PartMass(questions=(PartQuestion(field="mass_kg", asks="mass_unknown"),))
    kept = [one for one in told.groups if one.likely == "part"]
    sizes = [(one.body.name, one.body.properties.volume_mm3, len(one.names)) for one in kept]
    volume_mm3 = sum(each * count for _, each, count in sizes)
    dropped = tuple(
        (name, one.body.properties.volume_mm3) for one in told.groups if one.likely != "part" for name in one.names
    )
    weight = weighed(
        WeighedAsked(
            id=part_id,
            volume_mm3=volume_mm3,
            volume_error_mm3=_volume_error_mm3(told),
            density=density,
            mass=mass,
            materials=materials,
            bodies=tuple((name, each) for name, each, count in sizes for _ in range(count)),
            dropped=dropped,
        )
    )
    members = sorted(number for one in kept for number in one.members)
    bodies = tuple(
        BodyWeight(name=one.name, properties=true_properties(mass_properties(one.mesh), one.missing))
        for one in (told.shape.bodies[number] for number in members)
    )
    together = balance(part_id, bodies, weight.mass.value)
    return PartMass(
        density_kg_m3=weight.mass.value / volume_mm3 * MM_PER_M**3,
        balance=together,
        findings=(*weight.findings, *together.findings),
        questions=weight.questions,
    )
