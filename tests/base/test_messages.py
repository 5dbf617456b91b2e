"""Every code has its three lines and every room its prefix."""

from __future__ import annotations

import string
import tomllib

import pytest
from tests.jobs.conftest import ROOT

from traywright.base.errors import PREFIXES, EnquiryError, PartError
from traywright.base.messages import codes, message

FOLDER = ROOT / "src" / "traywright" / "base" / "messages" / "en"
RIGHT_WORDS = {"safe", "certified", "protects", "invalid", "please", "successfully"}


@pytest.mark.parametrize("code", codes())
def test_a_code_has_what_why_and_fix_without_forbidden_words(code):
    places = {}
    for path in FOLDER.glob("*.toml"):
        table = tomllib.loads(path.read_text(encoding="utf-8")).get(code)
        if table is None:
            continue
        assert PREFIXES[path.stem] == code.split("-")[0], path.name
        lines = [table["what"], table["why"], table["fix"], *table.get("choices", {}).values()]
        for line in lines:
            assert "\n" not in line
            assert "!" not in line
            assert not RIGHT_WORDS & {word.strip(".,:;()").lower() for word in line.split()}
            places |= {name: 1.0 for _, name, _, _ in string.Formatter().parse(line) if name}
    told = message(code, places)
    assert told.what
    assert told.why
    assert told.fix


def test_an_error_prints_three_lines_with_its_code():
    code = next(one for one in codes() if one.startswith("PART-"))
    places = {}
    for _ in range(20):
        try:
            printed = str(PartError(code, **places))
            break
        except KeyError as missing:
            places[missing.args[0]] = 1.0
    assert len(printed.splitlines()) == 3
    assert printed.endswith(f"[{code}]")


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("a\nb", "a\\nb"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("a\u2028b", "a\\u2028b"),
        ("a\x85b", "a\\x85b"),
        ("half \udcff", "half \\udcff"),
        ("外形　線 \u00a0 \u200d", "外形　線 \u00a0 \u200d"),
    ],
)
def test_a_name_from_a_customers_file_neither_breaks_a_line_nor_steers_the_screen(name, shown):
    told = str(EnquiryError("ENQ-020", file=name))
    assert shown in told
    assert len(told.splitlines()) == 3
    told.encode("utf-8")
