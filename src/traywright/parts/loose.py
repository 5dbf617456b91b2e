"""Triangles on shared points that need not bound a solid yet, and the mends that are told of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Place = tuple[float, float, float]

ALONE, CROWDED = -1, -2
AT_A_TIME = 200_000  # source: ours: rows handled at once, some ten megabytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One kind of mend: how often, how far at most, and where it was largest.

    ``largest_mm`` is the largest distance that a mend may lie off the true surface (of what was dropped: how large it
    is); ``volume_mm3`` is what all mends of the kind together may add or take away at most.
    """

    code: str
    count: int
    largest_mm: float
    place_mm: Place
    volume_mm3: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loose:
    """Triangles on shared points, and the file's face of each (empty where the file knows no faces)."""

    points: NDArray[np.float64]
    triangles: NDArray[np.int64]
    faces: NDArray[np.int64]

    @property
    def corners(self) -> NDArray[np.float64]:
        """Corner points of each triangle, shape (m, 3, 3), mm."""
        return self.points[self.triangles]

    @property
    def size_mm(self) -> float:
        """Longest side of the box round all triangles."""
        used = self.points[self.triangles.reshape(-1)]
        return float((used.max(axis=0) - used.min(axis=0)).max())

    def only(self, kept: NDArray[np.bool_]) -> Loose:
        """Some of the triangles."""
        if kept.all():
            return self
        return replace(self, triangles=self.triangles[kept], faces=self.faces[kept] if len(self.faces) else self.faces)

    def with_more(self, triangles: NDArray[np.int64], faces_of: NDArray[np.int64]) -> Loose:
        """More triangles; each takes the face of one that is there."""
        faces = np.concatenate([self.faces, self.faces[faces_of]]) if len(self.faces) else self.faces
        return replace(self, triangles=np.concatenate([self.triangles, triangles]), faces=faces)


def place_of(point: NDArray[np.float64]) -> Place:
    """A point as it is told, to a thousandth of a millimetre."""
    x_mm, y_mm, z_mm = (round(float(one), 3) + 0.0 for one in point)
    return x_mm, y_mm, z_mm


def linked(loose: Loose) -> tuple[NDArray[np.int32], NDArray[np.bool_]]:
    """The triangle beyond each side of each triangle (ALONE, CROWDED), and whether both run it the same way."""
    from traywright.parts._kernels import neighbours  # noqa: PLC0415  # reason: numba waits until a part is read

    return neighbours(loose.triangles, len(loose.points))


def sheets_of(loose: Loose) -> tuple[NDArray[np.int32], NDArray[np.bool_], int]:
    """Sheet of each triangle, whether it runs against the first of its sheet, and how many sides contradict."""
    from traywright.parts._kernels import sheets  # noqa: PLC0415  # reason: numba waits until a part is read

    return sheets(*linked(loose))


def areas_of(loose: Loose, rows: NDArray[np.int64] | None = None) -> NDArray[np.float64]:
    """Area of each triangle, or of some, mm²."""
    corners = loose.points[loose.triangles if rows is None else loose.triangles[rows]]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas: NDArray[np.float64] = np.linalg.norm(across, axis=1) / 2.0
    return areas


def alone_sides(loose: Loose) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Triangle and side (0, 1, 2) of each side beyond which nothing lies."""
    rows, sides = np.nonzero(linked(loose)[0] == ALONE)
    return rows, sides


def faults_of(loose: Loose) -> int:
    """How many sides have no neighbour, or several."""
    return int((linked(loose)[0] < 0).sum())


def sixfold_volumes(loose: Loose, group: NDArray[np.int32]) -> NDArray[np.float64]:
    """Six times the signed volume of each group of triangles, mm³."""
    sums = np.zeros(int(group.max()) + 1)
    for start in range(0, len(loose.triangles), AT_A_TIME):
        some = slice(start, start + AT_A_TIME)
        corners = loose.points[loose.triangles[some]] - loose.points[loose.triangles[0, 0]]
        own = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
        sums += np.bincount(group[some], weights=own, minlength=len(sums))
    return sums


def real(loose: Loose) -> Loose:
    """The triangles with three different corners."""
    first, second, third = loose.triangles.T
    return loose.only((first != second) & (second != third) & (third != first))
