"""A card from the bytes of its file: every key known, every number believable and with its ground."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal, InvalidOperation

from traywright.base import Status, nearest, text
from traywright.base.errors import CatalogueError
from traywright.base.units import unit_of
from traywright.catalogue.cards import Card, Ground
from traywright.catalogue.kinds import KINDS, Key, keys_of
from traywright.catalogue.limits import Believable, believable, float_of

GROUND_KEYS = ("name", "status", "source", "dated")
"""What every card says of itself; ``dated`` may be left out."""

NUMBER_KEYS = ("is", "low", "high", "status", "source", "on")
"""What a number says where its ground differs from the card's."""

_COUNTED = frozenset({"number", "whole_number", "money"})


def _wrong(card: str, key: str, value: object, wanted: str, **places: str) -> CatalogueError:
    """A value of the wrong sort."""
    return CatalogueError("CAT-004", card=card, key=key, value=str(value), wanted=text("wanted", wanted, **places))


def _known(card: str, kind: str, table: Mapping[str, object], allowed: tuple[str, ...]) -> None:
    """Refuse a key that is not known."""
    for key in table:
        if key not in allowed:
            raise CatalogueError("CAT-002", card=card, kind=kind, key=key, nearest=nearest(key, allowed))


def _text(card: str, key: str, value: object) -> str:
    """A text that says something."""
    if not isinstance(value, str) or not value.strip():
        raise _wrong(card, key, value, "text")
    return value


def _dated(card: str, key: str, value: object) -> str:
    """A date as text; TOML dates and ISO texts are taken."""
    return value.isoformat() if isinstance(value, date) else _text(card, key, value)


def _status(card: str, key: str, value: object) -> Status:
    """A status of its word."""
    if not isinstance(value, str) or value not in {one.word for one in Status}:
        raise _wrong(card, key, value, "status")
    return Status.of(value)


def _in_range(card: str, key: str, value: float, limits: Believable) -> float:
    """A number that is no slip of unit or decimal point."""
    if not limits.holds(value):
        raise CatalogueError(
            "CAT-005", card=card, key=key, value=value, low=limits.low, high=limits.high, unit=limits.unit
        )
    return value


def _number(card: str, key: Key, name: str, value: object) -> float | int | Decimal:
    """One believable number, whole number or amount of money."""
    limits = believable(key.name, else_row="money" if key.takes == "money" else "count")
    if key.takes == "money":
        try:
            amount = Decimal(value) if isinstance(value, str) else None
        except InvalidOperation:
            amount = None
        if amount is None or not amount.is_finite():
            raise _wrong(card, name, value, "money")
        _in_range(card, name, float(amount), limits)
        return amount
    right = int if key.takes == "whole_number" else int | float
    if isinstance(value, bool) or not isinstance(value, right):
        raise _wrong(card, name, value, key.takes)
    told = _in_range(card, name, float_of(value), limits)
    return int(told) if key.takes == "whole_number" else told


def _unit(key: Key, currency: object) -> str:
    """The unit of a key; money carries the card's currency."""
    if key.takes != "money":
        return unit_of(key.name)
    per = next((short for end, short in (("_per_h", "/h"), ("_per_m2", "/m2")) if key.name.endswith(end)), "")
    return f"{currency}{per}"


def _card_ground(card: str, raw: Mapping[str, object]) -> Ground:
    """What the whole card stands on."""
    return Ground(
        unit="",
        status=_status(card, "status", raw["status"]),
        source=_text(card, "source", raw["source"]),
        dated=_dated(card, "dated", raw["dated"]) if "dated" in raw else "",
    )


def _counted(
    card: str, kind: str, key: Key, value: object, *, whole: Ground, unit: str
) -> tuple[float | int | Decimal, Ground]:
    """A number with its ground: bare, or a table of its own."""
    table: Mapping[str, object] = value if isinstance(value, dict) else {"is": value}
    _known(f"{card}.{key.name}", kind, table, NUMBER_KEYS)
    if "is" not in table:
        raise CatalogueError("CAT-003", card=card, kind=kind, key=f"{key.name}.is")
    found = _number(card, key, key.name, table["is"])
    bounds = {
        one: float(_number(card, key, f"{key.name}.{one}", table[one])) for one in ("low", "high") if one in table
    }
    low, high = bounds.get("low"), bounds.get("high")
    if not (low if low is not None else found) <= found <= (high if high is not None else found):
        raise CatalogueError(
            "CAT-012", card=card, key=key.name, value=str(found), low=str(low), high=str(high), unit=unit
        )
    return found, Ground(
        unit=unit,
        status=_status(card, f"{key.name}.status", table["status"]) if "status" in table else whole.status,
        source=_text(card, f"{key.name}.source", table["source"]) if "source" in table else whole.source,
        dated=_dated(card, f"{key.name}.on", table["on"]) if "on" in table else whole.dated,
        low=low,
        high=high,
    )


def _worded(card: str, key: Key, value: object) -> str | bool | tuple[str, ...]:
    """A text, a flag or a list of texts."""
    if key.takes == "flag":
        if not isinstance(value, bool):
            raise _wrong(card, key.name, value, "flag")
        return value
    if key.takes == "texts":
        if not isinstance(value, list) or not value:
            raise _wrong(card, key.name, value, "texts")
        return tuple(_text(card, key.name, one) for one in value)
    told = _text(card, key.name, value)
    if key.choices and told not in key.choices:
        raise _wrong(card, key.name, value, "choice", choices=", ".join(key.choices))
    return told


def kind_of(card: Card) -> str:
    """The kind of a card, as its folder is named."""
    return next(kind for kind, noun in KINDS.items() if type(card) is noun)


def _toml(card: str, content: bytes) -> dict[str, object]:
    """The plain values of a card's file."""
    try:
        return tomllib.loads(content.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise CatalogueError("CAT-006", card=card, place=str(fault)) from fault


def read_card(kind: str, card_id: str, content: bytes) -> Card:
    r"""The card in a file, each number with the ground it stands on.

    Parameters
    ----------
    kind
        One of ``KINDS``.
    card_id
        The card's id: its file name without ``.toml``.
    content
        Bytes of the file, TOML in UTF-8.

    Raises
    ------
    CatalogueError
        CAT-002 unknown key, CAT-003 missing key, CAT-004 wrong sort of value, CAT-005 number not believable,
        CAT-006 no TOML, CAT-012 bounds out of order, CAT-013 a board of neither foam nor solid, or of both.

    Examples
    --------
    >>> lead = b'name = "Lead"\nstatus = "stated"\nsource = "works certificate"\ndensity_kg_m3 = 11340\n'
    >>> read_card("material", "lead", lead).given("density_kg_m3").ref
    'card:lead#density_kg_m3'
    """
    name = f"{kind}/{card_id}"
    raw = _toml(name, content)
    keys = keys_of(kind)
    _known(name, kind, raw, (*GROUND_KEYS, *(key.name for key in keys)))
    needed = [*GROUND_KEYS[:3], *(key.name for key in keys if not key.may_miss)]
    for one in needed:
        if one not in raw:
            raise CatalogueError("CAT-003", card=name, kind=kind, key=one)
    whole = _card_ground(name, raw)
    values: dict[str, object] = {}
    grounds: list[tuple[str, Ground]] = []
    for key in keys:
        if key.name not in raw:
            values |= {key.name: None} if key.takes in _COUNTED else {}
        elif key.takes in _COUNTED:
            values[key.name], ground = _counted(
                name, kind, key, raw[key.name], whole=whole, unit=_unit(key, raw.get("currency"))
            )
            grounds.append((key.name, ground))
        else:
            values[key.name] = _worded(name, key, raw[key.name])
    if kind == "board" and ("foam" in raw) == ("solid" in raw):
        raise CatalogueError("CAT-013", card=name)
    told: dict[str, object] = {
        "id": card_id,
        "name": _text(name, "name", raw["name"]),
        "grounds": tuple(sorted(grounds, key=lambda one: one[0])),
        **values,
    }
    return KINDS[kind](**told)  # type: ignore[arg-type]  # reason: the keys are the noun's own fields
