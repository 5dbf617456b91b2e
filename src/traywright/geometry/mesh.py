"""A triangle mesh in millimetres: read-only, equal and hashed by content."""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np
from numpy.typing import NDArray


class Mesh:
    """Triangles of a solid's surface, outward counter-clockwise.

    Parameters
    ----------
    points_mm
        Array of shape (n, 3).
    triangles
        Array of shape (m, 3), indices into the points.
    """

    __slots__ = ("_sha", "points_mm", "triangles")
    points_mm: NDArray[np.float64]
    triangles: NDArray[np.int64]
    _sha: str

    def __init__(self, points_mm: NDArray[Any], triangles: NDArray[Any]) -> None:
        points = np.ascontiguousarray(points_mm, dtype=np.float64).reshape(-1, 3).copy()
        corners = np.ascontiguousarray(triangles, dtype=np.int64).reshape(-1, 3).copy()
        points.setflags(write=False)
        corners.setflags(write=False)
        object.__setattr__(self, "points_mm", points)
        object.__setattr__(self, "triangles", corners)
        object.__setattr__(self, "_sha", "")

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(name)

    @property
    def sha256(self) -> str:
        """Fingerprint of points and triangles, taken when it is first asked for."""
        if not self._sha:
            told = hashlib.sha256(self.points_mm.tobytes() + self.triangles.tobytes()).hexdigest()
            object.__setattr__(self, "_sha", told)
        return self._sha

    @property
    def corners_mm(self) -> NDArray[np.float64]:
        """Corner points of each triangle, shape (m, 3, 3)."""
        return self.points_mm[self.triangles]

    @property
    def bounds_mm(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Least and largest x, y, z."""
        return self.points_mm.min(axis=0), self.points_mm.max(axis=0)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Mesh) and self.sha256 == other.sha256

    def __hash__(self) -> int:
        return hash(self.sha256)

    def __reduce__(self) -> tuple[type[Mesh], tuple[NDArray[np.float64], NDArray[np.int64]]]:
        return (Mesh, (self.points_mm, self.triangles))
