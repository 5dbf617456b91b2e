"""The numbers of a file, each with its ground: sister units converted once, slips refused, places named."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date

from traywright.base import Given, Status, nearest, text
from traywright.base.errors import EnquiryError
from traywright.base.units import kg_from_lb, mm_from_inch, unit_of
from traywright.catalogue import NUMBER_KEYS, believable, float_of

Plain = object
"""A value as the TOML reader hands it over."""

SISTERS: dict[str, tuple[str, Callable[[float], float]]] = {"_in": ("_mm", mm_from_inch), "_lb": ("_kg", kg_from_lb)}
"""Ends of keys in other units: what the key becomes, and how its value is converted."""

_DIGITS = 9
"""Decimals kept of a conversion: 1.5 in are 38.1 mm, not 38.099999999999994."""

_NAMING = {"part": "id", "lift": "at", "step": "name", "state": "name"}
"""Lists of tables whose entries are called by one of their own keys instead of their number."""


def is_number(value: Plain) -> bool:
    """True for a number as TOML knows it: neither a flag nor a text."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def name_of(key: str, entry: Plain, index: int) -> str:
    """How an entry of a list of tables is called in a place: by its own name, else by its number from 1."""
    own = entry.get(_NAMING.get(key, "")) if isinstance(entry, dict) else None
    return own if isinstance(own, str) and own else str(index + 1)


def _joined(place: str, key: str) -> str:
    """A place one step further in."""
    return f"{place}.{key}" if place else key


def _converted(value: Plain, convert: Callable[[float], float]) -> Plain:
    """A value with every number in it converted."""
    if is_number(value):
        return round(convert(float_of(value)), _DIGITS)  # type: ignore[arg-type]  # reason: is_number has looked
    if isinstance(value, list):
        return [_converted(one, convert) for one in value]
    if isinstance(value, dict):
        return {key: _converted(one, convert) for key, one in value.items()}
    return value


def without_sisters(value: Plain, place: str = "") -> Plain:
    """The file's values with inches as millimetres and pounds as kilograms, under the keys of those.

    Raises
    ------
    EnquiryError
        ENQ-011 if a length or mass stands there in both units.

    Examples
    --------
    >>> without_sisters({"length_in": 2, "mass_lb": {"is": 1.0}})
    {'length_mm': 50.8, 'mass_kg': {'is': 0.45359237}}
    """
    if isinstance(value, list):
        return [without_sisters(one, _joined(place, str(index + 1))) for index, one in enumerate(value)]
    if not isinstance(value, dict):
        return value
    told: dict[str, Plain] = {}
    for key, one in value.items():
        ending = next((end for end in SISTERS if key.endswith(end)), "")
        name, inner = key, without_sisters(one, _joined(place, key))
        if ending:
            metric, convert = SISTERS[ending]
            name, inner = key.removesuffix(ending) + metric, _converted(one, convert)
        if name in told or (ending and name in value):
            raise EnquiryError("ENQ-011", place=place or "enquiry", key=key, other=name)
        told[name] = inner
    return told


def _checked(place: str, key: str, owner: str, value: float) -> float:
    """A number that is no slip of unit or decimal point."""
    told, limits = float_of(value), believable(key, owner=owner)
    if not limits.holds(told):
        raise EnquiryError("ENQ-008", place=place, value=told, low=limits.low, high=limits.high, unit=limits.unit)
    return told


def _word(place: str, key: str, table: Mapping[str, Plain]) -> str:
    """A text of a number's table: its source, or the day it was measured."""
    value = table.get(key, "")
    told = value.isoformat() if isinstance(value, date) else value
    if not isinstance(told, str):
        raise EnquiryError("ENQ-007", place=f"{place}.{key}", value=str(value), wanted=text("wanted", "text"))
    return told


def _given(place: str, key: str, owner: str, table: Mapping[str, Plain]) -> Given:
    """A number of its own table, bare ones as stated."""
    for one in table:
        if one not in NUMBER_KEYS:
            raise EnquiryError("ENQ-005", place=place, key=one, nearest=nearest(one, NUMBER_KEYS))
    numbers = {one: table[one] for one in ("is", "low", "high") if one in table}
    for one, value in numbers.items():
        if not is_number(value):
            wanted = text("wanted", "number")
            raise EnquiryError("ENQ-007", place=f"{place}.{one}", value=str(value), wanted=wanted)
    told = {one: _checked(place, key, owner, value) for one, value in numbers.items()}  # type: ignore[arg-type]  # reason: numbers by the loop above
    if not told.get("low", told["is"]) <= told["is"] <= told.get("high", told["is"]):
        raise EnquiryError(
            "ENQ-009", place=place, low=str(told.get("low")), value=told["is"], high=str(told.get("high"))
        )
    word = table.get("status", Status.STATED.word)
    if not isinstance(word, str) or word not in {one.word for one in Status}:
        raise EnquiryError("ENQ-007", place=f"{place}.status", value=str(word), wanted=text("wanted", "status"))
    return Given(
        ref=f"enquiry:{place}",
        value=told["is"],
        unit=unit_of(key),
        status=Status.of(word),
        source=_word(place, "source", table) or text("source", "stated"),
        low=told.get("low"),
        high=told.get("high"),
        dated=_word(place, "on", table),
    )


def with_grounds(value: Plain, *, place: str = "", key: str = "", owner: str = "", single: bool = True) -> Plain:
    """The file's values with each single number as a Given, and lists as tuples.

    Parameters
    ----------
    value
        A value of the file, in metric keys.
    place, key, owner
        Where it stands, the key it stands under, and the key of the table that holds that.
    single
        False inside a list: the numbers of a list stay bare.

    Raises
    ------
    EnquiryError
        ENQ-005, ENQ-007, ENQ-008, ENQ-009 for a number that cannot be taken.

    Examples
    --------
    >>> with_grounds({"mass_kg": 2})["mass_kg"].status.word
    'stated'
    """
    if is_number(value) and not single:
        return _checked(place, key, owner, value)  # type: ignore[arg-type]  # reason: is_number has looked
    if is_number(value):
        return _given(place, key, owner, {"is": value})
    if isinstance(value, list):
        return tuple(
            with_grounds(one, place=_joined(place, name_of(key, one, index)), key=key, owner=owner, single=False)
            for index, one in enumerate(value)
        )
    if isinstance(value, dict):
        if "is" in value:
            return _given(place, key, owner, value)
        return {one: with_grounds(inner, place=_joined(place, one), key=one, owner=key) for one, inner in value.items()}
    return value


def numbers_in(value: Plain, *, place: str = "", key: str = "") -> Iterator[tuple[str, Given]]:
    """Every single number of a file with its place, in the order of the file."""
    if isinstance(value, Given):
        yield place, value
    elif isinstance(value, dict):
        for one, inner in value.items():
            yield from numbers_in(inner, place=_joined(place, one), key=one)
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from numbers_in(inner, place=_joined(place, name_of(key, inner, index)), key=key)
