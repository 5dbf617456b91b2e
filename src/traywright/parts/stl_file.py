"""Triangles of an STL file, binary or text."""

from __future__ import annotations

import re

import numpy as np

from traywright.base.errors import PartError
from traywright.parts.body import Body

HEAD, ROW = 84, 50  # source: the format: 80 bytes and a count, then 12 numbers and 2 bytes a triangle
_VERTEX = re.compile(rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)")


def bodies_of_stl(part_id: str, file_name: str, content: bytes, mm_per_number_mm: float) -> tuple[Body, ...]:
    """The triangles of an STL file in mm, as one body without faces.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.
    mm_per_number_mm
        Millimetres of one unit of the file's numbers; the format states no unit.

    Raises
    ------
    PartError
        PART-003 if it is neither form of the format or holds a number that is not finite.
    """
    count = int.from_bytes(content[80:HEAD], "little") if len(content) >= HEAD else -1
    if count >= 0 and len(content) == HEAD + ROW * count:
        rows = np.frombuffer(content[HEAD:], dtype=np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]))
        corners = rows["v"].astype(np.float64)
    elif content.lstrip()[:5] == b"solid":
        corners = _read_text(part_id, file_name, content)
    else:
        raise PartError("PART-003", part=part_id, file=file_name)
    if not np.isfinite(corners).all():
        raise PartError("PART-003", part=part_id, file=file_name)
    return (Body(name=part_id, corners=corners * mm_per_number_mm, faces=np.empty(0, dtype=np.int64)),)


def _read_text(part_id: str, file_name: str, content: bytes) -> np.ndarray:
    """Corners of the text form."""
    found = _VERTEX.findall(content)
    try:
        numbers = np.array([[float(one) for one in row] for row in found], dtype=np.float64)
    except ValueError as fault:
        raise PartError("PART-003", part=part_id, file=file_name) from fault
    if len(numbers) % 3:
        raise PartError("PART-003", part=part_id, file=file_name)
    return numbers.reshape(-1, 3, 3)
