"""Polygons of a PLY file, text or binary."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.parts.body import Body
from traywright.parts.mesh_limits import MOST_TRIANGLES, NO_FACES, MeshRead, check_count, check_finite, corners_of

TYPES = {
    **dict.fromkeys(("char", "int8"), "i1"),
    **dict.fromkeys(("uchar", "uint8"), "u1"),
    **dict.fromkeys(("short", "int16"), "i2"),
    **dict.fromkeys(("ushort", "uint16"), "u2"),
    **dict.fromkeys(("int", "int32"), "i4"),
    **dict.fromkeys(("uint", "uint32"), "u4"),
    **dict.fromkeys(("float", "float32"), "f4"),
    **dict.fromkeys(("double", "float64"), "f8"),
}
ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
HEAD_MOST = 65_536  # source: ours: a header has some hundred bytes
CORNER_LISTS = ("vertex_indices", "vertex_index")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Property:
    """A number, or a list of numbers with its count's type before it."""

    name: str
    kind: str
    counted: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Element:
    name: str
    count: int
    properties: tuple[_Property, ...]

    @property
    def has_lists(self) -> bool:
        """True if rows are not of one length."""
        return any(one.counted for one in self.properties)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Header:
    order: str
    elements: tuple[_Element, ...]
    end: int


def _property(words: list[str]) -> _Property:
    """One line of the header.

    Raises
    ------
    KeyError, IndexError
        If it is none of the format.
    """
    if words[1] == "list":
        return _Property(name=words[4], kind=TYPES[words[3]], counted=TYPES[words[2]])
    return _Property(name=words[2], kind=TYPES[words[1]])


def _header(part_id: str, file_name: str, content: bytes) -> _Header:
    """What the file says that it holds.

    Raises
    ------
    PartError
        PART-003 if it is no header of the format.
    """
    mark = content.find(b"end_header", 0, HEAD_MOST)
    end = content.find(b"\n", mark)
    if not content.startswith(b"ply") or mark < 0 or end < 0:
        raise PartError("PART-003", part=part_id, file=file_name)
    order, elements = None, []
    try:
        for line in content[:mark].decode("ascii").splitlines():
            words = line.split()
            if words[:1] == ["format"]:
                order = ORDERS[words[1]]
            elif words[:1] == ["element"]:
                elements.append(_Element(name=words[1], count=int(words[2]), properties=()))
            elif words[:1] == ["property"]:
                last = elements.pop()
                more = (*last.properties, _property(words))
                elements.append(_Element(name=last.name, count=last.count, properties=more))
    except (KeyError, IndexError, ValueError) as fault:
        raise PartError("PART-003", part=part_id, file=file_name) from fault
    if order is None or any(one.count < 0 for one in elements):
        raise PartError("PART-003", part=part_id, file=file_name)
    return _Header(order=order, elements=tuple(elements), end=end + 1)


class _Source:
    """The rows of the file, read element by element; nothing is taken that is not there."""

    def __init__(self, part_id: str, file_name: str, content: bytes, header: _Header) -> None:
        self.part_id, self.file_name, self.order = part_id, file_name, header.order
        self.content, self.at = content, header.end
        self.words = content[header.end :].split() if not header.order else []
        self.word = 0

    def short(self, element: _Element, holds: int) -> PartError:
        """That the file claims more than it holds."""
        return PartError("PART-062", part=self.part_id, file=self.file_name, claims=element.count, holds=holds)

    def rows(self, element: _Element) -> NDArray[np.float64]:
        """Rows of an element without lists, one column a property."""
        width = len(element.properties)
        if not self.order:
            taken = self.words[self.word : self.word + element.count * width]
            if len(taken) < element.count * width:
                raise self.short(element, len(taken) // max(1, width))
            self.word += len(taken)
            return np.array(taken, dtype=np.float64).reshape(-1, width)
        row = np.dtype([(f"c{number}", self.order + one.kind) for number, one in enumerate(element.properties)])
        left = len(self.content) - self.at
        if row.itemsize * element.count > left:
            raise self.short(element, left // max(1, row.itemsize))
        told = np.frombuffer(self.content, dtype=row, count=element.count, offset=self.at)
        self.at += row.itemsize * element.count
        return np.column_stack([told[f"c{number}"].astype(np.float64) for number in range(width)])

    def lists(self, element: _Element) -> list[NDArray[np.int64]]:
        """The corner lists of an element with lists, put together by their length."""
        alone = len(element.properties) == 1 and bool(self.order)
        even = self._even(element) if alone else None
        return [even] if even is not None else self._uneven(element)

    def _even(self, element: _Element) -> NDArray[np.int64] | None:
        """All lists at once where every one is as long as the first; None where they are not."""
        (own,) = element.properties
        counted = np.dtype(self.order + own.counted)
        if element.count == 0 or counted.kind == "f" or len(self.content) < self.at + counted.itemsize:
            return None
        size = int(np.frombuffer(self.content, dtype=counted, count=1, offset=self.at)[0])
        row = np.dtype([("size", counted), ("corners", self.order + own.kind, (max(0, size),))])
        if size < 1 or len(self.content) - self.at < row.itemsize * element.count:
            return None
        told = np.frombuffer(self.content, dtype=row, count=element.count, offset=self.at)
        if not (told["size"] == size).all():
            return None
        self.at += row.itemsize * element.count
        return told["corners"].reshape(-1, size).astype(np.int64)

    def _uneven(self, element: _Element) -> list[NDArray[np.int64]]:
        found: dict[int, list[list[int]]] = {}
        for number in range(element.count):
            for own in element.properties:
                size = int(self._next(element, number, own.counted, 1)[0]) if own.counted else 1
                values = self._next(element, number, own.kind, size)
                if own.counted and own.name in CORNER_LISTS:
                    found.setdefault(size, []).append([int(one) for one in values])
        return [np.array(found[size], dtype=np.int64).reshape(-1, size) for size in sorted(found)]

    def _next(self, element: _Element, number: int, kind: str, size: int) -> list[float]:
        """The next numbers of the file."""
        if not self.order:
            taken = self.words[self.word : self.word + max(0, size)]
            self.word += len(taken)
            if len(taken) < size or size < 0:
                raise self.short(element, number)
            return [float(one) for one in taken]
        own = np.dtype(self.order + kind)
        if size < 0 or len(self.content) - self.at < own.itemsize * size:
            raise self.short(element, number)
        told: list[float] = np.frombuffer(self.content, dtype=own, count=size, offset=self.at).tolist()
        self.at += own.itemsize * size
        return told


def _read(source: _Source, header: _Header) -> tuple[NDArray[np.float64], list[NDArray[np.int64]]]:
    """Points and polygons; other elements are passed over.

    Raises
    ------
    PartError
        PART-003 if points have no x, y and z.
    """
    points, polygons = np.empty((0, 3)), []
    for element in header.elements:
        if element.has_lists:
            lists = source.lists(element)
            polygons += lists if element.name == "face" else []
            continue
        rows = source.rows(element)
        if element.name == "vertex":
            names = [one.name for one in element.properties]
            if not {"x", "y", "z"} <= set(names):
                raise PartError("PART-003", part=source.part_id, file=source.file_name)
            points = rows[:, [names.index(axis) for axis in ("x", "y", "z")]]
    return points, polygons


def bodies_of_ply(part_id: str, file_name: str, content: bytes) -> MeshRead:
    """The polygons of a PLY file in its own numbers, as one body; the format states no unit.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.

    Raises
    ------
    PartError
        PART-003 if it is not of the format, PART-060 if a number cannot be read, PART-061 if it has too many triangles,
        PART-062 if it claims more than it holds, PART-063 if a corner is not there, PART-064 if it is a cloud of
        points.
    """
    header = _header(part_id, file_name, content)
    for element in header.elements:
        check_count(part_id, file_name, element.count if element.name == "face" else min(element.count, MOST_TRIANGLES))
    try:
        points, polygons = _read(_Source(part_id, file_name, content, header), header)
    except (ValueError, OverflowError) as fault:
        raise PartError("PART-060", part=part_id, file=file_name, place=str(fault)) from fault
    check_finite(part_id, file_name, points, "point")
    corners = corners_of(part_id, file_name, points, polygons)
    if len(points) and not len(corners):
        raise PartError("PART-064", part=part_id, file=file_name, count=len(points))
    return MeshRead(bodies=(Body(name=part_id, corners=corners, faces=NO_FACES),))
