"""One error family; each error says what, why and what to do, under a stable code.

::

    TraywrightError
    ├── EnquiryError    ENQ     ├── NestError       NEST
    ├── PartError       PART    ├── CutError        CUT
    ├── LayoutError     LAY     ├── HoldError       HOLD
    ├── DesignError     TRAY    ├── ProgramError    NC
    ├── ProtectionError PRO     ├── ReadBackError   RB
    ├── CatalogueError  CAT     ├── QuoteError      QUO
    ├── JobError        JOB     ├── PaperError      PAP
    └── StoreError      STO

Codes are shared by errors and findings; their sentences stand in ``base/messages``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from traywright.base.messages import Message, message

PREFIXES: dict[str, str] = {
    "enquiry": "ENQ",
    "parts": "PART",
    "layout": "LAY",
    "design": "TRAY",
    "protection": "PRO",
    "catalogue": "CAT",
    "job": "JOB",
    "nesting": "NEST",
    "cutting": "CUT",
    "holddown": "HOLD",
    "nc": "NC",
    "verification": "RB",
    "quoting": "QUO",
    "papers": "PAP",
    "shop": "STO",
}
"""The one prefix of each room."""


class TraywrightError(Exception):
    """A result that cannot exist: what, why, fix and a stable code.

    Parameters
    ----------
    code
        Stable code, listed in ``base/messages``.
    **parameters
        Values for the sentence's places.
    """

    def __init__(self, code: str, **parameters: str | float) -> None:
        self.code = code
        self.parameters = parameters
        super().__init__(code, parameters)

    def __reduce__(self) -> tuple[Callable[..., TraywrightError], tuple[type[TraywrightError], str, dict[str, Any]]]:
        # workers hand their refusals back, and keywords do not travel by themselves
        return (_made_again, (type(self), self.code, self.parameters))

    @property
    def message(self) -> Message:
        """The three lines in the language of the house."""
        return message(self.code, self.parameters)

    def __str__(self) -> str:
        told = self.message
        return f"{told.what}\n{told.why}\n{told.fix} [{self.code}]"


def _made_again(kind: type[TraywrightError], code: str, parameters: dict[str, Any]) -> TraywrightError:
    return kind(code, **parameters)


class EnquiryError(TraywrightError):
    """The enquiry cannot be read."""


class PartError(TraywrightError):
    """A part cannot be read or built."""


class LayoutError(TraywrightError):
    """Outlines cannot be laid out."""


class DesignError(TraywrightError):
    """A tray or pack cannot be drawn."""


class ProtectionError(TraywrightError):
    """A protection figure cannot exist."""


class CatalogueError(TraywrightError):
    """A card or table cannot be read."""


class NestError(TraywrightError):
    """Plies cannot be laid on boards."""


class CutError(TraywrightError):
    """A cut cannot be planned."""


class HoldError(TraywrightError):
    """Hold-down cannot be planned."""


class ProgramError(TraywrightError):
    """A program cannot be written."""


class ReadBackError(TraywrightError):
    """A program cannot be read back."""


class QuoteError(TraywrightError):
    """A price cannot be worked out."""


class PaperError(TraywrightError):
    """A paper cannot be drawn."""


class StoreError(TraywrightError):
    """The store cannot be read or written."""


class JobError(TraywrightError):
    """The job cannot be run or written."""
