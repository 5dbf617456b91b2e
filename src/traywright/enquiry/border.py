"""What a value of the enquiry's file must be to enter a noun; a wrong one is told by the key of its wanted sort."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any, ClassVar, Literal
from unicodedata import category

from pydantic import ConfigDict, PlainSerializer, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from traywright.base import Given
from traywright.catalogue import believable

LONGEST_TEXT = 2000
"""Characters of a text: a page, so that a paper's line can still be laid out."""


_STEERING = frozenset({"Cc", "Cs", "Zl", "Zp"})
"""Sorts of signs that are no part of a name: control signs, halves of signs, ends of lines and paragraphs."""


class Noun:
    """What the enquiry's nouns share: no key enters that the noun does not know."""

    __slots__ = ()
    __pydantic_config__: ClassVar[ConfigDict] = ConfigDict(extra="forbid")


def _wrong(wanted: str) -> PydanticCustomError:
    """A refusal that names the wanted sort, a key of the message group ``wanted``."""
    return PydanticCustomError("wanted", "{wanted}", {"wanted": wanted})


def _given(value: Any) -> Given:  # noqa: ANN401  # reason: whatever stands in the file
    """A number with its ground."""
    if not isinstance(value, Given):
        raise _wrong("number")
    return value


def _bare(value: Any) -> float:  # noqa: ANN401  # reason: whatever stands in the file
    """The number alone; its ground stays in the enquiry's list of given numbers."""
    if isinstance(value, Given):
        return value.value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _wrong("number")
    return float(value)


def _whole(value: Any) -> int:  # noqa: ANN401  # reason: whatever stands in the file
    """A number of things."""
    told = _bare(value)
    if told != int(told):
        raise _wrong("whole_number")
    return int(told)


def _money(value: Any) -> Decimal:  # noqa: ANN401  # reason: whatever stands in the file
    """An amount of money."""
    if not isinstance(value, str):
        raise _wrong("money")
    try:
        amount = Decimal(value)
    except InvalidOperation as fault:
        raise _wrong("money") from fault
    if not amount.is_finite() or not 0 <= amount <= Decimal(believable("", else_row="money").high):
        raise _wrong("money")
    return amount


def _text(value: Any) -> str:  # noqa: ANN401  # reason: whatever stands in the file
    """A text that can be printed, possibly empty."""
    if not isinstance(value, str) or len(value) > LONGEST_TEXT or not value.replace("\n", " ").isprintable():
        raise _wrong("printable")
    return value


def _layer(value: Any) -> str:  # noqa: ANN401  # reason: whatever stands in the file
    """The name of a drawing's layer: any signs that a drawing's writer took, but none that steer a printer."""
    if not isinstance(value, str) or len(value) > LONGEST_TEXT or any(category(one) in _STEERING for one in value):
        raise _wrong("layer")
    return value


def _said(value: Any) -> str:  # noqa: ANN401  # reason: whatever stands in the file
    """A text that says something."""
    if not _text(value).strip():
        raise _wrong("text")
    return str(value)


def _named(value: Any) -> str:  # noqa: ANN401  # reason: whatever stands in the file
    """A word that may become part of a file's name."""
    told = _said(value)
    if len(told) > 64 or not told.replace("-", "a").replace("_", "a").isalnum() or not told.isascii():
        raise _wrong("name")
    return told


def _day(value: Any) -> date:  # noqa: ANN401  # reason: whatever stands in the file
    """A day, without a time."""
    if isinstance(value, datetime) or not isinstance(value, date):
        raise _wrong("date")
    return value


def _flag(value: Any) -> bool:  # noqa: ANN401  # reason: whatever stands in the file
    """True or false."""
    if not isinstance(value, bool):
        raise _wrong("flag")
    return value


def _between(value: Any) -> tuple[float, float]:  # noqa: ANN401  # reason: whatever stands in the file
    """Two numbers in their order; one number is both."""
    pair = value if isinstance(value, tuple) else (value, value)
    if len(pair) != 2:
        raise _wrong("pair")
    first, second = _bare(pair[0]), _bare(pair[1])
    if first > second:
        raise _wrong("pair")
    return first, second


def _of(check: Callable[[Any], Any], **schema: object) -> tuple[PlainValidator, WithJsonSchema]:
    """A check and what the JSON Schema says of it."""
    return PlainValidator(check), WithJsonSchema(dict(schema))


Number = Annotated[Given, *_of(_given, type="number"), PlainSerializer(str)]
"""A number that keeps its ground."""

Bare = Annotated[float, *_of(_bare, type="number")]
"""A number whose ground is kept in the enquiry's list of given numbers."""

Whole = Annotated[int, *_of(_whole, type="integer")]
"""A number of things."""

Money = Annotated[Decimal, *_of(_money, type="string", pattern=r"^[0-9]+(\.[0-9]+)?$")]
"""An amount of money, written as text."""

Text = Annotated[str, *_of(_text, type="string", maxLength=LONGEST_TEXT)]
"""A text, possibly empty."""

Said = Annotated[str, *_of(_said, type="string", minLength=1, maxLength=LONGEST_TEXT)]
"""A text that says something."""

Layer = Annotated[str, *_of(_layer, type="string", maxLength=LONGEST_TEXT)]
"""The name of a drawing's layer, possibly empty."""

Name = Annotated[str, *_of(_named, type="string", pattern="^[A-Za-z0-9_-]{1,64}$")]
"""A word that may become part of a file's name."""

Day = Annotated[date, *_of(_day, type="string", format="date")]
"""A day, written as TOML writes it."""

Flag = Annotated[bool, *_of(_flag, type="boolean")]
"""True or false."""

Between = Annotated[
    tuple[float, float],
    *_of(
        _between,
        anyOf=[
            {"type": "number"},
            {"type": "array", "prefixItems": [{"type": "number"}] * 2, "minItems": 2, "maxItems": 2, "items": False},
        ],
    ),
]
"""From and to; one number is both."""

Pair = tuple[Bare, Bare]
Triple = tuple[Bare, Bare, Bare]

Axis = Literal["x", "y", "z"]
Facing = Literal["x", "y", "z", "+x", "-x", "+y", "-y", "+z", "-z"]
Hazard = Literal[
    "lithium_cells",
    "pressure",
    "magnets",
    "ammunition",
    "oil_filled",
    "food_contact",
    "sterile",
    "child_product",
    "radioactive",
    "other",
]
DamageKind = Literal["scratched", "dented", "crushed", "loose", "mixed_up", "wet", "static", "other"]
