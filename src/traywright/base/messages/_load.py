"""Read the sentences once and fill their places."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any
from unicodedata import category

LANGUAGE = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """What, why and what to do, ready to print; ``choices`` are the other ways out."""

    code: str
    what: str
    why: str
    fix: str
    choices: tuple[str, ...] = ()


@cache
def _tables() -> dict[str, dict[str, Any]]:
    """Every table of the language, by code or by text name."""
    found: dict[str, dict[str, Any]] = {}
    folder = files("traywright.base.messages") / LANGUAGE
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        if entry.name.endswith(".toml"):
            for key, table in tomllib.loads(entry.read_text(encoding="utf-8")).items():
                found.setdefault(key, {}).update(table)
    return found


def codes() -> tuple[str, ...]:
    """All codes that have sentences, sorted."""
    return tuple(sorted(key for key, table in _tables().items() if "what" in table))


_STEERING = frozenset({"Cc", "Cs", "Zl", "Zp"})
"""Sorts of signs that would break a line or steer a screen: a customer's file may hold them in any name."""


def _on_one_line(value: Any) -> Any:  # noqa: ANN401  # reason: format places take any value
    """A value for a place in a sentence; of a text, signs that steer a screen are shown by their numbers."""
    if not isinstance(value, str) or value.isprintable():
        return value
    return "".join(one.encode("unicode_escape").decode("ascii") if category(one) in _STEERING else one for one in value)


def message(code: str, parameters: Mapping[str, Any], fix: str = "") -> Message:
    """The three lines of a code with its parameters filled in.

    Parameters
    ----------
    code
        A code such as ``PART-003``.
    parameters
        Values for the places in the sentences.
    fix
        Name of one of the code's other ways out (table ``[CODE.choices]``); empty for the usual one.

    Raises
    ------
    KeyError
        If the code or the choice has no sentence: a bug in us.

    Notes
    -----
    Each line stays one line, whatever a customer's file called its layers and parts.
    """
    table = _tables()[code]
    parameters = {name: _on_one_line(value) for name, value in parameters.items()}
    others = table.get("choices", {})
    way_out = others[fix] if fix else table["fix"]
    return Message(
        code=code,
        what=table["what"].format_map(parameters),
        why=table["why"].format_map(parameters),
        fix=way_out.format_map(parameters),
        choices=tuple(line.format_map(parameters) for name, line in sorted(others.items()) if name != fix),
    )


def text(group: str, key: str, **parameters: Any) -> str:  # noqa: ANN401  # reason: format places take any value
    """One line of a group of labels (``[paper]``, ``[stage]``, ``[verdict]`` …) with its places filled."""
    line: str = _tables()[group][key]
    return line.format_map(parameters) if parameters else line
