"""A drawing that is cut as it is: its terms, the shop's choice and the offer, whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from traywright.base import Given
from traywright.enquiry.border import Day, Flag, Hazard, Layer, Name, Noun, Number, Said, Text, Whole
from traywright.enquiry.enquiry import Assumption
from traywright.enquiry.terms import Override

_CURRENCY = Field(pattern="^[A-Z]{3}$")

LengthUnit = Literal["file", "mm", "cm", "m", "inch"]
Keep = Literal["floor", "depth"]
CornerChoice = Literal["leave", "smaller_cutter", "relief"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnHead(Noun):
    """The head of a drawing job, printed on every paper; without ``dated`` the papers say so."""

    number: Name
    revision: Name
    supersedes: Text = ""
    title: Said
    customer: Text = ""
    dated: Day | None = None
    due: Day | None = None
    confidential: Literal["open", "local_only", "watermark"]
    length_shown: Literal["mm", "inch"]
    hazards: tuple[Hazard, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthTerm(Noun):
    """How deep the loops of one layer or of one colour are cut: ``mm`` from the top, or right through."""

    layer: Layer = ""
    colour: Whole | None = None
    mm: Number | None = None
    through: Flag = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingTerms(Noun):
    """How a customer's drawing is cut.

    ``outline`` is the layer of the outline, empty where it is found; ``thickness_mm`` what the board was measured at;
    ``shape`` whose the shape is: the customer's or the shop's; ``seen_from`` answers that the
    view is from above though words read mirrored.
    """

    file: Said
    length_unit: LengthUnit
    board: Said
    quantity: Whole
    cutters: tuple[Said, ...] = ()
    keep: Keep
    corner: CornerChoice
    leave_out: tuple[Layer, ...] = ()
    outline: Layer = ""
    depth: tuple[DepthTerm, ...] = ()
    engrave: tuple[DepthTerm, ...] = ()
    thickness_mm: Number | None = None
    sheet: Literal["share", "whole"]
    shape: Literal["customer", "shop"]
    seen_from: Literal["", "top"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnShop(Noun):
    """Cards of the shop that cuts it."""

    machine: Said
    dialect: Said
    rates: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnOffer(Noun):
    """Terms of the offer."""

    currency: Annotated[str, _CURRENCY]
    valid_days: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnEnquiry(Noun):
    """A drawing to cut as it is; parts, loop, lift, pack and foam are not asked."""

    format: Literal[1]
    invented: Flag = False
    job: DrawnHead
    drawing: DrawingTerms
    shop: DrawnShop
    offer: DrawnOffer
    override: tuple[Override, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnRead:
    """A drawing job as read: the noun, every number by its place with its ground, and what was assumed."""

    enquiry: DrawnEnquiry
    numbers: tuple[tuple[str, Given], ...]
    assumptions: tuple[Assumption, ...]

    def given(self, field: str) -> Given:
        """A number of the enquiry with its ground, by its place: ``drawing.depth.1.mm``.

        Raises
        ------
        KeyError
            If neither the file nor a default tells this number.
        """
        return dict(self.numbers)[field]

    def has(self, field: str) -> bool:
        """True if the file or a default tells a number of this place."""
        return any(one == field for one, _ in self.numbers)
