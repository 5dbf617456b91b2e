"""Weak features of a part: sharp edges and points, thin pins, thin walls, and what is to be said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Limit, Severity, Status, finding
from traywright.geometry import Mesh
from traywright.parts.faces import Face
from traywright.parts.pins import PIN_MM, thin_pins
from traywright.parts.sharp_edges import (
    PLAIN_DEG,
    POINT_DEG,
    SHARP_DEG,
    edges_of,
    plain_edges,
    sharp_edges,
    sharp_points,
)
from traywright.parts.thin_walls import THIN_WALL_MM, thin_walls

MOST_TRIANGLES = 500_000  # source: ours: about two seconds; scans above it have noise for edges
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weak:
    """A feature that foam may cut itself on, bend or break.

    ``kind`` is sharp_edge, plain_edge (all edges as machined, one entry), point, thin_pin or thin_wall. ``place_mm`` is
    its worst spot in the frame of the mesh; ``size_mm`` the thickness of a pin or wall, ``length_mm`` that of an edge
    or the free length of a pin, ``angle_deg`` what material fills at an edge or point, ``area_mm2`` that of a wall; 0
    where a kind has none. ``faces`` are the numbers of the faces of a pin or wall.
    """

    kind: str
    place_mm: tuple[float, ...]
    size_mm: float = 0.0
    length_mm: float = 0.0
    area_mm2: float = 0.0
    angle_deg: float = 0.0
    faces: tuple[int, ...] = ()


def weak_features(mesh: Mesh, faces: NDArray[np.int32], fitted: tuple[Face, ...]) -> tuple[Weak, ...]:
    """Weak features, kind by kind, the worst of each kind first.

    Parameters
    ----------
    mesh
        Closed mesh, outward counter-clockwise, mm.
    faces, fitted
        Number of the face of each triangle from 0 without gaps, and the faces by number.

    Returns
    -------
    tuple
        Sharp edges by chain, sharp points, plain edges as one entry, pins, walls; nothing above 500 000 triangles.

    Notes
    -----
    A rounded edge is no sharp edge however small its radius; a lip or blade of that form shows as a thin wall. What
    each search misses stands with ``sharp_points``, ``thin_pins`` and ``thin_walls``.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> sheet = extruded(Region.rectangle(0, 0, 50, 30), 0.0, 1.0)
    >>> from traywright.parts.faces import faces_by_crease, fit_faces
    >>> faces = faces_by_crease(sheet)
    >>> [(one.kind, one.size_mm, one.length_mm) for one in weak_features(sheet, faces, fit_faces(sheet, faces))]
    [('plain_edge', 0.0, 324.0), ('thin_wall', 1.0, 0.0)]
    """
    if len(mesh.triangles) > MOST_TRIANGLES:
        return ()
    edges = edges_of(mesh)
    plain = plain_edges(mesh, edges)
    found = [
        Weak(kind=kind, place_mm=one.place_mm, length_mm=one.length_mm, angle_deg=one.angle_deg)
        for kind, several in (
            ("sharp_edge", sharp_edges(mesh, edges)),
            ("point", sharp_points(mesh)),
            ("plain_edge", (plain,) if plain else ()),
        )
        for one in several
    ]
    pins = thin_pins(mesh, faces, fitted, edges)
    found += [
        Weak(kind="thin_pin", place_mm=one.place_mm, size_mm=one.size_mm, length_mm=one.length_mm, faces=one.faces)
        for one in pins
    ]
    walls = thin_walls(mesh, faces, frozenset(n for one in pins for n in one.faces))
    found += [
        Weak(kind="thin_wall", place_mm=one.place_mm, size_mm=one.size_mm, area_mm2=one.area_mm2, faces=one.faces)
        for one in walls
    ]
    return tuple(found)


def _limit(value: float, unit: str) -> Limit:
    return Limit(value=value, unit=unit, status=Status.PRACTICE, source=PRACTICE)


def _told(kind: str, several: Sequence[Weak]) -> tuple[str, Severity, Limit, dict[str, Any]]:
    """Code, weight, limit and the numbers of the finding for all features of one kind."""
    worst, count = several[0], len(several)
    if kind == "plain_edge":
        told: dict[str, Any] = {"length_mm": worst.length_mm, "low_deg": SHARP_DEG, "high_deg": PLAIN_DEG}
        return "PART-105", Severity.NOTE, _limit(PLAIN_DEG, "deg"), told
    x_mm, y_mm, z_mm = (round(one, 2) for one in worst.place_mm)
    told = {"count": count, "x_mm": x_mm, "y_mm": y_mm, "z_mm": z_mm}
    if kind == "sharp_edge":
        length = {"length_mm": round(sum(one.length_mm for one in several), 2)}
        told |= {"angle_deg": worst.angle_deg, "limit_deg": SHARP_DEG} | length
        return "PART-104", Severity.WARN, _limit(SHARP_DEG, "deg"), told
    if kind == "point":
        told |= {"angle_deg": worst.angle_deg, "limit_deg": POINT_DEG}
        return "PART-108", Severity.WARN, _limit(POINT_DEG, "deg"), told
    told |= {"size_mm": worst.size_mm}
    if kind == "thin_pin":
        told |= {"length_mm": worst.length_mm, "limit_mm": PIN_MM}
        return "PART-106", Severity.WARN, _limit(PIN_MM, "mm"), told
    told |= {"area_mm2": round(sum(one.area_mm2 for one in several), 1), "limit_mm": THIN_WALL_MM}
    return "PART-107", Severity.WARN, _limit(THIN_WALL_MM, "mm"), told


def weak_findings(part_id: str, mesh: Mesh, weak: tuple[Weak, ...]) -> tuple[Finding, ...]:
    """One finding a kind, with the count and the worst place; a note where the mesh was too fine to be searched.

    Parameters
    ----------
    part_id
        Named in findings.
    mesh
        The mesh that was searched.
    weak
        What was found in it.

    Returns
    -------
    tuple
        PART-104 (sharp edges), PART-105 (plain edges), PART-106 (pins), PART-107 (walls), PART-108 (points), PART-109
        (not searched).
    """
    at, count = (part_id,), len(mesh.triangles)
    if count > MOST_TRIANGLES:
        return (finding("PART-109", Severity.NOTE, at, part=part_id, count=count, most=MOST_TRIANGLES),)
    findings = []
    for kind in dict.fromkeys(one.kind for one in weak):
        several = [one for one in weak if one.kind == kind]
        code, severity, limit, told = _told(kind, several)
        findings.append(finding(code, severity, at, point_mm=several[0].place_mm, limit=limit, part=part_id, **told))
    return tuple(findings)
