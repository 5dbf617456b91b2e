"""A drawing job from the bytes of its ``enquiry.toml``."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from traywright.base import text
from traywright.base.errors import EnquiryError
from traywright.enquiry.agree import check_inside, check_once
from traywright.enquiry.assumptions import with_drawn_defaults
from traywright.enquiry.drawing_terms import DepthTerm, DrawingTerms, DrawnEnquiry, DrawnRead
from traywright.enquiry.faults import check_keys, fault_of
from traywright.enquiry.numbers import numbers_in, with_grounds, without_sisters
from traywright.enquiry.read_enquiry import layout_of, plain_noun, toml_of

NOT_ASKED = ("part", "loop", "lift", "pack", "foam")
"""Tables of a full enquiry that a drawing job does not ask for."""

_DRAWINGS = frozenset({".dxf", ".svg"})

Entered = TypeVar("Entered")


def is_drawn(content: bytes) -> bool:
    """True if a file asks for a drawing to be cut as it is.

    Raises
    ------
    EnquiryError
        ENQ-001 if the file is no TOML.

    Examples
    --------
    >>> is_drawn(b"[drawing]"), is_drawn(b"[pack]")
    (True, False)
    """
    return "drawing" in toml_of(content)


def entered(told: dict[str, Any], noun: type[Entered]) -> tuple[Entered, dict[str, Any]]:
    """A noun from the values of a file, and those values with the ground of each number.

    Parameters
    ----------
    told
        Values of the file in metric keys, with its defaults.
    noun
        What the whole file is.

    Raises
    ------
    EnquiryError
        ENQ-005 to ENQ-009 for a key or value that cannot enter.
    """
    check_keys(told, root=noun)
    grounded: Any = with_grounds(told)
    # the layout number is no figure
    values = {**grounded, "format": told["format"]}
    try:
        read = TypeAdapter(noun).validate_python(values)
    except ValidationError as refusal:
        raise fault_of(refusal, values, root=noun) from refusal
    return read, values


def read_drawn_enquiry(content: bytes) -> DrawnRead:
    """What is asked of a drawing, from the bytes of ``enquiry.toml``, with all that was assumed.

    Parameters
    ----------
    content
        Bytes of the file: TOML in UTF-8, ``format = 1``, with a table ``drawing``.

    Raises
    ------
    EnquiryError
        ENQ-001 to ENQ-011 as ``read_enquiry``; ENQ-013 and ENQ-020 for the drawing's file; ENQ-016 for a row of depths
        that leaves open what is meant; ENQ-018 if the file asks for parts as well; ENQ-019 for a layer that stands
        twice.

    Notes
    -----
    The drawing is not opened here; cards are looked up by the job. A layer that stands under ``leave_out`` is left
    out also where a row of ``depth`` names it: a customer's remembered table may know more layers than are cut today.
    """
    told = layout_of(toml_of(content))
    both = [one for one in NOT_ASKED if one in told]
    if "drawing" in told and both:
        raise EnquiryError("ENQ-018", tables=", ".join(f"[{one}]" for one in both))
    metric: Any = without_sisters(told)
    whole, assumptions = with_drawn_defaults(metric)
    enquiry, values = entered(whole, DrawnEnquiry)
    _check(enquiry.drawing)
    return DrawnRead(enquiry=enquiry, numbers=tuple(numbers_in(values)), assumptions=assumptions)


def _check(drawing: DrawingTerms) -> None:
    """Refuse a file outside the folder or of another kind, and what contradicts itself."""
    check_inside("drawing", drawing.file)
    if PurePosixPath(drawing.file).suffix.lower() not in _DRAWINGS:
        raise EnquiryError("ENQ-020", file=drawing.file)
    check_once(drawing.cutters, "drawing.cutters")
    check_depths("drawing.depth", drawing.depth)
    check_depths("drawing.engrave", drawing.engrave, only_mm=True)
    if drawing.outline and drawing.outline.lower() in {one.lower() for one in drawing.leave_out}:
        raise EnquiryError("ENQ-016", place="drawing.outline", wanted=text("wanted", "outline_layer"))


def check_depths(place: str, rows: tuple[DepthTerm, ...], *, only_mm: bool = False) -> None:
    """Refuse rows of depths that leave open what is meant, or say it twice.

    Parameters
    ----------
    place
        Where the rows stand.
    rows
        The rows.
    only_mm
        True for lines: they are never cut right through.

    Raises
    ------
    EnquiryError
        ENQ-016 for a row that is for no layer and no colour, or for both, or has no depth or two; ENQ-019 for a layer
        or colour that stands twice, upper and lower case alike.
    """
    for number, row in enumerate(rows, start=1):
        for wanted in _row_faults(row, only_mm=only_mm):
            raise EnquiryError("ENQ-016", place=f"{place}.{number}", wanted=text("wanted", wanted))
    places = [(one.layer.lower(), one.colour) for one in rows]
    for number, one in enumerate(rows):
        if places[number] in places[:number]:
            raise EnquiryError("ENQ-019", place=place, layer=one.layer or str(one.colour))


def _row_faults(row: DepthTerm, *, only_mm: bool) -> Iterator[str]:
    """What a row leaves open, as keys of the message group ``wanted``."""
    if bool(row.layer.strip()) == (row.colour is not None):
        yield "layer_or_colour"
    if only_mm and (row.mm is None or row.through):
        yield "engrave_mm"
    if (row.mm is None) != row.through:
        yield "mm_or_through"


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
