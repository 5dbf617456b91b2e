"""One closed skin of the bodies that make a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from traywright.base.errors import PartError
from traywright.geometry import Mesh, fused, mass_properties
from traywright.parts.contact import Skin
from traywright.parts.faces import fit_faces, seamless
from traywright.parts.shape import ClosedBody
from traywright.parts.smooth_faces import faces_by_form


def skin_of(part_id: str, bodies: Sequence[ClosedBody]) -> Skin:
    """One skin of closed bodies, faces numbered on from body to body.

    Parameters
    ----------
    part_id
        Named in errors.
    bodies
        At least one; they may touch or overlap.

    Raises
    ------
    PartError
        PART-005 if they make no solid.
    """
    labels, start, told_kinds = [], 0, {}
    for body in bodies:
        named = body.faces if len(body.faces) else faces_by_form(body.mesh).astype(np.int64)
        labels.append(named + start)
        told_kinds.update({number + start: kind for number, kind in body.kinds})
        start += int(named.max()) + 1
    try:
        whole, told = fused([one.mesh for one in bodies], labels)
        mass_properties(whole)
    except ValueError as fault:
        raise PartError(
            "PART-005", part=part_id, count=0, holes=0, size_mm=0.0, x_mm=0.0, y_mm=0.0, z_mm=0.0
        ) from fault
    numbers_in_file, numbered = np.unique(told, return_inverse=True)
    numbers = numbered.reshape(-1).astype(np.int32)
    mesh = Mesh(np.round(whole.points_mm, 6) + 0.0, whole.triangles)
    kinds = [told_kinds.get(number, "other") for number in numbers_in_file.tolist()]
    fitted = tuple(
        replace(face, kind=kind) if face.kind == "other" else face
        for face, kind in zip(fit_faces(mesh, numbers), kinds, strict=True)
    )
    return Skin(mesh=mesh, faces=numbers, fitted=fitted, joined=seamless(mesh, numbers, fitted))


def skin_of_mesh(part_id: str, mesh: Mesh) -> Skin:
    """Skin of a closed mesh that we drew ourselves."""
    return skin_of(part_id, [ClosedBody(name=part_id, mesh=mesh, faces=np.empty(0, dtype=np.int64))])
