"""Where a figure's tree ends: cards, enquiry keys and catalogue rows, as a job's folder holds them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from traywright.base import Given
from traywright.base.errors import JobError
from traywright.catalogue import Catalogue, load_cards, table
from traywright.enquiry import DrawnRead, EnquiryRead, is_drawn, read_drawn_enquiry, read_enquiry
from traywright.job.asked_rooms import break_given
from traywright.job.folder import cards_beside, content_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """The job's own enquiry, full or of a drawing, and its cards; tables are those of the release."""

    read: EnquiryRead | DrawnRead
    catalogue: Catalogue

    def given(self, ref: str) -> Given:
        """The number that a leaf names, with its ground.

        Raises
        ------
        JobError
            JOB-010 if nothing in the folder bears this name: a figure that ends nowhere.
        """
        kind, _, place = ref.partition(":")
        try:
            if kind == "enquiry":
                return self._told(place)
            name, _, key = place.partition("#")
            if kind == "card":
                return next(one.card for one in self.catalogue.files if one.card.id == name).given(key)
            if kind == "table":
                row, _, column = key.rpartition(".")
                return table(name).given(row, column)
        except (KeyError, StopIteration) as missing:
            raise JobError("JOB-010", ref=ref) from missing
        raise JobError("JOB-010", ref=ref)

    def _told(self, place: str) -> Given:
        """A number of the enquiry; the breaks of the offer are numbered."""
        field, _, number = place.rpartition(".")
        if field == "offer.breaks_packs" and isinstance(self.read, EnquiryRead):
            return break_given(self.read, int(number))
        return self.read.given(place)


def leaves_of(folder: Path) -> Leaves:
    """The leaves of a job's folder.

    Raises
    ------
    JobError
        JOB-005 if the folder has no enquiry.
    """
    enquiry = folder / "enquiry.toml"
    if not enquiry.is_file():
        raise JobError("JOB-005", file=str(enquiry))
    content = content_of(enquiry)
    read = read_drawn_enquiry(content) if is_drawn(content) else read_enquiry(content)
    return Leaves(read=read, catalogue=load_cards(cards_beside(folder), shipped=False))
