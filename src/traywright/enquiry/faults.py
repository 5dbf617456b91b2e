"""A refused value, told in our words: where it stands, what is wanted, and the nearest known key."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cache
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from traywright.base import Given, nearest, text
from traywright.base.errors import EnquiryError
from traywright.enquiry.enquiry import Enquiry
from traywright.enquiry.numbers import SISTERS, name_of

_WANTED = {
    "dataclass_type": "table",
    "dataclass_exact_type": "table",
    "model_attributes_type": "table",
    "tuple_type": "list",
    "too_short": "list_filled",
    "too_long": "list_shorter",
    "string_pattern_mismatch": "pattern",
    "string_type": "text",
}
"""Sorts of refusal, and the key of the message group ``wanted`` that tells what is right."""

_CHOICE = frozenset({"literal_error", "union_tag_invalid", "union_tag_not_found"})
_UNKNOWN = frozenset({"unexpected_keyword_argument", "extra_forbidden"})
_MISSING = frozenset({"missing", "missing_argument", "missing_keyword_only_argument", "union_tag_not_found"})


def _bare_types(hint: Any) -> Iterator[Any]:  # noqa: ANN401  # reason: annotations are of many types
    """The types an annotation stands for, without lists, alternatives and checks."""
    origin = get_origin(hint)
    if origin is Annotated:
        yield from _bare_types(get_args(hint)[0])
    elif origin in {Union, types.UnionType, tuple}:
        for one in get_args(hint):
            yield from _bare_types(one)
    else:
        yield hint


@cache
def _nouns_at(names: tuple[str, ...], root: type) -> tuple[type, ...]:
    """The nouns that may stand at a place of the file; words that are no field of any are tags and passed over."""
    nouns: list[type] = [root]
    for step in names:
        told_by = [noun for noun in nouns if step in {field.name for field in fields(noun)}]
        inner = [
            one
            for noun in nouns
            for one in _bare_types(get_type_hints(noun, include_extras=True).get(step, None))
            if isinstance(one, type) and is_dataclass(one)
        ]
        tagged = [noun for noun in nouns if step == _tag(noun)]
        nouns = inner if told_by else tagged or nouns
    return tuple(nouns)


def _tag(noun: type) -> str:
    """The word by which a kind of dimensions is told."""
    hint = get_type_hints(noun, include_extras=True).get("kind")
    told = get_args(hint)
    return str(told[0]) if len(told) == 1 else ""


def known_keys(path: tuple[int | str, ...], root: type = Enquiry) -> tuple[str, ...]:
    """Every key that may stand at a place of the file, with those in other units."""
    names = tuple(step for step in path if isinstance(step, str))
    metric = {field.name for noun in _nouns_at(names, root) for field in fields(noun)}
    others = {
        key.removesuffix(end) + sister for key in metric for sister, (end, _) in SISTERS.items() if key.endswith(end)
    }
    return tuple(sorted(metric | others))


def place_of(path: tuple[int | str, ...], told: Any) -> str:  # noqa: ANN401  # reason: the file's values
    """A place of the file as people call it: ``part.spindle.contact.2.where``."""
    steps: list[str] = []
    node, key = told, ""
    for step in path:
        if isinstance(step, int) and isinstance(node, tuple | list) and step < len(node):
            node = node[step]
            steps.append(name_of(key, node, step))
        elif isinstance(step, str) and isinstance(node, dict) and step in node:
            node, key = node[step], step
            steps.append(step)
    return ".".join(steps) or "enquiry"


def unknown_key(path: tuple[int | str, ...], told: Any, root: type = Enquiry) -> EnquiryError:  # noqa: ANN401  # reason: the file's values
    """The refusal of a key that no noun at its place knows, with the nearest one that does."""
    key = str(path[-1])
    place = place_of(path[:-1], told)
    return EnquiryError("ENQ-005", place=place, key=key, nearest=nearest(key, known_keys(path[:-1], root)))


def check_keys(node: Any, *, path: tuple[int | str, ...] = (), whole: Any = None, root: type = Enquiry) -> None:  # noqa: ANN401  # reason: the file's values
    """Refuse a key that cannot be meant, before its value is looked at.

    Parameters
    ----------
    node
        The file's values, or those of a table in it.
    path, whole
        Where the table stands, and the values of the whole file.
    root
        The noun of the whole file.

    Raises
    ------
    EnquiryError
        ENQ-005 with the nearest known key.
    """
    whole = node if whole is None else whole
    if isinstance(node, list):
        for index, one in enumerate(node):
            check_keys(one, path=(*path, index), whole=whole, root=root)
    if not isinstance(node, dict) or "is" in node:
        return
    known = known_keys(path, root)
    for key, one in node.items():
        if known and key not in known:
            raise unknown_key((*path, key), whole, root)
        check_keys(one, path=(*path, key), whole=whole, root=root)


def _shown(value: Any) -> str:  # noqa: ANN401  # reason: the file's values
    """A refused value, short."""
    if isinstance(value, Given):
        return f"{value.value:g}"
    told = value.isoformat() if isinstance(value, date) else str(value)
    return told if len(told) <= 60 else f"{told[:57]}..."


def _rank(fault: ErrorDetails) -> tuple[int, tuple[str, ...]]:
    """Unknown keys first, since a missing key is often a misspelt one; then the order of places.

    A list is told too short also when one of its entries is refused, so that comes last.
    """
    sort = fault["type"]
    order = 0 if sort in _UNKNOWN else 3 if sort == "too_short" else 2 if sort in _MISSING else 1
    return order, tuple(f"{step:06d}" if isinstance(step, int) else step for step in fault["loc"])


def _choices(fault: ErrorDetails) -> str:
    """The closed list that a word must come from."""
    told = fault.get("ctx", {})
    return str(told.get("expected") or told.get("expected_tags") or "").replace("'", "").replace(" or ", ", ")


def fault_of(refusal: ValidationError, told: Any, root: type = Enquiry) -> EnquiryError:  # noqa: ANN401  # reason: the file's values
    """The first thing that is wrong with a file, as the house tells it.

    Parameters
    ----------
    refusal
        What the border found.
    told
        The values it was given.
    root
        The noun of the whole file.

    Returns
    -------
    EnquiryError
        ENQ-005 unknown key, ENQ-006 missing key, ENQ-007 a value of the wrong sort.
    """
    fault = min(refusal.errors(), key=_rank)
    path, sort = fault["loc"], fault["type"]
    place = place_of(path, told)
    if sort in _UNKNOWN:
        return unknown_key(path, told, root)
    if sort == "union_tag_not_found":
        return EnquiryError("ENQ-006", place=place, key="kind")
    if sort in _MISSING:
        return EnquiryError("ENQ-006", place=place_of(path[:-1], told), key=str(path[-1]))
    wanted = str(fault.get("ctx", {}).get("wanted", "")) or _WANTED.get(sort, "other")
    if sort in _CHOICE:
        return EnquiryError(
            "ENQ-007",
            place=place,
            value=_shown(fault["input"]),
            wanted=text("wanted", "choice", choices=_choices(fault)),
        )
    return EnquiryError("ENQ-007", place=place, value=_shown(fault["input"]), wanted=text("wanted", wanted))
