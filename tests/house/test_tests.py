"""Tests mirror the source, and a published check names its source."""

from __future__ import annotations

import ast
import re

import pytest

from house.source import ROOT, read, rooms

TESTS = ROOT / "tests"
BESIDES = {"house", "published", "twins", "jobs", "data"}
PUBLISHED = sorted((TESTS / "published").glob("test_*.py"))
LEAST = 15


def checks(path):
    return [
        node
        for node in ast.walk(read(path, path.stem).tree)
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
    ]


@pytest.mark.parametrize("room", rooms())
def test_every_room_has_tests(room):
    assert list((TESTS / room).glob("test_*.py")), f"tests/{room} holds no test"


def test_every_folder_of_tests_is_a_room_or_known():
    folders = {path.name for path in TESTS.iterdir() if path.is_dir() and not path.name.startswith((".", "_"))}
    assert folders <= BESIDES | set(rooms())


@pytest.mark.parametrize("path", PUBLISHED, ids=lambda path: path.stem)
def test_a_published_check_names_its_source(path):
    source = read(path, path.stem)
    top = ast.get_docstring(source.tree) or ""
    assert re.search(r"\b(1\d|20)\d\d\b|common practice", top), "the full reference stands at the top, with its year"
    for check in checks(path):
        assert ast.get_docstring(check), f"{check.name}: which example, page or table?"


def test_there_are_enough_published_checks():
    assert sum(len(checks(path)) for path in PUBLISHED) >= LEAST
