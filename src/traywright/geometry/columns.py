"""What a solid is made of over each cell: solid height, lowest and highest spot, and the hollow between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry.height_map import map_frame
from traywright.geometry.mesh import Mesh


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidColumns:
    """Maps over cell centres of one closed mesh, mm; rows run along y, columns along x.

    ``solid_mm`` is how much of a column is solid; ``lowest_mm`` and ``highest_mm`` are its ends, ``first_top_mm`` its
    lowest upward and ``last_bottom_mm`` its highest downward face: what is hollow lies between these two. Outside the
    solid they are infinite and ``solid_mm`` is 0.
    """

    origin_mm: tuple[float, float]
    cell_mm: float
    solid_mm: NDArray[np.float64]
    lowest_mm: NDArray[np.float64]
    highest_mm: NDArray[np.float64]
    first_top_mm: NDArray[np.float64]
    last_bottom_mm: NDArray[np.float64]

    @property
    def hollow_mm(self) -> NDArray[np.float64]:
        """Hollow height between the lowest and the highest spot of each column, 0 outside the solid."""
        with np.errstate(invalid="ignore"):
            between = self.highest_mm - self.lowest_mm - self.solid_mm
        found: NDArray[np.float64] = np.where(np.isfinite(between), np.maximum(between, 0.0), 0.0)
        return found

    def hollow_groups(self, least_mm: float) -> tuple[NDArray[np.int32], int]:
        """Number of the hollow that each cell belongs to (-1 for none), and how many there are.

        Parameters
        ----------
        least_mm
            Hollow height from which a column counts, above 0.

        Notes
        -----
        Columns that share a side of a cell and whose hollows overlap in height are one; they are numbered row by row.
        """
        from traywright.geometry._kernels import joined_cells  # noqa: PLC0415  # reason: numba waits until a map is asked

        groups, count = joined_cells(self.hollow_mm >= least_mm, self.first_top_mm, self.last_bottom_mm)
        return groups, int(count)


def solid_columns(mesh: Mesh, cell_mm: float) -> SolidColumns:
    """How much of each column over a cell centre is solid, and where it begins and ends.

    Parameters
    ----------
    mesh
        Closed mesh.
    cell_mm
        Side of a cell, above 0; cell borders are whole multiples of it.

    Notes
    -----
    A column whose faces do not answer each other (an open mesh) counts as solid from end to end.

    Examples
    --------
    >>> from traywright.geometry.prism import extruded
    >>> from traywright.geometry.region import Region
    >>> columns = solid_columns(extruded(Region.rectangle(0, 0, 2, 1), 1.0, 4.0), 1.0)
    >>> columns.solid_mm.tolist(), columns.hollow_mm.tolist()
    ([[3.0, 3.0]], [[0.0, 0.0]])
    """
    from traywright.geometry._kernels import column_spans  # noqa: PLC0415  # reason: numba waits until a map is asked

    left_mm, front_mm, rows, columns = map_frame(mesh, cell_mm)
    spans, balance = column_spans(np.ascontiguousarray(mesh.corners_mm), left_mm, front_mm, cell_mm, rows, columns)
    solid = np.where(balance == 0, spans[0], spans[2] - spans[1])
    return SolidColumns(
        origin_mm=(left_mm, front_mm),
        cell_mm=cell_mm,
        solid_mm=solid,
        lowest_mm=spans[1],
        highest_mm=spans[2],
        first_top_mm=spans[3],
        last_bottom_mm=spans[4],
    )
