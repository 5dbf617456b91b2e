"""What a STEP file says of its solids, held against the bodies that came out of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.parts.body import Body
from traywright.parts.mesh_limits import left_out_finding

# source: ISO 10303-42, entities of boundary representations
_SHELL = re.compile(rb"#(\d+)=(?:ORIENTED_)?CLOSED_SHELL\('(?:[^']|'')*',(?:\*,)?\(?([#\d,]*)\)?")
_SOLID = re.compile(rb"=(?:MANIFOLD_SOLID_BREP|FACETED_BREP)\('(?:[^']|'')*',#(\d+)\)")
_HOLLOW = re.compile(rb"=BREP_WITH_VOIDS\('(?:[^']|'')*',#(\d+),\(([#\d,]*)\)\)")
_LOOSE = re.compile(rb"=(?:SHELL_BASED_SURFACE_MODEL|GEOMETRIC_CURVE_SET|GEOMETRIC_SET)\(")


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidsTold:
    """How many faces each solid of a STEP file has, and how many surfaces and curves stand without a solid."""

    faces: tuple[int, ...]
    loose: int


def solids_told(content: bytes) -> SolidsTold:
    """What the text of a STEP file says of its solids.

    Parameters
    ----------
    content
        The file.

    Examples
    --------
    >>> solids_told(b"#1=CLOSED_SHELL('',(#2,#3));#4=MANIFOLD_SOLID_BREP('a',#1);")
    SolidsTold(faces=(2,), loose=0)
    """
    flat = re.sub(rb"\s+", b"", content)
    shells = {number: len(re.findall(rb"#\d+", faces)) for number, faces in _SHELL.findall(flat)}
    oriented = dict(re.findall(rb"#(\d+)=ORIENTED_CLOSED_SHELL\('(?:[^']|'')*',\*,#(\d+)", flat))

    def count(number: bytes) -> int:
        return shells.get(oriented.get(number, number), 0)

    solids = [count(shell) for shell in _SOLID.findall(flat)]
    for outer, voids in _HOLLOW.findall(flat):
        solids.append(count(outer) + sum(count(one) for one in re.findall(rb"#(\d+)", voids)))
    return SolidsTold(faces=tuple(solids), loose=len(_LOOSE.findall(flat)))


def whole_bodies(part_id: str, content: bytes, bodies: Sequence[Body]) -> tuple[tuple[Body, ...], tuple[Finding, ...]]:
    """The bodies that came out of a STEP file with all their faces, and what was lost on the way.

    Parameters
    ----------
    part_id
        Named in findings and errors.
    content
        The file.
    bodies
        As they came out of it, with the file's face of each triangle.

    Raises
    ------
    PartError
        PART-069 if no body is whole.

    Notes
    -----
    A body is whole if some solid of the file has as many faces. A solid that is placed several times is several bodies,
    so there are at least as many bodies as solids.
    """
    told = solids_told(content)
    if not told.faces:
        return tuple(bodies), left_out_finding(part_id, "loose_surfaces", told.loose)
    kept, noticed = [], []
    for body in bodies:
        have = len(np.unique(body.faces))
        if have in told.faces:
            kept.append(body)
        else:
            most = min((one for one in told.faces if one > have), default=max(told.faces))
            lost = finding("PART-069", Severity.WARN, (part_id,), part=part_id, body=body.name, have=have, wanted=most)
            noticed.append(lost)
    if not kept:
        first = bodies[0]
        have = len(np.unique(first.faces))
        raise PartError("PART-069", part=part_id, body=first.name, have=have, wanted=max(told.faces))
    gone = left_out_finding(part_id, "lost_solids", max(0, len(told.faces) - len(bodies)))
    return tuple(kept), (*noticed, *gone, *left_out_finding(part_id, "loose_surfaces", told.loose))
