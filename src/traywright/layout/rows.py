"""Regular rows of copies of one outline in a rectangular container."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.motif import Motif, Pitches, motifs
from traywright.layout.place import Place, refuse_lengths, snapped_mm

QUARTER_TURNS = frozenset({0, 90, 180, 270})


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLayout:
    """Regular rows of one outline in a container, and what else would go in.

    ``placements`` run along the front row from the left, then the next row. ``pattern`` is ``same``, ``rows`` (every
    second row turned by 180 degrees: head-to-tail), ``columns`` or ``both``. ``least_wall_mm`` is the exact least
    distance of any two outlines (infinite for one); ``rims_mm`` the distances left, front, right, back of the
    outlines to the container; ``needed_width_mm`` x ``needed_depth_mm`` the least container for the same rows.
    ``most`` is how many copies the same pattern could hold, ``bound`` how many no layout can beat, by area.
    A pitch is 0 where there is one column or one row.
    """

    placements: tuple[Place, ...]
    columns: int
    rows: int
    pattern: str
    pitch_x_mm: float
    pitch_y_mm: float
    least_wall_mm: float
    rims_mm: tuple[float, float, float, float]
    fits: bool
    most: int
    bound: int
    needed_width_mm: float
    needed_depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """What the rows are asked to keep."""

    width_mm: float
    depth_mm: float
    wall_mm: float
    rim_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """One grid of one motif, not yet placed."""

    motif: Motif
    columns: int
    rows: int
    pitch_x_mm: float
    pitch_y_mm: float
    needed_width_mm: float
    needed_depth_mm: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and depth of the whole grid from outline to outline."""
        width = self.motif.width_mm + (self.columns - 1) * self.pitch_x_mm
        return width, self.motif.depth_mm + (self.rows - 1) * self.pitch_y_mm

    def rank(self, room: _Room) -> tuple[bool, float, int, int, int, int]:
        """Sort key: what fits first, then the widest least rim, fewer rows, fewer columns, pattern, turn."""
        over = max(self.needed_width_mm - room.width_mm, self.needed_depth_mm - room.depth_mm)
        width, depth = self.size_mm
        rim = min(room.width_mm - width, room.depth_mm - depth) / 2.0
        worth = round(over, 3) if over > SAME_MM else -round(rim, 3)
        return over > SAME_MM, worth, self.rows, self.columns, self.motif.order, self.motif.base_turn_deg


def fill_rows(  # noqa: PLR0913  # reason: outline, container, two spacings, count and turns are one question
    outline: Region,
    *,
    width_mm: float,
    depth_mm: float,
    wall_mm: float,
    rim_mm: float,
    count: int,
    turns_deg: tuple[int, ...],
) -> RowLayout:
    """Regular rows of copies of the outline in a container, checked pair by pair.

    Parameters
    ----------
    outline
        One copy about its own frame origin, mm; holes count as filled.
    width_mm, depth_mm
        The container along x and y, above 0; its lower left corner is the origin of the places.
    wall_mm
        Least distance of any two outlines, 0 or more.
    rim_mm
        Least distance of any outline to the container's edge, 0 or more.
    count
        Copies asked for, 1 or more.
    turns_deg
        Turns allowed, of 0, 90, 180, 270: (0, 180) lets rows stand head-to-tail.

    Returns
    -------
    RowLayout
        ``fits`` is false if the container is too small; the places then overhang it, in the middle, and
        ``needed_width_mm`` x ``needed_depth_mm`` says what they want.

    Raises
    ------
    LayoutError
        LAY-001 to LAY-003 for what cannot be laid out; LAY-004 if no layout passes the check.

    Notes
    -----
    Along one axis the pitch is the one that keeps the wall and spare space goes to the two rims; along the other
    spare space is shared equally between the rims and the webs. With ``rows`` the rows stand at the exact pitch, with
    ``columns`` the columns; with ``same`` and ``both`` either is tried. Of all grids that fit, the one with the
    widest least rim is taken, then that with fewer rows. The pitch is found by a scan of 64 steps and a bisection on
    exact distances, all neighbours within reach looked at. Regular rows only, at one pitch: no free angles, no shifts
    along a row, no pairs of rows nearer than the next pair.

    Examples
    --------
    >>> from traywright.geometry import Region
    >>> cone = Region.polygon([(0, -20), (60, -5), (60, 5), (0, 20)])
    >>> rows = fill_rows(cone, width_mm=80, depth_mm=112, wall_mm=5, rim_mm=5, count=3, turns_deg=(0, 180))
    >>> rows.fits, rows.columns, rows.rows, rows.pattern, rows.pitch_y_mm
    (True, 1, 3, 'rows', 30.154)
    >>> rows.least_wall_mm >= 4.9995
    True
    """
    refuse_lengths({"width_mm": width_mm, "depth_mm": depth_mm}, {"wall_mm": wall_mm, "rim_mm": rim_mm})
    if count < 1:
        raise LayoutError("LAY-001", name="count", value=count)
    if not turns_deg or not set(turns_deg) <= QUARTER_TURNS:
        raise LayoutError("LAY-002", turns=", ".join(str(one) for one in turns_deg))
    if outline.is_empty:
        raise LayoutError("LAY-003")
    room = _Room(width_mm=width_mm, depth_mm=depth_mm, wall_mm=wall_mm, rim_mm=rim_mm, count=count)
    pitches = {
        (one.order, one.base_turn_deg): Pitches(one, wall_mm)
        for one in motifs(outline, tuple(int(t) for t in turns_deg))
    }
    grids = [grid for one in pitches.values() for grid in _grids(one, room)]
    for grid in sorted(grids, key=lambda one: one.rank(room)):
        found = _checked(outline, grid, room, pitches[grid.motif.order, grid.motif.base_turn_deg])
        if found is not None:
            return found
    raise LayoutError("LAY-004", count=count, wall_mm=wall_mm)


def _grids(pitches: Pitches, room: _Room) -> list[_Rows]:
    """Each grid of a motif that holds the count, none with an empty row or column too many."""
    shapes = {(math.ceil(room.count / rows), rows) for rows in range(1, room.count + 1)}
    tight = [(columns, rows) for columns, rows in shapes if math.ceil(room.count / columns) == rows]
    return [_grid(pitches, columns, rows, room) for columns, rows in sorted(tight)]


def _grid(pitches: Pitches, columns: int, rows: int, room: _Room) -> _Rows:
    """The grid with its pitches: one axis exact to the wall, the other sharing its spare space."""
    motif, x_exact = pitches.motif, pitches.motif.exact_along_x
    copies, shared_copies = (columns, rows) if x_exact else (rows, columns)
    shared = pitches.least_mm(along_x=not x_exact, across_mm=math.inf, every_wider=True) if shared_copies > 1 else 0.0
    size = motif.depth_mm if x_exact else motif.width_mm
    needed = 2.0 * room.rim_mm + size + (shared_copies - 1) * shared
    spare = (room.depth_mm if x_exact else room.width_mm) - needed
    widened = snapped_mm(shared + max(0.0, spare) / (shared_copies + 1)) if shared_copies > 1 else 0.0
    across = widened if shared_copies > 1 else math.inf
    exact = pitches.least_mm(along_x=x_exact, across_mm=across, every_wider=False) if copies > 1 else 0.0
    exact_size = motif.width_mm if x_exact else motif.depth_mm
    exact_needed = 2.0 * room.rim_mm + exact_size + (copies - 1) * exact
    return _Rows(
        motif=motif,
        columns=columns,
        rows=rows,
        pitch_x_mm=exact if x_exact else widened,
        pitch_y_mm=widened if x_exact else exact,
        needed_width_mm=exact_needed if x_exact else needed,
        needed_depth_mm=needed if x_exact else exact_needed,
    )


def _checked(outline: Region, grid: _Rows, room: _Room, pitches: Pitches) -> RowLayout | None:
    """The grid placed in the middle and checked by exact distances, or nothing if two outlines stand too near."""
    width, depth = grid.size_mm
    left, front = snapped_mm((room.width_mm - width) / 2.0), snapped_mm((room.depth_mm - depth) / 2.0)
    places = []
    for number in range(room.count):
        row, column = divmod(number, grid.columns)
        corner = (left + column * grid.pitch_x_mm, front + row * grid.pitch_y_mm)
        places.append(grid.motif.place(column, row, corner))
    copies = [outline.filled().turned(one.turn_deg).moved(one.x_mm, one.y_mm) for one in places]
    least = _least_distance_mm(copies)
    if least < room.wall_mm - SAME_MM:
        return None
    boxes = [one.bounds_mm for one in copies]
    rims = (
        snapped_mm(min(one[0] for one in boxes)),
        snapped_mm(min(one[1] for one in boxes)),
        snapped_mm(room.width_mm - max(one[2] for one in boxes)),
        snapped_mm(room.depth_mm - max(one[3] for one in boxes)),
    )
    return RowLayout(
        placements=tuple(places),
        columns=grid.columns,
        rows=grid.rows,
        pattern=grid.motif.pattern,
        pitch_x_mm=grid.pitch_x_mm,
        pitch_y_mm=grid.pitch_y_mm,
        least_wall_mm=least,
        rims_mm=rims,
        fits=min(rims) >= room.rim_mm - 2.0 * SAME_MM,
        most=_most(pitches, grid, room),
        bound=_area_bound(outline, room),
        needed_width_mm=grid.needed_width_mm,
        needed_depth_mm=grid.needed_depth_mm,
    )


def _least_distance_mm(copies: list[Region]) -> float:
    """The exact least distance of any two outlines; below zero if two share area."""
    least = math.inf
    for here, there in combinations(copies, 2):
        a, b = here.bounds_mm, there.bounds_mm
        if max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3]) < least:
            near = here.distance_mm(there)
            least = min(least, -1.0 if near < SAME_MM and here.overlaps(there) else near)
    return least


def _most(pitches: Pitches, grid: _Rows, room: _Room) -> int:
    """Copies that the same pattern holds at its least pitches."""
    motif, x_exact = grid.motif, grid.motif.exact_along_x
    shared = pitches.least_mm(along_x=not x_exact, across_mm=math.inf, every_wider=True)
    exact = pitches.least_mm(along_x=x_exact, across_mm=shared, every_wider=False)
    pitch_x, pitch_y = (exact, shared) if x_exact else (shared, exact)
    columns = _copies(room.width_mm - 2.0 * room.rim_mm, motif.width_mm, pitch_x)
    rows = _copies(room.depth_mm - 2.0 * room.rim_mm, motif.depth_mm, pitch_y)
    own = grid.columns * grid.rows if not grid.rank(room)[0] else 0
    return max(columns * rows, own)


def _copies(room_mm: float, size_mm: float, pitch_mm: float) -> int:
    return 0 if size_mm > room_mm + SAME_MM else int((room_mm + SAME_MM - size_mm) / pitch_mm) + 1


def _area_bound(outline: Region, room: _Room) -> int:
    """Copies that no layout can beat: each grown by half a wall, in the container without its rim so grown.

    The grown outline's chords lie inside its arcs here, so that the bound errs upward.
    """
    half = room.wall_mm / 2.0
    filled = outline.filled()
    grown = float(filled.shape.buffer(half).area) if half > SNAP_MM else filled.area_mm2
    width = room.width_mm - 2.0 * room.rim_mm + room.wall_mm
    depth = room.depth_mm - 2.0 * room.rim_mm + room.wall_mm
    return int(max(0.0, width) * max(0.0, depth) / grown)
