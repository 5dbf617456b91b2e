"""The depth table of a customer: typed once with a job, remembered for the next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from traywright.base import text
from traywright.base.errors import EnquiryError
from traywright.enquiry.border import Noun
from traywright.enquiry.drawing_terms import DepthTerm
from traywright.enquiry.drawn_toml import toml_rows
from traywright.enquiry.read_drawn import check_depths, entered
from traywright.enquiry.read_enquiry import FORMAT, layout_of, toml_of

Row = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthBook(Noun):
    """A customer's depth table as its file holds it."""

    format: Literal[1]
    depth: tuple[DepthTerm, ...] = ()


def depth_book_toml(rows: Iterable[Mapping[str, Any]]) -> str:
    """A customer's depth table as a file of its own.

    Parameters
    ----------
    rows
        Rows as ``drawing.depth`` holds them.

    Examples
    --------
    >>> print(depth_book_toml([{"layer": "A", "through": True}]))
    # depths by layer or colour, from the top of the board
    format = 1
    <BLANKLINE>
    [[depth]]
    layer = "A"
    through = true
    <BLANKLINE>
    """
    return "\n".join([f"# {text('remark', 'depth')}", f"format = {FORMAT}", "", *toml_rows("depth", rows)])


def read_depth_book(content: bytes) -> tuple[Row, ...]:
    """Rows of a customer's depth table, as TOML values for ``drawing.depth``.

    Parameters
    ----------
    content
        Bytes of the file: TOML in UTF-8, ``format = 1`` and rows ``depth``.

    Raises
    ------
    EnquiryError
        ENQ-001 if it is no TOML, ENQ-002 and ENQ-003 for its format, ENQ-021 if it holds anything but rows of depths
        that a drawing job would take.

    Examples
    --------
    >>> read_depth_book(depth_book_toml([{"colour": 5, "mm": 14.5}]).encode())
    ({'colour': 5, 'mm': 14.5},)
    """
    told: Any = layout_of(toml_of(content))
    try:
        book, _ = entered(told, DepthBook)
        check_depths("depth", book.depth)
    except EnquiryError as refused:
        raise EnquiryError("ENQ-021", told=refused.message.what) from refused
    return tuple(dict(one) for one in told.get("depth", ()))
