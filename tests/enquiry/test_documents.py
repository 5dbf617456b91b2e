"""Every key of the enquiry and of the cards stands in its room's page."""

from __future__ import annotations

import re

import pytest

from house.source import ROOT
from traywright.base.messages import codes
from traywright.catalogue import KINDS, card_schema
from traywright.enquiry import enquiry_schema


def words(page):
    text = (ROOT / "docs" / f"{page}.md").read_text(encoding="utf-8")
    return set(re.findall(r"[A-Za-z0-9_]+", " ".join(re.findall(r"`([^`]*)`", text)))), text


def test_every_key_of_the_enquiry_is_documented():
    told, _ = words("enquiry")
    nouns = [one for one in enquiry_schema()["$defs"].values() if "properties" in one]
    keys = {key for noun in nouns for key in noun["properties"] if not key.endswith(("_in", "_lb"))}
    assert sorted(keys - told) == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_a_card_is_documented(kind):
    told, _ = words("catalogue")
    assert sorted(set(card_schema(kind)["properties"]) - told) == []


@pytest.mark.parametrize(("page", "prefix"), [("enquiry", "ENQ-"), ("catalogue", "CAT-")])
def test_every_code_is_documented(page, prefix):
    _, text = words(page)
    assert [code for code in codes() if code.startswith(prefix) and f"| {code} |" not in text] == []
