"""Meshes of a 3MF file: an archive with models in XML.

Read by ourselves and not by the mesh library: behind limits on members, sizes and depth, without entities, and with the
unit, the names and every component's place kept.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import text
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

MOST_MEMBERS = 1_000  # source: ours: a model, its relations, some pictures
MOST_BYTES = 400_000_000  # source: ours: three million triangles in XML
MOST_PLACED = 20_000  # source: ours: components counted as often as they are placed
DEPTH_MOST = 32  # source: ours: assemblies in assemblies go some five deep
UNITS = {  # source: 3MF core specification, unit of the model; millimeter where it is left out
    "micron": "micron",
    "millimeter": "mm",
    "centimeter": "cm",
    "inch": "inch",
    "foot": "foot",
    "meter": "m",
}
RELATIONS = "_rels/.rels"
Matrix = NDArray[np.float64]
_TARGET = re.compile(rb"<(?:\w+:)?Relationship\b[^>]*>")


class _Object:
    """One object of a model: a mesh, or components; filled while the model is read."""

    def __init__(self, kind: str, name: str) -> None:
        self.kind, self.name = kind, name
        self.points: list[tuple[float, float, float]] = []
        self.triangles: list[tuple[int, int, int]] = []
        self.components: list[tuple[str, str, Matrix]] = []


class _Model:
    """One model of the archive: its unit, objects by id, and what is built of them."""

    def __init__(self) -> None:
        self.unit = "mm"
        self.objects: dict[str, _Object] = {}
        self.items: list[tuple[str, str, Matrix, str]] = []


class _Archive:
    """The members of the archive, read behind limits."""

    def __init__(self, part_id: str, file_name: str, content: bytes) -> None:
        self.part_id, self.file_name = part_id, file_name
        try:
            self.files = zipfile.ZipFile(io.BytesIO(content))
        except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as fault:
            raise PartError("PART-003", part=part_id, file=file_name) from fault
        members = self.files.infolist()
        if len(members) > MOST_MEMBERS or sum(one.file_size for one in members) > MOST_BYTES:
            raise self.refusal("too_large")
        for one in members:
            if one.filename.startswith(("/", "\\")) or ".." in re.split(r"[/\\]", one.filename) or ":" in one.filename:
                raise self.refusal("path")
            if one.flag_bits & 1:
                raise self.refusal("encrypted")
        self.names = {one.filename.lower(): one for one in members}
        self.left = MOST_BYTES

    def refusal(self, why: str) -> PartError:
        """That the archive is refused; ``why`` is a key of the message group ``archive``."""
        return PartError("PART-065", part=self.part_id, file=self.file_name, why=text("archive", why))

    def content(self, name: str) -> bytes:
        """The bytes of a member, inflated no further than the limit.

        Raises
        ------
        PartError
            PART-003 if it is not there or damaged, PART-065 if it is larger than it says, PART-066 if it declares
            entities.
        """
        member = self.names.get(name)
        if member is None:
            raise PartError("PART-003", part=self.part_id, file=self.file_name)
        try:
            with self.files.open(member) as stream:
                told = stream.read(self.left + 1)
        except (
            zipfile.BadZipFile,
            zlib.error,
            EOFError,
            OSError,
            RuntimeError,
            NotImplementedError,
            ValueError,
        ) as fault:
            raise PartError("PART-003", part=self.part_id, file=self.file_name) from fault
        self.left -= len(told)
        if self.left < 0:
            raise self.refusal("too_large")
        if b"<!DOCTYPE" in told or b"<!ENTITY" in told:
            raise PartError("PART-066", part=self.part_id, file=self.file_name)
        return told

    @staticmethod
    def plain(name: str) -> str:
        """A member's name as the archive knows it: without a slash before it, upper and lower case alike."""
        return posixpath.normpath(name.lstrip("/")).lower()

    def root(self) -> str:
        """Name of the model that the archive starts with."""
        if RELATIONS in self.names:
            for told in _TARGET.findall(self.content(RELATIONS)):
                target = re.search(rb"Target\s*=\s*[\"']([^\"']*)", told)
                if target and b"3dmodel" in told.lower():
                    return self.plain(target.group(1).decode("utf-8", errors="replace"))
        models = sorted(name for name in self.names if name.endswith(".model"))
        return models[0] if models else "3d/3dmodel.model"


def _matrix(told: str | None) -> Matrix:
    """Twelve numbers, row by row, as a 4 x 3 matrix that a point (x, y, z, 1) is multiplied with.

    Raises
    ------
    ValueError
        If they are not twelve numbers.
    """
    if told is None:
        return np.vstack([np.eye(3), np.zeros(3)])
    return np.array([float(one) for one in told.split()], dtype=np.float64).reshape(4, 3)


def _attributes(element: Any) -> dict[str, str]:  # noqa: ANN401  # reason: untyped library
    """Attributes by their plain names; the path of the production extension keeps its name."""
    return {key.rpartition("}")[2]: value for key, value in element.attrib.items()}


def _gather(model: _Model, name: str, told: Mapping[str, str], open_object: _Object | None) -> _Object | None:
    """One element as it begins; the object that is open afterwards.

    Raises
    ------
    KeyError, ValueError
        If something is missing or no number.
    """
    if name == "model":
        model.unit = UNITS[told.get("unit", "millimeter")]
    elif name == "object":
        open_object = _Object(told.get("type", "model"), told.get("name") or told.get("partnumber", ""))
        model.objects[told["id"]] = open_object
    elif name == "item":
        place = told.get("path", ""), told["objectid"]
        model.items.append((*place, _matrix(told.get("transform")), told.get("partnumber", "")))
    elif open_object is not None and name == "vertex":
        open_object.points.append((float(told["x"]), float(told["y"]), float(told["z"])))
    elif open_object is not None and name == "triangle":
        open_object.triangles.append((int(told["v1"]), int(told["v2"]), int(told["v3"])))
    elif open_object is not None and name == "component":
        open_object.components.append((told.get("path", ""), told["objectid"], _matrix(told.get("transform"))))
    return open_object


def _forget(element: Any) -> None:  # noqa: ANN401  # reason: untyped library
    """Let go of an element that was read and of those before it."""
    element.clear()
    above = element.getparent()
    while above is not None and element.getprevious() is not None:
        del above[0]


def _model(archive: _Archive, name: str) -> _Model:
    """One model of the archive.

    Raises
    ------
    PartError
        PART-003 if its XML is damaged, PART-060 if a number cannot be read.
    """
    from lxml import etree  # noqa: PLC0415  # reason: waits until a 3MF file is read

    model, inside = _Model(), None
    stream = io.BytesIO(archive.content(name))
    place = {"part": archive.part_id, "file": archive.file_name}
    safely = {"resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False}
    try:
        for event, element in etree.iterparse(stream, events=("start", "end"), **safely):
            if not isinstance(element.tag, str):
                continue
            if event == "start":
                inside = _gather(model, element.tag.rpartition("}")[2], _attributes(element), inside)
            else:
                _forget(element)
    except etree.XMLSyntaxError as fault:
        raise PartError("PART-003", **place) from fault
    except (KeyError, ValueError) as fault:
        raise PartError("PART-060", place=str(fault), **place) from fault
    return model


class _Built:
    """The models of an archive, put together as they are built."""

    def __init__(self, archive: _Archive) -> None:
        self.archive = archive
        self.models: dict[str, _Model] = {}
        self.found: list[Body] = []
        self.triangles = 0
        self.left_out = 0
        self.placed = 0

    def model(self, path: str) -> _Model:
        """A model by its path, read once."""
        if path not in self.models:
            self.models[path] = _model(self.archive, path)
        return self.models[path]

    def put(self, at: tuple[str, str], matrix: Matrix, name: str, above: tuple[tuple[str, str], ...]) -> None:
        """One object with its place, and what it is made of.

        Raises
        ------
        PartError
            PART-067 if it holds itself, is placed too deep or too often, or is not there; PART-061 if there are too
            many triangles.
        """
        self.placed += 1
        told = self.model(at[0]).objects.get(at[1])
        if told is None or at in above or len(above) >= DEPTH_MOST or self.placed > MOST_PLACED:
            raise PartError("PART-067", part=self.archive.part_id, file=self.archive.file_name, number=at[1])
        if told.kind in {"support", "other"}:
            self.left_out += 1
            return
        own = told.name or name
        if told.triangles:
            self.add(own or f"object_{at[1]}", told, matrix)
        for path, number, inner in told.components:
            turned = np.vstack([inner[:3] @ matrix[:3], inner[3] @ matrix[:3] + matrix[3]])
            self.put((self.archive.plain(path) if path else at[0], number), turned, own, (*above, at))

    def add(self, name: str, told: _Object, matrix: Matrix) -> None:
        """The mesh of one object where it stands."""
        part_id, file_name = self.archive.part_id, self.archive.file_name
        self.triangles += len(told.triangles)
        check_count(part_id, file_name, self.triangles)
        if len(self.found) >= MOST_BODIES:
            raise PartError("PART-061", part=part_id, file=file_name, count=len(self.found) + 1, most=MOST_BODIES)
        points = np.array(told.points, dtype=np.float64).reshape(-1, 3)
        check_finite(part_id, file_name, points, "vertex")
        check_finite(part_id, file_name, matrix, "transform")
        corners = corners_of(part_id, file_name, points, [np.array(told.triangles, dtype=np.int64)])
        placed = corners @ matrix[:3] + matrix[3]
        if np.linalg.det(matrix[:3]) < 0.0:
            placed = placed[:, ::-1]
        self.found.append(Body(name=name, corners=placed, faces=NO_FACES))


def _items(model: _Model) -> Iterator[tuple[str, str, Matrix, str]]:
    """What is built; all objects that no other is made of where nothing is."""
    if model.items:
        yield from model.items
        return
    parts = {number for one in model.objects.values() for _, number, _ in one.components}
    yield from (("", number, _matrix(None), "") for number in model.objects if number not in parts)


def bodies_of_3mf(part_id: str, file_name: str, content: bytes) -> MeshRead:
    """The objects that a 3MF file builds, in its own numbers, and the unit that it states.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        The file.

    Raises
    ------
    PartError
        PART-003 if the archive or its XML is damaged, PART-060 if a number cannot be read, PART-061 if it has too many
        triangles or bodies, PART-063 if a corner is not there, PART-065 if the archive is refused, PART-066 if it
        declares entities, PART-067 if a component holds itself or is not there.

    References
    ----------
    3MF Core Specification, version 1.3 (units, transforms, build, components), and its production extension (path).
    """
    archive = _Archive(part_id, file_name, content)
    built = _Built(archive)
    root = archive.root()
    model = built.model(root)
    for path, number, matrix, name in _items(model):
        built.put((archive.plain(path) if path else root, number), matrix, name, ())
    return MeshRead(
        bodies=tuple(built.found),
        unit=model.unit,
        findings=left_out_finding(part_id, "support", built.left_out),
    )
