"""Triangles of an STL file, binary or text."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding
from traywright.base.errors import PartError
from traywright.parts.body import Body
from traywright.parts.mesh_limits import NO_FACES, MeshRead, check_count, check_finite, left_out_finding

HEAD, ROW = 84, 50  # source: the format: 80 bytes and a count, then 12 numbers and 2 bytes a triangle
_VERTEX = re.compile(rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)")


def bodies_of_stl(part_id: str, file_name: str, content: bytes) -> MeshRead:
    """The triangles of an STL file in its own numbers, as one body without faces; the format states no unit.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.

    Raises
    ------
    PartError
        PART-003 if it is neither form of the format, PART-060 if a number is not finite or not a number, PART-061 if it
        has too many triangles, PART-062 if it claims more than it holds.

    Notes
    -----
    A binary file may call itself "solid": its length tells. Bytes after the claimed triangles are told, not read.
    """
    count = int.from_bytes(content[80:HEAD], "little") if len(content) >= HEAD else -1
    noticed: tuple[Finding, ...] = ()
    corners: NDArray[np.floating]
    if count >= 0 and len(content) == HEAD + ROW * count:
        corners = _read_binary(part_id, file_name, content, count)
    elif content.lstrip()[:5].lower() == b"solid" and _VERTEX.search(content):
        corners = _read_text(part_id, file_name, content)
    elif count < 0:
        raise PartError("PART-003", part=part_id, file=file_name)
    elif len(content) < HEAD + ROW * count:
        raise PartError("PART-062", part=part_id, file=file_name, claims=count, holds=(len(content) - HEAD) // ROW)
    else:
        corners = _read_binary(part_id, file_name, content, count)
        left = len(content) - HEAD - ROW * count
        noticed = left_out_finding(part_id, "bytes_after", left)
    check_finite(part_id, file_name, corners, "triangle")
    body = Body(name=part_id, corners=corners.astype(np.float64), faces=NO_FACES)
    return MeshRead(bodies=(body,), findings=noticed)


def _read_binary(part_id: str, file_name: str, content: bytes, count: int) -> NDArray[np.float32]:
    check_count(part_id, file_name, count)
    row = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    corners: NDArray[np.float32] = np.frombuffer(content, dtype=row, count=count, offset=HEAD)["v"]
    return corners


def _read_text(part_id: str, file_name: str, content: bytes) -> NDArray[np.float64]:
    """Corners of the text form."""
    found = _VERTEX.findall(content)
    check_count(part_id, file_name, len(found) // 3)
    if len(found) % 3 or b"endsolid" not in content[-400:].lower():
        raise PartError("PART-003", part=part_id, file=file_name)
    try:
        numbers = np.array([[float(one) for one in row] for row in found], dtype=np.float64)
    except ValueError as fault:
        raise PartError("PART-060", part=part_id, file=file_name, place=str(fault)) from fault
    return numbers.reshape(-1, 3, 3)
