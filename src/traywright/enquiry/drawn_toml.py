"""A drawing job written as ``enquiry.toml``, with every answer given or taken, and a customer's depth table."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from traywright.base import text
from traywright.base.errors import EnquiryError
from traywright.enquiry.read_enquiry import FORMAT

TABLES = ("job", "drawing", "shop", "offer")
_ORDER = (
    *("number", "revision", "supersedes", "title", "customer", "dated", "due"),
    *("file", "length_unit", "board", "quantity", "outline", "leave_out", "cutters", "keep", "thickness_mm", "corner"),
)
"""Keys in the order in which they are read; the others follow by name."""
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def _quoted(told: str) -> str:
    """A text as TOML writes it."""
    signs = (_ESCAPES.get(one, one if one.isprintable() else f"\\U{ord(one):08X}") for one in told)
    return f'"{"".join(signs)}"'


def _value(value: Any) -> str:  # noqa: ANN401  # reason: TOML values are any of seven types
    """A value as TOML writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(one) for one in value)}]"
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{key} = {_value(one)}' for key, one in value.items())} }}"
    return repr(int(value)) if isinstance(value, int) or float(value).is_integer() else repr(float(value))


def _is_rows(value: Any) -> bool:  # noqa: ANN401  # reason: TOML values are any of seven types
    """True for a list of tables."""
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _in_order(table: Mapping[str, Any]) -> list[str]:
    """Keys of a table in reading order."""
    return sorted(table, key=lambda key: (_ORDER.index(key) if key in _ORDER else len(_ORDER), key))


def _lines(name: str, table: Mapping[str, Any]) -> Iterator[str]:
    """A table and the lists of tables in it."""
    keys = _in_order(table)
    yield f"[{name}]"
    yield from (f"{key} = {_value(table[key])}" for key in keys if not _is_rows(table[key]))
    yield ""
    for key in (one for one in keys if _is_rows(table[one])):
        for row in table[key]:
            yield f"[[{name}.{key}]]"
            yield from (f"{one} = {_value(row[one])}" for one in row)
            yield ""


def drawn_enquiry_toml(answers: Mapping[str, Any]) -> str:
    """The file of a drawing job.

    Parameters
    ----------
    answers
        Its tables as TOML values: ``job``, ``drawing``, ``shop``, ``offer`` and ``override``; a day may be a text.

    Returns
    -------
    str
        TOML with line feeds; keys in reading order; a table that holds nothing is left out.

    Examples
    --------
    >>> print(drawn_enquiry_toml({"drawing": {"file": "files/a.dxf", "depth": [{"layer": "A", "mm": 14}]}}))
    format = 1
    <BLANKLINE>
    [drawing]
    file = "files/a.dxf"
    <BLANKLINE>
    [[drawing.depth]]
    layer = "A"
    mm = 14
    <BLANKLINE>
    """
    lines = [f"format = {FORMAT}"]
    if answers.get("invented"):
        lines.append("invented = true")
    lines.append("")
    for name in TABLES:
        table = answers.get(name) or {}
        dated = {key: _day(key, table[key]) for key in ("dated", "due") if table.get(key)}
        if table:
            lines += _lines(name, {**table, **dated})
    for row in answers.get("override", ()):
        lines += ["[[override]]", *(f"{key} = {_value(row[key])}" for key in row), ""]
    return "\n".join(lines)


def _day(key: str, told: date | str) -> date:
    """A day that was typed as text."""
    try:
        return told if isinstance(told, date) else date.fromisoformat(told)
    except ValueError as refused:
        raise EnquiryError("ENQ-007", place=f"job.{key}", value=str(told), wanted=text("wanted", "date")) from refused


def depth_book_toml(rows: Iterable[Mapping[str, Any]]) -> str:
    """A customer's depth table as a file of its own.

    Parameters
    ----------
    rows
        Rows as ``drawing.depth`` holds them.
    """
    lines = [f"format = {FORMAT}", ""]
    for row in rows:
        lines += ["[[depth]]", *(f"{key} = {_value(row[key])}" for key in row), ""]
    return "\n".join(lines)


def read_depth_book(content: bytes) -> tuple[dict[str, Any], ...]:
    """Rows of a customer's depth table, as TOML values.

    Raises
    ------
    EnquiryError
        ENQ-001 if it is no TOML, ENQ-021 if it holds anything but rows of depths.
    """
    try:
        told = tomllib.loads(content.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise EnquiryError("ENQ-001", place=str(fault)) from fault
    rows = told.get("depth", [])
    known = {"layer", "colour", "mm", "through"}
    if told.get("format") != FORMAT or not isinstance(rows, list) or set(told) - {"format", "depth"}:
        raise EnquiryError("ENQ-021")
    if not all(isinstance(one, dict) and set(one) <= known for one in rows):
        raise EnquiryError("ENQ-021")
    return tuple(rows)
