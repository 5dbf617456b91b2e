"""Tables of the catalogue: CSV with the unit in the header, a source and a status on every row."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import StringIO

from traywright.base import Given, Status, nearest, text
from traywright.base.errors import CatalogueError
from traywright.base.units import NAMES_WITHOUT_UNIT, suffix_of, unit_of

_COUNTED = frozenset({"count", "level", "year"})
"""Columns of whole numbers of things: they have no unit."""

_ALWAYS = ("id", "source", "status")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a table: text cells, number cells, and what the row stands on."""

    id: str
    source: str
    status: Status
    texts: tuple[tuple[str, str], ...]
    numbers: tuple[tuple[str, float | None], ...]

    def text(self, column: str) -> str:
        """The text of one cell; empty where the row leaves it out.

        Raises
        ------
        KeyError
            If the table has no such text column: a bug in the caller.
        """
        return dict(self.texts)[column]

    def number(self, column: str) -> float:
        """The number of one cell, in the unit that the column's name ends in.

        Raises
        ------
        KeyError
            If the table has no such number column, or the row leaves it out: ask ``has`` first.
        """
        found = dict(self.numbers)[column]
        if found is None:
            raise KeyError(column)
        return found

    def has(self, column: str) -> bool:
        """True if the row has a number in this column."""
        return dict(self.numbers).get(column) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of the catalogue, in the order of its file; ids stand once."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def row(self, row_key: str) -> Row:
        """The row with this id.

        Raises
        ------
        CatalogueError
            CAT-011 if no row has it.
        """
        for row in self.rows:
            if row.id == row_key:
                return row
        raise CatalogueError(
            "CAT-011", table=self.name, name=row_key, nearest=nearest(row_key, (row.id for row in self.rows))
        )

    def having(self, column: str, value: str) -> tuple[Row, ...]:
        """All rows whose text cell in this column equals a value, in file order."""
        return tuple(row for row in self.rows if dict(row.texts).get(column) == value)

    def given(self, row_key: str, column: str) -> Given:
        """One number of the table with its ground, ready to be the input of a figure.

        Raises
        ------
        CatalogueError
            CAT-011 if there is no such row, column, or number in it.

        Notes
        -----
        Columns ``low`` and ``high`` beside a column ``value`` are its bounds; the unit of these three stands in a
        column ``unit``.
        """
        row = self.row(row_key)
        if not row.has(column):
            raise CatalogueError(
                "CAT-011", table=self.name, name=column, nearest=nearest(column, (one for one, _ in row.numbers))
            )
        bare = column in NAMES_WITHOUT_UNIT
        bounds = dict(row.numbers) if column == "value" else {}
        return Given(
            ref=f"table:{self.name}#{row.id}.{column}",
            value=row.number(column),
            unit=dict(row.texts).get("unit", "") if bare else unit_of(column),
            status=row.status,
            source=row.source,
            low=bounds.get("low"),
            high=bounds.get("high"),
        )


def _fault(table: str, line: int, column: str, *, value: str, wanted: str) -> CatalogueError:
    """A table that cannot be read, at its line and column."""
    told = text("wanted", wanted)
    return CatalogueError("CAT-010", table=table, line=line, column=column, value=value, wanted=told)


def _number(cell: str) -> float | None:
    """The finite number in a cell; None where there is none."""
    try:
        found = float(cell)
    except ValueError:
        return None
    return found if math.isfinite(found) else None


def _is_number_column(column: str) -> bool:
    """True if a column's name says that it holds numbers."""
    return bool(suffix_of(column)) or column in NAMES_WITHOUT_UNIT | _COUNTED


def _checked(name: str, columns: tuple[str, ...], raw: list[list[str]]) -> Iterator[Row]:
    """The rows of a table, each cell checked against what its column promises."""
    seen: set[str] = set()
    words = {status.word for status in Status}
    for line, cells in enumerate(raw, start=2):
        row = dict(zip(columns, (cell.strip() for cell in cells), strict=False))
        if len(cells) != len(columns):
            raise _fault(name, line, columns[-1], value=",".join(cells), wanted="full_row")
        if not row["id"] or row["id"] in seen:
            raise _fault(name, line, "id", value=row["id"], wanted="unique")
        if not row["source"]:
            raise _fault(name, line, "source", value="", wanted="source")
        if row["status"] not in words:
            raise _fault(name, line, "status", value=row["status"], wanted="status")
        seen.add(row["id"])
        numbers = [column for column in columns if column not in _ALWAYS and _is_number_column(column)]
        for column in numbers:
            if row[column] and _number(row[column]) is None:
                raise _fault(name, line, column, value=row[column], wanted="number")
        yield Row(
            id=row["id"],
            source=row["source"],
            status=Status.of(row["status"]),
            texts=tuple((one, row[one]) for one in columns if one not in numbers),
            numbers=tuple((one, _number(row[one])) for one in numbers),
        )


def read_table(name: str, content: bytes) -> Table:
    r"""A checked table from the bytes of its CSV file.

    Parameters
    ----------
    name
        Name that figures and messages carry.
    content
        UTF-8 CSV: first column ``id``, columns ``source`` and ``status``, the unit at the end of each number's column.

    Raises
    ------
    CatalogueError
        CAT-010 with line and column: a missing column, a number without unit, not finite or not a number, an id twice.

    Examples
    --------
    >>> told = read_table("drops", b"id,drop_mm,source,status\nlight,760,a page,published\n")
    >>> told.given("light", "drop_mm").ref, told.row("light").number("drop_mm")
    ('table:drops#light.drop_mm', 760.0)
    """
    raw = [cells for cells in csv.reader(StringIO(content.decode("utf-8"))) if cells]
    columns = tuple(cell.strip() for cell in raw[0]) if raw else ()
    for column in _ALWAYS:
        if column not in columns or columns[0] != "id":
            raise _fault(name, 1, column, value=",".join(columns), wanted="column")
    rows = tuple(_checked(name, columns, raw[1:]))
    for column in columns:
        cells = [dict(row.texts).get(column, "") for row in rows]
        filled = [cell for cell in cells if cell]
        if column != "id" and filled and all(_number(cell) is not None for cell in filled):
            raise _fault(name, 1, column, value=column, wanted="unit")
    return Table(name=name, columns=columns, rows=rows)


@cache
def table(name: str) -> Table:
    """A table of the catalogue by its name, checked.

    Parameters
    ----------
    name
        File name under ``catalogue/data`` without ``.csv``.

    Raises
    ------
    CatalogueError
        CAT-009 if there is no such table, CAT-010 if it has a fault.

    Examples
    --------
    >>> table("input_limits").row("kg").number("high")
    2000.0
    """
    folder = files("traywright.catalogue") / "data"
    entry = folder / f"{name}.csv"
    if not entry.is_file():
        names = (one.name.removesuffix(".csv") for one in folder.iterdir() if one.name.endswith(".csv"))
        raise CatalogueError("CAT-009", table=name, nearest=nearest(name, names))
    return read_table(name, entry.read_bytes())
