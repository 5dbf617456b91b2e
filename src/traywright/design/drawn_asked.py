"""What a drawing is cut by as it stands, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding, Given
from traywright.catalogue import Board, Cutter, Foam, Solid
from traywright.parts import Drawing, DrawingQuestion
from traywright.trays import Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthAsked:
    """How deep the loops of a layer or of a colour are cut, from the top of the board.

    One of ``layer`` (its name, upper and lower case alike) and ``colour`` (1 to 255; 0: not by colour) is told;
    ``depth`` is in mm, None for right through. A row for a layer goes before a row for a colour.
    """

    layer: str
    colour: int
    depth: Given | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAsked:
    """A drawing that is cut as it is.

    ``thickness`` is what the board was measured at, or its card's own; ``keep`` is ``floor`` (floors stay where they
    are on the nominal board) or ``depth`` (depths stay as asked); ``corner`` is ``smaller_cutter``, ``relief`` or
    ``leave``; ``cutters`` are the flat cutters that may be mounted, the largest first; ``outline_layer`` is empty where
    the largest loop is the outline; ``engrave`` tells which open lines are cut as lines and how deep.
    """

    drawing: Drawing
    outline_layer: str
    depths: tuple[DepthAsked, ...]
    engrave: tuple[DepthAsked, ...]
    board: Board
    stuff: Foam | Solid
    thickness: Given
    keep: str
    corner: str
    cutters: tuple[Cutter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAreas:
    """Areas of one tray, exact for the lines and arcs of the drawing, mm² and mm³.

    ``depths_mm`` are the final depths, deepest first, ``ending_mm2`` the area that ends at each; ``open_mm2`` is their
    sum, ``corner_left_mm2`` what the smallest cutter leaves in corners, seen from above.
    """

    tray: str
    outline_mm2: float
    depths_mm: tuple[float, ...]
    ending_mm2: tuple[float, ...]
    open_mm2: float
    removed_mm3: float
    corner_left_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnTrays:
    """The trays of a drawing: one for each outline, left to right.

    ``depths`` is the table as it was taken, layer by layer, also what was read from names; ``cutters`` are the ids of
    the cutters to mount; ``corner_cutter`` is the smaller one that goes into corners after the others, or empty.
    """

    trays: tuple[Tray, ...]
    areas: tuple[DrawnAreas, ...]
    depths: tuple[DepthAsked, ...]
    cutters: tuple[str, ...]
    corner_cutter: str
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
    questions: tuple[DrawingQuestion, ...]
