"""Solids of a STEP file (ISO 10303-21)."""

from __future__ import annotations

import io
import re
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.base.files import quiet_library
from traywright.base.tolerance import PART_CHORD_LEAST_MM, PART_CHORD_MOST_MM, PART_CHORD_RATIO
from traywright.base.units import MM_PER_M
from traywright.parts.body import Body
from traywright.parts.true_volume import missing_volume

COARSE_MM = 0.5  # source: ours: a first look at the size only
ANGLE_RAD = 0.5  # source: ours: a small round keeps at least 12 chords; the chord decides on larger ones
FIRST_LINE, LAST_LINE = b"ISO-10303-21", b"END-ISO-10303-21"
UNIT_NAMES = {"INCH": "inch", "FOOT": "foot", "MILLIMETRE": "mm", "CENTIMETRE": "cm", "METRE": "m"}
PREFIXES = {".MILLI.": "mm", ".CENTI.": "cm", "$": "m"}


def unit_of_step(content: bytes) -> str:
    """Length unit that the file's header context states, empty if it states none that we know.

    Parameters
    ----------
    content
        The file.

    Examples
    --------
    >>> unit_of_step(
    ...     b"#1=(GLOBAL_UNIT_ASSIGNED_CONTEXT((#2))REPRESENTATION_CONTEXT('',''));"
    ...     b"#2=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));"
    ... )
    'mm'
    """
    told = re.sub(r"\s+", "", content.decode("latin-1"))
    entities = dict(re.findall(r"#(\d+)=(\((?:[^;']|'[^']*')*\));", told))
    context = re.search(r"GLOBAL_UNIT_ASSIGNED_CONTEXT\(\(([#\d,]*)\)\)", told)
    for number in re.findall(r"\d+", context.group(1) if context else ""):
        entity = entities.get(number, "")
        if "LENGTH_UNIT()" not in entity:
            continue
        named = re.search(r"CONVERSION_BASED_UNIT\('([^']*)'", entity)
        if named:
            return UNIT_NAMES.get(named.group(1).upper(), "")
        prefix = re.search(r"SI_UNIT\(([^,]*),\.METRE\.\)", entity)
        return PREFIXES.get(prefix.group(1), "") if prefix else ""
    return ""


def _scene(content: bytes, chord_mm: float) -> Any:  # noqa: ANN401  # reason: untyped library
    """The file's solids as meshes in metres, None if it cannot be read."""
    import cascadio  # noqa: PLC0415  # reason: 100 MB, waits until a STEP file is read
    import trimesh  # noqa: PLC0415  # reason: waits until a STEP file is read

    with quiet_library():
        told = cascadio.load(
            content,
            file_type="step",
            tol_linear=chord_mm,
            tol_angular=ANGLE_RAD,
            use_parallel=False,  # the order of triangles must repeat
            include_brep=True,
        )
    return trimesh.load_scene(io.BytesIO(told), file_type="glb") if told else None


def _normals(shape: Any, place: NDArray[np.float64]) -> NDArray[np.float64]:  # noqa: ANN401  # reason: untyped library
    """Normals of the true surface at the corners of each triangle, turned as the body is placed."""
    told: NDArray[np.float64] = np.asarray(shape.vertex_normals, dtype=np.float64)[np.asarray(shape.faces)] @ place.T
    return told[:, ::-1] if np.linalg.det(place) < 0.0 else told


def bodies_of_step(part_id: str, file_name: str, content: bytes, scale_ratio: float) -> tuple[tuple[Body, ...], float]:
    """The bodies of a STEP file in mm, and how far their chords may lie inside the true surface (mm).

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.
    scale_ratio
        Factor on what the file's own unit gives, 1 if the file is believed.

    Returns
    -------
    tuple
        Bodies in the order of their names, chord in mm.

    Raises
    ------
    PartError
        PART-003 if the file cannot be read, PART-004 if it holds no solid.
    """
    first = _scene(content, COARSE_MM / scale_ratio)
    if first is None:
        raise PartError("PART-003", part=part_id, file=file_name)
    if first.is_empty:
        raise PartError("PART-004", part=part_id)
    size_mm = float(np.max(first.extents)) * MM_PER_M * scale_ratio
    chord_mm = min(max(size_mm * PART_CHORD_RATIO, PART_CHORD_LEAST_MM), PART_CHORD_MOST_MM)
    scene = _scene(content, chord_mm / scale_ratio)
    bodies = []
    for node in sorted(scene.graph.nodes_geometry):
        place, name = scene.graph.get(node)
        shape = scene.geometry[name]
        corners = np.asarray(shape.vertices, dtype=np.float64)[np.asarray(shape.faces)]
        placed = corners @ np.asarray(place)[:3, :3].T + np.asarray(place)[:3, 3]
        if np.linalg.det(np.asarray(place)[:3, :3]) < 0.0:
            placed = placed[:, ::-1]
        faces = np.asarray(shape.face_attributes["brep_index"], dtype=np.int64)
        told = shape.metadata.get("cascadio", {}).get("brep_primitives", ())
        kinds = tuple((int(one.face_index), type(one).__name__.lower()) for one in told)
        in_mm = placed * MM_PER_M * scale_ratio
        missing = missing_volume(in_mm, _normals(shape, np.asarray(place)[:3, :3]))
        bodies.append(Body(name=node, corners=in_mm, faces=faces, kinds=kinds, missing=missing))
    return tuple(bodies), chord_mm
