"""The unit of a part's numbers: told, or read off size, thickness and mass; a contradiction is asked, not settled."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.units import MM_PER_INCH, MM_PER_M
from traywright.parts.question import PartQuestion

UNITS_MM: dict[str, float] = {
    "mm": 1.0,
    "inch": MM_PER_INCH,
    "m": MM_PER_M,
    "cm": MM_PER_M / 100.0,
    "foot": 12.0 * MM_PER_INCH,
    "micron": 1.0 / MM_PER_M,
}
"""Millimetres of a unit; the first four are tried, in this order, where no unit is told."""

TRIED = ("mm", "inch", "m", "cm")
LEAST_MM = 10.0  # source: common practice, no source: parts that are packed one by one are longer
MOST_MM = 2000.0  # source: common practice, no source: what two people carry in a box is shorter
TOLD_LEAST_MM = 1.0  # source: ours: a unit that the file states is believed down to here
TOLD_MOST_MM = 3000.0  # source: ours: and up to here
MM3_PER_M3 = MM_PER_M**3
DENSITY_KG_M3 = (60.0, 22_600.0)  # source: common practice, no source: from hollow plastic parts to the heaviest metal
THICKNESS_RATIO = 0.1  # source: ours: a stated thickness that is off by more is another length


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeStated:
    """What is known of a shape in its file's own numbers, and what the customer states beside it.

    ``size_as_mm`` are the sides of its box and ``volume_as_mm3`` its volume (0 where it is not known) as if the numbers
    were millimetres; mass and thickness are None where they are not stated.
    """

    size_as_mm: tuple[float, ...]
    volume_as_mm3: float
    mass_kg: float | None = None
    thickness_mm: float | None = None

    def longest_mm(self, unit: str) -> float:
        """Longest side if the numbers are of a unit."""
        return max(self.size_as_mm) * UNITS_MM[unit]

    def density_kg_m3(self, unit: str) -> float | None:
        """Density if the numbers are of a unit; None without mass or volume."""
        if self.mass_kg is None or not self.volume_as_mm3 > 0.0:
            return None
        return self.mass_kg / (self.volume_as_mm3 * UNITS_MM[unit] ** 3 / MM3_PER_M3)

    def weight_fits(self, unit: str) -> bool:
        """True if stated mass and thickness, as far as they are stated, can be true in a unit."""
        density = self.density_kg_m3(unit)
        heavy = density is None or DENSITY_KG_M3[0] <= density <= DENSITY_KG_M3[1]
        if self.thickness_mm is None:
            return heavy
        thin_mm = min(self.size_as_mm) * UNITS_MM[unit]
        return heavy and abs(thin_mm - self.thickness_mm) <= THICKNESS_RATIO * self.thickness_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitTaken:
    """The unit taken, what must be asked and what was noticed."""

    unit: str
    mm_per_number_mm: float
    questions: tuple[PartQuestion, ...] = ()
    findings: tuple[Finding, ...] = ()


def _told(shape: SizeStated, unit: str) -> str:
    """What a reading would mean: size, and density where a mass is stated."""
    size = " x ".join(f"{side * UNITS_MM[unit]:.6g}" for side in shape.size_as_mm)
    density = shape.density_kg_m3(unit)
    return f"{size} mm" if density is None else f"{size} mm, {density:.4g} kg/m3"


def _question(shape: SizeStated, asks: str, taken: str, units: tuple[str, ...]) -> PartQuestion:
    readings = tuple((unit, _told(shape, unit)) for unit in units)
    words = "; ".join(f"{unit}: {meant}" for unit, meant in readings)
    return PartQuestion(
        field="length_unit", asks=asks, parameters=(("readings", words),), readings=readings, taken=taken
    )


def _believable(shape: SizeStated, unit: str, least_mm: float, most_mm: float) -> bool:
    return least_mm <= shape.longest_mm(unit) <= most_mm and shape.weight_fits(unit)


def _stated(part_id: str, shape: SizeStated, unit: str, own: str) -> UnitTaken:
    """A unit that the file or the enquiry states, asked again where size, thickness or mass speak against it."""
    noticed: list[Finding] = []
    if own and own != unit:
        noticed.append(finding("PART-026", Severity.WARN, (part_id,), part=part_id, stated=unit, own=own))
    others = tuple(
        one for one in TRIED if one != unit and _believable(shape, one, LEAST_MM, MOST_MM) and UNITS_MM[one] > 0.0
    )
    if _believable(shape, unit, TOLD_LEAST_MM, TOLD_MOST_MM) or not others:
        return UnitTaken(unit=unit, mm_per_number_mm=UNITS_MM[unit], findings=tuple(noticed))
    readings = "; ".join(f"{one}: {_told(shape, one)}" for one in (unit, *others))
    noticed.append(finding("PART-130", Severity.WARN, (part_id,), part=part_id, unit=unit, readings=readings))
    asked = _question(shape, "unit_contradicted", unit, (unit, *others))
    return UnitTaken(unit=unit, mm_per_number_mm=UNITS_MM[unit], questions=(asked,), findings=tuple(noticed))


def unit_of_part(part_id: str, file_name: str, shape: SizeStated, *, told: str, asked_for: str) -> UnitTaken:
    """The unit of a part's numbers.

    Parameters
    ----------
    part_id, file_name
        Named in findings and errors.
    shape
        Size and volume in the file's own numbers, mass and thickness as stated.
    told
        The unit that the file states, or empty.
    asked_for
        ``file``, or the unit that the enquiry states.

    Raises
    ------
    PartError
        PART-012 if the enquiry states a unit that we do not know, PART-131 if no unit gives a believable size.

    Notes
    -----
    Where nobody states a unit, the first of mm, inch, m and cm is taken in which the longest side is 10 to 2000 mm
    and the stated mass and thickness fit; it is always asked. A stated unit stays, but is asked again with both
    readings where it gives a size below 1 mm or above 3 m, a density below 60 or above 22 600 kg/m3, or another
    thickness, and another unit does not.

    Examples
    --------
    >>> rod = SizeStated(size_as_mm=(6.614, 3.622, 3.622), volume_as_mm3=15.713, mass_kg=2.02)
    >>> unit_of_part("a", "a.stl", rod, told="", asked_for="file").unit
    'inch'
    """
    if asked_for not in {"file", *UNITS_MM}:
        raise PartError("PART-012", part=part_id, key="length_unit", value=asked_for)
    if asked_for != "file":
        return _stated(part_id, shape, asked_for, told)
    if told:
        return _stated(part_id, shape, told, told)
    fitting = [unit for unit in TRIED if _believable(shape, unit, LEAST_MM, MOST_MM)]
    # a stated mass that fits no unit is told where it is weighed; the size alone decides then
    by_size = [unit for unit in TRIED if LEAST_MM <= shape.longest_mm(unit) <= MOST_MM]
    wide = [unit for unit in TRIED if TOLD_LEAST_MM <= shape.longest_mm(unit) <= TOLD_MOST_MM]
    for found in (fitting, by_size, wide):
        if found:
            asked = _question(shape, "unit_unknown", found[0], TRIED)
            return UnitTaken(unit=found[0], mm_per_number_mm=UNITS_MM[found[0]], questions=(asked,))
    readings = "; ".join(f"{unit}: {_told(shape, unit)}" for unit in TRIED)
    raise PartError("PART-131", part=part_id, file=file_name, readings=readings)
