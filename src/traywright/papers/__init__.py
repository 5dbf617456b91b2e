"""Papers that cannot be misread: quote, protection, packing, machine, drawings."""

from traywright.papers.draw import draw_papers
from traywright.papers.draw_drawn import draw_drawn_papers
from traywright.papers.layout_picture import layout_picture
from traywright.papers.paper import AssumptionLine, DrawnPapersAsked, DrawnTray, Paper, PaperHead, PapersAsked
from traywright.papers.photo_sheet import photo_sheet_pdf

__all__ = [
    "AssumptionLine",
    "DrawnPapersAsked",
    "DrawnTray",
    "Paper",
    "PaperHead",
    "PapersAsked",
    "draw_drawn_papers",
    "draw_papers",
    "layout_picture",
    "photo_sheet_pdf",
]
