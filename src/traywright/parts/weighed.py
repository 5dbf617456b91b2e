"""The mass of a part: stated, or density times volume, and what would explain that the two do not agree."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from traywright.base import Figure, Finding, Given, Limit, Severity, Status, derive, finding
from traywright.base.errors import PartError
from traywright.base.units import KG_PER_LB, MM_PER_INCH, MM_PER_M
from traywright.parts.question import PartQuestion

SILENT_RATIO = 0.02  # source: common practice, no source: a scale and a drawing agree to this
CONFLICT_RATIO = 0.10  # source: common practice, no source: beyond a tenth one of the two is wrong
MATERIAL_RATIO = 0.05  # source: ours: alloys of one kind differ by less
MOST_MATERIALS = 3
MOST_AT_ONCE = 24  # source: ours: more parts are not laid on one scale
MM3_PER_M3 = MM_PER_M**3
LIMITS = ((SILENT_RATIO, Severity.NOTE, "PART-124"), (CONFLICT_RATIO, Severity.WARN, "PART-125"))

LENGTHS = (MM_PER_INCH, 10.0, MM_PER_M, 12.0 * MM_PER_INCH)
"""How many times too long or short a part is read where inch, cm, m or foot stand for mm."""
MASSES_KG = (("g", 1.0 / 1000.0), ("lb", KG_PER_LB))


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedAsked:
    """What is known of a part's mass.

    ``volume_error_mm3`` is how much the volume may be off (mends, chords); ``materials`` are names with densities in
    kg/m3 that may explain a conflict; ``bodies`` are names and volumes in mm3 of the bodies that the volume is the sum
    of, ``dropped`` of those that were left out as fasteners.
    """

    id: str
    volume_mm3: float
    volume_error_mm3: float = 0.0
    density: Given | None = None
    mass: Given | None = None
    materials: tuple[tuple[str, float], ...] = ()
    bodies: tuple[tuple[str, float], ...] = ()
    dropped: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """The mass that is taken, with what was noticed and what must be asked."""

    mass: Given | Figure
    findings: tuple[Finding, ...] = ()
    questions: tuple[PartQuestion, ...] = ()


def _worked_out(asked: WeighedAsked, density: Given) -> Figure:
    """Density times volume, low and high by what volume and density may be off."""
    low, high = asked.volume_mm3 - asked.volume_error_mm3, asked.volume_mm3 + asked.volume_error_mm3
    least = density.value if density.low is None else density.low
    most = density.value if density.high is None else density.high
    return derive(
        f"parts/{asked.id}/mass",
        density.value * asked.volume_mm3 / MM3_PER_M3,
        "kg",
        what="mass",
        method="density times volume",
        inputs=(density,),
        of=asked.id,
        low=least * max(0.0, low) / MM3_PER_M3,
        high=most * high / MM3_PER_M3,
    )


def _agrees(one: float, other: float, within: float = SILENT_RATIO) -> bool:
    return abs(one - other) <= within * max(one, other)


def _by_material(asked: WeighedAsked, density: Given, stated_kg: float) -> Iterator[tuple[str, str]]:
    """Another material of this mass, or a hollow part."""
    wanted = stated_kg * MM3_PER_M3 / asked.volume_mm3
    near = [(abs(math.log(own / wanted)), name, own) for name, own in asked.materials if own > 0.0]
    for off, name, own in sorted(near)[:MOST_MATERIALS]:
        if off <= MATERIAL_RATIO:
            yield f"material {name}", f"{own:.4g} kg/m3"
    if wanted < density.value:
        yield "hollow", f"{1.0 - wanted / density.value:.0%} empty"
    yield "density", f"{wanted:.4g} kg/m3"


def _by_unit(stated_kg: float, worked_kg: float) -> Iterator[tuple[str, str]]:
    """A slip of unit, of lengths or of the scale."""
    for times in LENGTHS:
        for factor, key in ((times, "size"), (1.0 / times, "size")):
            if _agrees(worked_kg * factor**3, stated_kg, CONFLICT_RATIO):
                yield key, f"{factor:.6g} times as read, {worked_kg * factor**3:.4g} kg"
    for unit, own_kg in MASSES_KG:
        if _agrees(worked_kg, stated_kg * own_kg, CONFLICT_RATIO):
            yield f"mass in {unit}", f"{stated_kg * own_kg:.4g} kg"


def _by_count(asked: WeighedAsked, density: Given, stated_kg: float) -> Iterator[tuple[str, str]]:
    """Bodies that were weighed and are not in the volume, or the other way round; several parts on the scale."""
    for sign, word, bodies in ((-1.0, "without", asked.bodies), (1.0, "with", asked.dropped)):
        groups = list(bodies) if len(bodies) > 1 or sign > 0.0 else []
        if sign > 0.0 and len(groups) > 1:
            groups.append(("all left out", sum(volume_mm3 for _, volume_mm3 in groups)))
        for name, volume_mm3 in groups:
            kg = density.value * (asked.volume_mm3 + sign * volume_mm3) / MM3_PER_M3
            if _agrees(kg, stated_kg):
                yield f"{word} {name}", f"{kg:.4g} kg"
    worked_kg = density.value * asked.volume_mm3 / MM3_PER_M3
    count = round(stated_kg / worked_kg)
    if 1 < count <= MOST_AT_ONCE and _agrees(stated_kg, count * worked_kg):
        yield f"{count} parts on the scale", f"{worked_kg:.4g} kg each"


def _readings(asked: WeighedAsked, density: Given, stated_kg: float, worked_kg: float) -> tuple[tuple[str, str], ...]:
    return (
        ("scale", f"{stated_kg:.4g} kg"),
        ("volume", f"{worked_kg:.4g} kg"),
        *_by_unit(stated_kg, worked_kg),
        *_by_count(asked, density, stated_kg),
        *_by_material(asked, density, stated_kg),
    )


def weighed(asked: WeighedAsked) -> Weighed:
    """The mass of a part, with its conflict shown where scale and density times volume do not agree.

    Parameters
    ----------
    asked
        Volume, density, mass and what may explain a conflict.

    Returns
    -------
    Weighed
        The stated mass if there is one, else density times volume. Within 2 % (and what the volume may be off) nothing
        is said, up to a tenth it is noted; beyond that it is a warning and a question with the readings that would
        make them agree.

    Raises
    ------
    PartError
        PART-015 if neither mass nor density is known.

    Examples
    --------
    >>> steel = Given(ref="card:s#d", value=7850.0, unit="kg/m3", status=Status.PRACTICE, source="handbook")
    >>> scale = Given(ref="enquiry:m", value=0.27, unit="kg", status=Status.MEASURED, source="scale")
    >>> told = weighed(
    ...     WeighedAsked(id="lid", volume_mm3=100000.0, density=steel, mass=scale, materials=(("aluminium", 2700.0),))
    ... )
    >>> [one.code for one in told.findings], told.questions[0].readings[2]
    (['PART-125'], ('material aluminium', '2700 kg/m3'))
    """
    if asked.density is None:
        if asked.mass is None:
            raise PartError("PART-015", part=asked.id)
        return Weighed(mass=asked.mass)
    worked_out = _worked_out(asked, asked.density)
    if asked.mass is None:
        return Weighed(mass=worked_out)
    stated, kg = asked.mass, asked.mass.value
    least, most = (kg if end is None else end for end in (stated.low, stated.high))
    off = max(0.0, worked_out.low - most, least - worked_out.high) / kg
    passed = [one for one in LIMITS if off > one[0]]
    if not passed:
        return Weighed(mass=stated)
    ratio, severity, code = passed[-1]
    readings = _readings(asked, asked.density, kg, worked_out.value)
    words = "; ".join(f"{key}: {meant}" for key, meant in readings)
    told = finding(
        code,
        severity,
        (asked.id,),
        limit=Limit(value=ratio, unit="ratio", status=Status.PRACTICE, source="common practice, no source"),
        part=asked.id,
        stated=float(f"{kg:.4g}"),
        worked_out=float(f"{worked_out.value:.4g}"),
        off=round(abs(worked_out.value - kg) / kg, 3),
        readings=words,
    )
    question = PartQuestion(
        field="mass_kg",
        asks="mass_contradicted",
        parameters=(("readings", words),),
        readings=readings,
        taken="scale",
    )
    return Weighed(mass=stated, findings=(told,), questions=(question,) if severity is Severity.WARN else ())
