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
from traywright.design.simple_loops import Grip, Pocket, lying_across, notched, plain, rectangle, threaded
from traywright.geometry import Contour
from traywright.parts.dxf_written import contours_dxf

_BOX = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
_ROUND = re.compile(r"^\s*d\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
_SIZE = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*$", re.IGNORECASE)
GRIPS = ("each", "row", "none")
OUTLINE = "OUTLINE"
OVERCUT_RATIO = 1.0 - math.sqrt(0.5)
"""How far an over-cut square corner goes beyond each of its walls, over the cutter's radius.  # source: geometry: the
cutter stands on the corner's bisector with its edge in the corner"""
ENTERS_RATIO = 1.1
"""Least width of a notch over the cutter's diameter.  # source: common practice, no source"""
TENTHS = 10.0
"""Lengths of ours are drawn in tenths of a millimetre.  # source: a rule shows no less"""
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
    ``depth_mm`` None: the part's height, or what the board allows; ``cutter_mm`` is the diameter of the cutter whose
    corners are over-cut, 0 where none are.
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
    cutter_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SimpleDrawn:
    """The drawing, how many trays of it are cut, pockets in each, and what was found."""

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
class _Spacing:
    """What one pocket takes along the row and across it, mm: its opening, grip, gap to the next, rim to the edge."""

    pocket: Pocket
    grip: Grip
    gap_mm: tuple[float, float]
    rim_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Pockets in columns and rows, the last row not always full; ``across`` where rows run along y."""

    columns: int
    rows: int
    each: int
    across: bool
    size_mm: tuple[float, float]

    @property
    def order(self) -> tuple[float, float, bool, int]:
        """Sort key: the shortest edge, then the smallest tray, then rows along x, then fewest columns."""
        wide, deep = self.size_mm
        return round(wide + deep, 3), round(wide * deep, 3), self.across, self.columns


def _spacing(asked: SimpleAsked) -> _Spacing:
    """Opening, grip, gaps and rims of one pocket, the part's longer side along the row."""
    play = _rule("play_metal").value
    wall = _least_mm(asked, "wall_least_mm", "wall_least")
    rim = wall if isinstance(asked.stuff, Solid) else max(wall, _rule("rim_least").value)
    part = asked.part
    pocket = Pocket(wide_mm=part.length_mm + play, deep_mm=part.width_mm + play, is_round=part.is_round)
    across_mm = {"each": pocket.wide_mm, "row": pocket.deep_mm, "none": 0.0}[asked.grip]
    finger, reach = _rule("finger_width").value, _rule("finger_reach").value
    # no narrower than the cutter, no wider than what it opens
    wide = max(_rule("seat_kept").value * across_mm, ENTERS_RATIO * asked.cutter_mm)
    grip = Grip(wide_mm=min(finger, wide, across_mm), reach_mm=reach)
    # an over-cut corner goes beyond its two walls by a share of the cutter's radius, here to the next tenth
    corner = 0.0 if part.is_round else math.ceil(OVERCUT_RATIO * asked.cutter_mm / 2.0 * TENTHS) / TENTHS
    gap, edge = wall + 2.0 * corner, rim + corner
    beside = {"each": (gap, max(gap, wall + 2.0 * reach)), "row": (max(gap, reach), gap), "none": (gap, gap)}
    outside = {"each": (edge, max(edge, rim + reach)), "row": (max(edge, rim + reach), edge), "none": (edge, edge)}
    return _Spacing(pocket=pocket, grip=grip, gap_mm=beside[asked.grip], rim_mm=outside[asked.grip])


def _size_mm(spacing: _Spacing, columns: int, rows: int) -> tuple[float, float]:
    """Length along the rows and across them of a tray with so many pockets."""
    (gap_x, gap_y), (rim_x, rim_y), pocket = spacing.gap_mm, spacing.rim_mm, spacing.pocket
    return (
        2.0 * rim_x + columns * pocket.wide_mm + (columns - 1) * gap_x,
        2.0 * rim_y + rows * pocket.deep_mm + (rows - 1) * gap_y,
    )


def _most(spacing: _Spacing, room_mm: tuple[float, float]) -> tuple[int, int]:
    """Columns and rows that a room takes at most."""
    sides = (spacing.pocket.wide_mm, spacing.pocket.deep_mm)
    columns, rows = (
        max(0, math.floor((room - 2.0 * rim + gap + SAME_MM) / (side + gap)))
        for room, rim, gap, side in zip(room_mm, spacing.rim_mm, spacing.gap_mm, sides, strict=True)
    )
    return columns, rows


def _grid(asked: SimpleAsked, spacing: _Spacing) -> tuple[_Grid, int]:
    """The arrangement with the fewest trays, then the shortest edge; and how many trays."""
    room = asked.size_mm or asked.room_mm
    if not any(_inside(one, asked.room_mm) for one in (room, room[::-1])):
        words = (f"{one[0]:g} x {one[1]:g}" for one in (room, asked.room_mm))
        raise DesignError("TRAY-062", **dict(zip(("size", "room"), words, strict=True)))
    ways = [(across, _most(spacing, room[::-1] if across else room)) for across in (False, True)]
    most = max(columns * rows for _, (columns, rows) in ways)
    if most == 0:
        part = f"{asked.part.length_mm:g} x {asked.part.width_mm:g}"
        raise DesignError("TRAY-063", part=part, room=f"{room[0]:g} x {room[1]:g}")
    trays = math.ceil(asked.count / most)
    each = math.ceil(asked.count / trays)
    grids = [
        _Grid(columns=columns, rows=rows, each=each, across=across, size_mm=_size_mm(spacing, columns, rows))
        for across, (most_columns, most_rows) in ways
        for columns in range(1, most_columns + 1)
        if (rows := math.ceil(each / columns)) <= most_rows
    ]
    return min(grids, key=lambda one: one.order), trays


def _inside(size_mm: tuple[float, float], room_mm: tuple[float, float]) -> bool:
    return all(one <= most + SAME_MM for one, most in zip(size_mm, room_mm, strict=True))


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
        unknown grip, TRAY-066 a count out of range.

    Notes
    -----
    A pocket is the part and its play (that of a heavier part: the mass is not asked). Walls and floor are the sheet's
    least, also where corners are over-cut, which the drawing job does. A pocket with its notches, or a row with its
    slot, is one closed line. Rows run along x or along y; interlocked rows are not tried.
    """
    if asked.grip not in GRIPS:
        raise DesignError("TRAY-065", told=asked.grip, known=", ".join(GRIPS))
    if not 1 <= asked.count <= MOST_PARTS:
        raise DesignError("TRAY-066", count=asked.count, most=MOST_PARTS)
    depth_mm, spacing = _depth_mm(asked), _spacing(asked)
    grid, trays = _grid(asked, spacing)
    loops = tuple(_recesses(grid, spacing, asked))
    size = grid.size_mm
    if grid.across:
        loops, size = tuple(lying_across(one) for one in loops), size[::-1]
    width, deep = asked.size_mm or size
    shift = (round((width - size[0]) / 2.0, 3), round((deep - size[1]) / 2.0, 3))
    return SimpleDrawn(
        content=contours_dxf(
            [
                (OUTLINE, rectangle(0.0, 0.0, width, deep)),
                *((f"DEPTH_{depth_mm:g}", one.moved(*shift)) for one in loops),
            ]
        ),
        trays=trays,
        pockets=grid.each,
        findings=tuple(_findings(asked, spacing, depth_mm, trays * grid.each)),
    )


def _depth_mm(asked: SimpleAsked) -> float:
    """Depth of the pockets: what is asked, else the part's height, or what the board allows as bought and measured."""
    thin_mm = min(asked.thickness_mm, asked.board.thickness_mm)
    allowed = thin_mm - _least_mm(asked, "floor_least_mm", "floor_least")
    depth = min(asked.part.height_mm, allowed) if asked.depth_mm is None else asked.depth_mm
    if not SAME_MM < depth < asked.thickness_mm - SAME_MM:
        raise DesignError("TRAY-064", depth_mm=round(depth, 3), thickness_mm=asked.thickness_mm)
    return round(depth, 3)


def _recesses(grid: _Grid, spacing: _Spacing, asked: SimpleAsked) -> Iterator[Contour]:
    """One loop a pocket, or one a row, rows along x."""
    pocket, grip = spacing.pocket, spacing.grip
    pitch = (pocket.wide_mm + spacing.gap_mm[0], pocket.deep_mm + spacing.gap_mm[1])
    first = (spacing.rim_mm[0] + pocket.wide_mm / 2.0, spacing.rim_mm[1] + pocket.deep_mm / 2.0)
    for row in range(grid.rows):
        in_row = min(grid.columns, grid.each - row * grid.columns)
        y = first[1] + row * pitch[1]
        if asked.grip == "row":
            yield threaded((first[0], y), in_row, pitch[0], pocket, grip)
            continue
        for column in range(in_row):
            middle = (first[0] + column * pitch[0], y)
            yield notched(middle, pocket, grip) if asked.grip == "each" else plain(middle, pocket)


def _findings(asked: SimpleAsked, spacing: _Spacing, depth_mm: float, pockets: int) -> Iterator[Finding]:
    """What was taken without being asked, a part that stands out, spare pockets, notches too narrow for a finger."""
    yield finding("TRAY-067", Severity.NOTE, ("drawing",), cause="play", play_mm=_rule("play_metal").value)
    over = round(asked.part.height_mm - depth_mm, 1)
    if asked.part.height_mm - depth_mm > SAME_MM:
        yield finding("TRAY-068", Severity.WARN, ("drawing",), cause="stands out", over_mm=over, depth_mm=depth_mm)
    if pockets > asked.count:
        yield finding("TRAY-069", Severity.NOTE, ("drawing",), cause="spare", spare=pockets - asked.count)
    finger = _rule("finger_width").value
    if asked.grip != "none" and spacing.grip.wide_mm < finger - SAME_MM:
        wide = round(spacing.grip.wide_mm, 1)
        yield finding("TRAY-070", Severity.WARN, ("drawing",), cause="grip", wide_mm=wide, finger_mm=finger)
