"""Cards: every key known, every number believable and with its ground."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.base import Status
from traywright.base.errors import CatalogueError
from traywright.catalogue import KINDS, Card, kind_of, load_cards, read_card

FOAM = {
    "name": '"Test foam"',
    "status": '"published"',
    "source": '"a sheet"',
    "family": '"polyethylene"',
    "density_kg_m3": "35",
    "plateau_kpa": '{ is = 18, low = 14, high = 22, status = "measured", source = "pull test", on = 2026-11-20 }',
    "strain_warn_ratio": "0.6",
    "strain_limit_ratio": "0.7",
    "closed_cell": "true",
    "dissipative": "false",
}
BOARD = {
    "name": '"Test board"',
    "status": '"stated"',
    "source": '"a price list"',
    "foam": '"PE45"',
    "length_mm": "2000",
    "width_mm": "1000",
    "thickness_mm": "25",
    "thickness_tolerance_mm": "0",
    "edge_mm": "10",
    "price": '"34.00"',
    "currency": '"EUR"',
}


def card(kind, keys, **changed):
    told = {**keys, **changed}
    return read_card(kind, "x", "\n".join(f"{key} = {value}" for key, value in told.items() if value).encode())


def refused(kind, keys, **changed):
    with pytest.raises(CatalogueError) as refusal:
        card(kind, keys, **changed)
    assert len(str(refusal.value).splitlines()) == 3
    return refusal.value


def test_a_number_of_its_own_table_has_its_own_ground():
    told = card("foam", FOAM)
    plateau, density = told.given("plateau_kpa"), told.given("density_kg_m3")
    assert (plateau.status, plateau.source, plateau.dated) == (Status.MEASURED, "pull test", "2026-11-20")
    assert (plateau.low, plateau.value, plateau.high, plateau.unit) == (14.0, 18.0, 22.0, "kPa")
    assert (density.status, density.source, density.ref) == (Status.PUBLISHED, "a sheet", "card:x#density_kg_m3")


def test_a_key_that_may_miss_is_none_and_a_foam_without_it_has_no_curve():
    assert card("foam", FOAM).gas_kpa is None
    assert not card("foam", FOAM).has_curve


def test_money_is_exact_and_carries_its_currency():
    told = card("board", BOARD)
    assert told.price == Decimal("34.00")
    assert told.given("price").unit == "EUR"
    assert load_cards().rates("demo-rates").given("glue_per_m2").unit == "EUR/m2"


@pytest.mark.parametrize(
    ("kind", "keys", "changed", "code"),
    [
        ("foam", FOAM, {"densty_kg_m3": "35"}, "CAT-002"),
        ("foam", FOAM, {"plateau_kpa": "{ is = 18, hihg = 20 }"}, "CAT-002"),
        ("foam", FOAM, {"density_kg_m3": ""}, "CAT-003"),
        ("foam", FOAM, {"source": ""}, "CAT-003"),
        ("foam", FOAM, {"plateau_kpa": "{ low = 18 }"}, "CAT-003"),
        ("foam", FOAM, {"density_kg_m3": '"35"'}, "CAT-004"),
        ("foam", FOAM, {"density_kg_m3": "true"}, "CAT-004"),
        ("foam", FOAM, {"closed_cell": "1"}, "CAT-004"),
        ("foam", FOAM, {"status": '"sure"'}, "CAT-004"),
        ("foam", FOAM, {"source": '" "'}, "CAT-004"),
        ("board", BOARD, {"price": "34.0"}, "CAT-004"),
        ("board", BOARD, {"price": '"much"'}, "CAT-004"),
        ("board", BOARD, {"price": '"NaN"'}, "CAT-004"),
        ("board", BOARD, {"price": '"0"'}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "0"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "-35"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "nan"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "inf"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "1e30"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "1" + "0" * 400}, "CAT-005"),
        ("foam", FOAM, {"strain_limit_ratio": "70"}, "CAT-005"),
        ("foam", FOAM, {"density_kg_m3": "="}, "CAT-006"),
        ("foam", FOAM, {"plateau_kpa": "{ is = 18, low = 19 }"}, "CAT-012"),
    ],
)
def test_a_card_that_cannot_be_meant_is_refused(kind, keys, changed, code):
    assert refused(kind, keys, **changed).code == code


def test_an_unknown_key_names_the_nearest():
    assert refused("foam", FOAM, densty_kg_m3="35").parameters["nearest"] == "density_kg_m3"


def test_a_closed_list_is_kept():
    content = next(one.content for one in load_cards().files if one.name == "cutter/flat-12.toml")
    with pytest.raises(CatalogueError) as refusal:
        read_card("cutter", "x", content.replace(b'form = "flat"', b'form = "round"'))
    assert "ball, flat" in str(refusal.value)


def test_every_shipped_card_has_a_ground_for_every_number():
    for one in load_cards().files:
        told = one.card
        numbers = {
            name
            for name in type(told).__dataclass_fields__
            if isinstance(getattr(told, name), int | float | Decimal) and not isinstance(getattr(told, name), bool)
        }
        assert {key for key, _ in told.grounds} == numbers, one.name
        assert all(told.given(key).source for key in numbers)


def test_every_kind_has_a_shipped_card():
    shipped = {kind_of(one.card) for one in load_cards().files}
    assert shipped == set(KINDS)
    assert all(issubclass(noun, Card) for noun in KINDS.values())


@given(st.floats(0.01, 20000.0, allow_nan=False))
def test_a_density_is_read_back_as_it_was_written(density_kg_m3):
    assert card("foam", FOAM, density_kg_m3=repr(density_kg_m3)).density_kg_m3 == density_kg_m3


@pytest.mark.parametrize("both", ["", 'foam = "PE45"\nsolid = "hdpe"\n'])
def test_a_board_is_of_one_thing(both):
    rest = "length_mm = 9\nwidth_mm = 9\nthickness_mm = 9\nthickness_tolerance_mm = 1\nedge_mm = 1\n"
    card = f'name = "x"\nstatus = "stated"\nsource = "x"\n{both}{rest}price = "1.00"\ncurrency = "EUR"\n'
    with pytest.raises(CatalogueError) as refusal:
        read_card("board", "x", card.encode())
    assert refusal.value.code == "CAT-013"
