"""All papers of a job."""

from __future__ import annotations

from traywright.papers.machine_sheet import machine_sheet
from traywright.papers.overview import overview
from traywright.papers.packing_card import packing_card
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.protection_sheet import protection_sheet
from traywright.papers.quote_sheet import quote_sheet
from traywright.papers.tray_drawing import equal_trays, tray_sheet
from traywright.papers.tray_dxf import tray_dxf


def draw_papers(asked: PapersAsked) -> tuple[Paper, ...]:
    """Every paper of a judged job.

    Parameters
    ----------
    asked
        Everything that the papers show.

    Returns
    -------
    tuple of Paper
        Name, file below the job's folder and bytes; the same question gives the same bytes.

    Raises
    ------
    PaperError
        PAP-001 if the lettering has no sign for a letter of the job.
    """
    return (
        quote_sheet(asked),
        protection_sheet(asked),
        *(machine_sheet(asked, made) for made in asked.made),
        packing_card(asked),
        *(drawn(asked, alike) for alike in equal_trays(asked.trays) for drawn in (tray_sheet, tray_dxf)),
        overview(asked),
    )
