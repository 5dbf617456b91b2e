"""Compile the kernels once, as a stage of its own, so that a first run does not look stuck."""

from __future__ import annotations

import numpy as np

from traywright.geometry import Mesh, lowest_marks
from traywright.motion import travel_time_s


def warm_kernels() -> None:
    """Call the kernels of geometry and motion on next to nothing; the sweep compiles with its first program."""
    corner = Mesh(np.array([[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 2.0, 1.0]]), np.array([[0, 1, 2]]))
    lowest_marks(corner, np.zeros(1, dtype=np.int8), 1.0)
    points = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0]])
    travel_time_s(points, np.full(2, 1.0), acceleration_mm_per_s2=1.0, junction_mm=1.0)
