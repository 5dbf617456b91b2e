"""Faces that a contact names by number, found again in the present file; every doubt is told and none is settled."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from traywright.base import Finding, Severity, finding, text
from traywright.geometry import Mesh
from traywright.parts.faces import FACE_MATCH_MM, Face
from traywright.parts.where import FaceNamed

SAME_FACE_MM = 0.5  # source: ours: a named face found within this of its stated middle is the same face
MOVED_MM = 10.0  # source: ours: a revision that moves a face further is looked at by a person
MOVED_RATIO = 0.1  # source: ours: on a small part a tenth of its size is as much as 10 mm on a large one
CHANGED_RATIO = 0.1  # source: ours: a diameter changed by more than a tenth is another face
CHANGED_AREA_RATIO = 0.25  # source: ours: an area changes with both lengths of a face
LEANING_COS = math.cos(math.radians(15.0))  # source: ours: as far as a face may lean and still face that way
CLEAR_RATIO = 3.0  # source: ours: the nearest face is meant if the next one like it lies three times as far


@dataclass(frozen=True, slots=True, kw_only=True)
class FacesPlaced:
    """Numbers of the faces that were found, of those a doubt may mean, and what was noticed.

    ``doubtful`` are all faces that could be one that was not placed: a strict rule is laid on each of them.
    """

    numbers: tuple[int, ...]
    doubtful: tuple[int, ...]
    findings: tuple[Finding, ...]


def _near(found_mm: float, named_mm: float | None, ratio: float) -> bool:
    """True if a stated number is not told or is met, to the given share."""
    return named_mm is None or abs(found_mm - named_mm) <= max(FACE_MATCH_MM, ratio * named_mm)


def _like(face: Face, named: FaceNamed, ratio: float) -> bool:
    """True if a face may be the named one by all but its place."""
    if face.kind != named.kind or not _near(face.diameter_mm, named.diameter_mm, ratio):
        return False
    if named.axis:
        lean = math.fsum(one * other for one, other in zip(face.axis, named.axis, strict=True))
        if (lean if face.kind == "plane" else abs(lean)) < LEANING_COS:
            return False
    return _near(face.area_mm2, named.area_mm2, CHANGED_AREA_RATIO)


def _off_mm(face: Face, named: FaceNamed) -> float:
    return math.dist(face.centre_mm, named.centre_mm)


def _candidates(fitted: tuple[Face, ...], named: FaceNamed, reach_mm: float, taken: set[int]) -> tuple[int, ...]:
    """Faces that may be the named one, nearest first; only the nearest where the others lie far off."""
    here = [n for n, one in enumerate(fitted) if _off_mm(one, named) <= SAME_FACE_MM and _like(one, named, 0.0)]
    if named.number in here or len(here) > 1:
        return (named.number,) if named.number in here else tuple(here)
    if here:
        return tuple(here)
    close = sorted(
        (round(_off_mm(one, named), 3), n)
        for n, one in enumerate(fitted)
        if n not in taken and _off_mm(one, named) <= reach_mm and _like(one, named, CHANGED_RATIO)
    )
    if len(close) > 1 and close[1][0] >= CLEAR_RATIO * max(close[0][0], SAME_FACE_MM):
        return (close[0][1],)
    return tuple(n for _, n in close)


def _told_found(part_id: str, named: FaceNamed, face: Face, number: int) -> tuple[Finding, ...]:
    """What is to be said of a face that was found: another number, another place, another diameter."""
    at, point = (part_id,), face.centre_mm
    told: dict[str, Any] = {"part": part_id, "kind": named.kind, "number": named.number, "found": number}
    off_mm = _off_mm(face, named)
    if off_mm > SAME_FACE_MM:
        moved = [finding("PART-101", Severity.WARN, at, point_mm=point, off_mm=round(off_mm, 2), **told)]
    elif number != named.number:
        moved = [finding("PART-100", Severity.NOTE, at, point_mm=point, **told)]
    else:
        moved = []
    if named.diameter_mm is not None and abs(face.diameter_mm - named.diameter_mm) > FACE_MATCH_MM:
        told |= {"was_mm": round(named.diameter_mm, 3), "diameter_mm": round(face.diameter_mm, 3)}
        moved.append(finding("PART-103", Severity.WARN, at, point_mm=point, **told))
    return tuple(moved)


def _told_lost(part_id: str, named: FaceNamed, count: int, reach_mm: float, *, strict: bool) -> Finding:
    """What is to be said of a face that was not placed, and how its contact is read instead."""
    way = ("candidates" if count else "kind") if strict else "none"
    return finding(
        "PART-102",
        Severity.STOP,
        (part_id,),
        point_mm=named.centre_mm,
        part=part_id,
        number=named.number,
        kind=named.kind,
        count=count,
        reach_mm=round(reach_mm, 2),
        taken=text("face_taken", way),
    )


def place_faces(
    part_id: str, mesh: Mesh, fitted: tuple[Face, ...], named: tuple[FaceNamed, ...], *, strict: bool
) -> FacesPlaced:
    """The faces that a contact names, in the present file.

    Parameters
    ----------
    part_id
        Named in findings.
    mesh
        The part, mm: its size says how far a face may have moved.
    fitted
        Its faces by number.
    named
        Faces as the enquiry names them.
    strict
        True if the contact forbids something, so that in doubt it holds on every face that may be meant.

    Returns
    -------
    FacesPlaced
        With PART-100 (another number), PART-101 (moved), PART-103 (another diameter) or PART-102 (several may be
        meant, or none is there).

    Notes
    -----
    A face within 0.5 mm of its middle and like it is the same; the named number wins among several. Else a face of
    the kind, with what else is told of it near, within 10 mm or a tenth of the part's largest size, whichever is
    less, if no other like it lies within three times that distance. Faces found in place are not offered to others.
    """
    named = tuple(dict.fromkeys(named))
    low, high = mesh.bounds_mm
    reach_mm = min(MOVED_MM, MOVED_RATIO * float(np.max(high - low)))
    sure = [_candidates(fitted, one, 0.0, set()) for one in named]
    taken = {one[0] for one in sure if len(one) == 1}
    found = [one or _candidates(fitted, name, reach_mm, taken) for one, name in zip(sure, named, strict=True)]
    once = [one[0] for one in found if len(one) == 1]
    numbers: list[int] = []
    doubtful: list[int] = []
    findings: list[Finding] = []
    for one, name in zip(found, named, strict=True):
        if len(one) == 1 and once.count(one[0]) == 1:
            numbers.append(one[0])
            findings += _told_found(part_id, name, fitted[one[0]], one[0])
            continue
        doubtful += one or [n for n, face in enumerate(fitted) if face.kind == name.kind]
        findings.append(_told_lost(part_id, name, len(one), reach_mm, strict=strict))
    return FacesPlaced(numbers=tuple(sorted(numbers)), doubtful=tuple(sorted(set(doubtful))), findings=tuple(findings))
