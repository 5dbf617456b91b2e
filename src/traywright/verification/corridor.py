"""The kerf round each piece: cut right through everywhere but at the bridges, and the bridges stand."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import READ_BACK_MM, SAME_MM
from traywright.geometry import Region
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays.tray import Ply
from traywright.verification.raster import Cells, Frame, cells_inside, placement_of

_RAMP_PER_HEIGHT = 2.0  # source: common practice, no source: a ramp over a bridge is not flatter than 1 in 2
_PROBE_MM = 1.0  # far enough from the edge to tell inside from outside, far below any wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A bridge as it was found: its lowest place and the height that carries right across the kerf."""

    bridge: Bridge
    carries_mm: float
    weakest_mm: float
    point_mm: tuple[float, float]


def band_of(ply: Ply, width_mm: float, radius_mm: float) -> Region:
    """Where the outline's kerf must be open, in the ply's frame: what the cutter can enter, less the side tolerance."""
    around = ply.region.grown(width_mm).difference(ply.region)
    return around.opened(radius_mm - READ_BACK_MM / 2.0).grown(-READ_BACK_MM)


def kerf_cells(piece: Piece, ply: Ply, frame: Frame, *, width_mm: float, radius_mm: float) -> Cells:
    """The cells round a piece that must be cut right through."""
    return cells_inside(band_of(ply, width_mm, radius_mm), frame, placement_of(piece, ply))


def _outward(bridge: Bridge, setup: Setup, plies: Mapping[str, Ply]) -> tuple[float, float]:
    """Unit vector across the kerf, away from the piece."""
    piece = next(one for one in setup.pieces if one.id == bridge.piece)
    ply = plies[piece.ply]
    nx, ny = -bridge.along[1], bridge.along[0]
    x, y = placement_of(piece, ply).to_ply(
        np.array([bridge.at_mm[0] + _PROBE_MM * nx]), np.array([bridge.at_mm[1] + _PROBE_MM * ny])
    )
    inside = ply.region.holds((float(x[0]), float(y[0])))
    return (-nx, -ny) if inside else (nx, ny)


def bridge_zone(bridge: Bridge, setup: Setup, plies: Mapping[str, Ply], *, width_mm: float, radius_mm: float) -> Region:
    """The stretch of kerf that a bridge with its flares and ramps may leave standing, on the board."""
    nx, ny = _outward(bridge, setup, plies)
    half = bridge.waist_mm / 2.0 + 2.0 * radius_mm + _RAMP_PER_HEIGHT * bridge.height_mm
    (ax, ay), (x, y), far = bridge.along, bridge.at_mm, width_mm + READ_BACK_MM
    return Region.polygon(
        [
            (x + s * ax + n * nx, y + s * ay + n * ny)
            for s, n in ((-half, -READ_BACK_MM), (half, -READ_BACK_MM), (half, far), (-half, far))
        ]
    )


def link_of(
    bridge: Bridge,
    setup: Setup,
    plies: Mapping[str, Ply],
    *,
    heights: NDArray[np.float32],
    frame: Frame,
    width_mm: float,
) -> Link:
    """A bridge as the map shows it: sampled over its waist, across the whole kerf.

    Notes
    -----
    The waist is taken narrower by the side tolerance and by half a cell's diagonal on each side.
    """
    nx, ny = _outward(bridge, setup, plies)
    step = frame.cell_mm / 2.0
    lost = READ_BACK_MM + frame.cell_mm / math.sqrt(2.0)
    half = max(bridge.waist_mm / 2.0 - lost, 0.0)
    s = np.linspace(-half, half, 1 + 2 * math.ceil(half / step))
    n = np.arange(READ_BACK_MM, width_mm - READ_BACK_MM, step)
    x = bridge.at_mm[0] + s[None, :] * bridge.along[0] + n[:, None] * nx
    y = bridge.at_mm[1] + s[None, :] * bridge.along[1] + n[:, None] * ny
    i = np.clip(np.floor((x - frame.left_mm) / frame.cell_mm).astype(int), 0, frame.columns - 1)
    j = np.clip(np.floor((y - frame.front_mm) / frame.cell_mm).astype(int), 0, frame.rows - 1)
    found = heights[j, i]
    row, column = np.unravel_index(int(np.argmin(found)), found.shape)
    return Link(
        bridge=bridge,
        carries_mm=float(found.max(axis=1).min()),
        weakest_mm=float(found.min()),
        point_mm=(float(x[row, column]), float(y[row, column])),
    )


def is_gone(link: Link) -> bool:
    """True if no height of foam carries across the kerf."""
    return link.carries_mm <= SAME_MM


def is_weak(link: Link) -> bool:
    """True if the bridge is lower or narrower than asked by more than the tolerance."""
    return link.weakest_mm < link.bridge.height_mm - READ_BACK_MM
