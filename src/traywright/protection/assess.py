"""The judgement of a closed pack: every check, every finding at once, every figure with its ground."""

from __future__ import annotations

from itertools import groupby

from traywright.base import Figure, Finding, Severity, finding
from traywright.protection.asked import AssessmentAsked
from traywright.protection.damage import judge_damages
from traywright.protection.drop_checks import judge_falls, judge_rest
from traywright.protection.drops import DropCase
from traywright.protection.fall_figures import fall_figures
from traywright.protection.falls import Fall, falls_of
from traywright.protection.handling_checks import judge_class, judge_lid, judge_lifts
from traywright.protection.rest_gaps import judge_play, rest_gaps
from traywright.protection.static_load import judge_static
from traywright.protection.surroundings import Surroundings, surroundings_of
from traywright.protection.verdict import verdict_of
from traywright.protection.wall_need import DIRECTIONS, Assessment

_Told = tuple[list[Finding], list[Figure]]

ORDER = (
    ("PRO-010", "PRO-011", "PRO-012", "PRO-026", "PRO-027", "PRO-034"),
    ("PRO-020", "PRO-021", "PRO-024"),
    ("PRO-022", "PRO-023"),
    ("PRO-030", "PRO-033", "PRO-031", "PRO-032"),
    ("PRO-040", "PRO-042", "PRO-043", "PRO-080"),
    ("PRO-050", "PRO-051", "PRO-052", "PRO-053"),
    ("PRO-060", "PRO-061", "PRO-062", "PRO-063"),
)
"""Order in which findings are told: gaps, strain, peak, contact rules, rest, lifting, lid and play, then all others."""


def assess(question: AssessmentAsked) -> Assessment:
    """Findings, figures and verdict of a closed pack.

    Parameters
    ----------
    question
        The pack with its trays, parts, foam, handling, lifts and past damage.

    Returns
    -------
    Assessment
        In the order of ``ORDER``: gaps come before acceleration. Figures of falls stand at both rates. With hazards
        only one finding; without a curve everything but the falls.

    Notes
    -----
    Flat drops on the six faces. Each part by its own mass, neighbours standing still, straight, without tilt: no
    chain of a row or of layers, no edge or corner drops, no climate. See ``docs/protection.md``.
    """
    if question.hazards:
        told = finding("PRO-081", Severity.WARN, (), cause="hazards", hazards=", ".join(question.hazards))
        return Assessment(findings=(told,), figures=(), verdict=verdict_of((told,), (), calculated=False))
    around = surroundings_of(question.pack, question.trays, dict(question.poses), question.foam.id)
    class_findings, cases = judge_class(question.handlings, question.gross)
    findings, figures = _standing(question, around)
    findings += class_findings
    falls = falls_of(around, question.foam, cases)
    for found, worked_out in (_falling(question, falls, cases), _carried(question)):
        findings += found
        figures += worked_out
    calculated = question.foam.has_curve and bool(cases)
    findings.sort(key=lambda one: _place(one.code))
    findings += judge_damages(question.damages, tuple(findings), calculated=calculated)
    return Assessment(
        findings=tuple(findings),
        figures=tuple(figures),
        verdict=verdict_of(findings, figures, calculated=calculated),
    )


def _place(code: str) -> tuple[int, int]:
    """Place of a code in ``ORDER``; after all of them where it is not in it."""
    for number, group in enumerate(ORDER):
        if code in group:
            return number, group.index(code)
    return len(ORDER), 0


def _standing(question: AssessmentAsked, around: Surroundings) -> _Told:
    """What is said of the pack as it stands: gaps at rest, grades of foam, static."""
    findings, figures = rest_gaps(around, question.gross)
    found = list(findings)
    foam = question.foam
    found += [
        finding("PRO-073", Severity.NOTE, (tray.id,), cause="other foam", tray=tray.name, foam=foam.id)
        for tray in question.trays
        if tray.foam != foam.id
    ]
    packed = {place.part: place.pose.part for place in around.places}
    found += [
        finding("PRO-080", Severity.STOP, _cells(around, one.id), cause="static", part=one.id, foam=foam.id)
        for one in packed.values()
        if one.static_sensitive and not foam.dissipative
    ]
    found += [
        finding("PRO-014", Severity.NOTE, (place.cell,), cause=f"{place.part}/turn", part=place.part)
        for place in around.places
        if place.turn_deg % 90.0
    ]
    return [*found, *judge_play(around)], list(figures)


def _falling(question: AssessmentAsked, falls: tuple[Fall, ...], cases: tuple[DropCase, ...]) -> _Told:
    """What is said of all falls, part by part; figures direction by direction as well."""
    findings: list[Finding] = []
    figures: list[Figure] = []
    ordered = sorted(falls, key=lambda one: (one.part, DIRECTIONS.index(one.direction)))
    for _, of_one in groupby(ordered, key=lambda one: one.part):
        of_part = tuple(of_one)
        findings += judge_rest(of_part)
        if question.foam.has_curve and cases:
            findings += judge_falls(of_part, question.foam)
            for _, of_side in groupby(of_part, key=lambda one: one.direction):
                figures += fall_figures(tuple(of_side), question.foam)
        found, worked_out = judge_static([one for one in of_part if one.direction == DIRECTIONS[0]], question.foam)
        findings += found
        figures += worked_out
    findings += _limits_of_method(question, falls)
    return findings, figures


def _limits_of_method(question: AssessmentAsked, falls: tuple[Fall, ...]) -> list[Finding]:
    """What is not calculated, and what is outside data."""
    foam = question.foam
    if not foam.has_curve:
        return [finding("PRO-001", Severity.WARN, (), cause="curve", foam=foam.id)]
    found = []
    if any(one.to_part_mm() < float("inf") for one in falls):
        found.append(finding("PRO-013", Severity.NOTE, (), cause="row chain"))
    unknown = sorted({one.part for one in falls if one.pose.part.fragility is None})
    found += [finding("PRO-072", Severity.WARN, (), cause=f"{part}/fragility", part=part) for part in unknown]
    if foam.creep_limit_kpa is None:
        found.append(finding("PRO-041", Severity.NOTE, (), cause="creep", foam=foam.id))
    strains = [end.slow.strain_ratio for one in falls for end in one.landings]
    data_to = foam.strain_data_to_ratio
    if strains and (data_to is None or max(strains) > data_to):
        limit = "0" if data_to is None else f"{data_to:g}"
        found.append(finding("PRO-025", Severity.NOTE, (), cause="outside data", foam=foam.id, data_to=limit))
    return found


def _carried(question: AssessmentAsked) -> _Told:
    """What is said of the closed box in people's hands and of its lid."""
    findings, figures = judge_lifts(question.lifts, question.gross)
    return [*findings, *judge_lid(question.lid_gap)], list(figures)


def _cells(around: Surroundings, part: str) -> tuple[str, ...]:
    """All cells of a part kind."""
    return tuple(place.cell for place in around.places if place.part == part)
