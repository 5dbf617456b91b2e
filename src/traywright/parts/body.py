"""Bodies as they come from a file."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.parts.true_volume import Missing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Body:
    """Triangles of one body in mm, with the file's face of each (empty where the file knows no faces).

    ``kinds`` are the kinds of faces as the file tells them, by the number of the face; ``missing`` is what the mesh
    lacks to the true surface, where the file tells that surface.
    """

    name: str
    corners: NDArray[np.float64]
    faces: NDArray[np.int64]
    kinds: tuple[tuple[int, str], ...] = ()
    missing: Missing | None = None
