"""The shape of files, names, nouns and faces."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest

from house.source import SRC, Source, functions, imports, is_dataclass, rooms, sources

LONGEST = 400
BANNED_WORDS = {"utils", "util", "helpers", "helper", "common", "misc", "manager"}
BANNED_ENDS = ("_fast", "_new")
SQUARED_UNIT = re.compile(r"(^|_)(mm|m|cm|s|k)2$")


def test_a_long_file_says_why():
    faults = []
    for source in sources():
        why = re.search(r"\b(table|published method)\b", ast.get_docstring(source.tree) or "", re.IGNORECASE)
        if len(source.lines) > LONGEST and not why:
            faults.append(f"{source.at(source.tree)} {len(source.lines)} lines")
    assert not faults, "\n".join(faults)


def defined(source: Source) -> Iterator[tuple[ast.AST, str]]:
    for node in ast.walk(source.tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node, node.name
        elif isinstance(node, ast.arg):
            yield node, node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node, node.id


def words_of(name: str) -> set[str]:
    return set(re.sub(r"([a-z])([A-Z])", r"\1_\2", name).lower().split("_"))


def test_no_name_that_says_nothing():
    faults = []
    for source in sources():
        if BANNED_WORDS & {word for part in source.name.split(".") for word in words_of(part)}:
            faults.append(source.at(source.tree))
        for node, name in defined(source):
            if words_of(name) & BANNED_WORDS or name == "data" or name.endswith(BANNED_ENDS):
                faults.append(f"{source.at(node)} {name}")
    assert not faults, "\n".join(faults)


def test_no_function_or_type_is_a_second_version():
    # letters of a formula may be numbered (x2), functions, types and modules may not
    names = [(source.at(source.tree), source.name) for source in sources()]
    for source in sources():
        names += [(source.at(node), node.name) for node in functions(source)]
        names += [(source.at(node), node.name) for node in ast.walk(source.tree) if isinstance(node, ast.ClassDef)]
    faults = [f"{at} {name}" for at, name in names if name.endswith("2") and not SQUARED_UNIT.search(name)]
    assert not faults, "\n".join(faults)


def test_nouns_are_frozen_slotted_and_built_by_name():
    faults = []
    for source in sources():
        for node in (each for each in ast.walk(source.tree) if isinstance(each, ast.ClassDef) and is_dataclass(each)):
            asked = {
                word.arg
                for call in node.decorator_list
                if isinstance(call, ast.Call)
                for word in call.keywords
                if isinstance(word.value, ast.Constant) and word.value.value is True
            }
            if not asked >= {"frozen", "slots", "kw_only"}:
                faults.append(f"{source.at(node)} {node.name}")
    assert not faults, "\n".join(faults)


def test_no_noun_holds_a_list():
    faults = []
    for source in sources():
        for node in (each for each in ast.walk(source.tree) if isinstance(each, ast.ClassDef) and is_dataclass(each)):
            for field in (each for each in node.body if isinstance(each, ast.AnnAssign)):
                names = {each.id for each in ast.walk(field.annotation) if isinstance(each, ast.Name)}
                if names & {"list", "set", "bytearray"}:
                    faults.append(f"{source.at(field)} {node.name}")
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize(
    "source", [each for each in sources() if each.path.name == "__init__.py"], ids=lambda s: s.name
)
def test_a_face_holds_names_only(source):
    for node in source.tree.body[1:]:
        is_all = isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") in {"__all__", "__version__"}
        assert is_all or isinstance(node, ast.ImportFrom | ast.Import), source.at(node)


def test_a_face_says_what_it_shows():
    faults = []
    for source in (each for each in sources() if each.path.name == "__init__.py"):
        shown = [node for node in source.tree.body if isinstance(node, ast.ImportFrom)]
        listed = [
            node for node in source.tree.body if getattr(getattr(node, "targets", [None])[0], "id", "") == "__all__"
        ]
        if bool(shown) != bool(listed):
            faults.append(source.at(source.tree))
    assert not faults, "\n".join(faults)


def test_every_room_has_a_face():
    faults = [path.as_posix() for path in SRC.iterdir() if any(path.glob("*.py")) and path.name not in rooms()]
    assert not faults


def test_private_modules_stay_in_their_room():
    faults = []
    for source in sources():
        for node, name in imports(source):
            parts = name.split(".")
            if parts[0] == "traywright" and len(parts) > 1 and parts[1] != source.room:
                private = [part for part in parts[1:] if part.startswith("_") and not part.startswith("__")]
                faults += [f"{source.at(node)} {name}"] if private else []
    assert not faults, "\n".join(faults)
