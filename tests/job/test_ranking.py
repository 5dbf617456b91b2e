"""Same cause, one finding; at most three stops and five warnings first."""

from __future__ import annotations

from traywright.base import Severity, finding
from traywright.job.ranking import one_a_cause, shown_first


def test_one_finding_a_cause_keeps_the_worst_and_all_places():
    same = [
        finding("PRO-001", Severity.WARN, ("T1.C10",), cause="spindle/left"),
        finding("PRO-001", Severity.STOP, ("T1.C2",), cause="spindle/left"),
        finding("PRO-001", Severity.STOP, ("T1.C2",), cause="prism/left"),
    ]
    merged = one_a_cause(same)
    assert len(merged) == 2
    assert {(one.severity, one.at) for one in merged} == {
        (Severity.STOP, ("T1.C2", "T1.C10")),
        (Severity.STOP, ("T1.C2",)),
    }


def test_three_stops_and_five_warnings_show_first():
    many = [finding(f"PRO-{n:03d}", Severity.STOP, (f"T{n}",)) for n in range(5)]
    many += [finding(f"TRAY-{n:03d}", Severity.WARN, (f"T{n}",)) for n in range(7)]
    many += [finding("NEST-001", Severity.NOTE, ("B1",))]
    first, more = shown_first(one_a_cause(many))
    assert [one.severity for one in first] == [Severity.STOP] * 3 + [Severity.WARN] * 5
    assert more == 13 - 8


def test_stops_of_other_codes_go_before_a_second_one_of_the_same():
    stops = [finding("PRO-001", Severity.STOP, (f"T{n}",)) for n in range(3)]
    stops += [finding("PRO-009", Severity.STOP, ("T9",)), finding("TRAY-001", Severity.STOP, ("T9",))]
    first, _ = shown_first(one_a_cause(stops))
    assert sorted(one.code for one in first) == ["PRO-001", "PRO-009", "TRAY-001"]


def test_a_finding_that_names_no_cause_keeps_its_places_as_cause_in_any_order():
    """KeyError when the file's pointers were made: places out of order lost their finding."""
    (merged,) = one_a_cause([finding("TRAY-013", Severity.NOTE, ("spindle", "T1.C6"))])
    assert merged.at == ("T1.C6", "spindle")
    assert merged.cause == "spindle/T1.C6"
    assert one_a_cause([merged]) == (merged,)
