"""The catalogue: the shop's own cards win, and a job's copy reads back the same."""

from __future__ import annotations

import pytest

from traywright.base.errors import CatalogueError
from traywright.catalogue import load_cards, used_cards

LEAD = b'name = "Lead"\nstatus = "measured"\nsource = "our own scale"\ndensity_kg_m3 = 11340\n'


def test_the_shop_s_own_card_wins_and_others_stay():
    told = load_cards({"material/steel.toml": LEAD})
    assert told.material("steel").density_kg_m3 == 11340.0
    assert told.material("aluminium") == load_cards().material("aluminium")


def test_a_job_s_copy_gives_the_same_cards_alone():
    copy = used_cards(load_cards(), ["PE45", "steel", "tote-600x400x385", "steel"])
    told = load_cards(copy, shipped=False)
    assert [one.name for one in told.files] == ["box/tote-600x400x385.toml", "foam/PE45.toml", "material/steel.toml"]
    assert told.foam("PE45") == load_cards().foam("PE45")
    with pytest.raises(CatalogueError):
        told.foam("PE65")


def test_the_order_of_the_shop_s_cards_does_not_matter():
    own = {"material/lead.toml": LEAD, "material/alloy.toml": LEAD}
    assert load_cards(own) == load_cards(dict(reversed(own.items())))


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: load_cards().foam("PE46"), "CAT-001"),
        (lambda: used_cards(load_cards(), ["PE46"]), "CAT-001"),
        (lambda: load_cards({"foams/x.toml": LEAD}), "CAT-008"),
        (lambda: load_cards({"foam/x.txt": LEAD}), "CAT-008"),
        (lambda: load_cards({"foam/../x.toml": LEAD}), "CAT-008"),
        (lambda: load_cards({"material/PE45.toml": LEAD}), "CAT-007"),
    ],
)
def test_what_is_no_card_is_refused(ask, code):
    with pytest.raises(CatalogueError) as refusal:
        ask()
    assert refusal.value.code == code
    assert len(str(refusal.value).splitlines()) == 3


@pytest.mark.parametrize(
    "kind",
    ["material", "foam", "board", "box", "divider", "cutter", "machine", "dialect", "rates", "handling", "solid"],
)
def test_every_kind_is_found_by_id_and_an_unknown_id_names_the_nearest(kind):
    told = load_cards()
    card_id = told.ids(kind)[0]
    assert getattr(told, kind)(card_id).id == card_id
    with pytest.raises(CatalogueError) as refusal:
        getattr(told, kind)(card_id + "x")
    assert refusal.value.parameters["nearest"] == card_id


def test_cards_that_other_cards_name_are_there():
    told = load_cards()
    for board in told.ids("board"):
        assert told.stuff_of(told.board(board))
    for machine in told.ids("machine"):
        assert all(told.cutter(cutter) for cutter in told.machine(machine).cutters)
