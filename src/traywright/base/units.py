"""Units of the house: one unit a quantity, and the unit stands in the name.

Inches, pounds and minutes exist only here, in readers and in writers.
"""

from __future__ import annotations

MM_PER_INCH = 25.4  # source: international inch, exact by definition (1959 agreement)
MM_PER_M = 1000.0
KG_PER_LB = 0.45359237  # source: international avoirdupois pound, exact by definition
S_PER_MIN = 60.0
MPA_PER_KPA = 0.001
"""Newton a square millimetre (MPa) of a stress in kPa."""
G_M_PER_S2 = 9.80665  # source: standard gravity, CGPM 1901, exact by definition

REFERENCE_C = 20.0  # source: ISO 1, the temperature at which a drawing's sizes hold
ROOM_C = 23.0  # source: ISO 291, standard atmosphere for tests of plastics; to here a part is as its drawing tells it

SUFFIXES: dict[str, str] = {
    "mm": "length",
    "mm2": "area",
    "mm3": "volume",
    "mm4": "first moment of a solid of density one",
    "mm5": "moment of inertia of a solid of density one",
    "m2": "area of boards and glue in a price",
    "kg": "mass",
    "kg_m3": "density",
    "kg_per_m3": "density",
    "kg_per_m2": "mass of a sheet by its area",
    "kg_mm2": "moment of inertia",
    "g": "mass of a thing lighter than a kilogram, in text only",
    "n": "force",
    "nm": "torque",
    "j": "energy",
    "kpa": "pressure and stress",
    "s": "time",
    "min": "time, in text only",
    "h": "time that is paid by the hour",
    "hours": "time of lifting in a working day",
    "h_per_joint": "bench time of one bond",
    "h_per_board": "bench time of one board",
    "days": "time of a loop",
    "weeks": "time of a loop",
    "years": "time of a loop",
    "mm_per_s": "speed",
    "mm_per_s2": "acceleration",
    "mm_per_s3": "jerk",
    "mm_per_min": "speed, in readers and writers only",
    "m_per_s2": "acceleration",
    "rpm": "spindle speed",
    "deg": "angle",
    "rad": "angle of an arc or of a curve's parameter, within geometry",
    "pt": "size of letters on papers",
    "px": "length on a picture",
    "steps": "length in steps of a raster",
    "grey": "brightness of a picture, 0 black to 255 white",
    "ratio": "pure number",
    "gn": "acceleration in multiples of standard gravity",
    "c": "temperature, Celsius",
    "k": "temperature difference",
    "per_k": "thermal expansion",
    "km": "distance of a leg",
    "cm": "length, in the lifting equation's own letters",
    "per_min": "lifts a minute",
    "in": "length, in readers and writers only",
    "lb": "mass, in readers and writers only",
}
"""Every suffix a name of a float may end in, with the quantity it stands for."""

NAMES_WITHOUT_UNIT = frozenset({"value", "low", "high", "limit", "fraction", "down", "turn", "axis"})
"""Floats whose unit stands beside them (a figure, its limit), shares of work done, directions and rotations."""

_UNIT_TEXTS = {
    "kg_m3": "kg/m3",
    "per_k": "1/K",
    "per_min": "1/min",
    "c": "C",
    "k": "K",
    "kpa": "kPa",
    "ratio": "",
    "hours": "h",
}


def suffix_of(name: str) -> str:
    """The longest unit suffix that a name ends in; empty where it has none.

    Examples
    --------
    >>> suffix_of("acceleration_mm_per_s2")
    'mm_per_s2'
    """
    fitting = [one for one in SUFFIXES if name == one or name.endswith(f"_{one}")]
    return max(fitting, key=len, default="")


def unit_of(name: str) -> str:
    """The unit of a name as figures and papers print it; empty for a pure number or a count.

    Examples
    --------
    >>> unit_of("density_kg_m3"), unit_of("feed_mm_per_s"), unit_of("flutes")
    ('kg/m3', 'mm/s', '')
    """
    suffix = suffix_of(name)
    return _UNIT_TEXTS.get(suffix, suffix.replace("_per_", "/"))


def mm_from_inch(length_in: float) -> float:
    """Millimetres of a length in inches.

    Examples
    --------
    >>> mm_from_inch(2.0)
    50.8
    """
    return length_in * MM_PER_INCH


def kg_from_lb(mass_lb: float) -> float:
    """Kilograms of a mass in pounds.

    Examples
    --------
    >>> round(kg_from_lb(51.0), 3)
    23.133
    """
    return mass_lb * KG_PER_LB
