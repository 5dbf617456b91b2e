"""States of a part: raw, coated, hot, wet, in a bag; and what grows on it in each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Given
from traywright.base.tolerance import SAME_MM
from traywright.base.units import REFERENCE_C, ROOM_C

RAW = "raw"
"""Name of the state that always exists: the part as its file or dimensions tell it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedAt:
    """Material added on one place of a part; ``where`` as in ``ContactRule``."""

    where: tuple[tuple[str, object], ...]
    added_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """A part in another state than raw.

    ``added_mm`` is added all round, ``added`` place by place on top of it; ``bag_mm`` is what a bag adds all round in
    plan and height, film and kinks: at least twice the film (common practice, no source). ``mass`` is None where it is
    that of the raw part. ``expansion`` is the linear thermal expansion per K, None where it is not known. Wet changes
    the mass only.
    """

    name: str
    added_mm: float = 0.0
    added: tuple[AddedAt, ...] = ()
    bag_mm: float = 0.0
    mass: Given | None = None
    temperature: Given | None = None
    expansion: Given | None = None
    wet: bool = False

    @property
    def is_hot(self) -> bool:
        """True above room temperature (20 to 23 °C); a colder part is smaller, which the raw part's opening covers."""
        return self.temperature is not None and self.temperature.value > ROOM_C

    @property
    def wider_mm(self) -> float:
        """What stands further out all round, by coating and bag."""
        return self.added_mm + self.bag_mm

    @property
    def size_ratio(self) -> float:
        """How much larger than at 20 °C a hot part is, by its expansion; 1 where that is not known.

        Examples
        --------
        >>> from traywright.base import Status
        >>> def told(key, value, unit):
        ...     return Given(ref=f"enquiry:{key}", value=value, unit=unit, status=Status.STATED, source="customer")
        >>> hot = PartState(name="hot", temperature=told("t", 120.0, "C"), expansion=told("a", 23e-6, "1/K"))
        >>> round(hot.size_ratio, 6)
        1.0023
        """
        if self.temperature is None or self.expansion is None or not self.is_hot:
            return 1.0
        return 1.0 + self.expansion.value * (self.temperature.value - REFERENCE_C)

    @property
    def grows(self) -> bool:
        """True if the part is larger in this state than raw."""
        local = any(one.added_mm > SAME_MM for one in self.added)
        return self.wider_mm > SAME_MM or local or self.size_ratio > 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GrownSkin:
    """Surface on which a state adds material: pieces of it in the frame of the file, and the rule of each.

    ``rules`` are ``Rule`` numbers, one a piece; ``added_mm`` stands on all of them.
    """

    state: str
    corners_mm: NDArray[np.float64]
    rules: NDArray[np.int8]
    added_mm: float
