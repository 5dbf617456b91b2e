"""Where screws stand: in the waste at the corners of a board, clear of pieces and cutter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Point, Region
from traywright.layout import snapped_mm

SCREW_HEAD_MM = 10.0  # source: common practice, no source: a 5 mm screw with a pan head


def screw_places(blank: Region, pieces: Sequence[Region], kerf_mm: float) -> tuple[Point, ...]:
    """Middles of four screw heads in the corners of the blank, or none if one corner has no room.

    Parameters
    ----------
    blank
        The blank, a rectangle from the origin.
    pieces
        The pieces where they lie on it.
    kerf_mm
        Width of the way that the cutter clears around each piece, mm, 0 or more.

    Notes
    -----
    Each head lies inside the blank and at least a kerf off every piece. The holes of the bed are not known here: a
    screw moved to a hole of the bed must stay in the same waste.

    Examples
    --------
    >>> blank = Region.rectangle(0, 0, 300, 200)
    >>> screw_places(blank, [Region.rectangle(40, 40, 260, 160)], 10.0)
    ((15.0, 15.0), (285.0, 15.0), (285.0, 185.0), (15.0, 185.0))
    >>> screw_places(blank, [Region.rectangle(15, 15, 285, 185)], 10.0)
    ()
    """
    _, _, width, depth = blank.bounds_mm
    all_pieces = Region.union_of(pieces)
    left, front, right, back = all_pieces.bounds_mm
    corners = (
        ((0.0, 0.0), (left, front)),
        ((width, 0.0), (width - right, front)),
        ((width, depth), (width - right, depth - back)),
        ((0.0, depth), (left, depth - back)),
    )
    found: list[Point] = []
    for (corner_x, corner_y), rim in corners:
        for inset_x, inset_y in _insets(rim, kerf_mm):
            spot = (snapped_mm(abs(corner_x - inset_x)), snapped_mm(abs(corner_y - inset_y)))
            if _clear(spot, all_pieces, kerf_mm):
                found.append(spot)
                break
    return tuple(found) if len(found) == len(corners) else ()


def _insets(rim_mm: tuple[float, float], kerf_mm: float) -> Iterator[tuple[float, float]]:
    """Distances from the two edges of a corner to try: the middle of the waste beside the cutter's way."""
    half = SCREW_HEAD_MM / 2.0
    x, y = (max(half, (one - kerf_mm) / 2.0) for one in rim_mm)
    yield x, y
    yield min(x, y), min(x, y)
    yield max(x, y), max(x, y)


def _clear(spot_mm: Point, pieces: Region, kerf_mm: float) -> bool:
    # the head as a square, so that its corners are outside its circle
    half = SCREW_HEAD_MM / 2.0
    x, y = spot_mm
    head = Region.rectangle(x - half, y - half, x + half, y + half)
    return head.distance_mm(pieces) >= kerf_mm - SAME_MM
