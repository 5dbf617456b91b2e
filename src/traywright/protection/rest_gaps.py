"""How near parts stand to each other at rest, before anything falls."""

from __future__ import annotations

from itertools import combinations

from traywright.base import Figure, Finding, Given, Limit, Severity, derive, finding, shown
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import table
from traywright.geometry import Region
from traywright.protection.surroundings import Place, Surroundings


def rest_gaps(around: Surroundings, source: Given | Figure) -> tuple[tuple[Finding, ...], tuple[Figure, ...]]:
    """Least level gap of each part kind to its neighbours at rest, and where it is too small.

    Parameters
    ----------
    around
        The closed pack.
    source
        The number that the layout came from (the kits asked for, or the gross mass), as ground of the figures.

    Returns
    -------
    findings, figures
        One figure a part kind; a stop for each part kind with a gap under ``gap_keep`` (table ``protection_rules``).

    Notes
    -----
    Parts of one height band are compared by their outlines seen from above: never more than the true distance.
    """
    outlines = [(place, place.outline) for place in around.places]
    least: dict[str, tuple[float, Place, Place, Region, Region]] = {}
    for (one, here), (other, there) in combinations(outlines, 2):
        if _side_by_side(one, other):
            gap_mm = here.distance_mm(there)
            for part in {one.part: None, other.part: None}:
                if part not in least or gap_mm < least[part][0]:
                    least[part] = (gap_mm, one, other, here, there)
    keep = table("protection_rules").given("gap_keep", "value")
    figures, findings = [], []
    for part, (gap_mm, one, other, here, there) in sorted(least.items()):
        figure = derive(
            f"protection/{part}/rest/gap",
            gap_mm,
            "mm",
            what="gap at rest",
            of=part,
            case=f"{one.cell} - {other.cell}",
            method="least distance of outlines seen from above",
            inputs=(source,),
        )
        figures.append(figure)
        if gap_mm < keep.value:
            findings.append(_too_near(part, figure, keep, (one, other), point_mm=here.nearest_pair_mm(there)[0]))
    return tuple(findings), tuple(figures)


def _side_by_side(one: Place, other: Place) -> bool:
    """True if two parts share heights."""
    low, high = one.at_mm[2], one.at_mm[2] + one.pose.size_mm[2]
    return low < other.at_mm[2] + other.pose.size_mm[2] and other.at_mm[2] < high


def _too_near(
    part: str, figure: Figure, keep: Given, pair: tuple[Place, Place], *, point_mm: tuple[float, float]
) -> Finding:
    """The stop of a part that stands too near to a neighbour."""
    return finding(
        "PRO-010",
        Severity.STOP,
        (pair[0].cell, pair[1].cell),
        point_mm=point_mm,
        figure=figure.path,
        limit=Limit(value=keep.value, unit=keep.unit, status=keep.status, source=keep.source),
        cause=f"{part}/level/rest",
        part=part,
        gap=shown(figure.value, 1, limit=keep.value, upper=False),
        keep=f"{keep.value:g}",
    )


def judge_play(around: Surroundings) -> tuple[Finding, ...]:
    """The warning of each part kind that has more play in its cell than ``play_most`` (table ``protection_rules``)."""
    most = table("protection_rules").given("play_most", "value")
    loose: dict[str, list[Place]] = {}
    for place in around.places:
        if 2.0 * place.play_mm > most.value + SAME_MM:
            loose.setdefault(place.part, []).append(place)
    return tuple(
        finding(
            "PRO-063",
            Severity.WARN,
            tuple(place.cell for place in places),
            limit=Limit(value=most.value, unit=most.unit, status=most.status, source=most.source),
            cause=f"{part}/play",
            part=part,
            play=shown(2.0 * max(place.play_mm for place in places), 1, limit=most.value),
            most=f"{most.value:g}",
        )
        for part, places in sorted(loose.items())
    )
