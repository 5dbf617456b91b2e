"""The sentences of the house: one folder a language, one TOML file a room, one table a code."""

from traywright.base.messages._load import Message, codes, message, text

__all__ = ["Message", "codes", "message", "text"]
