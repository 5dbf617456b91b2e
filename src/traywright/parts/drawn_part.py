"""A part from a drawing of its outline or of its half section."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_CHORD_MM
from traywright.geometry import Mesh, Region, combined, extruded
from traywright.parts.drawing import Drawing, DrawingQuestion
from traywright.parts.drawn_plan import DrawnPlan, plan_of
from traywright.parts.mesh_limits import NO_FACES
from traywright.parts.question import PartQuestion
from traywright.parts.read_drawing import read_drawing
from traywright.parts.shape import ClosedBody, LayerTold, ShapeAsked
from traywright.parts.shells import solids_apart
from traywright.parts.turned_part import bounded_by_axis, turned_part

PART_MOST_MM = (2_000.0, 2_000.0)  # source: ours: an outline without a unit is believed to be no larger
DRAWING_UNITS = ("file", "mm", "cm", "m", "inch")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPart:
    """A part from a drawing: its bodies (none where no thickness is told), plan, layers, questions and findings."""

    bodies: tuple[ClosedBody, ...]
    plan: Region
    layers: tuple[LayerTold, ...]
    unit: str
    unit_told: str
    chord_mm: float
    questions: tuple[PartQuestion, ...]
    findings: tuple[Finding, ...]


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

    Raises
    ------
    ValueError
        If nothing is left.
    """
    standing = [extruded(plan.plate.difference(plan.holes), 0.0, thickness_mm)]
    for region, height_mm in plan.steps:
        low_mm, high_mm = (0.0, thickness_mm + height_mm) if height_mm > 0.0 else (height_mm, thickness_mm)
        own = region.difference(plan.holes)
        if not own.is_empty:
            standing.append(extruded(own, low_mm, high_mm))
    return combined(standing)


def _bodies(name: str, mesh: Mesh) -> tuple[ClosedBody, ...]:
    """The separate bodies of a mesh."""
    apart = solids_apart(mesh)
    names = [name] if len(apart) == 1 else [f"{name}_{number}" for number in range(1, len(apart) + 1)]
    return tuple(ClosedBody(name=own, mesh=one, faces=NO_FACES) for own, (one, _) in zip(names, apart, strict=True))


def _flat_part(asked: ShapeAsked, drawing: Drawing) -> DrawnPart:
    """A plate, with its steps.

    Raises
    ------
    PartError
        PART-009 if no loop encloses anything, PART-007 if holes leave nothing.
    """
    plan = plan_of(asked.id, drawing.loops, asked.heights)
    if plan.plate.is_empty:
        raise PartError("PART-009", part=asked.id)
    questions = [_asked_again(one) for one in drawing.questions]
    if bounded_by_axis(drawing.loops, drawing.lines):
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
        layers=plan.layers,
        unit=drawing.unit_read,
        unit_told=drawing.unit_told,
        chord_mm=DRAWN_CHORD_MM,
        questions=(*questions, *plan.questions),
        findings=drawing.findings,
    )


def _turned(asked: ShapeAsked, drawing: Drawing) -> DrawnPart:
    """A turned part."""
    told = turned_part(asked.id, drawing.loops, drawing.lines)
    plan = plan_of(asked.id, drawing.loops, ())
    noticed: list[Finding] = list(drawing.findings)
    if told.axis_from != "line":
        noticed.append(finding(_AXIS[told.axis_from], Severity.NOTE, (asked.id,), part=asked.id))
    body = ClosedBody(name=asked.id, mesh=told.mesh, faces=NO_FACES, missing=told.missing)
    return DrawnPart(
        bodies=(body,),
        plan=plan.plate,
        layers=plan.layers,
        unit=drawing.unit_read,
        unit_told=drawing.unit_told,
        chord_mm=told.chord_mm,
        questions=tuple(_asked_again(one) for one in drawing.questions),
        findings=tuple(noticed),
    )


_AXIS = {"edge": "PART-092", "halves": "PART-093"}


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
        PART-006 a height or thickness that cannot be, PART-009 nothing enclosed, PART-012 a unit that drawings have
        not, PART-090 a height for what is not there, PART-091 no axis, PART-094 no closed loop; what ``read_drawing``
        refuses.

    Notes
    -----
    Without a thickness there are no bodies: areas are told and the thickness is asked.
    """
    if asked.length_unit not in DRAWING_UNITS:
        raise PartError("PART-012", part=asked.id, key="length_unit", value=asked.length_unit)
    drawing = read_drawing(
        content, asked.file_name, length_unit=asked.length_unit, leave_out=(), keep_layers=(), board_mm=PART_MOST_MM
    )
    if not drawing.loops:
        raise PartError("PART-094", part=asked.id, count=len(drawing.lines))
    return _turned(asked, drawing) if asked.turned else _flat_part(asked, drawing)
