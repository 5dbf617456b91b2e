"""The catalogue: shipped cards, with the shop's own cards winning by id."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import TypeVar

from traywright.base import nearest
from traywright.base.errors import CatalogueError
from traywright.catalogue.cards import (
    Board,
    Box,
    Card,
    Cutter,
    Dialect,
    Divider,
    Foam,
    Handling,
    Machine,
    Material,
    Rates,
    Solid,
)
from traywright.catalogue.kinds import KINDS
from traywright.catalogue.read_card import read_card

_C = TypeVar("_C", bound=Card)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFile:
    """A card and the file it was read from; ``name`` is the file's place, ``foam/PE45.toml``."""

    name: str
    card: Card
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Every card that a job may use, in the order of kind and id."""

    files: tuple[CardFile, ...]

    def _card(self, noun: type[_C], card_id: str) -> _C:
        """The card of one kind with this id; CAT-001 names the nearest."""
        known = [one.card for one in self.files if isinstance(one.card, noun)]
        for card in known:
            if card.id == card_id:
                return card
        kind = next(kind for kind, one in KINDS.items() if one is noun)
        close = nearest(card_id, (card.id for card in known))
        raise CatalogueError("CAT-001", kind=kind, id=card_id, nearest=close)

    def ids(self, kind: str) -> tuple[str, ...]:
        """The ids of all cards of one kind, sorted."""
        return tuple(one.card.id for one in self.files if isinstance(one.card, KINDS[kind]))

    def material(self, card_id: str) -> Material:
        """What a part is made of; CAT-001 if there is no such card."""
        return self._card(Material, card_id)

    def foam(self, card_id: str) -> Foam:
        """A foam grade; CAT-001 if there is no such card."""
        return self._card(Foam, card_id)

    def solid(self, card_id: str) -> Solid:
        """A sheet material that is no foam; CAT-001 if there is no such card."""
        return self._card(Solid, card_id)

    def stuff_of(self, board: Board) -> Foam | Solid:
        """What a board is of; CAT-001 if there is no such card."""
        return self.solid(board.solid) if board.solid else self.foam(board.foam)

    def board(self, card_id: str) -> Board:
        """A board as bought; CAT-001 if there is no such card."""
        return self._card(Board, card_id)

    def box(self, card_id: str) -> Box:
        """A transit box; CAT-001 if there is no such card."""
        return self._card(Box, card_id)

    def divider(self, card_id: str) -> Divider:
        """A bought sheet between layers; CAT-001 if there is no such card."""
        return self._card(Divider, card_id)

    def cutter(self, card_id: str) -> Cutter:
        """A cutter; CAT-001 if there is no such card."""
        return self._card(Cutter, card_id)

    def machine(self, card_id: str) -> Machine:
        """A machine; CAT-001 if there is no such card."""
        return self._card(Machine, card_id)

    def dialect(self, card_id: str) -> Dialect:
        """How a control wants its text; CAT-001 if there is no such card."""
        return self._card(Dialect, card_id)

    def rates(self, card_id: str) -> Rates:
        """What an hour costs; CAT-001 if there is no such card."""
        return self._card(Rates, card_id)

    def handling(self, card_id: str) -> Handling:
        """How a leg is handled; CAT-001 if there is no such card."""
        return self._card(Handling, card_id)


def _read_all(contents: Mapping[str, bytes]) -> Iterator[CardFile]:
    """The cards of files named ``kind/id.toml``, in the order of their names."""
    for name in sorted(contents):
        kind, _, rest = name.partition("/")
        if kind not in KINDS or "/" in rest or not rest.endswith(".toml") or rest == ".toml":
            raise CatalogueError("CAT-008", file=name, nearest=nearest(kind, KINDS))
        yield CardFile(
            name=name, card=read_card(kind, rest.removesuffix(".toml"), contents[name]), content=contents[name]
        )


@cache
def _shipped() -> tuple[CardFile, ...]:
    """The cards that come with the package."""
    folder = files("traywright.catalogue") / "data" / "cards"
    contents = {
        f"{kind.name}/{entry.name}": entry.read_bytes()
        for kind in folder.iterdir()
        if kind.is_dir()
        for entry in kind.iterdir()
        if entry.name.endswith(".toml")
    }
    return tuple(_read_all(contents))


def _ids_stand_once(found: Iterable[CardFile]) -> None:
    """Refuse one id on cards of two kinds."""
    names: dict[str, str] = {}
    for one in found:
        if one.card.id in names:
            raise CatalogueError("CAT-007", id=one.card.id, first=names[one.card.id], second=one.name)
        names[one.card.id] = one.name


def load_cards(own: Mapping[str, bytes] | None = None, *, shipped: bool = True) -> Catalogue:
    """The catalogue: the shipped cards, and the shop's own, which win by kind and id.

    Parameters
    ----------
    own
        Bytes of the shop's own cards, or of a job's copy, by ``kind/id.toml``. Who calls reads the folder.
    shipped
        False to know nothing but ``own``: a job is run again from its own copy of the cards.

    Raises
    ------
    CatalogueError
        CAT-008 a file that is no card, CAT-007 an id that stands twice, and what ``read_card`` refuses.

    Examples
    --------
    >>> load_cards().foam("XLPE33").has_curve, load_cards().foam("PUE32").has_curve
    (True, False)
    """
    found = {one.name: one for one in (_shipped() if shipped else ())}
    found |= {one.name: one for one in _read_all(own or {})}
    cards = tuple(found[name] for name in sorted(found))
    _ids_stand_once(cards)
    return Catalogue(files=cards)


def used_cards(catalogue: Catalogue, card_ids: Iterable[str]) -> dict[str, bytes]:
    """The files of the cards a job used, by ``kind/id.toml``: what its ``cards`` folder holds.

    Parameters
    ----------
    catalogue
        The catalogue of the job.
    card_ids
        Ids of cards; one named twice is copied once.

    Raises
    ------
    CatalogueError
        CAT-001 if an id has no card.

    Examples
    --------
    >>> list(used_cards(load_cards(), ["steel", "PE45"]))
    ['foam/PE45.toml', 'material/steel.toml']
    """
    asked = set(card_ids)
    known = {one.card.id for one in catalogue.files}
    for card_id in sorted(asked - known):
        raise CatalogueError("CAT-001", kind="", id=card_id, nearest=nearest(card_id, known))
    return {one.name: one.content for one in catalogue.files if one.card.id in asked}
