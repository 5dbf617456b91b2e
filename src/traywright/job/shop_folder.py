"""The shop's own folder: its cards, and the depth tables that it typed once for a customer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base import file_name
from traywright.base.errors import JobError
from traywright.base.files import write_whole
from traywright.enquiry import depth_book_toml, read_depth_book
from traywright.job.folder import cards_beside

CUSTOMERS = "customers"


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
        """Rows of the customer's depth table; none where no table was kept."""
        book = self._book(customer)
        return [] if book is None or not book.is_file() else list(read_depth_book(book.read_bytes()))

    def remember(self, customer: str, typed: Sequence[dict[str, Any]]) -> None:
        """Keep the rows that were typed for a customer; rows for other layers stay.

        Raises
        ------
        JobError
            JOB-003 if the folder cannot be written.
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
        return self.path / CUSTOMERS / f"{file_name(customer)}.toml" if customer.strip() else None


def _place(row: dict[str, Any]) -> tuple[str, int]:
    """Layer or colour that a row is for."""
    return str(row.get("layer", "")).lower(), int(row.get("colour", 0))
