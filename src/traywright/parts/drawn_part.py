"""A part from a drawing of its outline or of its half section."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_CHORD_MM, DRAWN_MM
from traywright.geometry import Mesh, Region, combined, extruded
from traywright.parts.drawing import Drawing, DrawingQuestion, DrawnLine
from traywright.parts.drawn_open import check_closed
from traywright.parts.drawn_plan import DrawnPlan, plan_of
from traywright.parts.mesh_limits import NO_FACES
from traywright.parts.nested import nested
from traywright.parts.question import PartQuestion
from traywright.parts.read_drawing import read_drawing
from traywright.parts.shape import ClosedBody, LayerTold, ShapeAsked
from traywright.parts.shells import solids_apart
from traywright.parts.size_limits import LARGEST_MM, checked_size
from traywright.parts.turned_part import turned_bodies
from traywright.parts.turning_axis import TurningAxis, axis_of, axis_questions, is_axis_layer, line_beside

PART_MOST_MM = (2_000.0, 2_000.0)  # source: ours: an outline without a unit is believed to be no larger
DRAWING_UNITS = ("file", "mm", "cm", "m", "inch")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPart:
    """A part from a drawing: its bodies (none where no thickness is told), plan, layers, questions and findings.

    ``plan`` of a turned part is its section. ``exact_volume_mm3`` and ``exact_centre_x_mm`` (along its axis) are those
    of a turned part, from the true arcs; None of any other.
    """

    bodies: tuple[ClosedBody, ...]
    plan: Region
    layers: tuple[LayerTold, ...]
    unit: str
    unit_told: str
    chord_mm: float
    questions: tuple[PartQuestion, ...]
    findings: tuple[Finding, ...]
    exact_volume_mm3: float | None = None
    exact_centre_x_mm: float | None = None


def _asked_again(one: DrawingQuestion) -> PartQuestion:
    """A question about a drawing as one about a part."""
    return PartQuestion(
        field=one.field.rpartition(".")[2],
        asks=one.asks,
        parameters=one.parameters,
        readings=() if one.asks != "length_unit" else one.parameters,
        taken=one.taken,
        group="question",
    )


def _raised(plan: DrawnPlan, thickness_mm: float) -> Mesh:
    """The plate with its steps and holes; the underside of the plate at z = 0.

    A step stands on the plate's top or hangs under its underside; one that has no plate under it goes on through the
    plate's thickness.

    Raises
    ------
    ValueError
        If nothing is left.
    """
    plate = plan.plate.difference(plan.holes)
    standing = [] if plate.is_empty else [extruded(plate, 0.0, thickness_mm)]
    for region, height_mm in plan.steps:
        for piece in region.difference(plan.holes).pieces():
            low_mm, high_mm = (thickness_mm, thickness_mm + height_mm) if height_mm > 0.0 else (height_mm, 0.0)
            if not piece.overlaps(plate):
                low_mm, high_mm = min(low_mm, 0.0), max(high_mm, thickness_mm)
            standing.append(extruded(piece, low_mm, high_mm))
    if not standing:
        raise ValueError(thickness_mm)
    return combined(standing)


def _bodies(name: str, mesh: Mesh) -> tuple[ClosedBody, ...]:
    """The separate bodies of a mesh."""
    apart = solids_apart(mesh)
    names = [name] if len(apart) == 1 else [f"{name}_{number}" for number in range(1, len(apart) + 1)]
    return tuple(ClosedBody(name=own, mesh=one, faces=NO_FACES) for own, (one, _) in zip(names, apart, strict=True))


def _checked(asked: ShapeAsked) -> None:
    """Refuse a unit that drawings have not, and a thickness that no part has.

    Raises
    ------
    PartError
        PART-012, PART-006.
    """
    if asked.length_unit not in DRAWING_UNITS:
        raise PartError("PART-012", part=asked.id, key="length_unit", value=asked.length_unit)
    thick_mm = asked.thickness_mm
    if thick_mm is not None and not (math.isfinite(thick_mm) and 0.0 < thick_mm <= LARGEST_MM):
        told = {"key": "thickness_mm", "value": str(thick_mm)}
        raise PartError("PART-006", part=asked.id, most_mm=LARGEST_MM, **told)


def _sized(asked: ShapeAsked, loops: Sequence[DrawnLine]) -> None:
    """Refuse an outline as large as no part, or as small; a plate counts with its thickness.

    Raises
    ------
    PartError
        PART-016.
    """
    bounds = [one.contour.bounds_mm for one in loops]
    thick_mm = 0.0 if asked.turned else asked.thickness_mm or 0.0
    low_mm = (min(one[0] for one in bounds), min(one[1] for one in bounds), 0.0)
    checked_size(asked.id, low_mm, (max(one[2] for one in bounds), max(one[3] for one in bounds), thick_mm))


def _axis_lines(asked: ShapeAsked, content: bytes, drawing: Drawing) -> tuple[DrawnLine, ...]:
    """Open lines of a drawing, and those on layers of axes, which are not cut and so were left out."""
    layers = {one.layer for one in drawing.left_out if is_axis_layer(one.layer)}
    if not layers:
        return drawing.lines
    whole = _read(asked, content, tuple(sorted(layers)))
    return (*(one for one in whole.lines if one.layer in layers), *drawing.lines)


def _flat_part(asked: ShapeAsked, drawing: Drawing, lines: Sequence[DrawnLine]) -> DrawnPart:
    """A plate, with its steps.

    Raises
    ------
    PartError
        PART-007 if holes leave nothing.
    """
    plan = plan_of(asked.id, drawing.loops, asked.heights)
    questions = [_asked_again(one) for one in drawing.questions]
    if line_beside(plan.plate, lines):
        readings = (("turned", "--turned"), ("plate", "--thickness"))
        questions.append(PartQuestion(field="turned", asks="half_section", readings=readings, taken="plate"))
    bodies: tuple[ClosedBody, ...] = ()
    if asked.thickness_mm is None:
        questions.append(PartQuestion(field="thickness_mm", asks="thickness"))
    else:
        try:
            bodies = _bodies(asked.id, _raised(plan, asked.thickness_mm))
        except ValueError as fault:
            most_mm = asked.thickness_mm
            raise PartError("PART-007", part=asked.id, key="hole", value="through", most_mm=most_mm) from fault
    return DrawnPart(
        bodies=bodies,
        plan=plan.plate.difference(plan.holes),
        layers=(*plan.layers, *_left_out(drawing, plan.layers)),
        unit=drawing.unit_read,
        unit_told=drawing.unit_told,
        chord_mm=DRAWN_CHORD_MM,
        questions=(*questions, *plan.questions),
        findings=drawing.findings,
    )


def _left_out(drawing: Drawing, told: Sequence[LayerTold]) -> Iterator[LayerTold]:
    """Layers of which nothing was taken: words, dimensions, axes."""
    known = {one.name for one in told}
    for layer in sorted({one.layer for one in drawing.left_out} - known):
        yield LayerTold(name=layer, loops=0, area_mm2=0.0, perimeter_mm=0.0, taken="left out")


def _turned(asked: ShapeAsked, drawing: Drawing, lines: Sequence[DrawnLine]) -> DrawnPart:
    """A turned part of the loops on the outline's layer; loops of other layers are marks."""
    plan = plan_of(asked.id, drawing.loops, ())
    section = nested([one.contour for one, _ in plan.outline]).region
    axis = axis_of(asked.id, section, lines)
    told = turned_bodies(asked.id, section, plan.outline, axis)
    names = [asked.id] if len(told) == 1 else [f"{asked.id}_{number}" for number in range(1, len(told) + 1)]
    volume_mm3 = sum(one.volume_mm3 for one in told)
    return DrawnPart(
        bodies=tuple(
            ClosedBody(name=name, mesh=one.mesh, faces=NO_FACES, missing=one.missing)
            for name, one in zip(names, told, strict=True)
        ),
        plan=section,
        layers=(*plan.layers, *_left_out(drawing, plan.layers)),
        unit=drawing.unit_read,
        unit_told=drawing.unit_told,
        chord_mm=max(one.chord_mm for one in told),
        questions=(*(_asked_again(one) for one in drawing.questions), *axis_questions(section, axis)),
        findings=(*drawing.findings, *_noticed(asked, axis)),
        exact_volume_mm3=volume_mm3,
        exact_centre_x_mm=sum(one.volume_mm3 * one.centre_x_mm for one in told) / volume_mm3,
    )


_AXIS = {"edge": "PART-092", "halves": "PART-093"}


def _noticed(asked: ShapeAsked, axis: TurningAxis) -> Iterator[Finding]:
    """How the axis was found where no line shows it, and what is told of a plate and has no place here."""
    if axis.found_as != "line":
        # a section that does not reach to y = 0 may well be turned about another line
        severity = Severity.WARN if axis.off_mm > DRAWN_MM else Severity.NOTE
        yield finding(_AXIS[axis.found_as], severity, (asked.id,), part=asked.id)
    if asked.heights or asked.thickness_mm is not None:
        yield finding("PART-099", Severity.NOTE, (asked.id,), part=asked.id)


def _read(asked: ShapeAsked, content: bytes, keep_layers: tuple[str, ...] = ()) -> Drawing:
    return read_drawing(
        content,
        asked.file_name,
        length_unit=asked.length_unit,
        leave_out=(),
        keep_layers=keep_layers,
        board_mm=PART_MOST_MM,
    )


def part_of_drawing(asked: ShapeAsked, content: bytes) -> DrawnPart:
    """A part from a drawing: a plate with steps, or a turned part from its half section.

    Parameters
    ----------
    asked
        The file's name, unit, thickness and heights, and whether it is turned.
    content
        A DXF or SVG file.

    Raises
    ------
    PartError
        PART-006 a height or thickness that cannot be, PART-007 holes that leave nothing, PART-012 a unit that drawings
        have not, PART-016 a size that no part has, PART-090 a height for what is not there, PART-091 no axis,
        PART-094 an outline that is not closed, PART-096 a height for the outline, PART-097 a loop that
        crosses itself, PART-098 a section across its axis; what ``read_drawing`` refuses.

    Notes
    -----
    Without a thickness there are no bodies: areas are told and the thickness is asked. Drawings are read as those of
    parts up to 2 m x 2 m, which is what a size is believed by where no unit is stated.
    """
    _checked(asked)
    drawing = _read(asked, content)
    check_closed(asked.id, drawing)
    _sized(asked, drawing.loops)
    lines = _axis_lines(asked, content, drawing)
    return _turned(asked, drawing, lines) if asked.turned else _flat_part(asked, drawing, lines)
