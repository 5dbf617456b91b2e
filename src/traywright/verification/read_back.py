"""What the program text really cuts, held against the trays."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """The verdict on one program text.

    ``true`` only if there is no stop finding and both gouge and remainder stay within ``READ_BACK_MM`` beyond the
    printed ``error_bound_mm``. Findings carry ``line`` in their parameters and the place in ``point_mm``.
    """

    program: str
    setup: str
    true: bool
    grid_mm: float
    gouge_mm: float
    remainder_mm: float
    error_bound_mm: float
    removed_mm3: float
    findings: tuple[Finding, ...]
