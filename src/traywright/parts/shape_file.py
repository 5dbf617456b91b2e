"""A part's file, read by what it holds: solids, meshes and outlines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding, sha256_of_bytes
from traywright.base.errors import PartError
from traywright.base.tolerance import ARC_CHORD_MM, GRID_MM, POINT_MM
from traywright.geometry import extruded
from traywright.parts.body import Body
from traywright.parts.drawn_part import part_of_drawing
from traywright.parts.faces import chord_of, faces_by_crease, normals_of
from traywright.parts.mended import mend_findings, mended
from traywright.parts.mesh_limits import NO_FACES
from traywright.parts.obj_file import bodies_of_obj
from traywright.parts.photo import read_photo
from traywright.parts.photo_file import JPEG, PNG
from traywright.parts.ply_file import bodies_of_ply
from traywright.parts.shape import ClosedBody, Shape, ShapeAsked
from traywright.parts.shells import solids_apart
from traywright.parts.size_limits import checked_size
from traywright.parts.step_file import FIRST_LINE, LAST_LINE, bodies_of_step, unit_of_step
from traywright.parts.step_solids import whole_bodies
from traywright.parts.stl_file import bodies_of_stl
from traywright.parts.threemf_file import bodies_of_3mf
from traywright.parts.unit_sanity import UNITS_MM, SizeStated, UnitTaken, unit_of_part

STEP_NAMES = frozenset({"step", "stp", "p21"})
DRAWING_NAMES = frozenset({"dxf", "svg", "svgz"})
PHOTO_NAMES = frozenset({"jpg", "jpeg", "png"})
FIRST_BYTES = 1024
SINGLE_RATIO = float(np.finfo(np.float32).eps)
COARSE_NUMBER_MM = 0.02  # source: ours: what a number of a mesh file may be off before it is told
CHORD_SLACK_RATIO = 1.5  # source: ours: a reader keeps its chord but for some tight curves
AT_A_TIME = 200_000  # source: ours: triangles handled at once, some ten megabytes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Read:
    """Bodies in millimetres, the unit and how fine the mesh is (0: judged by its own bends)."""

    bodies: tuple[Body, ...]
    told: str
    taken: UnitTaken
    chord_mm: float


def kind_of_part(file_name: str, content: bytes) -> str:
    """Kind of a part's file by its ending and its first bytes, which must agree; empty if it is none that is read.

    Examples
    --------
    >>> kind_of_part("a.step", b"ISO-10303-21;"), kind_of_part("a.stl", b"ISO-10303-21;")
    ('step', '')
    """
    ending = file_name.rpartition(".")[2].lower()
    head = content[:FIRST_BYTES]
    is_step, is_archive, is_ply = FIRST_LINE in head, head.startswith(b"PK"), head.startswith(b"ply")
    fits = {
        **dict.fromkeys(STEP_NAMES, is_step),
        "3mf": is_archive,
        "ply": is_ply,
        "obj": not (is_step or is_archive or is_ply or b"\0" in head),
        "stl": not (is_step or is_archive or is_ply),
        **dict.fromkeys(DRAWING_NAMES, not (is_step or is_archive or is_ply)),
        **dict.fromkeys(PHOTO_NAMES, head.startswith((JPEG, PNG))),
    }
    if not fits.get(ending, False):
        return ""
    if ending in PHOTO_NAMES:
        return "photo"
    return "step" if ending in STEP_NAMES else ending.removesuffix("z")


def _bounds(bodies: Sequence[Body]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least and largest x, y, z of bodies as read."""
    corners = [one.corners for one in bodies]
    low = np.min([one.min(axis=(0, 1)) for one in corners], axis=0)
    high = np.max([one.max(axis=(0, 1)) for one in corners], axis=0)
    return low, high


def _sixfold(corners: NDArray[np.float64], origin: NDArray[np.float64]) -> float:
    """Six times the volume of a body, some triangles at a time."""
    total = 0.0
    for start in range(0, len(corners), AT_A_TIME):
        some = corners[start : start + AT_A_TIME] - origin
        total += float(np.einsum("ij,ij->", some[:, 0], np.cross(some[:, 1], some[:, 2])))
    return total


def _size_stated(asked: ShapeAsked, bodies: Sequence[Body], scale: float = 1.0) -> SizeStated:
    """Size and volume of bodies in the numbers that a factor gives, beside what was stated of them."""
    low, high = _bounds(bodies)
    sixfold = sum(abs(_sixfold(one.corners, low)) for one in bodies)
    size = tuple(float(side) for side in (high - low) * scale)
    return SizeStated(
        size_as_mm=size,
        volume_as_mm3=sixfold / 6.0 * scale**3,
        mass_kg=asked.mass_kg,
        thickness_mm=asked.thickness_mm,
    )


def _mesh_file(asked: ShapeAsked, kind: str, content: bytes) -> _Read:
    """Bodies of a mesh file, brought to millimetres.

    Raises
    ------
    PartError
        PART-004 if there is no triangle.
    """
    told = MESH_READERS[kind](asked.id, asked.file_name, content)
    kept = tuple(one for one in told.bodies if len(one.corners))
    if not kept:
        raise PartError("PART-004", part=asked.id)
    taken = unit_of_part(
        asked.id, asked.file_name, _size_stated(asked, kept), told=told.unit, asked_for=asked.length_unit
    )
    scale = taken.mm_per_number_mm
    scaled = kept if taken.unit == "mm" else tuple(replace(one, corners=one.corners * scale) for one in kept)
    noticed = (*told.findings, *taken.findings)
    return _Read(bodies=scaled, told=told.unit, taken=replace(taken, findings=noticed), chord_mm=0.0)


def _step(asked: ShapeAsked, content: bytes) -> _Read:
    if LAST_LINE not in content:
        raise PartError("PART-003", part=asked.id, file=asked.file_name)
    told = unit_of_step(content)
    bodies, chord_mm = bodies_of_step(asked.id, asked.file_name, content, 1.0)
    own = UNITS_MM[told or "mm"]
    taken = unit_of_part(
        asked.id, asked.file_name, _size_stated(asked, bodies, 1.0 / own), told=told, asked_for=asked.length_unit
    )
    if taken.unit != (told or "mm"):
        bodies, chord_mm = bodies_of_step(asked.id, asked.file_name, content, taken.mm_per_number_mm / own)
    whole, lost = whole_bodies(asked.id, content, bodies)
    noticed = (*taken.findings, *lost)
    return _Read(bodies=whole, told=told, taken=replace(taken, findings=noticed), chord_mm=chord_mm)


MESH_READERS = {"stl": bodies_of_stl, "obj": bodies_of_obj, "ply": bodies_of_ply, "3mf": bodies_of_3mf}


def _closed(asked: ShapeAsked, bodies: Sequence[Body]) -> tuple[tuple[ClosedBody, ...], tuple[Finding, ...]]:
    """Closed solids of the bodies, apart where a body of the file holds several, and what was mended."""
    closed: list[ClosedBody] = []
    noticed: list[Finding] = []
    for body in bodies:
        found = mended(asked.id, body)
        mesh, faces, mends = found.mesh, found.faces, tuple(one.code for one in found.mends)
        noticed += mend_findings(asked.id, found)
        off_mm = found.deviation_mm
        if len(faces):
            one = ClosedBody(name=body.name, mesh=mesh, faces=faces, kinds=body.kinds, mends=mends)
            closed.append(replace(one, deviation_mm=off_mm, missing=None if mends else body.missing))
            continue
        apart = solids_apart(mesh)
        for number, (piece, _) in enumerate(apart, start=1):
            name = body.name if len(apart) == 1 else f"{body.name}_{number}"
            closed.append(ClosedBody(name=name, mesh=piece, faces=faces, mends=mends, deviation_mm=off_mm))
    return tuple(closed), tuple(dict.fromkeys(noticed))


def _agreed(
    asked: ShapeAsked, bodies: Sequence[ClosedBody], chord_mm: float
) -> tuple[tuple[ClosedBody, ...], tuple[Finding, ...]]:
    """The bodies, and which of them lack more than their chords explain: there the mesh is believed as it is."""
    kept, noticed = [], []
    for one in bodies:
        _, areas = normals_of(one.mesh.corners_mm)
        lacks_mm3 = 0.0 if one.missing is None else abs(one.missing.volume_mm3)
        most_mm3 = CHORD_SLACK_RATIO * chord_mm * float(areas.sum())
        if lacks_mm3 > most_mm3:
            told: dict[str, Any] = {"lacks_mm3": round(lacks_mm3, 1), "most_mm3": round(most_mm3, 1)}
            noticed.append(finding("PART-135", Severity.WARN, (asked.id,), part=asked.id, body=one.name, **told))
        kept.append(replace(one, missing=None) if lacks_mm3 > most_mm3 else one)
    return tuple(kept), tuple(noticed)


def _filled(asked: ShapeAsked, bodies: Sequence[ClosedBody]) -> tuple[tuple[ClosedBody, ...], tuple[Finding, ...]]:
    """The bodies that enclose a volume, and which do not.

    Raises
    ------
    PartError
        PART-004 if none does.
    """
    kept, noticed = [], []
    for one in bodies:
        low, high = one.mesh.bounds_mm
        # a sheet as thick as a point's step is a surface, not a solid
        if _sixfold(one.mesh.corners_mm, low) / 6.0 > POINT_MM * float(np.prod(np.sort(high - low)[1:])):
            kept.append(one)
        else:
            noticed.append(finding("PART-133", Severity.WARN, (asked.id,), part=asked.id, body=one.name))
    if not kept:
        raise PartError("PART-004", part=asked.id)
    return tuple(kept), tuple(noticed)


def _coarse(asked: ShapeAsked, bodies: Sequence[Body]) -> tuple[Finding, ...]:
    """A finding where the file's numbers are coarse where the part lies.

    Raises
    ------
    PartError
        PART-134 if the numbers are coarser than foam is cut.
    """
    low, high = _bounds(bodies)
    away_mm = float(np.abs([low, high]).max())
    step_mm = away_mm * SINGLE_RATIO
    if step_mm <= COARSE_NUMBER_MM:
        return ()
    told: dict[str, Any] = {"step_mm": round(step_mm, 4), "away_mm": round(away_mm, 1)}
    if step_mm > GRID_MM:
        raise PartError("PART-134", part=asked.id, **told)
    return (finding("PART-134", Severity.WARN, (asked.id,), part=asked.id, **told),)


def _chord_mm(bodies: Sequence[ClosedBody]) -> float:
    """How fine a mesh of unknown make is, judged by the bend between neighbours of one face."""
    return max(ARC_CHORD_MM, *(chord_of(one.mesh, faces_by_crease(one.mesh)) for one in bodies))


def _drawn(asked: ShapeAsked, kind: str, content: bytes) -> Shape:
    """A part from a drawing."""
    told = part_of_drawing(asked, content)
    return Shape(
        kind=kind,
        sha256=sha256_of_bytes(content),
        unit_told=told.unit_told,
        unit=told.unit,
        bodies=told.bodies,
        chord_mm=told.chord_mm,
        questions=told.questions,
        findings=told.findings,
        plan=told.plan,
        layers=told.layers,
    )


def _photographed(asked: ShapeAsked, content: bytes) -> Shape:
    """A part from a photograph: its outline, and a plate of it where the thickness is told."""
    told = read_photo(asked, content)
    bodies: tuple[ClosedBody, ...] = ()
    if asked.thickness_mm is not None:
        plate = extruded(told.plan, 0.0, asked.thickness_mm)
        bodies = (ClosedBody(name=asked.id, mesh=plate, faces=NO_FACES, deviation_mm=told.plus_minus_mm),)
    return Shape(
        kind="photo",
        sha256=sha256_of_bytes(content),
        unit_told="",
        unit="mm",
        bodies=bodies,
        chord_mm=told.plus_minus_mm,
        questions=told.questions,
        findings=told.findings,
        plan=told.plan,
        plus_minus_mm=told.plus_minus_mm,
    )


def read_shape(asked: ShapeAsked, content: bytes) -> Shape:
    """The bodies that a part's file holds, closed and in millimetres.

    Parameters
    ----------
    asked
        The file's name and what is said of it.
    content
        Its bytes.

    Raises
    ------
    PartError
        PART-002 if the kind is not read, PART-003 if it cannot be read, PART-004 if it holds no solid, PART-005 if a
        surface stays open, PART-016 if no part is that small or large, PART-131 if no unit gives a believable size;
        what ``part_of_drawing`` refuses.
    """
    if not content:
        raise PartError("PART-003", part=asked.id, file=asked.file_name)
    kind = kind_of_part(asked.file_name, content)
    if not kind:
        raise PartError("PART-002", part=asked.id, file=asked.file_name)
    if kind == "photo":
        return _photographed(asked, content)
    if kind in DRAWING_NAMES:
        return _drawn(asked, kind, content)
    read = _step(asked, content) if kind == "step" else _mesh_file(asked, kind, content)
    told, taken, chord_mm = read.told, read.taken, read.chord_mm
    checked_size(asked.id, *_bounds(read.bodies))
    coarse = _coarse(asked, read.bodies)
    closed, noticed = _closed(asked, read.bodies)
    del read  # the triangles as read are as large as all that follows
    closed, empty = _filled(asked, closed)
    closed, apart = _agreed(asked, closed, chord_mm) if chord_mm > 0.0 else (closed, ())
    return Shape(
        kind=kind,
        sha256=sha256_of_bytes(content),
        unit_told=told,
        unit=taken.unit,
        bodies=closed,
        chord_mm=chord_mm or _chord_mm(closed),
        questions=taken.questions,
        findings=(*taken.findings, *noticed, *empty, *apart, *coarse),
    )
