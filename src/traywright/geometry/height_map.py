"""Height maps of meshes: the lowest or highest spot over each cell, and the mark of the triangle that gives it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM, TIE_RATIO
from traywright.geometry.grid import Grid
from traywright.geometry.mesh import Mesh


def map_frame(mesh: Mesh, cell_mm: float) -> tuple[float, float, int, int]:
    """Origin, rows and columns of the map: cell borders are whole multiples of the cell."""
    low, high = mesh.bounds_mm
    left, front = (math.floor((low[axis] + SNAP_MM) / cell_mm) for axis in (0, 1))
    right, back = (math.ceil((high[axis] - SNAP_MM) / cell_mm) for axis in (0, 1))
    return left * cell_mm, front * cell_mm, max(1, back - front), max(1, right - left)


def _flipped(mesh: Mesh) -> NDArray[np.float64]:
    """Corners with z turned over, so that the highest becomes the lowest."""
    return np.ascontiguousarray(mesh.corners_mm * np.array([1.0, 1.0, -1.0]))


def _lowest(corners: NDArray[np.float64], frame: tuple[float, float, int, int], cell_mm: float) -> NDArray[np.float64]:
    from traywright.geometry._kernels import lowest_heights  # noqa: PLC0415  # reason: numba waits until a map is asked

    x_mm, y_mm, rows, columns = frame
    heights, _ = lowest_heights(np.ascontiguousarray(corners), x_mm, y_mm, cell_mm, rows, columns, TIE_RATIO)
    found: NDArray[np.float64] = heights
    return found


def _marks(
    corners: NDArray[np.float64], marks: NDArray[np.integer], frame: tuple[float, float, int, int], cell_mm: float
) -> NDArray[np.int32]:
    from traywright.geometry._kernels import largest_marks  # noqa: PLC0415  # reason: numba waits until a map is asked

    heights = _lowest(corners, frame, cell_mm)
    found: NDArray[np.int32] = largest_marks(
        np.ascontiguousarray(corners), marks.astype(np.int32), heights, frame[0], frame[1], cell_mm, TIE_RATIO, SNAP_MM
    )
    return found


def lowest(mesh: Mesh, cell_mm: float) -> Grid:
    """Map of the least z over each cell centre, infinite where the mesh is not.

    Parameters
    ----------
    mesh
        Triangles, closed or not.
    cell_mm
        Side of a cell, above 0.

    Returns
    -------
    Grid
        Heights in mm; the map just covers the mesh and its cell borders are whole multiples of the cell.

    Notes
    -----
    A cell tells its centre only: what passes between two centres is not seen.

    Examples
    --------
    >>> import numpy as np
    >>> square = Mesh(np.array([[0, 0, 1], [2, 0, 1], [2, 2, 3], [0, 2, 3]]), np.array([[0, 1, 2], [0, 2, 3]]))
    >>> lowest(square, 1.0).values.tolist()
    [[1.5, 1.5], [2.5, 2.5]]
    """
    frame = map_frame(mesh, cell_mm)
    return Grid((frame[0], frame[1]), cell_mm, _lowest(mesh.corners_mm, frame, cell_mm))


def highest(mesh: Mesh, cell_mm: float) -> Grid:
    """Map of the largest z over each cell centre, minus infinity where the mesh is not.

    Parameters
    ----------
    mesh
        Triangles, closed or not.
    cell_mm
        Side of a cell, above 0.
    """
    frame = map_frame(mesh, cell_mm)
    return Grid((frame[0], frame[1]), cell_mm, -_lowest(_flipped(mesh), frame, cell_mm))


def lowest_marks(mesh: Mesh, marks: NDArray[np.integer], cell_mm: float) -> Grid:
    """Map of the largest mark among the triangles that lie lowest over each cell centre, -1 where none is.

    Parameters
    ----------
    mesh
        Triangles, closed or not.
    marks
        One whole number from 0 a triangle.
    cell_mm
        Side of a cell, above 0.

    Notes
    -----
    Triangles within one snap step of the lowest share the cell, so a mark is never lost on a border.
    """
    frame = map_frame(mesh, cell_mm)
    return Grid((frame[0], frame[1]), cell_mm, _marks(mesh.corners_mm, marks, frame, cell_mm))


def highest_marks(mesh: Mesh, marks: NDArray[np.integer], cell_mm: float) -> Grid:
    """Map of the largest mark among the triangles that lie highest over each cell centre, -1 where none is.

    Parameters
    ----------
    mesh
        Triangles, closed or not.
    marks
        One whole number from 0 a triangle.
    cell_mm
        Side of a cell, above 0.
    """
    frame = map_frame(mesh, cell_mm)
    return Grid((frame[0], frame[1]), cell_mm, _marks(_flipped(mesh), marks, frame, cell_mm))
