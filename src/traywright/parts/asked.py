"""A part as it is asked for: plain arguments, made by the job from the enquiry and its cards."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Given
from traywright.parts.dimensions import Dimensions
from traywright.parts.part import ContactRule, Rule
from traywright.parts.states import PartState


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAsked:
    """What the enquiry says of one part.

    Either ``file_name`` (its content is handed over beside) or ``dimensions``. ``body`` names the one body of the file
    that is the part (empty: all of them); ``length_unit`` is file, mm, inch or m and holds for the numbers in the file.
    ``thickness_mm`` or ``turned`` make a solid of a drawing. Mass or density must be given; with both they are
    compared.
    """

    id: str
    name: str
    revision: str = ""
    file_name: str = ""
    body: str = ""
    dimensions: Dimensions | None = None
    length_unit: str = "file"
    thickness_mm: float | None = None
    turned: bool = False
    mass: Given | None = None
    density: Given | None = None
    fragility: Given | None = None
    tolerance_mm: float = 0.0
    contacts: tuple[ContactRule, ...] = ()
    default_rule: Rule = Rule.ALLOWED
    static_sensitive: bool = False
    stack_over_fragile: bool = False
    states: tuple[PartState, ...] = ()
