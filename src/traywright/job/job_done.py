"""A job as it is asked, and as the stages leave it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base import Finding
from traywright.catalogue import Catalogue
from traywright.design import PackDrawn
from traywright.enquiry import EnquiryRead
from traywright.job.making import Made
from traywright.nesting import NestResult
from traywright.parts import Pose
from traywright.protection import Assessment
from traywright.quoting import LoopPlan, Quote
from traywright.trays import Ply


@dataclass(frozen=True, slots=True, kw_only=True)
class Nested:
    """The boards of each break; ``packs`` is the headline break."""

    packs: int
    results: tuple[tuple[int, NestResult], ...]

    @property
    def headline(self) -> NestResult:
        """The boards of the headline break."""
        return dict(self.results)[self.packs]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAsked:
    """A job to run: the enquiry as read and its bytes, the files it names, the cards, and the release that runs it."""

    read: EnquiryRead
    content: bytes
    files: Mapping[str, bytes]
    catalogue: Catalogue
    release: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobDone:
    """Everything the stages made, before papers and files.

    ``nested`` and ``made`` are empty where the plan asked for cannot be built.
    """

    asked: JobAsked
    poses: tuple[Pose, ...]
    part_findings: tuple[tuple[str, Finding], ...]
    drawn: PackDrawn
    assessment: Assessment
    plies: tuple[Ply, ...]
    nested: Nested | None
    made: tuple[Made, ...]
    loop: LoopPlan | None
    quote: Quote | None
