"""What must be asked about a part's file, with its readings and the one that was taken."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PartQuestion:
    """A question about a part, with the answer that was taken until it is answered.

    ``field`` is the key of the part in ``enquiry.toml`` that answers it, ``asks`` a key of the message group
    ``group``, ``readings`` what each answer would mean, ``taken`` the reading that was taken; empty where nothing could
    be taken.
    """

    field: str
    asks: str
    parameters: tuple[tuple[str, str], ...] = ()
    readings: tuple[tuple[str, str], ...] = ()
    taken: str = ""
    group: str = "part_question"
