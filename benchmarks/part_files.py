"""Work on parts' files: all facts of a binary STL, beside a mesh library's load and mass properties."""

from __future__ import annotations

import io
from collections.abc import Callable

import meshes
import trimesh

from traywright.geometry import highest, lowest
from traywright.parts import Examined, ShapeAsked, examine, read_shape

CELL_MM = 0.25
Work = Callable[[], object]


def _facts(content: bytes) -> Work:
    """Mass, poses, the shadow of each pose, and both height maps."""
    asked = ShapeAsked(id="part", file_name="part.stl")

    def work() -> Examined:
        shape = read_shape(asked, content)
        told = examine(shape)
        for body in shape.bodies:
            lowest(body.mesh, CELL_MM)
            highest(body.mesh, CELL_MM)
        return told

    return work


def _loaded(content: bytes) -> Work:
    """The mesh library reads the file and works out volume, centre and inertia."""
    return lambda: trimesh.load_mesh(io.BytesIO(content), file_type="stl").mass_properties


def turned_facts(triangles: int) -> Work:
    """All facts of a stepped shaft."""
    return _facts(meshes.turned(triangles))


def turned_loaded(triangles: int) -> Work:
    """The same file by the mesh library."""
    return _loaded(meshes.turned(triangles))


def rounded_facts(triangles: int) -> Work:
    """All facts of an egg."""
    return _facts(meshes.rounded(triangles))


def rounded_loaded(triangles: int) -> Work:
    """The same file by the mesh library."""
    return _loaded(meshes.rounded(triangles))
