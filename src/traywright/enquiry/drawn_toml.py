"""A drawing job written as ``enquiry.toml``, with every answer given or taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, time
from typing import Any

from traywright.base import text
from traywright.base.errors import EnquiryError
from traywright.enquiry.read_enquiry import FORMAT

_TOP = ("format", "invented", "job", "drawing", "shop", "offer", "override")
_ORDER = (
    *("number", "revision", "supersedes", "title", "customer", "dated", "due"),
    *("file", "length_unit", "seen_from", "board", "thickness_mm", "quantity", "outline", "leave_out", "cutters"),
    *("keep", "corner", "sheet", "shape"),
    *("machine", "dialect", "rates", "currency", "valid_days"),
    *("layer", "colour", "mm", "through"),
    *("finding", "at", "because", "by"),
)
"""Keys in the order in which they are read; the others follow by name."""

_REMARKED = frozenset({"length_unit", "thickness_mm", "outline", "leave_out", "keep", "corner", "sheet", "shape"})
"""Keys of the drawing whose line says what else may stand there; the message group ``remark``."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_EXACT = 2.0**53
"""Below it a float that is whole is written as a whole number.  # source: IEEE 754, 53 bits of a double"""


def _quoted(told: str, place: str) -> str:
    """A text as TOML writes it."""
    escaped = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    signs = [escaped.get(one, one if one.isprintable() else f"\\U{ord(one):08X}") for one in told]
    try:
        "".join(told).encode("utf-8")
    except UnicodeEncodeError as refused:
        # half a sign, as a command line passes on bytes that are no text
        shown = told.encode("utf-8", "backslashreplace").decode("ascii", "replace")
        raise EnquiryError("ENQ-007", place=place, value=shown, wanted=text("wanted", "printable")) from refused
    return f'"{"".join(signs)}"'


def _number(value: float) -> str:
    """A number as TOML writes it; one that is whole without a point."""
    if isinstance(value, int):
        return str(int(value))
    plain = float(value)
    return str(int(plain)) if plain.is_integer() and abs(plain) < _EXACT else repr(plain)


def toml_value(value: Any, place: str) -> str:  # noqa: ANN401  # reason: TOML values are any of eight types
    r"""A value as TOML writes it, on one line.

    Parameters
    ----------
    value
        A text, number, flag, day, list or table of such.
    place
        Where it stands, for a refusal.

    Raises
    ------
    EnquiryError
        ENQ-007 for a text that is no text in UTF-8.

    Examples
    --------
    >>> print(toml_value({"is": 48.6, "source": 'our "gauge"'}, "drawing.thickness_mm"))
    { is = 48.6, source = "our \"gauge\"" }
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value, place)
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_value(one, place) for one in value)}]"
    if isinstance(value, Mapping):
        pairs = [f"{_key(key, place)} = {toml_value(one, f'{place}.{key}')}" for key, one in value.items()]
        return f"{{ {', '.join(pairs)} }}" if pairs else "{}"
    return _number(value)


def _key(key: str, place: str) -> str:
    """A key as TOML writes it."""
    return key if _BARE.fullmatch(key) else _quoted(key, place)


def _is_rows(value: Any) -> bool:  # noqa: ANN401  # reason: TOML values are any of eight types
    """True for a list of tables."""
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _in_order(table: Mapping[str, Any], order: tuple[str, ...] = _ORDER) -> list[str]:
    """Keys of a table in reading order; those with nothing in them are left out."""
    told = [key for key, one in table.items() if one is not None]
    return sorted(told, key=lambda key: (order.index(key) if key in order else len(order), key))


def toml_rows(name: str, rows: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """The lines of a list of tables.

    Parameters
    ----------
    name
        Its place in the file, such as ``drawing.depth``.
    rows
        Its tables.
    """
    for row in rows:
        yield f"[[{name}]]"
        yield from (f"{_key(key, name)} = {toml_value(row[key], f'{name}.{key}')}" for key in _in_order(row))
        yield ""


def _line(name: str, key: str, value: Any) -> str:  # noqa: ANN401  # reason: TOML values are any of eight types
    """One key of a table, with what else may stand there."""
    line = f"{_key(key, name)} = {toml_value(value, f'{name}.{key}')}"
    return f"{line}  # {text('remark', key)}" if name == "drawing" and key in _REMARKED else line


def _table(name: str, table: Mapping[str, Any]) -> Iterator[str]:
    """The lines of a table and of the lists of tables in it."""
    keys = _in_order(table)
    yield f"[{_key(name, name)}]"
    yield from (_line(name, key, table[key]) for key in keys if not _is_rows(table[key]))
    yield ""
    for key in (one for one in keys if _is_rows(table[one])):
        yield from toml_rows(f"{_key(name, name)}.{_key(key, name)}", table[key])


def _dated(job: Mapping[str, Any]) -> dict[str, Any]:
    """The head with its days as days: the command line hands them over as texts."""
    return {key: _day(key, one) if key in {"dated", "due"} and one is not None else one for key, one in job.items()}


def _day(key: str, told: date | str) -> date:
    """A day that was typed as text."""
    try:
        return told if isinstance(told, date) else date.fromisoformat(told)
    except (ValueError, TypeError) as refused:
        raise EnquiryError("ENQ-007", place=f"job.{key}", value=str(told), wanted=text("wanted", "date")) from refused


def drawn_enquiry_toml(answers: Mapping[str, Any]) -> str:
    """The file of a drawing job.

    Parameters
    ----------
    answers
        Its tables as TOML values: ``job``, ``drawing``, ``shop``, ``offer`` and ``override``; a day may be a text, and
        None and an empty table are left out.

    Returns
    -------
    str
        TOML with line feeds; keys in reading order. A key that a drawing job does not know is written as well, so that
        its reader refuses it: nothing is lost in silence.

    Raises
    ------
    EnquiryError
        ENQ-007 for a day that is none, and for a text that is no text in UTF-8.

    Examples
    --------
    >>> print(drawn_enquiry_toml({"drawing": {"file": "files/a.dxf", "depth": [{"layer": "A", "mm": 14}]}}))
    # a drawing cut as drawn: the answers given, and those taken where none was given
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
    told = {"format": FORMAT, **answers}
    keys = _in_order(told, _TOP)
    tables = [key for key in keys if isinstance(told[key], Mapping)]
    lists = [key for key in keys if _is_rows(told[key])]
    lines = [f"# {text('remark', 'head')}"]
    lines += [_line("", key, told[key]) for key in keys if key not in tables and key not in lists]
    lines.append("")
    for key in tables:
        table = _dated(told[key]) if key == "job" else told[key]
        lines += _table(key, table) if table else ()
    for key in lists:
        lines += toml_rows(_key(key, key), told[key])
    return "\n".join(lines)
