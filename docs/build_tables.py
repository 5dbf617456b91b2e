"""Write the pages of docs that are made from the source: findings, columns, commands, keys of the files.

Run it in .venv after adding a code, a column or an option: python docs/build_tables.py
"""

from __future__ import annotations

import csv
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer

from traywright.base.errors import PREFIXES
from traywright.base.messages import codes
from traywright.base.units import SUFFIXES

DOCS = Path(__file__).resolve().parent
SOURCE = DOCS.parent / "src" / "traywright"
SCHEMAS = DOCS.parent / "schemas"
CARDS = SOURCE / "catalogue" / "data"
MADE = "This page is made by `docs/build_tables.py`; change the source, then run it."


def sentences() -> dict[str, dict[str, Any]]:
    """The sentences of every code as they stand in the source, with their places open."""
    found: dict[str, dict[str, Any]] = {}
    for path in sorted((SOURCE / "base" / "messages" / "en").glob("*.toml")):
        for key, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            found.setdefault(key, {}).update(table)
    return found


def cell(text: str) -> str:
    """A text that does not end its place in a table."""
    return " ".join(text.replace("|", "\\|").split())


def findings_page() -> str:
    """All codes by room: what is said, why, and what to do."""
    told = sentences()
    lines = ["# Findings and errors", "", MADE, "", "Words in braces are filled in from the job."]
    for room, prefix in PREFIXES.items():
        own = [code for code in codes() if code.startswith(f"{prefix}-")]
        if own:
            lines += ["", f"## {room}", "", "| Code | What | Why | What to do |", "|---|---|---|---|"]
        for code in own:
            ways = [told[code]["fix"], *dict(told[code].get("choices", {})).values()]
            row = (code, told[code]["what"], told[code]["why"], " / ".join(ways))
            lines.append(f"| {' | '.join(cell(text) for text in row)} |")
    return "\n".join(lines) + "\n"


def quantity(name: str) -> str:
    """What a column or key measures, by the longest suffix of units that its name ends in."""
    fitting = [suffix for suffix in SUFFIXES if name == suffix or name.endswith(f"_{suffix}")]
    return SUFFIXES[max(fitting, key=len)] if fitting else "no unit"


def keys_of(table: dict[str, Any], before: str = "") -> Iterator[str]:
    """Every key of a card, inner ones after their owner's name and a dot."""
    for key, value in table.items():
        first = value[0] if isinstance(value, list) and value else value
        if isinstance(first, dict):
            yield from keys_of(first, f"{before}{key}.")
        else:
            yield before + key


def columns_page() -> str:
    """All columns of tables and all keys of cards, with what they measure."""
    lines = ["# Tables and cards of the catalogue", "", MADE, "", "The unit stands in the name."]
    for path in sorted(CARDS.rglob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            names = next(csv.reader(file))
        lines += ["", f"## {path.relative_to(CARDS).as_posix()}", "", "| Column | Quantity |", "|---|---|"]
        lines += [f"| {name} | {quantity(name)} |" for name in names]
    kinds: dict[str, set[str]] = {}
    for path in sorted(CARDS.rglob("*.toml")):
        kind = path.parent.name
        kinds.setdefault(kind, set()).update(keys_of(tomllib.loads(path.read_text(encoding="utf-8"))))
    for kind, names_of_kind in sorted(kinds.items()):
        lines += ["", f"## Cards: {kind}", "", "| Key | Quantity |", "|---|---|"]
        lines += [f"| {name} | {quantity(name)} |" for name in sorted(names_of_kind)]
    return "\n".join(lines) + "\n"


def forms_of(schema: dict[str, Any], top: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every form that a schema allows, references and choices followed, each with the name it was defined under."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[-1]
        yield from ((inner or name, form) for inner, form in forms_of(top["$defs"][name], top))
    elif "anyOf" in schema or "oneOf" in schema:
        for each in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
            yield from forms_of(each, top)
    else:
        yield "", schema


def allowed(schema: dict[str, Any], top: dict[str, Any]) -> str:
    """What may stand under a key, in words."""
    if "$ref" in schema and schema["$ref"].rsplit("/", 1)[-1].startswith(("number", "integer")):
        return schema["$ref"].rsplit("/", 1)[-1].replace("_", " ")
    words = []
    for _, form in forms_of(schema, top):
        if "const" in form or "enum" in form:
            words += [str(each) for each in form.get("enum", [form.get("const")])]
        elif form.get("type") == "array":
            words.append("list")
        else:
            words.append(
                {"string": "text", "boolean": "true or false", "object": "table"}.get(form.get("type"), "number")
            )
    return " / ".join(dict.fromkeys(words))


def keys_under(schema: dict[str, Any], top: dict[str, Any], before: str) -> Iterator[tuple[str, str]]:
    """Every key below a table of a schema with what may stand there; a list is marked by []."""
    for _, form in forms_of(schema, top):
        if "items" in form:
            yield from keys_under(form["items"], top, f"{before}[]")
        for key, inner in form.get("properties", {}).items():
            name = f"{before}.{key}" if before else key
            yield name, allowed(inner, top)
            if not allowed(inner, top).startswith(("number", "integer")):
                yield from keys_under(inner, top, name)


def keys_page() -> str:
    """All keys of the two files that every stage shares, by their schemas."""
    lines = [
        "# Keys of enquiry.toml and result.json",
        "",
        MADE,
        "",
        "The unit stands in the name. A list is marked by `[]`.",
    ]
    lines += ["In an enquiry a number may also be a table of `is`, `low`, `high`, `status`, `source` and `on`."]
    for name, title in (("enquiry", "enquiry.toml"), ("result", "result.json")):
        path = SCHEMAS / f"{name}.schema.json"
        if path.exists():
            top = json.loads(path.read_text(encoding="utf-8"))
            lines += ["", f"## {title}", "", "| Key | What may stand there | Quantity |", "|---|---|---|"]
            rows = dict.fromkeys(keys_under(top, top, ""))
            lines += [f"| {key} | {cell(told)} | {quantity(key.rsplit('.', 1)[-1])} |" for key, told in rows]
    return "\n".join(lines) + "\n"


def told_of(parameter: Any, context: Any) -> tuple[str, str]:  # noqa: ANN401  # reason: types of typer's own inside
    """The name of an argument or option, and its help."""
    record = parameter.get_help_record(context)
    help_text = getattr(parameter, "help", None) or (record[1] if record else "")
    named = [name for name in (*parameter.opts, *parameter.secondary_opts) if name.startswith("-")]
    return ", ".join(named) or parameter.name.upper(), help_text or ""


def commands_page() -> str:
    """All commands with their arguments and options."""
    from traywright.cli.commands import app  # noqa: PLC0415  # reason: the other pages do not need the command line

    top = typer.main.get_command(app)
    commands: dict[str, Any] = getattr(top, "commands", {"job": top})  # one command alone makes no group
    lines = ["# Commands", "", MADE]
    for name, command in sorted(commands.items()):
        context = command.context_class(command, info_name=name)
        lines += ["", f"## traywright {name}", "", (command.help or "").strip(), "", "| Word | Meaning |", "|---|---|"]
        for parameter in command.params:
            word, meaning = told_of(parameter, context)
            lines.append(f"| `{word}` | {cell(meaning)} |")
    return "\n".join(lines) + "\n"


def pages() -> dict[str, str]:
    """The generated pages by file name."""
    return {
        "findings.md": findings_page(),
        "columns.md": columns_page(),
        "commands.md": commands_page(),
        "keys.md": keys_page(),
    }


if __name__ == "__main__":
    for file_name, content in pages().items():
        (DOCS / file_name).write_text(content, encoding="utf-8", newline="\n")
