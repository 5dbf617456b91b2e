"""The marker sheet to lay parts on and photograph: marks round a white area, and a line to measure the print by."""

from __future__ import annotations

from traywright.base import text
from traywright.base.errors import PaperError
from traywright.papers.lettering import LEAST_PT
from traywright.papers.marks import Area, Lettering, Mark, Stroke
from traywright.papers.pdf import pdf_of
from traywright.parts import (
    PHOTO_LINE_MM,
    PHOTO_PAPERS,
    PhotoPaper,
    mark_region,
    photo_marks,
)

LINE_AT_MM = 8.0  # source: own choice: below the marks, above what printers leave white
TICK_MM = 1.5
MARGIN_TEXT_MM = 14.0


def _printed(paper: PhotoPaper) -> list[Mark]:
    """The black of all marks."""
    drawn: list[Mark] = []
    for number, (left_mm, low_mm) in photo_marks(paper).items():
        region = mark_region(number).moved(left_mm, low_mm)
        rings = tuple(tuple(ring) for shell, holes in region.rings() for ring in (shell, *holes))
        drawn.append(Area(rings_mm=rings, fill="ink"))
    return drawn


def _measure() -> list[Mark]:
    """The line to measure the print by, and what to do."""
    start_mm, end_mm = MARGIN_TEXT_MM, MARGIN_TEXT_MM + PHOTO_LINE_MM
    ends = [Stroke(points_mm=((x, LINE_AT_MM - TICK_MM), (x, LINE_AT_MM + TICK_MM))) for x in (start_mm, end_mm)]
    words = text("photo_sheet", "measure", line_mm=PHOTO_LINE_MM)
    told = Lettering(text=words, at_mm=(end_mm + 4.0, LINE_AT_MM - 1.0), size_pt=LEAST_PT)
    return [Stroke(points_mm=((start_mm, LINE_AT_MM), (end_mm, LINE_AT_MM))), *ends, told]


def photo_sheet_pdf(paper_name: str) -> bytes:
    """The marker sheet as a PDF.

    Parameters
    ----------
    paper_name
        A4 or Letter.

    Raises
    ------
    PaperError
        PAP-010 if there is no such paper.
    PartError
        PART-080 if the extra for photographs is not installed.
    """
    found = [one for one in PHOTO_PAPERS if one.name.casefold() == paper_name.casefold()]
    if not found:
        raise PaperError("PAP-010", paper=paper_name, known=", ".join(one.name for one in PHOTO_PAPERS))
    paper = found[0]
    return pdf_of(
        ((*_printed(paper), *_measure()),),
        width_mm=paper.wide_mm,
        height_mm=paper.high_mm,
        title=text("photo_sheet", "title", paper=paper.name),
        subject=text("photo_sheet", "subject"),
    )
