"""What was left out, taken from the closed list of defaults: the table ``enquiry_defaults``."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy

from traywright.catalogue import Row, table
from traywright.enquiry.enquiry import Assumption
from traywright.enquiry.numbers import Plain, name_of

TABLE = "enquiry_defaults"

_MADE = frozenset({"offer", "pose"})
"""Tables that may be left out whole, since each of their keys has a default."""

Keys = dict[str, Plain]


def _owners(node: Keys, segments: list[str], place: str) -> Iterator[tuple[Keys, str]]:
    """The tables of the file that a default may fill, with their places."""
    head, rest = segments[0], segments[1:]
    if not rest:
        yield node, place
        return
    if head in _MADE and head not in node:
        node[head] = {}
    child, inner = node.get(head), f"{place}.{head}" if place else head
    if isinstance(child, dict):
        yield from _owners(child, rest, inner)
    if not isinstance(child, list):
        return
    for index, entry in enumerate(child):
        called = name_of(head, entry, index)
        # lift.bench.height_mm holds for the lift of that name only
        named = rest[1:] if head == "lift" and len(rest) > 1 else rest
        if isinstance(entry, dict) and (named is rest or called == rest[0]):
            yield from _owners(entry, named, f"{inner}.{called}")


def _taken(row: Row) -> Plain:
    """The default of a row in the form in which the file would have told it."""
    told, takes = row.text("text"), row.text("takes")
    parts = [one for one in told.split(";") if one]
    forms: dict[str, Plain] = {
        "text": told,
        "texts": parts,
        "flag": told == "true",
        "numbers": [float(one) for one in parts] if takes == "numbers" else [],
    }
    return table(TABLE).given(row.id, "value") if takes == "number" else forms[takes]


def _applies(row: Row, owner: Keys, whole: Keys) -> bool:
    """True if a default is meant for this table of the file."""
    if row.id == "loop.step.handling":
        return owner.get("kind") == "leg"
    loop = whole.get("loop")
    # a loop with steps tells how many packs go round
    return row.id != "pack.packs" or not (isinstance(loop, dict) and loop.get("step"))


def _usual_lifts(rows: tuple[Row, ...]) -> list[Plain]:
    """The lifts that are looked at where none was told: those with a height of their own in the table."""
    named = (row.id.split(".") for row in rows)
    return [{"at": parts[1]} for parts in named if parts[0] == "lift" and len(parts) > 2]


_DRAWN = ("job", "drawing", "offer")
"""Tables of a drawing job that have defaults."""
_NOT_DRAWN = frozenset({"offer.breaks_packs", "offer.damage_cost_per_part", "offer.tax_ratio"})


def with_defaults(told: Keys) -> tuple[Keys, tuple[Assumption, ...]]:
    """The file's values with what was left out filled in, and the list of what was taken.

    Parameters
    ----------
    told
        Values of the file in metric keys; it stays as it is.
    """
    whole, rows = deepcopy(told), table(TABLE).rows
    rows = tuple(row for row in rows if not row.id.startswith("drawing."))
    if "lift" not in whole:
        whole["lift"] = _usual_lifts(rows)
    return _filled(whole, rows)


def with_drawn_defaults(told: Keys) -> tuple[Keys, tuple[Assumption, ...]]:
    """The same for a drawing job: its head, the drawing and the offer.

    Parameters
    ----------
    told
        Values of the file in metric keys; it stays as it is.
    """
    rows = table(TABLE).rows
    asked = tuple(row for row in rows if row.id.partition(".")[0] in _DRAWN and row.id not in _NOT_DRAWN)
    return _filled(deepcopy(told), asked)


def _filled(whole: Keys, rows: tuple[Row, ...]) -> tuple[Keys, tuple[Assumption, ...]]:
    """The values with the defaults of these rows."""
    found: list[Assumption] = []
    for row in rows:
        segments = row.id.split(".")
        for owner, place in list(_owners(whole, segments, "")):
            key = segments[-1]
            if key in owner or not _applies(row, owner, whole):
                continue
            owner[key] = _taken(row)
            number = table(TABLE).given(row.id, "value") if row.text("takes") == "number" else None
            found.append(
                Assumption(
                    id=f"A{len(found) + 1}",
                    field=f"{place}.{key}" if place else key,
                    taken=number,
                    taken_text="" if number else row.text("text"),
                    effect=row.text("effect"),
                )
            )
    return whole, tuple(found)


def assumed_handling(number: int) -> Assumption:
    """The handling that is taken where no leg of a loop was told: drops do not wait for a loop.

    Parameters
    ----------
    number
        Number of the assumption in its list, from 1.
    """
    row = table(TABLE).row("loop.step.handling")
    return Assumption(
        id=f"A{number}",
        field="loop.step.handling",
        taken=None,
        taken_text=row.text("text"),
        effect=row.text("effect"),
    )
