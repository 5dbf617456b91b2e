"""The kinds of cards, and what each key of a kind takes: read off the nouns, so a new field is a new key."""

from __future__ import annotations

from dataclasses import MISSING, dataclass, fields
from decimal import Decimal
from functools import cache
from typing import get_type_hints

from traywright.catalogue.cards import (
    Board,
    Box,
    Card,
    Cutter,
    Dialect,
    Divider,
    Foam,
    Handling,
    Machine,
    Material,
    Rates,
    Solid,
)

KINDS: dict[str, type[Card]] = {
    "board": Board,
    "box": Box,
    "cutter": Cutter,
    "dialect": Dialect,
    "divider": Divider,
    "foam": Foam,
    "handling": Handling,
    "machine": Machine,
    "material": Material,
    "rates": Rates,
    "solid": Solid,
}
"""The kinds of cards: the folder of a card's file, and its noun."""

CHOICES: dict[str, tuple[str, ...]] = {
    "cutter.form": ("ball", "flat"),
    "machine.z_zero": ("bed", "top"),
    "machine.datum": ("front left", "front left pin", "front left fence"),
    "dialect.unit": ("mm",),
}
"""Texts of a closed list; a word joins a list when a room can act on it."""

_TYPES: dict[object, str] = {
    float: "number",
    float | None: "number",
    int: "whole_number",
    bool: "flag",
    Decimal: "money",
    tuple[str, ...]: "texts",
    str: "text",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of a kind of card; ``takes`` is a key of the messages' group ``wanted``."""

    name: str
    takes: str
    may_miss: bool
    choices: tuple[str, ...]


@cache
def keys_of(kind: str) -> tuple[Key, ...]:
    """The keys of a kind of card, in the order of its noun; ``name`` and the card's ground come besides.

    Examples
    --------
    >>> [key.name for key in keys_of("material")]
    ['density_kg_m3']
    """
    noun = KINDS[kind]
    hints = get_type_hints(noun)
    own = [field for field in fields(noun) if field.name not in {"id", "name", "grounds"}]
    return tuple(
        Key(
            name=field.name,
            takes=_TYPES[hints[field.name]],
            may_miss=hints[field.name] == float | None or field.default is not MISSING,
            choices=CHOICES.get(f"{kind}.{field.name}", ()),
        )
        for field in own
    )
