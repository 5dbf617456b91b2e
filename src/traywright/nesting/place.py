"""Where a ply's regions and points lie on the board."""

from __future__ import annotations

from traywright.base.errors import NestError
from traywright.geometry import Point, Region
from traywright.nesting.setup import Piece
from traywright.trays.tray import Ply

_QUARTERS = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
"""Cosine and sine of the quarter turns, exact."""


def place_on_board(region: Region, piece: Piece, ply: Ply) -> Region:
    """The region where it lies on the board.

    Parameters
    ----------
    region
        Any region in the ply's frame: its outline, a feature, a bridge's foot.
    piece
        Where the ply lies.
    ply
        The ply itself: its outline decides what is put at the piece's corner.

    Raises
    ------
    NestError
        NEST-008 if the piece is not turned by a quarter turn, or not top up.

    Notes
    -----
    The ply is turned counter-clockwise about its own frame origin, then moved until the lower left corner of the
    turned outline's bounding box stands at ``piece.at_mm``.

    Examples
    --------
    >>> outline = Region.rectangle(0, 0, 40, 20)
    >>> ply = Ply(id="T1.P1", kind="k", from_mm=0, to_mm=10, board="b", region=outline, features=())
    >>> piece = Piece(id="B1.1", ply="T1.P1", at_mm=(5, 7), turn_deg=90)
    >>> place_on_board(outline, piece, ply).bounds_mm
    (5.0, 7.0, 25.0, 47.0)
    """
    dx, dy = _shift_mm(piece, ply)
    return region.turned(float(piece.turn_deg)).moved(dx, dy)


def point_on_board(point_mm: Point, piece: Piece, ply: Ply) -> Point:
    """The point of the ply where it lies on the board.

    Parameters
    ----------
    point_mm
        x, y in the ply's frame, mm.
    piece
        Where the ply lies.
    ply
        The ply itself.

    Raises
    ------
    NestError
        NEST-008 if the piece is not turned by a quarter turn, or not top up.

    Examples
    --------
    >>> ply = Ply(id="P", kind="k", from_mm=0, to_mm=10, board="b", region=Region.rectangle(0, 0, 40, 20), features=())
    >>> point_on_board((40.0, 0.0), Piece(id="B1.1", ply="P", at_mm=(5, 7), turn_deg=90), ply)
    (25.0, 47.0)
    """
    dx, dy = _shift_mm(piece, ply)
    x, y = _turned(point_mm, piece.turn_deg)
    return (round(x + dx, 6) + 0.0, round(y + dy, 6) + 0.0)


def _turned(point_mm: Point, turn_deg: int) -> Point:
    cosine, sine = _QUARTERS[turn_deg]
    x, y = point_mm
    return (cosine * x - sine * y, sine * x + cosine * y)


def _shift_mm(piece: Piece, ply: Ply) -> Point:
    """What moves the turned outline's lower left corner to its place."""
    if piece.turn_deg not in _QUARTERS or piece.side_up != "top":
        raise NestError("NEST-008", piece=piece.id, turn=piece.turn_deg, side=piece.side_up)
    left, front, right, back = ply.region.bounds_mm
    corners = [_turned(corner, piece.turn_deg) for corner in ((left, front), (right, back))]
    return (piece.at_mm[0] - min(x for x, _ in corners), piece.at_mm[1] - min(y for _, y in corners))
