"""What a figure stands on: its tree down to cards, enquiry keys and catalogue rows, from the job's own folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base import Given, text
from traywright.base.errors import JobError
from traywright.job.folder import read_result
from traywright.job.leaves import Leaves, leaves_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One figure or leaf, the line that tells it, and what it stands on."""

    line: str
    id: str
    value: float
    unit: str
    status: str
    source: str
    inputs: tuple[Explained, ...] = ()

    def plain(self) -> dict[str, Any]:
        """The tree as JSON values."""
        return {
            "id": self.id,
            "value": self.value,
            "unit": self.unit,
            "status": self.status,
            "source": self.source,
            "inputs": [one.plain() for one in self.inputs],
        }


def explain(folder: Path, figure: str) -> Explained:
    """The tree of one figure of a job.

    Parameters
    ----------
    folder
        The job's folder.
    figure
        A number such as ``G-0042``.

    Raises
    ------
    JobError
        JOB-005 if the folder has no result; JOB-007 if the result has no such figure.
    """
    result = read_result(folder)
    by_id = {one["id"]: one for one in result["figures"]}
    wanted = figure.strip().upper()
    if wanted not in by_id:
        raise JobError("JOB-007", figure=figure, last=max(by_id, default="G-0000"))
    return _tree(wanted, by_id, leaves_of(folder))


def _tree(name: str, by_id: dict[str, Any], leaves: Leaves) -> Explained:
    """A figure with all below it, or a leaf."""
    if name not in by_id:
        return _leaf(leaves.given(name))
    one = by_id[name]
    return Explained(
        line=text("screen", "figure_line", **one),
        id=name,
        value=one["value"],
        unit=one["unit"],
        status=one["status"],
        source=one["source"],
        inputs=tuple(_tree(below, by_id, leaves) for below in one["inputs"]),
    )


def _leaf(given: Given) -> Explained:
    """A number as it entered the job."""
    return Explained(
        line=text(
            "screen",
            "leaf_line",
            ref=given.ref,
            value=f"{given.value:g} {given.unit}".rstrip(),
            status=given.status.word,
            source=given.source,
        ),
        id=given.ref,
        value=given.value,
        unit=given.unit,
        status=given.status.word,
        source=given.source,
    )
