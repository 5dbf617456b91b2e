"""Papers that cannot be misread: quote, protection, packing, machine, drawings."""

from traywright.papers.draw import draw_papers
from traywright.papers.paper import AssumptionLine, Paper, PaperHead, PapersAsked

__all__ = ["AssumptionLine", "Paper", "PaperHead", "PapersAsked", "draw_papers"]
