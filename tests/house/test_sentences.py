"""Sentences stand in base/messages and nowhere else; they claim no more than a calculation can."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache

from house.source import MESSAGES, Source, decorator_name, sources
from traywright.base.errors import PREFIXES
from traywright.base.messages import codes

LONGEST_LABEL = 4  # words; from five on it is a sentence
# "what" is the label of a figure in the record; SUFFIXES is the table of units that this suite reads
CITING = re.compile(r"(^|_)(source|method|reference)s?$|^(what|SUFFIXES)$", re.IGNORECASE)
CLAIMS = re.compile(r"\b(safe|safely|certified|protects|guaranteed?|proof)\b", re.IGNORECASE)


def words_in(text: str) -> int:
    return sum(1 for word in text.split() if re.fullmatch(r"\W*[A-Za-z][a-z'’-]+\W*", word))


def literal(node: ast.expr) -> str:
    if isinstance(node, ast.JoinedStr):
        return "".join(part.value if isinstance(part, ast.Constant) else "0" for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def excused(source: Source, node: ast.AST) -> list[ast.expr]:
    """What may hold many words: a docstring, a citation or label, a pattern, the help of an option."""
    if isinstance(node, ast.Expr):
        return [node.value]
    if isinstance(node, ast.keyword) and node.arg:
        helps = source.room == "cli" and node.arg in {"help", "epilog"}
        return [node.value] if helps or CITING.search(node.arg) else []
    if isinstance(node, ast.Assign | ast.AnnAssign) and node.value:
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        return [node.value] if any(CITING.search(getattr(each, "id", "")) for each in targets) else []
    if isinstance(node, ast.Call) and decorator_name(node.func) in {"compile", "fullmatch", "match", "sub", "Regex"}:
        return list(node.args)
    return []


def sentences(source: Source) -> Iterator[tuple[ast.AST, str]]:
    free = {id(inner) for node in ast.walk(source.tree) for top in excused(source, node) for inner in ast.walk(top)}
    inside = {id(part) for node in ast.walk(source.tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(source.tree):
        is_text = isinstance(node, ast.Constant | ast.JoinedStr) and id(node) not in free | inside
        if is_text and words_in(literal(node)) > LONGEST_LABEL:
            yield node, literal(node)


def test_no_sentence_outside_messages():
    faults = [f"{source.at(node)} {text}" for source in sources() for node, text in sentences(source)]
    assert not faults, "\n".join(faults)


def test_a_sentence_is_seen():
    text = (
        '"""A docstring may be a whole sentence."""\nx = f"the wall is {3} mm too thin here"\nSOURCE = "a b c d e f"\n'
    )
    source = Source(path=sources()[0].path, name="traywright.x", lines=tuple(text.splitlines()), tree=ast.parse(text))
    assert len(list(sentences(source))) == 1


@cache
def tables() -> dict[str, dict[str, object]]:
    found: dict[str, dict[str, object]] = {}
    for path in sorted(MESSAGES.rglob("*.toml")):
        for key, table in tomllib.loads(path.read_text(encoding="utf-8")).items():
            found.setdefault(key, {}).update(table)
    return found


def test_every_code_has_its_room_s_prefix_and_three_lines():
    for code in codes():
        assert re.fullmatch(rf"({'|'.join(PREFIXES.values())})-\d{{3}}", code), code
        assert all(tables()[code].get(line) for line in ("what", "why", "fix")), code


def test_every_code_in_the_source_has_a_sentence():
    pattern = re.compile(rf"({'|'.join(PREFIXES.values())})-\d{{3}}")
    faults = [
        f"{source.at(node)} {node.value}"
        for source in sources()
        for node in ast.walk(source.tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and pattern.fullmatch(node.value)
        if node.value not in codes()
    ]
    assert not faults, "\n".join(faults)


def test_no_word_claims_more_than_a_calculation():
    # cautions may name what others certify; a verdict may not use these words
    faults = [
        f"[{key}] {line}"
        for key, table in tables().items()
        if not key.startswith("caution")
        for line in table.values()
        if isinstance(line, str) and CLAIMS.search(line)
    ]
    assert not faults, "\n".join(faults)
