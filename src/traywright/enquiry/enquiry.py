"""What is asked, whole: the enquiry, what was assumed for it, and what is still to be asked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from traywright.base import Given
from traywright.enquiry.asked_part import AskedPart
from traywright.enquiry.border import Flag, Noun
from traywright.enquiry.loop import Lift, Loop
from traywright.enquiry.terms import FoamWishes, JobHead, OfferTerms, Override, PackTerms, ShopChoice


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiry(Noun):
    """What is asked: parts, loop, box, foam wishes, commercial terms; what was left out is filled and listed apart.

    ``loop`` is None where nothing was said of a way: no pool, no cost per kit trip. ``invented`` marks demo
    data on every paper.
    """

    format: Literal[1]
    invented: Flag = False
    job: JobHead
    part: Annotated[tuple[AskedPart, ...], Field(min_length=1)]
    loop: Loop | None = None
    lift: Annotated[tuple[Lift, ...], Field(min_length=1)]
    pack: PackTerms
    foam: FoamWishes
    shop: ShopChoice
    offer: OfferTerms
    override: tuple[Override, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """Something that was left out and taken from the table ``enquiry_defaults``.

    ``field`` is its place (``part.spindle.tolerance_mm``); a number stands in ``taken``, any other value as text in
    ``taken_text``; ``effect`` is a key of the message group ``effect``.
    """

    id: str
    field: str
    taken: Given | None
    taken_text: str
    effect: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something that must be asked: what the job cannot assume; ``asks`` is a key of the message group ``question``."""

    id: str
    field: str
    asks: str
    parameters: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EnquiryRead:
    """An enquiry as read: the noun, every number by its place with its ground, assumptions and questions.

    ``handlings`` are the cards of the legs, each once, in the order of the way; the assumed one where no leg was told.
    """

    enquiry: Enquiry
    handlings: tuple[str, ...]
    numbers: tuple[tuple[str, Given], ...]
    assumptions: tuple[Assumption, ...]
    questions: tuple[Question, ...]

    def given(self, field: str) -> Given:
        """A number of the enquiry with its ground, by its place: ``part.spindle.mass_kg``, ``pack.kits_per_pack``.

        Raises
        ------
        KeyError
            If neither the file nor a default tells this number.
        """
        return dict(self.numbers)[field]

    def has(self, field: str) -> bool:
        """True if the file or a default tells a number of this place."""
        return any(one == field for one, _ in self.numbers)
