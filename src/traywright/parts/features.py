"""Faces and weak features of one body of a file."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from traywright.base import Finding
from traywright.parts.faces import FaceTold, faces_told, fit_faces
from traywright.parts.shape import ClosedBody
from traywright.parts.smooth_faces import faces_by_form
from traywright.parts.weak import MOST_TRIANGLES, Weak, weak_features, weak_findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Features:
    """Faces by number, weak features, and what is to be said of them."""

    faces: tuple[FaceTold, ...] = ()
    weak: tuple[Weak, ...] = ()
    findings: tuple[Finding, ...] = ()


def features_of(part_id: str, body: ClosedBody) -> Features:
    """Faces and weak features of a body.

    Parameters
    ----------
    part_id
        Named in findings.
    body
        The body; faces of the file where it has them, else those that its form shows.

    Notes
    -----
    A mesh of more than 500 000 triangles is not searched, which is told.
    """
    if len(body.mesh.triangles) > MOST_TRIANGLES:
        return Features(findings=weak_findings(part_id, body.mesh, ()))
    if len(body.faces):
        named, numbered = np.unique(body.faces, return_inverse=True)
        faces = numbered.reshape(-1).astype(np.int32)
    else:
        faces = faces_by_form(body.mesh)
        named = np.arange(int(faces.max()) + 1)
    kinds = dict(body.kinds)
    fitted = tuple(
        replace(face, kind=kinds.get(number, "other")) if face.kind == "other" else face
        for face, number in zip(fit_faces(body.mesh, faces), named.tolist(), strict=True)
    )
    weak = weak_features(body.mesh, faces, fitted)
    return Features(faces=faces_told(fitted), weak=weak, findings=weak_findings(part_id, body.mesh, weak))
