"""A part as understood: solid, unit, volume, mass, centre of gravity, contact map; with all that was noticed."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass
from typing import Any

from traywright.base import (
    Figure,
    Finding,
    Given,
    Limit,
    Severity,
    Status,
    derive,
    finding,
    fingerprint,
    nearest,
)
from traywright.base.errors import PartError
from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM
from traywright.geometry import is_closed, mass_properties
from traywright.parts.asked import PartAsked
from traywright.parts.build import solid_of_dimensions
from traywright.parts.contact import Skin, surface_with_rules
from traywright.parts.part import Part
from traywright.parts.shape import ClosedBody, Shape, ShapeAsked
from traywright.parts.shape_file import read_shape
from traywright.parts.size_limits import LARGEST_MM, checked_size
from traywright.parts.skin import skin_of, skin_of_mesh
from traywright.parts.state_skins import grown_skins
from traywright.parts.true_volume import Missing, together, true_properties
from traywright.parts.weighed import CONFLICT_RATIO, MM3_PER_M3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Taken:
    """What was read of a part's shape."""

    skin: Skin
    unit: str
    chord_mm: float
    sha256: str
    mends: tuple[str, ...]
    findings: tuple[Finding, ...]
    missing: Missing | None = None


def _by_dimensions(asked: PartAsked) -> _Taken:
    if asked.dimensions is None:
        raise PartError("PART-010", part=asked.id)
    mesh = solid_of_dimensions(asked.id, asked.dimensions)
    told = {"kind": type(asked.dimensions).__name__, "numbers": asdict(asked.dimensions)}
    return _Taken(
        skin=skin_of_mesh(asked.id, mesh),
        unit="mm",
        chord_mm=ARC_CHORD_MM,
        sha256=fingerprint(told),
        mends=(),
        findings=(),
    )


def _picked(asked: PartAsked, shape: Shape) -> tuple[int, ...]:
    """Numbers of the bodies that make the part: the one that is named, else all of the file.

    Raises
    ------
    PartError
        PART-132 if no body has that name, PART-137 if several have it.
    """
    names = [one.name for one in shape.bodies]
    if not asked.body:
        return tuple(range(len(names)))
    if asked.body not in names:
        raise PartError("PART-132", part=asked.id, body=asked.body, near=nearest(asked.body, names), count=len(names))
    if names.count(asked.body) > 1:
        raise PartError("PART-137", part=asked.id, body=asked.body, count=names.count(asked.body))
    return (names.index(asked.body),)


def _of_bodies(asked: PartAsked, shape: Shape, bodies: tuple[ClosedBody, ...]) -> _Taken:
    """What those bodies of a shape make."""
    several: tuple[Finding, ...] = ()
    if len(bodies) > 1:
        several = (finding("PART-020", Severity.NOTE, (asked.id,), part=asked.id, count=len(bodies)),)
    return _Taken(
        skin=skin_of(asked.id, bodies),
        unit=shape.unit,
        chord_mm=shape.chord_mm,
        sha256=shape.sha256,
        mends=tuple(sorted({code for one in bodies for code in one.mends})),
        findings=(*shape.findings, *several),
        missing=together([one.missing for one in bodies]),
    )


def _shape_of_file(asked: PartAsked, content: bytes | None) -> Shape:
    """What the part's file holds, in a unit that is known.

    Raises
    ------
    PartError
        PART-001 if neither the file nor the enquiry states a unit, PART-095 if it holds an outline without a thickness;
        what ``read_shape`` refuses.
    """
    told = ShapeAsked(
        id=asked.id,
        file_name=asked.file_name,
        length_unit=asked.length_unit,
        mass_kg=None if asked.mass is None else asked.mass.value,
        thickness_mm=asked.thickness_mm,
        turned=asked.turned,
    )
    shape = read_shape(told, content or b"")
    if not shape.bodies:
        raise PartError("PART-095", part=asked.id, file=asked.file_name)
    if any(one.asks in {"unit_unknown", "length_unit"} for one in shape.questions):
        raise PartError("PART-001", part=asked.id, file=asked.file_name)
    return shape


def _given_checked(asked: PartAsked, key: str, given: Given | None) -> None:
    """Refuse a mass, density or fragility that is not above 0.

    Raises
    ------
    PartError
        PART-006.
    """
    if given is not None and not (math.isfinite(given.value) and 0.0 < given.value <= LARGEST_MM**2):
        raise PartError("PART-006", part=asked.id, key=key, value=str(given.value), most_mm=LARGEST_MM)


def _checked(asked: PartAsked) -> None:
    """Refuse numbers that nobody can mean.

    Raises
    ------
    PartError
        PART-006.
    """
    for key, given in (("mass_kg", asked.mass), ("density_kg_m3", asked.density), ("fragility_gn", asked.fragility)):
        _given_checked(asked, key, given)
    if not (math.isfinite(asked.tolerance_mm) and 0.0 <= asked.tolerance_mm <= LARGEST_MM):
        raise PartError(
            "PART-006", part=asked.id, key="tolerance_mm", value=str(asked.tolerance_mm), most_mm=LARGEST_MM
        )


def _mass(asked: PartAsked, volume_mm3: float) -> tuple[Given | Figure, tuple[Finding, ...]]:
    """The mass as stated, else density times volume; a finding where the two do not agree.

    Against ``weighed`` the difference is told by what was worked out, not by what was stated, and nothing is asked.

    Raises
    ------
    PartError
        PART-015 if neither is known.
    """
    if asked.density is None:
        if asked.mass is None:
            raise PartError("PART-015", part=asked.id)
        return asked.mass, ()
    worked_out = derive(
        f"parts/{asked.id}/mass",
        asked.density.value * volume_mm3 / MM3_PER_M3,
        "kg",
        what="mass",
        method="density times volume",
        inputs=(asked.density,),
        of=asked.id,
    )
    if asked.mass is None:
        return worked_out, ()
    off = abs(asked.mass.value - worked_out.value) / worked_out.value
    if off <= CONFLICT_RATIO:
        return asked.mass, ()
    limit = Limit(value=CONFLICT_RATIO, unit="ratio", status=Status.PRACTICE, source="common practice, no source")
    told: dict[str, Any] = {
        "part": asked.id,
        "stated": round(asked.mass.value, 4),
        "worked_out": round(worked_out.value, 4),
        "off": round(off, 3),
    }
    return asked.mass, (finding("PART-025", Severity.WARN, (asked.id,), limit=limit, **told),)


def build_part(asked: PartAsked, content: bytes | None = None) -> tuple[Part, tuple[Finding, ...]]:
    """The part as understood, and all that was noticed on the way.

    Parameters
    ----------
    asked
        The part as the enquiry asks for it.
    content
        Bytes of its file; None for a part by dimensions.

    Returns
    -------
    tuple
        The part in the frame of its file (mm), and findings PART-020 to PART-026.

    Raises
    ------
    PartError
        PART-001 to PART-016: the file cannot be read, its unit is not stated, the mesh is open, a number is zero,
        negative, not finite or too large, a contact cannot be meant, or neither mass nor density is known.

    Notes
    -----
    Volume and centre of gravity are those of one density; of a STEP file those of the true surface, else of the mesh,
    whose chords lie inside round faces. A part of several materials has another centre of gravity, which the file
    cannot tell.

    Examples
    --------
    >>> from traywright.parts.dimensions import Plate
    >>> steel = Given(ref="enquiry:part.a.density", value=7850.0, unit="kg/m3", status=Status.STATED, source="customer")
    >>> plate = Plate(length_mm=100.0, width_mm=50.0, thickness_mm=2.0)
    >>> part, noticed = build_part(PartAsked(id="a", name="Plate", dimensions=plate, density=steel))
    >>> round(part.mass_kg, 4), part.size_mm, noticed
    (0.0785, (100.0, 50.0, 2.0), ())
    """
    _checked(asked)
    if bool(asked.file_name) == (asked.dimensions is not None):
        raise PartError("PART-010", part=asked.id)
    if not asked.file_name:
        return _made(asked, _by_dimensions(asked))
    shape = _shape_of_file(asked, content)
    return part_of_shape(asked, shape, _picked(asked, shape))


def part_of_shape(
    asked: PartAsked, shape: Shape, members: tuple[int, ...] | None = None
) -> tuple[Part, tuple[Finding, ...]]:
    """The part that bodies of a shape make, however it was read, and all that was noticed on the way.

    Parameters
    ----------
    asked
        The part; what it says of a file or of dimensions is passed over, the shape stands for them.
    shape
        As read, with at least one body. Its unit is taken as it is, asked or not.
    members
        Numbers of the bodies that make the part, from 0; None: all of them.

    Returns
    -------
    tuple
        As of ``build_part``.

    Raises
    ------
    PartError
        PART-005 if the bodies make no solid; PART-006, PART-011 to PART-016 as of ``build_part``.

    Examples
    --------
    >>> page = '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">'
    >>> drawn = f'{page}<rect x="5" y="5" width="30" height="20" fill="none" stroke="#000"/></svg>'.encode()
    >>> shape = read_shape(ShapeAsked(id="a", file_name="a.svg", thickness_mm=5.0), drawn)
    >>> brass = Given(ref="card:b#d", value=8500.0, unit="kg/m3", status=Status.PRACTICE, source="handbook")
    >>> part, noticed = part_of_shape(PartAsked(id="a", name="Plate", density=brass), shape)
    >>> part.size_mm, round(part.mass_kg, 4), noticed
    ((30.0, 20.0, 5.0), 0.0255, ())
    """
    _checked(asked)
    bodies = shape.bodies if members is None else tuple(shape.bodies[number] for number in members)
    return _made(asked, _of_bodies(asked, shape, bodies))


def _made(asked: PartAsked, taken: _Taken) -> tuple[Part, tuple[Finding, ...]]:
    """The part of what was read, and all that was noticed."""
    size_mm = checked_size(asked.id, *taken.skin.mesh.bounds_mm)
    told = true_properties(mass_properties(taken.skin.mesh), taken.missing)
    mass, about_mass = _mass(asked, told.volume_mm3)
    surface, about_contacts = surface_with_rules(asked.id, taken.skin, asked.contacts, asked.default_rule)
    grown, about_states = grown_skins(asked, taken.skin, mass.value)
    part = Part(
        id=asked.id,
        name=asked.name,
        revision=asked.revision,
        solid=taken.skin.mesh,
        surface=surface,
        sha256=taken.sha256,
        unit_read=taken.unit,
        watertight=is_closed(taken.skin.mesh),
        chord_mm=_plain_chord(taken),
        volume_mm3=told.volume_mm3,
        mass=mass,
        fragility=asked.fragility,
        centre_of_gravity_mm=told.centre_mm,
        size_mm=size_mm,
        tolerance_mm=asked.tolerance_mm,
        static_sensitive=asked.static_sensitive,
        stack_over_fragile=asked.stack_over_fragile,
        mends=taken.mends,
        states=asked.states,
        grown=grown,
    )
    return part, (*taken.findings, *about_mass, *about_contacts, *about_states)


def _plain_chord(taken: _Taken) -> float:
    """Chord of the mesh, 0 if every face is plane."""
    flat = all(face.kind == "plane" for face in taken.skin.fitted)
    return 0.0 if flat and taken.chord_mm > SAME_MM else taken.chord_mm


def build_parts(
    questions: tuple[tuple[PartAsked, bytes | None], ...],
) -> tuple[tuple[Part, tuple[Finding, ...]], ...]:
    """Several parts, each with what was noticed, in their order.

    Parameters
    ----------
    questions
        What is asked of each, with the bytes of its file.

    Raises
    ------
    PartError
        What ``build_part`` refuses of the first that cannot be built.
    """
    return tuple(build_part(asked, content) for asked, content in questions)
