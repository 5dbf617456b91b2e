"""A fixed share of each campaign runs with the suite; a campaign goes on where it stopped."""

from __future__ import annotations

import importlib.util
import random

import pytest

from house.source import ROOT

SHARE = 0.05
SEED = 1


def runner():
    spec = importlib.util.spec_from_file_location("campaign_runner", ROOT / "campaigns" / "runner.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", runner().names())
def test_a_share_of_each_campaign_holds(name):
    campaign = runner().load(name)
    cases = runner().judged(campaign, SEED, range(max(1, round(campaign.COUNT * SHARE))), briefly=True)
    assert [(number, fault) for number, fault, _ in cases if fault] == []


def test_a_case_depends_on_its_own_number_only():
    class Drawn:
        @staticmethod
        def judge(draw: random.Random) -> str:
            return str(draw.random())

    forward = list(runner().judged(Drawn, SEED, range(3)))
    assert list(runner().judged(Drawn, SEED, iter([2]))) == [forward[2]]


def test_a_campaign_of_long_cases_is_judged_briefly_in_the_suite_only():
    class Long:
        @staticmethod
        def judge(draw: random.Random) -> str:
            return "long"

        @staticmethod
        def judge_briefly(draw: random.Random) -> str:
            return "brief"

    assert [fault for _, fault, _ in runner().judged(Long, SEED, range(1))] == ["long"]
    assert [fault for _, fault, _ in runner().judged(Long, SEED, range(1), briefly=True)] == ["brief"]


def test_a_broken_record_line_is_done_again(tmp_path):
    record = tmp_path / "record.jsonl"
    record.write_text('[0, "", ""]\n[1, "off", "kind"]\n[2, "', encoding="utf-8")
    assert runner().done(record) == {0: ("", ""), 1: ("off", "kind")}


def test_the_page_counts_the_cases_of_each_kind():
    page = runner().table("one", "A title.", SEED, {0: ("", "told"), 1: ("", "told"), 2: ("off", "not told")}, 3)
    assert "| told | 2 |" in page
    assert "| not told | 1 |" in page
    assert "| 2 | off |" in page
