"""Where screws stand: in the waste at the corners of a board, clear of pieces and cutter."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Point, Region
from traywright.layout import snapped_mm

SCREW_HEAD_MM = 10.0  # source: common practice, no source: a 5 mm screw with a pan head
LEAST_SCREWS = 3  # source: three points hold a plane


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
    all_pieces = Region.union_of(pieces)
    found = [
        _in_corner(corner, _insets(rim, kerf_mm), all_pieces, kerf_mm) for corner, rim in _corners(blank, all_pieces)
    ]
    return tuple(one for one in found if one) if None not in found else ()


def screws_beside(blank: Region, pieces: Sequence[Region], kerf_mm: float) -> tuple[Point, ...]:
    """Middles of screw heads where pieces may stand in corners of the blank: four, three, or none.

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
    Each head stands beside the cutter's way, near the pieces, so that a remnant keeps its middle. A corner without room
    gives its screw to the nearest place along its two edges beside a piece. With fewer than three screws, or all of
    them at one side, none is placed.

    Examples
    --------
    >>> blank = Region.rectangle(0, 0, 600, 400)
    >>> screws_beside(blank, [Region.rectangle(5, 5, 305, 205)], 10.0)
    ((320.0, 5.0), (320.0, 220.0), (5.0, 220.0))
    """
    all_pieces = Region.union_of(pieces)
    found: list[Point] = []
    missing: list[Point] = []
    for corner, rim in _corners(blank, all_pieces):
        half = SCREW_HEAD_MM / 2.0
        near = (max(half, rim[0] - kerf_mm - half), max(half, rim[1] - kerf_mm - half))
        spot = _in_corner(corner, (near, *_insets(rim, kerf_mm)), all_pieces, kerf_mm)
        if spot:
            found.append(spot)
        else:
            missing.append(corner)
    for corner in missing:
        tried = sorted(_along(corner, blank, pieces, kerf_mm), key=lambda one: (round(math.dist(one, corner), 3), one))
        free = (one for one in tried if all(math.dist(one, other) >= 2.0 * SCREW_HEAD_MM for other in found))
        spot = next((one for one in free if _clear(one, all_pieces, kerf_mm)), None)
        found += [spot] if spot else []
    x, y = blank.centre_mm
    found.sort(key=lambda one: math.atan2(one[1] - y, one[0] - x))
    return tuple(found) if len(found) >= LEAST_SCREWS and _span(found, all_pieces.size_mm) else ()


def _span(screws_mm: Sequence[Point], size_mm: tuple[float, float]) -> bool:
    """True if the screws stand apart by half of what they hold, along x and along y."""
    return all(
        max(one[axis] for one in screws_mm) - min(one[axis] for one in screws_mm) >= size_mm[axis] / 2.0
        for axis in (0, 1)
    )


def _corners(blank: Region, all_pieces: Region) -> tuple[tuple[Point, Point], ...]:
    """The corners of the blank, counter-clockwise from the front left, each with the waste at its two edges."""
    _, _, width, depth = blank.bounds_mm
    left, front, right, back = all_pieces.bounds_mm
    return (
        ((0.0, 0.0), (left, front)),
        ((width, 0.0), (width - right, front)),
        ((width, depth), (width - right, depth - back)),
        ((0.0, depth), (left, depth - back)),
    )


def _in_corner(corner: Point, insets: Iterable[Point], all_pieces: Region, kerf_mm: float) -> Point | None:
    """The first place in a corner that is clear."""
    for inset_x, inset_y in insets:
        spot = (snapped_mm(abs(corner[0] - inset_x)), snapped_mm(abs(corner[1] - inset_y)))
        if _clear(spot, all_pieces, kerf_mm):
            return spot
    return None


def _along(corner: Point, blank: Region, pieces: Sequence[Region], kerf_mm: float) -> Iterator[Point]:
    """Places beside each piece at the two edges of the blank that meet in a corner."""
    half = SCREW_HEAD_MM / 2.0
    off = kerf_mm + half
    _, _, width, depth = blank.bounds_mm
    at_x, at_y = (abs(one - half) for one in corner)
    for left, front, right, back in (one.bounds_mm for one in pieces):
        for x in (left - off, right + off):
            if half - SAME_MM <= x <= width - half + SAME_MM:
                yield snapped_mm(x), snapped_mm(at_y)
        for y in (front - off, back + off):
            if half - SAME_MM <= y <= depth - half + SAME_MM:
                yield snapped_mm(at_x), snapped_mm(y)


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
