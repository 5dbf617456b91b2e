"""Rows of pockets for one part without a drawing: drawn as a DXF, which is then cut as any drawing is."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from traywright.base import Finding, Given, Severity, finding
from traywright.base.errors import DesignError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Board, Foam, Solid, table
from traywright.geometry import Contour
from traywright.parts.dxf_written import contours_dxf

_BOX = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
_ROUND = re.compile(r"^\s*d\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
_SIZE = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
GRIPS = ("each", "row", "none")
MOST_PARTS = 100_000
"""Parts of one order.  # source: as input_limits, count"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SimplePart:
    """A part by its size: a box, or a round one whose width is its length; mm."""

    length_mm: float
    width_mm: float
    height_mm: float
    is_round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SimpleAsked:
    """Rows of pockets that are asked for.

    ``room_mm`` is the largest tray that the board and the machine take, ``size_mm`` the tray that is asked for or None;
    ``depth_mm`` None: the part's height, or what the board allows.
    """

    part: SimplePart
    count: int
    grip: str
    board: Board
    stuff: Foam | Solid
    thickness_mm: float
    room_mm: tuple[float, float]
    size_mm: tuple[float, float] | None = None
    depth_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SimpleDrawn:
    """The drawing, how many trays of it are cut, and what was found."""

    content: bytes
    trays: int
    pockets: int
    findings: tuple[Finding, ...]


def simple_part(told: str) -> SimplePart:
    """The size of a part from its text: ``180x120x62``, or ``d40x20`` for a round one; mm.

    Raises
    ------
    DesignError
        TRAY-060 for any other text.

    Examples
    --------
    >>> simple_part("180x120x62").width_mm, simple_part("d40x20").is_round
    (120.0, True)
    """
    box, disc = _BOX.match(told), _ROUND.match(told)
    if box is None and disc is None:
        raise DesignError("TRAY-060", told=told)
    if box is not None:
        length, width, height = (float(one) for one in box.groups())
        found = SimplePart(length_mm=max(length, width), width_mm=min(length, width), height_mm=height)
    else:
        across, height = (float(one) for one in disc.groups()) if disc is not None else (0.0, 0.0)
        found = SimplePart(length_mm=across, width_mm=across, height_mm=height, is_round=True)
    if min(found.length_mm, found.width_mm, found.height_mm) <= SAME_MM:
        raise DesignError("TRAY-060", told=told)
    return found


def simple_size(told: str) -> tuple[float, float]:
    """The size of a tray from its text: ``560x400``; mm.

    Raises
    ------
    DesignError
        TRAY-061 for any other text.

    Examples
    --------
    >>> simple_size("560x400")
    (560.0, 400.0)
    """
    found = _SIZE.match(told)
    if found is None:
        raise DesignError("TRAY-061", told=told)
    return float(found[1]), float(found[2])


def _rule(name: str) -> Given:
    """A rule of design."""
    return table("design_rules").given(name, "value")


def _least_mm(asked: SimpleAsked, key: str, row: str) -> float:
    """What the sheet keeps at least."""
    if isinstance(asked.stuff, Solid):
        return float(getattr(asked.stuff, key))
    own = getattr(asked.board, key)
    return float(own) if own is not None else _rule(row).value


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Pockets in columns and rows: size of a pocket, gaps along x and y, rims along x and y; mm."""

    columns: int
    rows: int
    pocket_mm: tuple[float, float]
    gap_mm: tuple[float, float]
    rim_mm: tuple[float, float]

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and depth of the tray."""
        counts = (self.columns, self.rows)
        width, depth = (
            2.0 * rim + count * pocket + (count - 1) * gap
            for rim, count, pocket, gap in zip(self.rim_mm, counts, self.pocket_mm, self.gap_mm, strict=True)
        )
        return width, depth


def _spacing(asked: SimpleAsked) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Pocket, gaps and rims along x and y, before the part is turned."""
    play, reach = _rule("play_metal").value, _rule("finger_reach").value
    wall = _least_mm(asked, "wall_least_mm", "wall_least")
    rim = wall if isinstance(asked.stuff, Solid) else max(wall, _rule("rim_least").value)
    # notches stand at the middle of the longer sides, a slot runs along the row
    beyond = {"each": (0.0, 2.0 * reach), "row": (max(0.0, reach - wall), 0.0), "none": (0.0, 0.0)}[asked.grip]
    outside = {"each": (0.0, reach), "row": (reach, 0.0), "none": (0.0, 0.0)}[asked.grip]
    pocket = (asked.part.length_mm + play, asked.part.width_mm + play)
    return pocket, (wall + beyond[0], wall + beyond[1]), (rim + outside[0], rim + outside[1])


def _grid(asked: SimpleAsked) -> tuple[_Grid, int]:
    """The arrangement with the fewest trays, then the fewest spare pockets, then the squarest; and how many trays."""
    room = asked.size_mm or asked.room_mm
    if room[0] > asked.room_mm[0] + SAME_MM or room[1] > asked.room_mm[1] + SAME_MM:
        raise DesignError(
            "TRAY-062", size=f"{room[0]:g} x {room[1]:g}", room=f"{asked.room_mm[0]:g} x {asked.room_mm[1]:g}"
        )
    pocket, gap, rim = _spacing(asked)
    most = [
        max(0, math.floor((side - 2.0 * edge + between + SAME_MM) / (one + between)))
        for side, one, between, edge in zip(room, pocket, gap, rim, strict=True)
    ]
    if most[0] * most[1] == 0:
        raise DesignError(
            "TRAY-063", part=f"{asked.part.length_mm:g} x {asked.part.width_mm:g}", room=f"{room[0]:g} x {room[1]:g}"
        )
    trays = math.ceil(asked.count / (most[0] * most[1]))
    each = math.ceil(asked.count / trays)
    grids = [
        _Grid(columns=columns, rows=math.ceil(each / columns), pocket_mm=pocket, gap_mm=gap, rim_mm=rim)
        for columns in range(1, most[0] + 1)
        if math.ceil(each / columns) <= most[1]
    ]
    return min(
        grids, key=lambda one: (one.columns * one.rows, round(max(one.size_mm) / min(one.size_mm), 6), one.columns)
    ), trays


def draw_simple(asked: SimpleAsked) -> SimpleDrawn:
    """A tray with rows of equal pockets as a drawing, and how many of it are wanted.

    Parameters
    ----------
    asked
        Part, count, grip, board.

    Raises
    ------
    DesignError
        TRAY-062 a tray larger than the board, TRAY-063 not one pocket goes in, TRAY-064 no depth is left, TRAY-065 an
        unknown grip.

    Notes
    -----
    A pocket is the part and its play (that of a heavier part: the mass is not asked). Walls and floor are the sheet's
    least. Pockets lie in one grid with the part's longer side along x; interlocked rows are not tried. Corners are
    over-cut by the drawing job.
    """
    if asked.grip not in GRIPS:
        raise DesignError("TRAY-065", told=asked.grip, known=", ".join(GRIPS))
    if not 1 <= asked.count <= MOST_PARTS:
        raise DesignError("TRAY-066", count=asked.count, most=MOST_PARTS)
    depth_mm = _depth_mm(asked)
    grid, trays = _grid(asked)
    layer = f"DEPTH_{depth_mm:g}"
    outline = asked.size_mm or grid.size_mm
    shift = tuple((whole - own) / 2.0 for whole, own in zip(outline, grid.size_mm, strict=True))
    loops = [("OUTLINE", _rectangle(0.0, 0.0, outline[0], outline[1]))]
    loops += [(layer, one.moved(shift[0], shift[1])) for one in _recesses(grid, asked)]
    pockets = grid.columns * grid.rows
    return SimpleDrawn(
        content=contours_dxf(loops),
        trays=trays,
        pockets=pockets,
        findings=tuple(_findings(asked, depth_mm, trays * pockets)),
    )


def _depth_mm(asked: SimpleAsked) -> float:
    """Depth of the pockets: what is asked, else the part's height or what the board allows."""
    allowed = asked.thickness_mm - _least_mm(asked, "floor_least_mm", "floor_least")
    depth = min(asked.part.height_mm, allowed) if asked.depth_mm is None else asked.depth_mm
    if depth <= SAME_MM or depth >= asked.thickness_mm - SAME_MM:
        raise DesignError("TRAY-064", depth_mm=round(depth, 3), thickness_mm=asked.thickness_mm)
    return round(depth, 3)


def _rectangle(left: float, front: float, right: float, back: float) -> Contour:
    """A rectangle as a contour."""
    return Contour.polygon(((left, front), (right, front), (right, back), (left, back)))


def _recesses(grid: _Grid, asked: SimpleAsked) -> Iterator[Contour]:
    """Pockets, notches and slots in tray millimetres."""
    (wide, deep), (gap_x, gap_y), (rim_x, rim_y) = grid.pocket_mm, grid.gap_mm, grid.rim_mm
    reach, finger = _rule("finger_reach").value, _rule("finger_width").value
    for row in range(grid.rows):
        front = rim_y + row * (deep + gap_y)
        for column in range(grid.columns):
            left = rim_x + column * (wide + gap_x)
            middle = (left + wide / 2.0, front + deep / 2.0)
            round_one = asked.part.is_round
            yield (
                Contour.circle(middle, wide / 2.0) if round_one else _rectangle(left, front, left + wide, front + deep)
            )
            if asked.grip == "each":
                yield Contour.circle((middle[0], front), reach)
                yield Contour.circle((middle[0], front + deep), reach)
        if asked.grip == "row":
            right = rim_x + grid.columns * wide + (grid.columns - 1) * gap_x
            middle_y = front + deep / 2.0
            yield _rectangle(rim_x - reach, middle_y - finger / 2.0, right + reach, middle_y + finger / 2.0)


def _findings(asked: SimpleAsked, depth_mm: float, pockets: int) -> Iterator[Finding]:
    """What was taken without being asked, a part that stands out, spare pockets."""
    yield finding("TRAY-067", Severity.NOTE, ("drawing",), cause="play", play_mm=_rule("play_metal").value)
    over = asked.part.height_mm - depth_mm
    if over > SAME_MM:
        words = {"over_mm": round(over, 1), "depth_mm": depth_mm}
        yield finding("TRAY-068", Severity.WARN, ("drawing",), cause="stands out", **words)  # type: ignore[arg-type]
    if pockets > asked.count:
        yield finding("TRAY-069", Severity.NOTE, ("drawing",), cause="spare", spare=pockets - asked.count)
