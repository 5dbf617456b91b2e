"""What the shop knows: cards and tables, each number with what it stands on."""

from traywright.catalogue.cards import (
    Board,
    Box,
    Card,
    Cutter,
    Dialect,
    Divider,
    Foam,
    Ground,
    Handling,
    Machine,
    Material,
    Rates,
    Solid,
)
from traywright.catalogue.kinds import KINDS
from traywright.catalogue.limits import Believable, believable, float_of
from traywright.catalogue.load import CardFile, Catalogue, load_cards, used_cards
from traywright.catalogue.read_card import NUMBER_KEYS, kind_of, read_card
from traywright.catalogue.schema import DIALECT, card_schema, number_schema, range_schema
from traywright.catalogue.tables import Row, Table, read_table, table

__all__ = [
    "DIALECT",
    "KINDS",
    "NUMBER_KEYS",
    "Believable",
    "Board",
    "Box",
    "Card",
    "CardFile",
    "Catalogue",
    "Cutter",
    "Dialect",
    "Divider",
    "Foam",
    "Ground",
    "Handling",
    "Machine",
    "Material",
    "Rates",
    "Row",
    "Solid",
    "Table",
    "believable",
    "card_schema",
    "float_of",
    "kind_of",
    "load_cards",
    "number_schema",
    "range_schema",
    "read_card",
    "read_table",
    "table",
    "used_cards",
]
