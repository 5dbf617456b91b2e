"""The committed schemas of the cards are those of the source, and know each shipped card."""

from __future__ import annotations

import json
import tomllib
from datetime import date

import pytest
from jsonschema import Draft202012Validator

from house.source import ROOT
from traywright.base import canonical_json
from traywright.catalogue import KINDS, card_schema, kind_of, load_cards


@pytest.mark.parametrize("kind", KINDS)
def test_the_committed_schema_is_up_to_date(kind):
    path = ROOT / "schemas" / f"card.{kind}.schema.json"
    assert path.read_text(encoding="utf-8") == canonical_json(card_schema(kind)), "run: python docs/build_schemas.py"
    Draft202012Validator.check_schema(json.loads(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("one", load_cards().files, ids=lambda one: one.name)
def test_a_shipped_card_keeps_its_schema_and_a_strange_or_missing_key_breaks_it(one):
    told = tomllib.loads(one.content.decode())
    told = {key: value.isoformat() if isinstance(value, date) else value for key, value in told.items()}
    schema = Draft202012Validator(card_schema(kind_of(one.card)))
    assert schema.is_valid(told)
    assert not schema.is_valid(told | {"strange": 1})
    assert not schema.is_valid({key: value for key, value in told.items() if key != "source"})
