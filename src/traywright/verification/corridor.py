"""The kerf round each piece: cut right through everywhere but at the bridges, and the bridges stand."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.ops import substring

from traywright.base.tolerance import READ_BACK_MM, SAME_MM
from traywright.geometry import Region
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays.tray import Ply
from traywright.verification.raster import Cells, Frame, cells_inside, placement_of

_RAMP_PER_HEIGHT = 2.0  # source: common practice, no source: a ramp over a bridge is not flatter than 1 in 2
_PROBE_MM = 1.0  # far enough from the edge to tell inside from outside, far below any wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Kerf:
    """The way cleared round each piece.

    ``open_mm`` is the width that must be open: what the smallest cutter, of radius ``radius_mm``, clears in one way
    round; ``across_mm`` the machine's kerf, which every bridge spans.
    """

    open_mm: float
    across_mm: float
    radius_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A bridge as it was found: its lowest place and the height that carries right across the kerf."""

    bridge: Bridge
    carries_mm: float
    weakest_mm: float
    point_mm: tuple[float, float]


def band_of(ply: Ply, kerf: Kerf) -> Region:
    """Where the outline's kerf must be open, in the ply's frame: what the cutter can enter, less the side tolerance."""
    around = ply.region.grown(kerf.open_mm).difference(ply.region)
    return around.opened(kerf.radius_mm - READ_BACK_MM / 2.0).grown(-READ_BACK_MM)


def kerf_cells(piece: Piece, ply: Ply, frame: Frame, *, kerf: Kerf) -> Cells:
    """The cells round a piece that must be cut right through."""
    return cells_inside(band_of(ply, kerf), frame, placement_of(piece, ply))


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


def _edge_near(ply: Ply, at: Point) -> NDArray[np.float64]:
    """Corners of the outline nearest to a place, in the ply's frame, the first repeated at the end."""
    shells = [np.array([*shell, shell[0]], dtype=np.float64) for shell, _ in ply.region.filled().rings()]
    return min(shells, key=lambda one: float(shapely.distance(LineString(one), at)))


def _ahead(bridge: Bridge, setup: Setup, plies: Mapping[str, Ply], half: float, far_mm: float) -> Region:
    """The straight strip in front of a bridge, on the board."""
    nx, ny = _outward(bridge, setup, plies)
    (ax, ay), (x, y) = bridge.along, bridge.at_mm
    ends = ((-half, -READ_BACK_MM), (half, -READ_BACK_MM), (half, far_mm), (-half, far_mm))
    return Region.polygon([(x + s * ax + n * nx, y + s * ay + n * ny) for s, n in ends])


def bridge_zones(
    bridge: Bridge, setup: Setup, plies: Mapping[str, Ply], *, frame: Frame, kerf: Kerf
) -> tuple[Cells, Cells]:
    """The cells of kerf that a bridge with its flares and ramps may leave standing: along the edge, and ahead of it.

    Notes
    -----
    The first follows the piece's edge, also round a corner; the second goes straight on, as the next piece's edge
    does: where that lies one kerf away, its own cut is held open by the same bridge.
    """
    piece = next(one for one in setup.pieces if one.id == bridge.piece)
    ply = plies[piece.ply]
    placement = placement_of(piece, ply)
    x, y = placement.to_ply(np.array([bridge.at_mm[0]]), np.array([bridge.at_mm[1]]))
    at = Point(float(x[0]), float(y[0]))
    corners = _edge_near(ply, at)
    ring = LineString(corners)
    half = bridge.waist_mm / 2.0 + 2.0 * kerf.radius_mm + _RAMP_PER_HEIGHT * bridge.height_mm
    start = (ring.project(at) - half) % ring.length
    twice = LineString([*corners, *corners[1:]])  # a stretch may run over the first corner
    stretch = substring(twice, start, start + 2.0 * half) if 2.0 * half < ring.length else ring
    far_mm = kerf.across_mm + READ_BACK_MM
    around = Region(stretch.buffer(far_mm, cap_style="flat")).difference(ply.region.filled().grown(-READ_BACK_MM))
    ahead = _ahead(bridge, setup, plies, half, far_mm)
    return cells_inside(around, frame, placement), cells_inside(ahead, frame)


def link_of(
    bridge: Bridge,
    setup: Setup,
    plies: Mapping[str, Ply],
    *,
    heights: NDArray[np.float32],
    frame: Frame,
    across_mm: float,
) -> Link:
    """A bridge as the map shows it: sampled over its waist, across the machine's whole kerf.

    Notes
    -----
    The waist is taken narrower by the side tolerance and by half a cell's diagonal on each side.
    """
    nx, ny = _outward(bridge, setup, plies)
    step = frame.cell_mm / 2.0
    lost = READ_BACK_MM + frame.cell_mm / math.sqrt(2.0)
    half = max(bridge.waist_mm / 2.0 - lost, 0.0)
    s = np.linspace(-half, half, 1 + 2 * math.ceil(half / step))
    n = np.arange(READ_BACK_MM, across_mm - READ_BACK_MM, step)
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
