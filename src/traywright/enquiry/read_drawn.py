"""A drawing job from the bytes of its ``enquiry.toml``."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import PurePosixPath
from typing import Any

from pydantic import TypeAdapter, ValidationError

from traywright.base import text
from traywright.base.errors import EnquiryError
from traywright.enquiry.assumptions import with_drawn_defaults
from traywright.enquiry.drawing_terms import DepthTerm, DrawingTerms, DrawnEnquiry, DrawnRead
from traywright.enquiry.faults import check_keys, fault_of
from traywright.enquiry.numbers import numbers_in, with_grounds, without_sisters
from traywright.enquiry.read_enquiry import layout_of, plain_noun, toml_of

NOT_ASKED = ("part", "loop", "lift", "pack", "foam")
"""Tables of a full enquiry that a drawing job does not ask for."""

_SHAPES = frozenset({".dxf", ".svg"})
MOST_COLOUR = 255
"""Largest colour number.  # source: DXF reference, group code 62"""


@cache
def drawn_adapter() -> TypeAdapter[DrawnEnquiry]:
    """The border through which a drawing job enters."""
    return TypeAdapter(DrawnEnquiry)


def is_drawn(content: bytes) -> bool:
    """True if a file asks for a drawing to be cut as it is.

    Raises
    ------
    EnquiryError
        ENQ-001 if the file is no TOML.

    Examples
    --------
    >>> is_drawn(b"[drawing]")
    True
    """
    return "drawing" in toml_of(content)


def read_drawn_enquiry(content: bytes) -> DrawnRead:
    """What is asked of a drawing, from the bytes of ``enquiry.toml``, with all that was assumed.

    Parameters
    ----------
    content
        Bytes of the file: TOML in UTF-8, ``format = 1``, with a table ``drawing``.

    Raises
    ------
    EnquiryError
        As ``read_enquiry``; ENQ-013, ENQ-014 for the drawing's file, ENQ-016 for a row of depths that leaves open what
        is meant, ENQ-018 if the file asks for parts as well, ENQ-019 for a layer that stands twice.
    """
    told = layout_of(toml_of(content))
    both = [one for one in NOT_ASKED if one in told]
    if both:
        raise EnquiryError("ENQ-018", tables=", ".join(f"[{one}]" for one in both))
    whole, assumptions = with_drawn_defaults(without_sisters(told))  # type: ignore[arg-type]  # reason: a table stays a table
    check_keys(whole, root=DrawnEnquiry)
    grounded = with_grounds(whole)
    values: Any = {**grounded, "format": told["format"]}  # type: ignore[dict-item]  # reason: a table stays a table
    try:
        enquiry = drawn_adapter().validate_python(values)
    except ValidationError as refusal:
        raise fault_of(refusal, values, root=DrawnEnquiry) from refusal
    _check(enquiry.drawing)
    return DrawnRead(enquiry=enquiry, numbers=tuple(numbers_in(values)), assumptions=assumptions)


def _check(drawing: DrawingTerms) -> None:
    """Refuse a file outside the folder or of another kind, and rows of depths that do not say one thing."""
    path = PurePosixPath(drawing.file)
    if path.is_absolute() or ".." in path.parts or "\\" in drawing.file or ":" in drawing.file:
        raise EnquiryError("ENQ-013", part="drawing", file=drawing.file)
    if path.suffix.lower() not in _SHAPES:
        raise EnquiryError("ENQ-020", file=drawing.file)
    for place, wanted in _faults(drawing):
        raise EnquiryError("ENQ-016", place=place, wanted=text("wanted", wanted))
    for key, rows in (("depth", drawing.depth), ("engrave", drawing.engrave)):
        places = [(one.layer.lower(), one.colour) for one in rows]
        for number, one in enumerate(places):
            if one in places[:number]:
                raise EnquiryError("ENQ-019", place=f"drawing.{key}", layer=rows[number].layer or str(one[1]))


def _faults(drawing: DrawingTerms) -> Iterator[tuple[str, str]]:
    """Rows that leave open what is meant."""
    for number, one in enumerate(drawing.depth, start=1):
        yield from _row_faults(one, f"drawing.depth.{number}")
        if (one.mm is None) != one.through:
            yield f"drawing.depth.{number}", "mm_or_through"
    for number, one in enumerate(drawing.engrave, start=1):
        yield from _row_faults(one, f"drawing.engrave.{number}")
        if one.mm is None or one.through:
            yield f"drawing.engrave.{number}", "engrave_mm"


def _row_faults(row: DepthTerm, place: str) -> Iterator[tuple[str, str]]:
    """A row that is for no layer and no colour, or for both."""
    if bool(row.layer.strip()) == (row.colour is not None):
        yield place, "layer_or_colour"
    if row.colour is not None and not 1 <= row.colour <= MOST_COLOUR:
        yield f"{place}.colour", "colour"


def drawn_to_plain(read: DrawnRead) -> dict[str, Any]:
    """The values of a drawing job for its fingerprint; how the file was laid out does not show.

    Parameters
    ----------
    read
        A drawing job as read; what was assumed counts as well.
    """
    return {
        "enquiry": plain_noun(read.enquiry),
        "numbers": {place: plain_noun(number) for place, number in read.numbers},
    }
