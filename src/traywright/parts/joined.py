"""Loose strokes joined into loops: small gaps closed, doubled lines dropped, forks told and not guessed."""

from __future__ import annotations

import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import shapely

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import DRAWN_CHORD_MM, DRAWN_MM, SAME_MM
from traywright.geometry import Contour, Corner, Point, Region
from traywright.parts.chains import Chain, Chained, chained
from traywright.parts.drawing import DrawnLine
from traywright.parts.drawing_limits import MOST_CHORDS, check_count
from traywright.parts.overlaps import without_doubles
from traywright.parts.pieces import Doubled, Piece, near_pairs

Group = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Loops and open lines of a drawing, with what was mended."""

    loops: tuple[DrawnLine, ...]
    lines: tuple[DrawnLine, ...]
    findings: tuple[Finding, ...]


class _Found:
    """What one layer and colour gives, while it is joined."""

    def __init__(self) -> None:
        self.loops: list[tuple[Contour, str]] = []
        self.lines: list[tuple[Contour, str]] = []
        self.findings: list[Finding] = []


def joined(strokes: Iterable[DrawnLine]) -> Joined:
    """Loops and open lines of one drawing.

    Parameters
    ----------
    strokes
        Strokes in millimetres, in any order and sense.

    Returns
    -------
    Joined
        The same whatever the order of the strokes. Lines join within a layer and a colour only. Gaps up to 0.5 mm are
        closed by a straight edge; a line or loop that stands twice, whole or in part, is dropped where it does; where
        three ends or more come together, nothing is guessed.

    Raises
    ------
    PartError
        PART-029 if more lines lie together than in any drawing.
    """
    groups: dict[Group, list[DrawnLine]] = defaultdict(list)
    chords = 0.0
    for one in strokes:
        chords += _chords(one.contour)
        check_count(math.ceil(chords), MOST_CHORDS)
        groups[(one.layer, one.colour)].append(one)
    loops: list[tuple[Group, Contour, str]] = []
    lines: list[tuple[Group, Contour, str]] = []
    findings: list[Finding] = []
    for group in sorted(groups):
        found = _join_group(group, groups[group])
        loops += [(group, contour, kind) for contour, kind in found.loops]
        lines += [(group, contour, kind) for contour, kind in found.lines]
        findings += found.findings
    return Joined(loops=_numbered("L", loops), lines=_numbered("K", lines), findings=tuple(_counted(findings)))


def _chords(contour: Contour) -> float:
    """About how many chords a contour has, without making them: a chord of angle t lies r t² / 8 off its arc."""
    bent = (one for one in contour.edges if one.is_arc)
    return math.fsum(abs(one.turn_rad) * math.sqrt(one.radius_mm / (8.0 * DRAWN_CHORD_MM)) for one in bent)


def _counted(findings: list[Finding]) -> Iterator[Finding]:
    """Findings of one kind with how many there are."""
    counts = Counter(one.code for one in findings)
    for one in findings:
        words: dict[str, Any] = {**dict(one.parameters), "count": counts[one.code]}
        yield finding(one.code, one.severity, one.at, point_mm=one.point_mm, cause=one.code, **words)


def _numbered(letter: str, found: list[tuple[Group, Contour, str]]) -> tuple[DrawnLine, ...]:
    """Contours in the order of layer, colour and place, with ids."""
    ordered = sorted(found, key=lambda one: (one[0], *(round(each, 2) for each in one[1].bounds_mm), one[1].corners))
    return tuple(
        DrawnLine(id=f"{letter}{number}", layer=layer, colour=colour, contour=contour, drawn_as=kind)
        for number, ((layer, colour), contour, kind) in enumerate(ordered, start=1)
    )


def _join_group(group: Group, strokes: list[DrawnLine]) -> _Found:
    """Join the strokes of one layer and colour."""
    found = _Found()
    whole = [one for one in strokes if one.contour.closed and not _is_flat(one.contour)]
    loose = [one for one in strokes if not one.contour.closed or _is_flat(one.contour)]
    loops = [(_standard(one.contour), one.drawn_as) for one in whole]
    pieces = _off_loops(group, loops, _pieces(loose), found)
    kept, doubled = without_doubles(pieces)
    found.findings.extend(_doubled(group, doubled))
    chains = chained(kept)
    found.findings.extend(_told_of(group, chains))
    loops.extend((_standard(_contour(chain, closed=True)), _kinds(chain)) for chain in chains.rings)
    found.lines.extend((_line_of(chain), _kinds(chain)) for chain in chains.open_ones)
    found.loops.extend(_each_once(group, loops, found))
    found.findings.extend(_crossings(group, [contour for contour, _ in found.loops]))
    return found


def _is_flat(contour: Contour) -> bool:
    """True for a closed chain that runs there and back: it encloses nothing."""
    return contour.area_mm2 <= SAME_MM * contour.length_mm


def _pieces(strokes: Iterable[DrawnLine]) -> list[Piece]:
    """The edges of open strokes, one by one."""
    return [
        Piece(edge=edge, drawn_as=one.drawn_as, true_arcs=one.contour.true_arcs)
        for one in strokes
        for edge in one.contour.edges
    ]


def _kinds(chain: Chain) -> str:
    """The entities that a chain came from."""
    return "+".join(sorted({one.drawn_as for one in chain}))


def _mend(code: str, group: Group, at_mm: Point, severity: Severity = Severity.NOTE, **words: float) -> Finding:
    """What was mended on a layer, with its place."""
    place = (round(at_mm[0], 3) + 0.0, round(at_mm[1], 3) + 0.0)
    told: dict[str, Any] = {key: round(one, 3) for key, one in words.items()}
    told |= {"layer": group[0], "x_mm": place[0], "y_mm": place[1]}
    return finding(code, severity, (group[0],), point_mm=place, **told)


def _told_of(group: Group, chains: Chained) -> Iterator[Finding]:
    """Gaps and forks."""
    for place, width_mm in chains.closed_gaps:
        yield _mend("PART-035", group, place, gap_mm=width_mm)
    for place, width_mm in chains.wide_gaps:
        yield _mend("PART-037", group, place, Severity.WARN, gap_mm=width_mm)
    for place, lines in chains.forks:
        yield _mend("PART-038", group, place, Severity.WARN, lines=lines)


def _doubled(group: Group, doubled: Iterable[Doubled]) -> Iterator[Finding]:
    """Lines that stood twice."""
    for one in doubled:
        yield _mend("PART-036", group, one.at_mm, length_mm=one.length_mm)


# -- whole loops -----------------------------------------------------------------------------------------------------


def _standard(contour: Contour) -> Contour:
    """A loop run counter-clockwise from its least corner, without corners that fall together."""
    turned = contour if contour.signed_area_mm2 >= 0.0 else contour.turned_back()
    kept: list[Corner] = []
    for one in turned.corners:
        if kept and math.dist(kept[-1][:2], one[:2]) <= SAME_MM:
            kept[-1] = (*kept[-1][:2], one[2])
        else:
            kept.append(one)
    while len(kept) > 2 and math.dist(kept[0][:2], kept[-1][:2]) <= SAME_MM:
        kept.pop()
    first = min(range(len(kept)), key=lambda one: (kept[one], kept[(one + 1) % len(kept)]))
    return Contour(corners=(*kept[first:], *kept[:first]), closed=True, true_arcs=turned.true_arcs)


def _contour(chain: Chain, *, closed: bool) -> Contour:
    """A chain as a contour."""
    corners: list[Corner] = [(*one.edge.start_mm, one.edge.bulge_ratio) for one in chain]
    if not closed:
        corners.append((*chain[-1].edge.end_mm, 0.0))
    return Contour(corners=tuple(corners), closed=closed, true_arcs=all(one.true_arcs for one in chain))


def _line_of(chain: Chain) -> Contour:
    """An open chain from its lesser end."""
    found = _contour(chain, closed=False)
    return min(found, found.turned_back(), key=lambda one: one.corners)


def _each_once(group: Group, loops: list[tuple[Contour, str]], found: _Found) -> list[tuple[Contour, str]]:
    """Loops without those that stand twice: the one with true arcs and the fewest corners stays."""
    ordered = sorted(loops, key=lambda one: (not one[0].true_arcs, len(one[0].corners), one[0].corners, one[1]))
    bounds = [one[0].bounds_mm for one in ordered]
    near: dict[int, list[int]] = defaultdict(list)
    for one, other in near_pairs([(left, front) for left, front, _, _ in bounds], 2.0 * DRAWN_MM):
        near[other].append(one)
    dropped: set[int] = set()
    for number, (contour, _) in enumerate(ordered):
        if any(one not in dropped and _is_same(ordered[one][0], contour) for one in near[number]):
            dropped.add(number)
            found.findings.append(_mend("PART-036", group, contour.corners[0][:2], length_mm=contour.length_mm))
    return [one for number, one in enumerate(ordered) if number not in dropped]


def _is_same(one: Contour, other: Contour) -> bool:
    """True if two loops are one to what a drawing is held to."""
    if any(abs(a - b) > DRAWN_MM for a, b in zip(one.bounds_mm, other.bounds_mm, strict=True)):
        return False
    if abs(one.length_mm - other.length_mm) > DRAWN_MM * max(4, len(one.corners), len(other.corners)):
        return False
    return _within(one, other) and _within(other, one)


def _within(one: Contour, other: Contour) -> bool:
    """True if no corner and no middle of an arc of one loop lies off the other."""
    ring = shapely.LinearRing(other.points_mm())
    spots = [Piece(edge=edge, drawn_as="").middle_mm for edge in one.edges]
    spots += [(x, y) for x, y, _ in one.corners]
    return bool((shapely.distance(ring, shapely.points(spots)) <= DRAWN_MM + SAME_MM).all())


def _off_loops(group: Group, loops: list[tuple[Contour, str]], pieces: list[Piece], found: _Found) -> list[Piece]:
    """Loose edges without those that lie wholly on a loop that is drawn as one."""
    if not loops or not pieces:
        return pieces
    rings = [shapely.LinearRing(contour.points_mm()) for contour, _ in loops]
    tree, bands, kept = shapely.STRtree(rings), dict[int, shapely.Geometry](), []
    for one in pieces:
        line = shapely.LineString([one.edge.start_mm, *one.edge.points_mm()])
        on = False
        for ring in sorted(tree.query(line, predicate="dwithin", distance=DRAWN_MM).tolist()):
            spots = shapely.points([*one.ends_mm, one.middle_mm])
            if bool((shapely.distance(rings[ring], spots) <= DRAWN_MM).all()):  # a quick look first
                band = bands.setdefault(ring, rings[ring].buffer(2.0 * DRAWN_MM))
                on = on or bool(shapely.covers(band, line))
        if on:
            found.findings.append(_mend("PART-036", group, one.middle_mm, length_mm=one.edge.length_mm))
        else:
            kept.append(one)
    return kept


_PLACE = re.compile(r"\[(\S+) (\S+)\]")
"""Where the geometry library writes the spot of a crossing."""


def _crossings(group: Group, loops: list[Contour]) -> Iterator[Finding]:
    """Loops that cross or touch themselves."""
    for one in loops:
        points = one.points_mm()
        if len(points) < 3 or not Region.crosses_itself(points):
            continue
        told = _PLACE.search(shapely.is_valid_reason(shapely.Polygon(points)))
        place = (float(told[1]), float(told[2])) if told else points[0]
        yield _mend("PART-045", group, place, Severity.WARN)
