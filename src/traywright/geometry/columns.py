"""What a solid is made of over each cell: how much is solid, and the hollows between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry.height_map import map_frame
from traywright.geometry.mesh import Mesh


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidColumns:
    """How much of each column over a cell centre is solid, and the hollows that stand in the columns, mm.

    ``solid_mm`` is a map with rows along y and columns along x, 0 outside the solid. Of each hollow ``row`` and
    ``column`` tell its cell, ``bottom_mm`` and ``top_mm`` where it begins and ends; ``group`` numbers those that hang
    together, in the order of their first cell.
    """

    origin_mm: tuple[float, float]
    cell_mm: float
    solid_mm: NDArray[np.float64]
    row: NDArray[np.int32]
    column: NDArray[np.int32]
    bottom_mm: NDArray[np.float64]
    top_mm: NDArray[np.float64]
    group: NDArray[np.int32]
    groups: int

    @property
    def hollow_mm3(self) -> float:
        """Volume of all hollows."""
        return float((self.top_mm - self.bottom_mm).sum()) * self.cell_mm * self.cell_mm


def solid_columns(mesh: Mesh, cell_mm: float, *, least_mm: float) -> SolidColumns:
    """How much of each column over a cell centre is solid, and what is hollow between two solid pieces of it.

    Parameters
    ----------
    mesh
        Closed mesh; solids of it may touch or overlap.
    cell_mm
        Side of a cell, above 0; cell borders are whole multiples of it.
    least_mm
        Hollows lower than this are left out, above 0.

    Notes
    -----
    Hollows of cells that share a side hang together where they overlap in height. A column whose faces do not answer
    each other (an open mesh) counts as solid from end to end.

    Examples
    --------
    >>> from traywright.geometry.prism import combined, extruded
    >>> from traywright.geometry.region import Region
    >>> over = [extruded(Region.rectangle(0, 0, 2, 1), z, z + 3.0) for z in (1.0, 6.0)]
    >>> columns = solid_columns(combined(over), 1.0, least_mm=0.1)
    >>> columns.solid_mm.tolist(), columns.bottom_mm.tolist(), columns.top_mm.tolist(), columns.groups
    ([[6.0, 6.0]], [4.0, 4.0], [6.0, 6.0], 1)
    """
    from traywright.geometry._kernels import (  # noqa: PLC0415  # reason: numba waits until a map is asked
        column_crossings,
        column_hollows,
        joined_hollows,
    )

    left_mm, front_mm, rows, columns = map_frame(mesh, cell_mm)
    corners = np.ascontiguousarray(mesh.corners_mm)
    crossings = column_crossings(corners, left_mm, front_mm, cell_mm, rows, columns)
    solid, cells, bottoms, tops = column_hollows(*crossings, least_mm)
    group, groups = joined_hollows(cells, bottoms, tops, rows, columns)
    return SolidColumns(
        origin_mm=(left_mm, front_mm),
        cell_mm=cell_mm,
        solid_mm=solid.reshape(rows, columns),
        row=cells // columns,
        column=cells % columns,
        bottom_mm=bottoms,
        top_mm=tops,
        group=group,
        groups=int(groups),
    )
