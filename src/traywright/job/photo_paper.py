"""The marker sheet as a file."""

from __future__ import annotations

from pathlib import Path

from traywright.base.errors import JobError
from traywright.base.files import write_whole
from traywright.papers import photo_sheet_pdf


def write_photo_sheet(out: Path, paper: str) -> None:
    """Write the marker sheet that parts are laid on and photographed.

    Parameters
    ----------
    out
        The PDF file; one that is there is replaced.
    paper
        A4 or Letter.

    Raises
    ------
    PaperError
        PAP-010 if there is no such paper.
    PartError
        PART-080 if the extra for photographs is not installed.
    JobError
        JOB-003 if the file cannot be written.
    """
    content = photo_sheet_pdf(paper)
    try:
        write_whole(out, content)
    except OSError as refused:
        raise JobError("JOB-003", folder=str(out), told=str(refused.strerror)) from refused
