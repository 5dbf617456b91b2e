"""What the program leaves, held against what the trays ask."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Limit, Severity, Status
from traywright.base.finding import Parameter
from traywright.base.tolerance import READ_BACK_MM, SAME_MM
from traywright.nesting.setup import Setup
from traywright.trays.tray import Ply
from traywright.verification.corridor import Kerf, bridge_zones, is_gone, is_weak, kerf_cells, link_of
from traywright.verification.motion import Motion, MotionKind, plan_distance_mm
from traywright.verification.raster import Cells, Frame, frame_of
from traywright.verification.stock import Swept
from traywright.verification.target import Target
from traywright.verification.tell import tell

Mask = NDArray[np.bool_]
_HALF = 0.5  # more than half of a feature not entered: the cutter is too thick for it, not only for its corners
LIMIT = Limit(value=READ_BACK_MM, unit="mm", status=Status.PRACTICE, source="target of the trade, no source")


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Deepest gouge and highest remainder beyond the side tolerance, with what is said of them."""

    gouge_mm: float
    remainder_mm: float
    findings: tuple[Finding, ...]


class _Scene:
    """The cut board, the asked board and the way back from a cell to a line of the program."""

    def __init__(self, setup: Setup, swept: Swept, target: Target, motions: tuple[Motion, ...]) -> None:
        self.setup = setup
        self.target = target
        self.frame: Frame = frame_of(swept.stock.upper)
        self.heights: NDArray[np.float32] = swept.stock.upper.values
        self.lines: NDArray[np.int32] = swept.lines_cut.values
        self.feeds = tuple(one for one in motions if one.kind is not MotionKind.RAPID)
        self.heights_set = tuple(one.line for one in motions if "Z" in one.axes)

    def place(self, row: int, column: int) -> tuple[float, float, float]:
        """The centre of a cell, at the height found."""
        x = self.frame.left_mm + (column + 0.5) * self.frame.cell_mm
        y = self.frame.front_mm + (row + 0.5) * self.frame.cell_mm
        return (round(x, 3), round(y, 3), round(float(self.heights[row, column]), 3))

    def line_at(self, row: int, column: int) -> int:
        """The line that cut a cell last, or whose feed passes nearest; 0 if nothing is fed."""
        line = int(self.lines[row, column])
        if line or not self.feeds:
            return line
        point = self.place(row, column)[:2]
        return min(self.feeds, key=lambda one: (plan_distance_mm(one, point), one.line)).line

    def height_line(self, line: int) -> int:
        """The line that set the height at which a line cuts; 0 if none did."""
        at = bisect_right(self.heights_set, line)
        return self.heights_set[at - 1] if at else 0

    def tell(self, code: str, cell: tuple[int, int], severity: Severity, at: tuple[str, ...], **told: float) -> Finding:
        """A finding at a cell."""
        who = " ".join(one for one in at if one)
        numbers = {key: round(value, 3) for key, value in told.items()}
        line = self.line_at(*cell)
        parameters: dict[str, Parameter] = {"line": line, "z_line": self.height_line(line), "place": who, **numbers}
        ids = (*at, self.setup.id)
        return tell(code, ids, parameters, severity=severity, point_mm=self.place(*cell), limit=LIMIT)


def _worst(depth: NDArray[np.float32], mask: Mask) -> tuple[int, int]:
    """The cell of the greatest depth under a mask, the first in rows on a tie."""
    row, column = np.unravel_index(int(np.argmax(np.where(mask, depth, -np.inf))), depth.shape)
    return int(row), int(column)


def _gouges(scene: _Scene) -> tuple[float, list[Finding]]:
    """Foam that should stand and does not, the worst place of each piece."""
    depth = scene.target.lowest - scene.heights
    bad = depth > READ_BACK_MM + SAME_MM
    found = []
    for number in np.unique(scene.target.piece[bad]).tolist():
        cells = bad & (scene.target.piece == number)
        worst = _worst(depth, cells)
        at = (scene.setup.pieces[number].id if number >= 0 else "",)
        area = float(cells.sum()) * scene.frame.cell_mm**2
        told = {"depth_mm": float(depth[worst]), "area_mm2": area}
        found.append(scene.tell("RB-060", worst, Severity.STOP, at, **told))
    return max(float(depth.max()), 0.0), found


def _through(scene: _Scene) -> Mask:
    """Cells of features that must be cut right through."""
    through: Mask = scene.target.highest <= SAME_MM
    return through


def _remainders(scene: _Scene) -> tuple[float, list[Finding]]:
    """Foam that should be gone and stands, the worst place of each feature; a skin under a through cut has its code."""
    height = scene.heights - scene.target.highest
    thick = height > READ_BACK_MM + SAME_MM
    bad = thick | ((height > SAME_MM) & _through(scene))
    found = []
    for number in np.unique(scene.target.owner[bad]).tolist():
        cells = bad & (scene.target.owner == number)
        worst = _worst(height, cells)
        code = "RB-061" if thick[worst] else "RB-065"
        area = float(cells.sum()) * scene.frame.cell_mm**2
        told = {"height_mm": float(height[worst]), "area_mm2": area}
        found.append(scene.tell(code, worst, Severity.STOP, scene.target.names[number], **told))
    return max(float(height.max()), 0.0), found


def _corners(scene: _Scene) -> list[Finding]:
    """Foam left where no cutter of the setup can enter."""
    found = []
    for corner in scene.target.corners:
        window = corner.cells.window
        asked = np.full(corner.cells.mask.shape, np.inf)
        asked[corner.cells.mask] = corner.highest_mm
        height = scene.heights[window] - asked
        left = height > READ_BACK_MM
        if not left.any():
            continue
        row, column = _worst(height, left)
        cell = (row + window[0].start, column + window[1].start)
        code, severity = ("RB-067", Severity.STOP) if corner.share_ratio > _HALF else ("RB-062", Severity.WARN)
        told = {"height_mm": float(height[row, column]), "area_mm2": float(left.sum()) * scene.frame.cell_mm**2}
        found.append(scene.tell(code, cell, severity, (corner.piece, corner.feature), **told))
    return found


def _zones(scene: _Scene, plies: Mapping[str, Ply], kerf: Kerf) -> tuple[Mask, NDArray[np.float32]]:
    """Cells that bridges may leave standing, and how high."""
    may = np.zeros(scene.heights.shape, dtype=np.bool_)
    height = np.zeros(scene.heights.shape, dtype=np.float32)
    for bridge in scene.setup.bridges:
        for cells in bridge_zones(bridge, scene.setup, plies, frame=scene.frame, kerf=kerf):
            may[cells.window] |= cells.mask
            here = np.where(cells.mask, np.float32(bridge.height_mm + READ_BACK_MM), np.float32(0.0))
            height[cells.window] = np.maximum(height[cells.window], here)
    return may, height


def _kerfs(scene: _Scene, plies: Mapping[str, Ply], kerf: Kerf) -> list[Finding]:
    """Places round the pieces where the outline is not cut right through, the worst of each piece."""
    may, bridge_height = _zones(scene, plies, kerf)
    limit = np.where(may, bridge_height, np.float32(0.0))
    found = []
    for number, piece in enumerate(scene.setup.pieces):
        cells: Cells = kerf_cells(piece, plies[piece.ply], scene.frame, kerf=kerf)
        others = ~np.isin(scene.target.piece[cells.window], (-1, number))
        height = scene.heights[cells.window] - limit[cells.window]
        bad = cells.mask & ~others & (height > SAME_MM)
        if not bad.any():
            continue
        row, column = _worst(height, bad)
        cell = (row + cells.window[0].start, column + cells.window[1].start)
        told = {"height_mm": float(scene.heights[cell]), "area_mm2": float(bad.sum()) * scene.frame.cell_mm**2}
        found.append(scene.tell("RB-066", cell, Severity.STOP, (piece.id,), **told))
    return found


def _bridges(scene: _Scene, plies: Mapping[str, Ply], kerf: Kerf) -> list[Finding]:
    """Bridges that are gone, or weaker than asked."""
    found = []
    for bridge in scene.setup.bridges:
        link = link_of(bridge, scene.setup, plies, heights=scene.heights, frame=scene.frame, across_mm=kerf.across_mm)
        if not (is_gone(link) or is_weak(link)):
            continue
        column = int((link.point_mm[0] - scene.frame.left_mm) // scene.frame.cell_mm)
        row = int((link.point_mm[1] - scene.frame.front_mm) // scene.frame.cell_mm)
        cell = (min(max(row, 0), scene.frame.rows - 1), min(max(column, 0), scene.frame.columns - 1))
        code = "RB-063" if is_gone(link) else "RB-064"
        told = {"found_mm": max(link.weakest_mm, 0.0), "asked_mm": bridge.height_mm, "waist_mm": bridge.waist_mm}
        found.append(scene.tell(code, cell, Severity.STOP, (bridge.id, bridge.piece), **told))
    return found


def compare(
    setup: Setup,
    plies: Mapping[str, Ply],
    swept: Swept,
    target: Target,
    *,
    motions: tuple[Motion, ...],
    kerf: Kerf,
) -> Compared:
    """Gouge, remainder, kerf and bridges of a cut board.

    Parameters
    ----------
    setup, plies
        What was asked.
    swept
        What the program leaves.
    target
        The asked heights on the same map.
    motions
        As read, in the board's frame: for the line of what was never cut.
    kerf
        The way that must be open round each piece, and what bridges span.
    """
    scene = _Scene(setup, swept, target, motions)
    gouge_mm, gouges = _gouges(scene)
    remainder_mm, remainders = _remainders(scene)
    rest = (*_corners(scene), *_kerfs(scene, plies, kerf), *_bridges(scene, plies, kerf))
    later = [
        tell("RB-068", (piece, feature, setup.id), {"line": 0, "place": f"{piece} {feature}"}, severity=Severity.NOTE)
        for piece, feature in target.left_for_later
    ]
    return Compared(gouge_mm=gouge_mm, remainder_mm=remainder_mm, findings=(*gouges, *remainders, *rest, *later))
