"""The copies of a lattice that stand in a container, with the lattice shifted to where most of them do."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM
from traywright.layout.lattice import Lattice

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]
"""Where the frame origin of a copy may stand: left, front, right, back, mm."""
ROOM_MM = SNAP_MM * SNAP_MM


class Spot(NamedTuple):
    """Where the frame origin of one copy stands, and whether it is turned on by 180 degrees."""

    x_mm: float
    y_mm: float
    half_turned: bool


def lattice_spots(lattice: Lattice, box_mm: Box, half_box_mm: Box, *, frame_deg: float = 0.0) -> tuple[Spot, ...]:
    """The copies of a lattice inside, as many as any shift of the lattice brings in; by y, then x.

    Parameters
    ----------
    lattice
        The lattice, in the outline's frame.
    box_mm
        Where the frame origin of a copy may stand (left, front, right, back): the container without the rim, shrunk
        by the outline as it is turned.
    half_box_mm
        The same for a copy turned on by 180 degrees. A box whose right is left of its left lets none in.
    frame_deg
        Turn of the outline's frame, and with it of the lattice, counter-clockwise.

    Returns
    -------
    tuple of Spot
        The spots, container frame.

    Notes
    -----
    The count is exact. Any shift can be moved left until a copy meets the left border of its box, with none lost, and
    then down until one meets the front border. So it is enough to stand a copy of either way round on its left
    border and to sweep its place along it: each other copy is inside over one stretch of that sweep.

    Examples
    --------
    >>> from traywright.layout.lattice import Lattice
    >>> square = Lattice(u_mm=(10.0, 0.0), v_mm=(0.0, 10.0), second_mm=(), density_ratio=1.0)
    >>> len(lattice_spots(square, (5.0, 5.0, 36.0, 24.0), (1.0, 1.0, 0.0, 0.0)))
    8
    """
    kinds = [(np.zeros(2), np.array(box_mm), False)]
    angle = np.deg2rad(frame_deg)
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    u, v = np.array(lattice.u_mm) @ turn, np.array(lattice.v_mm) @ turn
    if lattice.second_mm:
        kinds.append((np.array(lattice.second_mm) @ turn, np.array(half_box_mm), True))
    most: tuple[Spot, ...] = ()
    for anchor, box, _ in kinds:
        if box[2] < box[0] - ROOM_MM or box[3] < box[1] - ROOM_MM:
            continue
        found = _swept(u, v, [(offset - anchor, own, half) for offset, own, half in kinds], box)
        most = found if len(found) > len(most) else most
    return tuple(sorted(most, key=lambda one: (one.y_mm, one.x_mm, one.half_turned)))


def _swept(u: Floats, v: Floats, kinds: list[tuple[Floats, Floats, bool]], box: Floats) -> tuple[Spot, ...]:
    """The most copies inside with one at the left border of its box, over all its places along it."""
    rows = [
        (point, own, half)
        for offset, own, half in kinds
        for point in _points(u, v, offset, own - np.array([box[0], box[3], box[0], box[1]]))
    ]
    # the stretch of the anchor's y over which each copy is inside; the anchor itself is inside all along
    starts = np.array([max(own[1] - point[1], box[1]) for point, own, _ in rows])
    ends = np.array([min(own[3] - point[1], box[3]) for point, own, _ in rows])
    counts = [int(np.sum((starts <= y + ROOM_MM) & (ends >= y - ROOM_MM))) for y in starts]
    best = min(range(len(rows)), key=lambda n: (-counts[n], starts[n]))
    y = starts[best]
    inside = (starts <= y + ROOM_MM) & (ends >= y - ROOM_MM)
    return tuple(
        Spot(float(box[0] + point[0]), float(y + point[1]), half)
        for (point, _, half), one in zip(rows, inside, strict=True)
        if one
    )


def _points(u: Floats, v: Floats, offset: Floats, box: Floats) -> Floats:
    """All points of a lattice moved by an offset that lie in a box (left, front, right, back)."""
    inverse = np.linalg.inv(np.array([u, v]))
    corners = np.array([(x, y) for x in box[0::2] for y in box[1::2]]) - offset
    shares = corners @ inverse
    low, high = np.floor(shares.min(axis=0)).astype(int), np.ceil(shares.max(axis=0)).astype(int)
    m, k = np.meshgrid(np.arange(low[0], high[0] + 1), np.arange(low[1], high[1] + 1))
    points = np.column_stack([m.ravel(), k.ravel()]) @ np.array([u, v]) + offset
    x, y = points.T
    keep = (x >= box[0] - ROOM_MM) & (x <= box[2] + ROOM_MM) & (y >= box[1] - ROOM_MM) & (y <= box[3] + ROOM_MM)
    return np.asarray(points[keep])
