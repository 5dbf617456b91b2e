"""Polygons of an OBJ file."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.parts.body import Body
from traywright.parts.mesh_limits import (
    MOST_BODIES,
    NO_FACES,
    MeshRead,
    check_count,
    check_finite,
    corners_of,
    left_out_finding,
)

FREE_FORM = frozenset({b"curv", b"curv2", b"surf", b"vp", b"cstype"})
KNOWN = FREE_FORM | frozenset({b"v", b"f", b"o", b"g", b"vn", b"vt", b"s", b"usemtl", b"mtllib", b"l", b"p"})


class _Gathered:
    """What stands in the lines of a file: points, and the polygons of each object by their number of corners."""

    def __init__(self) -> None:
        self.points: list[tuple[float, float, float]] = []
        self.bodies: dict[str, dict[int, list[tuple[int, ...]]]] = {}
        self.here = ""
        self.triangles = 0
        self.left_out = 0

    def polygon(self, words: list[bytes]) -> None:
        """One polygon; a negative number counts back from the last point."""
        count = len(self.points)
        numbers = [int(word.split(b"/", 1)[0]) for word in words]
        ring = tuple(number - 1 if number > 0 else count + number for number in numbers)
        self.triangles += max(0, len(ring) - 2)
        self.bodies.setdefault(self.here, {}).setdefault(len(ring), []).append(ring)


def _lines(content: bytes) -> Iterator[tuple[int, list[bytes]]]:
    """The words of each line with its number; lines that end in a backslash go on in the next."""
    held: list[bytes] = []
    for number, line in enumerate(content.split(b"\n"), start=1):
        words = line.partition(b"#")[0].split()
        if words and words[-1].endswith(b"\\"):
            held += [*words[:-1], words[-1][:-1]] if words[-1] != b"\\" else words[:-1]
            continue
        if held or words:
            yield number, [*held, *words]
        held = []


def _take(gathered: _Gathered, words: list[bytes]) -> None:
    """One line; what is no shape is passed over, and no other file is opened.

    Raises
    ------
    ValueError
        If a number is no number.
    """
    key = words[0]
    if key == b"v":
        x, y, z = (float(one) for one in words[1:4])
        gathered.points.append((x, y, z))
    elif key == b"f":
        gathered.polygon(words[1:])
    elif key == b"o":
        gathered.here = b" ".join(words[1:]).decode("utf-8", errors="replace")
    elif key in FREE_FORM:
        gathered.left_out += 1


def bodies_of_obj(part_id: str, file_name: str, content: bytes) -> MeshRead:
    """The objects of an OBJ file in its own numbers; the format states no unit.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.

    Raises
    ------
    PartError
        PART-003 if no line is of the format, PART-060 if a number cannot be read, PART-061 if it has too many triangles
        or objects, PART-063 if a corner is not there, PART-064 if it has points and no polygon.

    Notes
    -----
    A body is what one object line (o) names; groups (g) are faces of a body and do not part it. Materials, normals and
    textures are passed over and no file they name is opened. Free-form curves and surfaces are left out and told.
    """
    gathered = _Gathered()
    known = False
    for number, words in _lines(content):
        known = known or words[0] in KNOWN
        if not known and number > 1_000:
            break
        try:
            _take(gathered, words)
        except ValueError as fault:
            raise PartError("PART-060", part=part_id, file=file_name, place=f"line {number}") from fault
        if words[0] == b"f":
            check_count(part_id, file_name, gathered.triangles)
    if not known:
        raise PartError("PART-003", part=part_id, file=file_name)
    return _read(part_id, file_name, gathered)


def _read(part_id: str, file_name: str, gathered: _Gathered) -> MeshRead:
    """The bodies of what was gathered."""
    if len(gathered.bodies) > MOST_BODIES:
        raise PartError("PART-061", part=part_id, file=file_name, count=len(gathered.bodies), most=MOST_BODIES)
    points: NDArray[np.float64] = np.array(gathered.points, dtype=np.float64).reshape(-1, 3)
    check_finite(part_id, file_name, points, "point")
    if len(points) and not gathered.bodies:
        raise PartError("PART-064", part=part_id, file=file_name, count=len(points))
    bodies = []
    for name, polygons in gathered.bodies.items():
        rings = [np.array(polygons[size], dtype=np.int64).reshape(-1, size) for size in sorted(polygons) if size > 2]
        corners = corners_of(part_id, file_name, points, rings)
        bodies.append(Body(name=name or part_id, corners=corners, faces=NO_FACES))
    left_out = left_out_finding(part_id, "free_form", gathered.left_out)
    return MeshRead(bodies=tuple(bodies), findings=left_out)
