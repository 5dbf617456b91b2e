"""The enquiry from the bytes of its file."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from traywright.base import Given, text
from traywright.base.errors import EnquiryError
from traywright.enquiry.agree import check_agreement
from traywright.enquiry.assumptions import assumed_handling, with_defaults
from traywright.enquiry.enquiry import Enquiry, EnquiryRead, Question
from traywright.enquiry.faults import check_keys, fault_of
from traywright.enquiry.numbers import numbers_in, with_grounds, without_sisters

FORMAT = 1
"""Layout of the file that this release writes; an older one is migrated, a newer one refused."""

MOST_DEEP = 20
"""Tables and lists in each other; the deepest place of an enquiry has ten.  # source: our own limit"""

MIGRATIONS: dict[int, Callable[[dict[str, object]], dict[str, object]]] = {}
"""For each older layout, what makes the next one of it; the first layout has none before it."""


def toml_of(content: bytes) -> dict[str, object]:
    """The plain values of a file of ours.

    Raises
    ------
    EnquiryError
        ENQ-001 if it is no TOML in UTF-8, or nested deeper than anybody means.
    """
    try:
        told = tomllib.loads(content.decode("utf-8"))
    except RecursionError as fault:
        raise EnquiryError("ENQ-001", place=text("reader", "deep", most=MOST_DEEP)) from fault
    except ValueError as fault:
        # also a whole number of more digits than the machine takes
        raise EnquiryError("ENQ-001", place=str(fault)) from fault
    level: list[object] = [told]
    for _ in range(MOST_DEEP):
        level = [inner for one in level for inner in _inside(one)]
    if level:
        raise EnquiryError("ENQ-001", place=text("reader", "deep", most=MOST_DEEP))
    return told


def _inside(value: object) -> Iterable[object]:
    """What a list or table holds."""
    return value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()


def layout_of(told: dict[str, object]) -> dict[str, object]:
    """The file's values in today's layout."""
    layout = told.get("format")
    if isinstance(layout, bool) or not isinstance(layout, int) or layout < 1:
        raise EnquiryError("ENQ-002", value=str(layout), format=FORMAT)
    if layout > FORMAT:
        raise EnquiryError("ENQ-003", value=str(layout), format=FORMAT)
    for older in range(layout, FORMAT):
        told = MIGRATIONS[older](told)
    return told


@cache
def adapter() -> TypeAdapter[Enquiry]:
    """The border through which an enquiry enters."""
    return TypeAdapter(Enquiry)


def _handlings(enquiry: Enquiry) -> tuple[str, ...]:
    """The cards of handling on the way, each once; empty where no leg was told."""
    steps = enquiry.loop.step if enquiry.loop else ()
    return tuple(dict.fromkeys(step.handling for step in steps if step.kind == "leg"))


def _questions(enquiry: Enquiry) -> Iterator[tuple[str, str, tuple[tuple[str, str], ...]]]:
    """What must be asked: place, key of the question, its words."""
    for part in enquiry.part:
        if part.fragility_gn is None:
            yield f"part.{part.id}.fragility_gn", "fragility", (("part", part.id),)
    for number, damage in enumerate(enquiry.job.damage, start=1):
        if damage.kind == "other":
            yield f"job.damage.{number}", "damage", (("said", damage.said),)
    if enquiry.loop is None:
        yield "loop", "loop", ()


def read_enquiry(content: bytes) -> EnquiryRead:
    """What is asked, from the bytes of ``enquiry.toml``, with all that was assumed and is still to be asked.

    Parameters
    ----------
    content
        Bytes of the file: TOML in UTF-8, ``format = 1``.

    Returns
    -------
    EnquiryRead
        The enquiry in millimetres and kilograms, each number with its ground.

    Raises
    ------
    EnquiryError
        ENQ-001 to ENQ-017, one at a time, the one that most likely explains the others first.

    Notes
    -----
    Files that the enquiry names are not opened here; cards it names are looked up by the job.
    """
    told = layout_of(toml_of(content))
    if "drawing" in told:
        raise EnquiryError("ENQ-004")
    whole, assumptions = with_defaults(without_sisters(told))  # type: ignore[arg-type]  # reason: a table stays a table
    check_keys(whole)
    grounded = with_grounds(whole)
    # the layout number is no figure
    values: Any = {**grounded, "format": FORMAT}  # type: ignore[dict-item]  # reason: a table stays a table
    try:
        enquiry = adapter().validate_python(values)
    except ValidationError as refusal:
        raise fault_of(refusal, values) from refusal
    check_agreement(enquiry)
    questions = tuple(
        Question(id=f"Q{number}", field=field, asks=asks, parameters=words)
        for number, (field, asks, words) in enumerate(_questions(enquiry), start=1)
    )
    handlings = _handlings(enquiry)
    spare = () if handlings else (assumed_handling(len(assumptions) + 1),)
    return EnquiryRead(
        enquiry=enquiry,
        handlings=handlings or tuple(one.taken_text for one in spare),
        numbers=tuple(numbers_in(values)),
        assumptions=(*assumptions, *spare),
        questions=questions,
    )


def plain_noun(value: object) -> Any:  # noqa: ANN401  # reason: JSON values are any of seven types
    """A noun of the enquiry as JSON values; what was not told is left out."""
    if isinstance(value, Given):
        return {
            "is": value.value,
            "unit": value.unit,
            "status": value.status.word,
            "source": value.source,
            **({"low": value.low} if value.low is not None else {}),
            **({"high": value.high} if value.high is not None else {}),
            **({"on": value.dated} if value.dated else {}),
        }
    if is_dataclass(value) and not isinstance(value, type):
        pairs = ((field.name, getattr(value, field.name)) for field in fields(value))
        return {name: plain_noun(one) for name, one in pairs if one is not None}
    if isinstance(value, tuple):
        return [plain_noun(one) for one in value]
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def to_plain(read: EnquiryRead) -> dict[str, Any]:
    """The values of an enquiry for its fingerprint: how the file was laid out, spaced or commented does not show.

    Parameters
    ----------
    read
        An enquiry as read; what was assumed counts as well, since it decides the result.
    """
    return {
        "enquiry": plain_noun(read.enquiry),
        "handlings": list(read.handlings),
        "numbers": {place: plain_noun(number) for place, number in read.numbers},
    }
