"""The shop's own folder: its cards, and the depth tables that it typed once for a customer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base import file_name, sha256_of_bytes
from traywright.base.errors import EnquiryError, JobError
from traywright.base.files import write_whole
from traywright.enquiry import depth_book_toml, read_depth_book
from traywright.job.folder import cards_beside, content_of

CUSTOMERS = "customers"
SUM_SIGNS = 8  # source: own choice: no two of a shop's customers share them


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFolder:
    """Where the shop keeps what outlives a job: ``cards/<kind>/<id>.toml`` and ``customers/<name>.toml``.

    A folder that is not there holds nothing; it is made when the first table is kept.
    """

    path: Path

    def cards(self) -> dict[str, bytes]:
        """Bytes of the shop's own cards by ``kind/id.toml``."""
        return cards_beside(self.path)

    def depths(self, customer: str) -> list[dict[str, Any]]:
        """Rows of the customer's depth table; none where no table was kept.

        Raises
        ------
        JobError
            JOB-031 if the table cannot be read.
        """
        book = self._book(customer)
        if book is None or not book.is_file():
            return []
        try:
            return list(read_depth_book(content_of(book)))
        except EnquiryError as refused:
            raise JobError("JOB-031", file=str(book), told=refused.message.what) from refused

    def remember(self, customer: str, typed: Sequence[dict[str, Any]]) -> None:
        """Keep the rows that were typed for a customer; rows for other layers stay.

        Raises
        ------
        JobError
            JOB-003 if the folder cannot be written, JOB-031 if the table there cannot be read.
        """
        book = self._book(customer)
        if book is None or not typed:
            return
        known = {_place(one): one for one in (*self.depths(customer), *typed)}
        try:
            write_whole(book, depth_book_toml([known[one] for one in sorted(known)]).encode("utf-8"))
        except OSError as refused:
            raise JobError("JOB-003", folder=str(self.path), told=str(refused.strerror)) from refused

    def _book(self, customer: str) -> Path | None:
        """The file of a customer's table; None without a customer."""
        # names that are written alike in a file's name stay apart by the sum of the name itself
        own = sha256_of_bytes(customer.strip().encode()).rpartition(":")[2][:SUM_SIGNS]
        return self.path / CUSTOMERS / f"{file_name(customer.strip())}-{own}.toml" if customer.strip() else None


def _place(row: dict[str, Any]) -> tuple[str, int]:
    """Layer or colour that a row is for."""
    return str(row.get("layer", "")).lower(), int(row.get("colour", 0))
