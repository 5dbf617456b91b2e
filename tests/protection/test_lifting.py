from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from protection.packs import codes, figure, lift, question
from traywright.base import Severity
from traywright.protection import assess, lift_figures, lift_limit


@given(st.floats(min_value=250.0, max_value=630.0), st.floats(min_value=250.0, max_value=630.0))
def test_farther_hands_lift_less(one, other):
    near, far = sorted((one, other))
    assert lift_limit(lift(hand_distance=far)).limit_kg <= lift_limit(lift(hand_distance=near)).limit_kg


@given(st.floats(min_value=0.0, max_value=16.0), st.floats(min_value=0.0, max_value=16.0))
def test_more_often_lifts_less(one, other):
    seldom, often = sorted((one, other))
    assert lift_limit(lift(frequency=often)).limit_kg <= lift_limit(lift(frequency=seldom)).limit_kg


def test_between_two_rows_the_next_higher_one():
    assert lift_limit(lift(frequency=2.5)).multipliers_ratio[4] == lift_limit(lift(frequency=3.0)).multipliers_ratio[4]


def test_more_than_eight_hours_take_the_longest_column():
    assert lift_limit(lift(hours=9.0)).multipliers_ratio[4] == lift_limit(lift(hours=8.0)).multipliers_ratio[4]


def test_two_people_share_and_it_is_said():
    gross = figure("pack/gross", 19.6, "kg")
    alone, shared = (lift_figures(lift(people=count), gross)[1] for count in (1, 2))
    assert shared.value * 2 == alone.value
    assert "PRO-052" in codes(assess(question(lifts=(lift(people=2),))))


def test_index_over_one_warns_over_three_stops():
    for gross_kg, code, severity in ((19.6, "PRO-050", Severity.WARN), (60.0, "PRO-051", Severity.STOP)):
        told = assess(question(gross_kg=gross_kg, lifts=(lift(),)))
        assert [one.severity for one in told.findings if one.code == code] == [severity]
    assert not {"PRO-050", "PRO-051"} & codes(assess(question(gross_kg=10.0, lifts=(lift(),))))


def test_out_of_reach_is_no_lift():
    assert lift_figures(lift(hand_distance=700.0), figure("pack/gross", 5.0, "kg"))[1] is None
    assert "PRO-053" in codes(assess(question(lifts=(lift(height=1800.0),))))
