"""A map of heights or marks on square cells: read-only, equal and hashed by content."""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np
from numpy.typing import NDArray


class Grid:
    """Values on square cells; row 0 is the front (least y), column 0 the left.

    Parameters
    ----------
    origin_mm
        Lower left corner of cell (0, 0), x and y.
    cell_mm
        Side of a cell, above 0.
    values
        Array of shape (rows, columns), any number type; copied and locked.
    """

    __slots__ = ("_sha", "cell_mm", "origin_mm", "values")
    origin_mm: tuple[float, float]
    cell_mm: float
    values: NDArray[Any]
    _sha: str

    def __init__(self, origin_mm: tuple[float, float], cell_mm: float, values: NDArray[Any]) -> None:
        locked = np.ascontiguousarray(values).copy()
        locked.setflags(write=False)
        head = repr((origin_mm, cell_mm, locked.shape, locked.dtype.str)).encode()
        object.__setattr__(self, "origin_mm", (float(origin_mm[0]), float(origin_mm[1])))
        object.__setattr__(self, "cell_mm", float(cell_mm))
        object.__setattr__(self, "values", locked)
        object.__setattr__(self, "_sha", hashlib.sha256(head + locked.tobytes()).hexdigest())

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(name)

    @property
    def sha256(self) -> str:
        """Fingerprint of origin, cell and values."""
        return self._sha

    def centres_mm(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """X of each column's and y of each row's cell centres."""
        rows, columns = self.values.shape
        x_mm = np.asarray(self.origin_mm[0] + (np.arange(columns) + 0.5) * self.cell_mm, dtype=np.float64)
        y_mm = np.asarray(self.origin_mm[1] + (np.arange(rows) + 0.5) * self.cell_mm, dtype=np.float64)
        return x_mm, y_mm

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Grid) and self._sha == other._sha

    def __hash__(self) -> int:
        return hash(self._sha)

    def __reduce__(self) -> tuple[type[Grid], tuple[tuple[float, float], float, NDArray[Any]]]:
        return (Grid, (self.origin_mm, self.cell_mm, self.values))
