"""Pages of marks as a PDF with embedded faces: the same bytes for the same marks."""

from __future__ import annotations

import io
from typing import Any

from traywright.papers.inks import INKS
from traywright.papers.lettering import MM_PER_PT, checked, face_name
from traywright.papers.marks import Area, Disc, Lettering, Marks, Stroke

PT_PER_MM = 1.0 / MM_PER_PT
HALO_PT = 2.4  # source: own choice: paper around letters that stand on a hatch


def _pen(canvas: Any, ink: str, width_mm: float, dash_mm: tuple[float, ...]) -> None:  # noqa: ANN401  # reason: untyped
    """Set the line."""
    canvas.setStrokeColor(INKS[ink])
    canvas.setLineWidth(width_mm * PT_PER_MM)
    canvas.setDash([one * PT_PER_MM for one in dash_mm])


def _area(canvas: Any, mark: Area) -> None:  # noqa: ANN401  # reason: untyped
    """Draw filled rings."""
    path = canvas.beginPath()
    for ring in mark.rings_mm:
        path.moveTo(ring[0][0] * PT_PER_MM, ring[0][1] * PT_PER_MM)
        for x_mm, y_mm in ring[1:]:
            path.lineTo(x_mm * PT_PER_MM, y_mm * PT_PER_MM)
        path.close()
    if mark.fill:
        canvas.setFillColor(INKS[mark.fill])
    _pen(canvas, mark.ink, mark.width_mm, mark.dash_mm)
    canvas.drawPath(path, fill=int(bool(mark.fill)), stroke=int(mark.width_mm > 0.0), fillMode=0)


def _stroke(canvas: Any, mark: Stroke) -> None:  # noqa: ANN401  # reason: untyped
    """Draw an open line."""
    path = canvas.beginPath()
    path.moveTo(mark.points_mm[0][0] * PT_PER_MM, mark.points_mm[0][1] * PT_PER_MM)
    for x_mm, y_mm in mark.points_mm[1:]:
        path.lineTo(x_mm * PT_PER_MM, y_mm * PT_PER_MM)
    _pen(canvas, mark.ink, mark.width_mm, mark.dash_mm)
    canvas.drawPath(path, fill=0, stroke=1)


def _disc(canvas: Any, mark: Disc) -> None:  # noqa: ANN401  # reason: untyped
    """Draw a circle."""
    if mark.fill:
        canvas.setFillColor(INKS[mark.fill])
    _pen(canvas, mark.ink, mark.width_mm, ())
    x_pt, y_pt = mark.centre_mm[0] * PT_PER_MM, mark.centre_mm[1] * PT_PER_MM
    canvas.circle(x_pt, y_pt, mark.radius_mm * PT_PER_MM, fill=int(bool(mark.fill)), stroke=int(mark.width_mm > 0.0))


def _lettering(canvas: Any, mark: Lettering) -> None:  # noqa: ANN401  # reason: untyped
    """Set one line of text."""
    if not mark.text:
        return
    canvas.saveState()
    canvas.translate(mark.at_mm[0] * PT_PER_MM, mark.at_mm[1] * PT_PER_MM)
    canvas.rotate(mark.turn_deg)
    words, face = checked(mark.text, mark.voice), face_name(mark.voice)
    back = {"left": 0.0, "middle": 0.5, "right": 1.0}[mark.anchor] * canvas.stringWidth(words, face, mark.size_pt)
    for is_halo in (True, False) if mark.halo else (False,):
        told = canvas.beginText(-back, 0.0)
        told.setFont(face, mark.size_pt)
        told.setTextRenderMode(2 if is_halo else 0)
        canvas.setLineWidth(HALO_PT)
        told.setStrokeColor(INKS["sheet"])
        told.setFillColor(INKS["sheet" if is_halo else mark.ink])
        told.textOut(words)
        told.setTextRenderMode(0)
        canvas.drawText(told)
    canvas.restoreState()


def pdf_of(pages: tuple[Marks, ...], *, width_mm: float, height_mm: float, title: str, subject: str) -> bytes:
    """The pages as one PDF.

    Parameters
    ----------
    pages
        Marks of each page, origin lower left.
    width_mm, height_mm
        Size of the paper.
    title, subject
        Written into the file's own record.

    Raises
    ------
    PaperError
        PAP-001 if the lettering has no sign for a letter.
    """
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415  # reason: --help stays quick

    kept = io.BytesIO()
    face = face_name("facts")
    canvas = Canvas(
        kept,
        pagesize=(width_mm * PT_PER_MM, height_mm * PT_PER_MM),
        invariant=1,
        pageCompression=1,
        initialFontName=face,
        initialFontSize=10,
    )
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("")
    canvas.setCreator("traywright")
    draw = {Area: _area, Stroke: _stroke, Disc: _disc, Lettering: _lettering}
    for page in pages:
        canvas.setLineJoin(1)
        for mark in page:
            draw[type(mark)](canvas, mark)  # type: ignore[operator]  # reason: each kind has its own drawer
        canvas.showPage()
    canvas.save()
    return kept.getvalue()
