"""Programs that this house writes are read back true, and the ten faults in them are told: the two witnesses meet."""

from __future__ import annotations

import dataclasses
import re

import pytest

from traywright.catalogue import load_cards
from traywright.cutting import plan_cuts
from traywright.geometry import Region
from traywright.holddown import place_bridges
from traywright.nc import ProgramHead, write_program
from traywright.trays.floor import Flat
from traywright.trays.tray import FeatureKind
from traywright.verification import read_back
from verification import scenes
from verification.faults import FAULTS, bridge_cut

CARDS = load_cards(None)
MACHINE = CARDS.machine("demo-router-1300")
CUTTERS = {1: CARDS.cutter("flat-12")}
HEAD = ProgramHead(job="j", revision="A", release="0", cut="sha256:0")


def feature(name, kind, region, z_mm):
    return dataclasses.replace(scenes.POCKET, id=name, kind=kind, region=region, floor=Flat(z_mm=z_mm))


RICH = scenes.ply(
    scenes.POCKET,
    feature("F2", FeatureKind.SLOT, Region.rectangle(0, 34, 100, 46), 14.0),
    feature("F3", FeatureKind.HOLE, Region.disc((85, 15), 7.0), 0.0),
    feature("F4", FeatureKind.WINDOW, Region.rectangle(16, 64, 50, 66).grown(6), 0.0),
    feature("F5", FeatureKind.POCKET, Region.polygon([(30, 13), (60, 13), (45, 22)]).grown(6), 8.0),
)


def written(ply, turns, cutters=CUTTERS, bridges=()):
    piece = scenes.SETUP.pieces[0]
    places = [
        dataclasses.replace(piece, id=f"B1.{at + 1}", at_mm=(20.0 + 112.0 * at, 20.0), turn_deg=turn)
        for at, turn in enumerate(turns)
    ]
    blank = Region.rectangle(0, 0, 40.0 + 112.0 * len(turns), 140)
    bare = scenes.setup(pieces=tuple(places), blank=blank, bridges=())
    plies = {"T1.P1": ply}
    setup = dataclasses.replace(bare, bridges=bridges or place_bridges(bare, plies, MACHINE, cutters).bridges)
    plan = plan_cuts(setup, plies, MACHINE, cutters)
    dialect = CARDS.dialect("demo-mm")
    program = write_program(plan, setup, machine=MACHINE, dialect=dialect, cutters=cutters, head=HEAD)
    asked = {"name": program.name, "setup": setup, "plies": plies, "machine": MACHINE, "cutters": cutters}
    return program.text, asked


@pytest.mark.parametrize("turns", [(0,), (90,), (0, 180, 0)])
@pytest.mark.parametrize("ply", [scenes.ply(), RICH], ids=["block", "rich"])
def test_what_is_written_is_read_back_true(ply, turns):
    text, asked = written(ply, turns)
    result = read_back(text, **asked)
    assert result.findings == ()
    assert result.true


BETWEEN = dataclasses.replace(scenes.BRIDGES[0], at_mm=(120.0, 60.0), along=(0.0, 1.0))  # from B1.1 to B1.2
NARROW = {1: dataclasses.replace(CUTTERS[1], diameter_mm=8.0)}  # the kerf is 12


def test_a_bridge_between_two_pieces_is_no_skin_for_a_cutter_narrower_than_the_kerf():
    text, asked = written(scenes.ply(), (0, 0), NARROW, (BETWEEN,))
    result = read_back(text, **asked)
    assert result.findings == ()
    assert result.true


def test_a_bridge_that_the_next_piece_cuts_off_is_told():
    text, asked = written(scenes.ply(), (0, 0), NARROW, (BETWEEN,))
    rows = text.splitlines()
    cut = [row for row in rows if re.search(r"G1 X128\.0000|G1 Y[0-9.]+ Z6\.0000", row)]
    assert cut
    low = [re.sub(r"Z6\.0000", f"Z{-MACHINE.into_spoil_mm:.4f}", row) if row == cut[-1] else row for row in rows]
    told = {one.code for one in read_back("\n".join(low) + "\n", **asked).findings}
    assert told & {"RB-063", "RB-064"}


def test_a_bridge_on_a_round_edge_is_no_skin():
    round_ply = scenes.ply(
        feature("F1", FeatureKind.POCKET, Region.disc((50.0, 40.0), 15.0), 10.0), region=Region.disc((50.0, 40.0), 30.0)
    )
    text, asked = written(round_ply, (0,))
    assert asked["setup"].bridges
    result = read_back(text, **asked)
    assert result.findings == ()
    assert result.true


@pytest.fixture(scope="module")
def rich():
    return written(RICH, (0,))


@pytest.mark.parametrize("name", FAULTS)
def test_faults_in_a_written_program_are_told(rich, name):
    text, asked = rich
    make, own = FAULTS[name]
    if make is bridge_cut:
        spoiled, _ = make(text, asked["setup"].bridges[0].height_mm, -MACHINE.into_spoil_mm)
    else:
        spoiled, _ = make(text)
    result = read_back(spoiled, **asked)
    assert not result.true
    told = [one for one in result.findings if one.code in own]
    assert told
    assert all(one.point_mm and dict(one.parameters)["line"] for one in told)


def test_all_pockets_three_tenths_shallow_is_false(rich):
    text, asked = rich
    spoiled, _ = FAULTS["a depth of 0.3 mm"][0](text, every=True)
    result = read_back(spoiled, **asked)
    assert not result.true
    assert result.remainder_mm == pytest.approx(0.3, abs=0.001)
