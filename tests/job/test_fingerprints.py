"""A new rate voids no approval; a moved bridge or another cutter voids the programs only."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from traywright.catalogue import Catalogue
from traywright.job.fingerprints import cut_fingerprint, trays_fingerprint
from traywright.job.pipeline import Clock, run_stages
from traywright.job.progress import silent
from traywright.job.result_file import judge
from traywright.job.run import cards_of, read_job

ENQUIRY = Path(__file__).resolve().parents[2] / "examples" / "one_block" / "enquiry.toml"


@pytest.fixture(scope="module")
def asked():
    return read_job(ENQUIRY)


@pytest.fixture(scope="module")
def done(asked):
    return run_stages(asked, workers=1, clock=Clock(silent))


def changed(catalogue, card_id, **numbers):
    """The catalogue with some numbers of one card changed."""
    return Catalogue(
        files=tuple(
            replace(one, card=replace(one.card, **numbers), content=b"changed") if one.card.id == card_id else one
            for one in catalogue.files
        )
    )


def prints(asked, done=None):
    done = done or run_stages(asked, workers=1, clock=Clock(silent))
    return judge(done, cards_of(asked)).judgement.fingerprint


def test_a_new_hourly_rate_changes_the_offer_alone(asked, done):
    rates = asked.catalogue.rates("demo-rates")
    dearer = changed(asked.catalogue, rates.id, machine_per_h=rates.machine_per_h * 2)
    before, after = prints(asked, done), prints(replace(asked, catalogue=dearer))
    assert {key for key in before if before[key] != after[key]} == {"inputs", "offer"}


def cut_of(done, setups, *, cutters=None):
    machine = done.asked.catalogue.machine("demo-router-1300")
    known = [done.asked.catalogue.cutter(one) for one in machine.cutters]
    return cut_fingerprint(trays_fingerprint(done.drawn), tuple(setups), machine, tuple(cutters or known))


def test_a_moved_bridge_changes_the_cut(done):
    setups = [one.setup for one in done.made]
    bridge = setups[0].bridges[0]
    moved = replace(bridge, at_mm=(bridge.at_mm[0] + 1.0, bridge.at_mm[1]))
    other = [replace(setups[0], bridges=(moved, *setups[0].bridges[1:])), *setups[1:]]
    assert cut_of(done, setups) != cut_of(done, other)


def test_another_cutter_under_the_same_name_changes_the_cut(done):
    setups = [one.setup for one in done.made]
    flat, ball = (done.asked.catalogue.cutter(one) for one in ("flat-12", "ball-12"))
    thinner = replace(flat, diameter_mm=flat.diameter_mm - 2.0)
    assert cut_of(done, setups) != cut_of(done, setups, cutters=(thinner, ball))


def test_more_boards_of_the_same_programs_leave_the_cut_as_it_is(done):
    setups = [one.setup for one in done.made]
    assert cut_of(done, setups) == cut_of(done, [replace(one, runs=one.runs + 1) for one in setups])
