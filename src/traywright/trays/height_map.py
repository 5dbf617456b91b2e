"""The height map that a ply must come out as: the target of its cutting."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Grid, Region
from traywright.trays.sections import outline_of
from traywright.trays.tray import Ply, Tray


def target_grid(piece: Tray | Ply, cell_mm: float) -> Grid:
    """Top of the foam above the piece's underside, one height a cell, as it must be after cutting.

    Parameters
    ----------
    piece
        A ply or an unsplit tray.
    cell_mm
        Side of a cell, above 0.

    Returns
    -------
    Grid
        Heights in mm from 0 (no foam: outside the outline or right through) to the piece's thickness, taken at the
        cells' centres. The map starts at the lower left of the outline's bounding box.

    Notes
    -----
    A recess cut from the underside does not show in a map of the top.

    Examples
    --------
    >>> from traywright.trays import TrayKind
    >>> pad = Tray(
    ...     id="T1",
    ...     name="pad",
    ...     kind=TrayKind.PAD,
    ...     outline=Region.rectangle(0, 0, 4, 3),
    ...     thickness_mm=25,
    ...     foam="pe",
    ...     ply_boards=(("pe-25", 25.0),),
    ... )
    >>> target_grid(pad, 1.0).values.shape, float(target_grid(pad, 1.0).values.min())
    ((3, 4), 25.0)
    """
    outline = outline_of(piece)
    left, front, right, back = outline.bounds_mm
    shape = (math.ceil((back - front) / cell_mm), math.ceil((right - left) / cell_mm))
    heights = np.where(cells_in(outline, (left, front), cell_mm, shape), piece.thickness_mm, 0.0)
    x_mm, y_mm = Grid((left, front), cell_mm, heights).centres_mm()
    for one in piece.features:
        if one.side == "top":
            rows, columns = np.nonzero(cells_in(one.region, (left, front), cell_mm, shape))
            floor = np.maximum(one.floor.z_at(x_mm[columns], y_mm[rows]), 0.0)
            heights[rows, columns] = np.minimum(heights[rows, columns], floor)
    return Grid((left, front), cell_mm, heights)


def cells_in(
    region: Region, origin_mm: tuple[float, float], cell_mm: float, shape: tuple[int, int]
) -> NDArray[np.bool_]:
    """Which cells have their centre in a region: even-odd along each row; a centre on the left edge counts as in."""
    rows, columns = shape
    flips = np.zeros((rows, columns + 1), dtype=np.int32)
    for shell, holes in region.rings():
        for ring in (shell, *holes):
            _count_crossings(flips, (np.array(ring) - np.array(origin_mm)) / cell_mm - 0.5)
    return np.asarray(np.cumsum(flips[:, :columns], axis=1) % 2 == 1)


def _count_crossings(flips: NDArray[np.int32], ring: NDArray[np.float64]) -> None:
    """Add, per row of centres, the first column right of each edge that crosses it; ring in cells, centres whole."""
    rows, columns = flips.shape[0], flips.shape[1] - 1
    for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        low, high = min(y0, y1), max(y0, y1)
        row = np.arange(max(math.ceil(low), 0), min(math.ceil(high), rows))
        if row.size:
            crossing = x0 + (row - y0) * ((x1 - x0) / (y1 - y0))
            flips[row, np.clip(np.ceil(crossing), 0, columns).astype(int)] += 1
