"""The documents say what the source says: layers, rooms, commands, codes, columns."""

from __future__ import annotations

import importlib.util
import re

import pytest

from house.source import ROOT, project, rooms

DOCS = ROOT / "docs"
HEADINGS = ["What it decides", "Method", "Formula", "Source", "Limits", "Worked example"]
MADE_PAGES = ("findings.md", "columns.md", "commands.md", "keys.md")


def test_the_layer_list_is_the_import_contract():
    page = (ROOT / "ARCHITECTURE.md").read_text(encoding="utf-8")
    listed = re.search(r"```layers\n(.*?)```", page, re.DOTALL).group(1).split("\n")[:-1]
    contracts = project()["tool"]["importlinter"]["contracts"]
    assert [listed] == [contract["layers"] for contract in contracts if contract["id"] == "layers"]


@pytest.mark.parametrize("room", rooms())
def test_every_room_has_a_page_with_an_example(room):
    page = (DOCS / f"{room}.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (.*)$", page, re.MULTILINE) == HEADINGS
    assert ">>> " in page.split("## Worked example")[1], "a worked example runs as a doctest"


@pytest.mark.parametrize("name", MADE_PAGES)
def test_a_made_page_is_up_to_date(name):
    spec = importlib.util.spec_from_file_location("build_tables", DOCS / "build_tables.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert (DOCS / name).read_text(encoding="utf-8") == module.pages()[name], "run: python docs/build_tables.py"


def test_the_readme_names_every_command():
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"^## traywright (\S+)$", (DOCS / "commands.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert commands
    assert [name for name in commands if f"traywright {name}" not in page] == []


@pytest.mark.parametrize("path", sorted([*ROOT.glob("*.md"), *DOCS.glob("*.md")]), ids=lambda path: path.name)
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target
