"""A drawing to cut as it is, as it is asked and as the stages leave it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base import Finding
from traywright.catalogue import Board, Catalogue, Cutter, Foam, Machine, Solid
from traywright.design import DrawnTrays
from traywright.enquiry import DrawnRead
from traywright.job.making import Made
from traywright.nesting import NestResult
from traywright.parts import Drawing, DrawingQuestion
from traywright.quoting import Quote
from traywright.trays import Ply


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnJobAsked:
    """A drawing job to run: the enquiry as read and its bytes, the drawing's file, the cards, and the release.

    ``questions`` are what had to be asked, each with the answer that the enquiry now holds; ``findings`` what was
    found while a drawing was made here.
    """

    read: DrawnRead
    content: bytes
    files: Mapping[str, bytes]
    catalogue: Catalogue
    release: str
    questions: tuple[DrawingQuestion, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def board(self) -> Board:
        """The board card, at its nominal thickness."""
        return self.catalogue.board(self.read.enquiry.drawing.board)

    @property
    def stuff(self) -> Foam | Solid:
        """What the board is of."""
        return self.catalogue.stuff_of(self.board)

    @property
    def solid(self) -> Solid | None:
        """What a board that is no foam is of."""
        return self.stuff if isinstance(self.stuff, Solid) else None

    @property
    def machine(self) -> Machine:
        """The machine with the cutters of its card."""
        return self.catalogue.machine(self.read.enquiry.shop.machine)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnDone:
    """Everything the stages made of a drawing, before papers and files; ``quote`` is None where not all is laid."""

    asked: DrawnJobAsked
    drawing: Drawing
    drawn: DrawnTrays
    plies: tuple[Ply, ...]
    machine: Machine
    cutters: tuple[Cutter, ...]
    nest: NestResult
    made: tuple[Made, ...]
    quote: Quote | None
