"""JSON Schema of the cards, made of their nouns and of the ranges in ``input_limits``."""

from __future__ import annotations

from typing import Any

from traywright.base import Status
from traywright.catalogue.kinds import Key, keys_of
from traywright.catalogue.limits import believable

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_TEXT: dict[str, Any] = {"type": "string", "minLength": 1}
_DAY: dict[str, Any] = {"type": "string", "format": "date"}
_AMOUNT: dict[str, Any] = {"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)?$"}


def range_schema(key: str, *, owner: str = "", whole: bool = False) -> dict[str, Any]:
    """The schema of a bare number: its sort and its believable range.

    Parameters
    ----------
    key, owner
        Name with its unit, and the key of the table that holds it.
    whole
        True for a number of things.

    Examples
    --------
    >>> range_schema("mass_kg")
    {'type': 'number', 'exclusiveMinimum': 0.0, 'maximum': 2000.0}
    """
    limits = believable(key, owner=owner)
    least = "minimum" if limits.low_allowed else "exclusiveMinimum"
    return {"type": "integer" if whole else "number", least: limits.low, "maximum": limits.high}


def number_schema(bare: dict[str, Any]) -> dict[str, Any]:
    """The schema of a number that may stand bare or in a table with its ground.

    Parameters
    ----------
    bare
        Schema of the bare value.
    """
    table = {
        "type": "object",
        "additionalProperties": False,
        "required": ["is"],
        "properties": {
            "is": bare,
            "low": bare,
            "high": bare,
            "status": {"enum": [one.word for one in Status]},
            "source": _TEXT,
            "on": _DAY,
        },
    }
    return {"anyOf": [bare, table]}


def _key_schema(key: Key) -> dict[str, Any]:
    """The schema of one key of a card."""
    if key.takes in {"number", "whole_number"}:
        return number_schema(range_schema(key.name, whole=key.takes == "whole_number"))
    if key.choices:
        return {"enum": list(key.choices)}
    forms = {
        "money": number_schema(_AMOUNT),
        "flag": {"type": "boolean"},
        "text": _TEXT,
        "texts": {"type": "array", "minItems": 1, "items": _TEXT},
    }
    return forms[key.takes]


def card_schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of card; committed as ``schemas/card.KIND.schema.json``.

    Parameters
    ----------
    kind
        One of ``KINDS``.

    Examples
    --------
    >>> card_schema("material")["required"]
    ['density_kg_m3', 'name', 'source', 'status']
    """
    keys = keys_of(kind)
    properties = {
        "name": _TEXT,
        "status": {"enum": [one.word for one in Status]},
        "source": _TEXT,
        "dated": _DAY,
        **{key.name: _key_schema(key) for key in keys},
    }
    return {
        "$schema": DIALECT,
        "title": f"card.{kind}",
        "type": "object",
        "additionalProperties": False,
        "required": sorted(["name", "status", "source", *(key.name for key in keys if not key.may_miss)]),
        "properties": properties,
    }
