"""Loose strokes joined into loops: small gaps closed, doubled lines dropped, forks told and not guessed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import shapely

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import GAP_MM, SAME_MM
from traywright.geometry import Contour, Corner, Edge, Point
from traywright.parts.drawing import DrawnLine

NODE_MM = 0.01
"""Ends nearer than this meet.  # source: what a drawing is held to, DRAWN_MM"""

TOLD_GAP_MM = 5.0
"""Gaps too wide to be joined are told up to here.  # source: common practice, no source"""

Group = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Loops and open lines of a drawing, with what was mended."""

    loops: tuple[DrawnLine, ...]
    lines: tuple[DrawnLine, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """One edge with the entity it came from."""

    edge: Edge
    drawn_as: str

    def turned(self) -> _Piece:
        """The edge run the other way."""
        one = self.edge
        back = Edge(start_mm=one.end_mm, end_mm=one.start_mm, bulge_ratio=-one.bulge_ratio)
        return _Piece(edge=back, drawn_as=self.drawn_as)


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
        closed by a straight edge; a line that lies wholly on another is dropped; ends where three lines or more meet
        stay as they are.
    """
    groups: dict[Group, list[DrawnLine]] = defaultdict(list)
    for one in strokes:
        groups[(one.layer, one.colour)].append(one)
    loops: list[tuple[Group, Contour, str]] = []
    lines: list[tuple[Group, Contour, str]] = []
    findings: list[Finding] = []
    for group in sorted(groups):
        found = _join_group(group, groups[group])
        loops += [(group, contour, kind) for contour, kind in found.loops]
        lines += [(group, contour, kind) for contour, kind in found.lines]
        findings += found.findings
    return Joined(
        loops=_numbered("L", loops),
        lines=_numbered("K", lines),
        findings=tuple(_counted(findings)),
    )


def _counted(findings: list[Finding]) -> Iterator[Finding]:
    """Findings of one kind with how many there are."""
    for one in findings:
        same = sum(each.code == one.code for each in findings)
        words: dict[str, Any] = {**dict(one.parameters), "count": same}
        yield finding(one.code, one.severity, one.at, point_mm=one.point_mm, cause=one.code, **words)


def _numbered(letter: str, found: list[tuple[Group, Contour, str]]) -> tuple[DrawnLine, ...]:
    """Contours in the order of layer, colour and place, with ids."""
    ordered = sorted(found, key=lambda one: (one[0], *(round(each, 3) for each in one[1].bounds_mm), one[1].corners))
    return tuple(
        DrawnLine(id=f"{letter}{number}", layer=layer, colour=colour, contour=contour, drawn_as=kind)
        for number, ((layer, colour), contour, kind) in enumerate(ordered, start=1)
    )


@dataclass(slots=True)
class _Found:
    """What one layer and colour gives, while it is joined."""

    loops: list[tuple[Contour, str]]
    lines: list[tuple[Contour, str]]
    findings: list[Finding]


def _join_group(group: Group, strokes: list[DrawnLine]) -> _Found:
    """Join the strokes of one layer and colour."""
    found = _Found(loops=[], lines=[], findings=[])
    closed = [one for one in strokes if one.contour.closed]
    _take_closed(group, closed, found)
    pieces = [
        _Piece(edge=edge, drawn_as=one.drawn_as)
        for one in strokes
        if not one.contour.closed
        for edge in one.contour.edges
        if edge.length_mm > SAME_MM
    ]
    kept = _without_doubles(group, pieces, found)
    chains = _chains(kept, group, found)
    smooth = {one.drawn_as for one in strokes if not one.contour.true_arcs}
    for chain in _gaps_closed(chains, group, found):
        kinds = sorted({one.drawn_as for one in chain})
        contour = _contour(chain, true_arcs=not smooth & set(kinds))
        (found.loops if contour.closed else found.lines).append((contour, "+".join(kinds)))
    return found


def _take_closed(group: Group, closed: list[DrawnLine], found: _Found) -> None:
    """Loops that were drawn as such; one that stands twice is dropped."""
    seen: set[tuple[float, ...]] = set()
    for one in sorted(closed, key=lambda each: each.contour.corners):
        contour = _standard(one.contour)
        mark = (
            *(round(each, 2) for each in contour.bounds_mm),
            round(contour.area_mm2, 1),
            round(contour.length_mm, 1),
        )
        if mark in seen:
            x, y = contour.corners[0][:2]
            found.findings.append(_mend("PART-036", group, (x, y), length_mm=contour.length_mm))
            continue
        seen.add(mark)
        found.loops.append((contour, one.drawn_as))


def _standard(contour: Contour) -> Contour:
    """A loop run counter-clockwise from its least corner."""
    turned = contour if contour.signed_area_mm2 >= 0.0 else contour.turned_back()
    first = min(range(len(turned.corners)), key=lambda one: turned.corners[one][:2])
    corners = (*turned.corners[first:], *turned.corners[:first])
    return Contour(corners=corners, closed=True, true_arcs=turned.true_arcs)


def _mend(code: str, group: Group, at_mm: Point, severity: Severity = Severity.NOTE, **words: float) -> Finding:
    """What was mended on a layer, with its place."""
    place = (round(at_mm[0], 3) + 0.0, round(at_mm[1], 3) + 0.0)
    told: dict[str, Any] = {key: round(one, 3) for key, one in words.items()}
    told |= {"layer": group[0], "x_mm": place[0], "y_mm": place[1]}
    return finding(code, severity, (group[0],), point_mm=place, **told)


# -- doubled lines ------------------------------------------------------------------------------------------------


def _key(piece: _Piece) -> tuple[float, ...]:
    """An edge whatever its sense, to a hundredth."""
    one = piece.edge
    ends = sorted((tuple(round(each, 2) for each in one.start_mm), tuple(round(each, 2) for each in one.end_mm)))
    middle = _middle(one)
    return (*ends[0], *ends[1], round(middle[0], 2), round(middle[1], 2))


def _middle(edge: Edge) -> Point:
    """The middle of an edge, on its arc."""
    (ax, ay), (bx, by), bulge = edge.start_mm, edge.end_mm, edge.bulge_ratio
    return ((ax + bx) / 2.0 + (by - ay) * bulge / 2.0, (ay + by) / 2.0 - (bx - ax) * bulge / 2.0)


def _without_doubles(group: Group, pieces: list[_Piece], found: _Found) -> list[_Piece]:
    """Edges, each once; a straight one that lies wholly on another is dropped too."""
    unique: dict[tuple[float, ...], _Piece] = {}
    for one in sorted(pieces, key=lambda each: (_key(each), each.edge.start_mm, each.drawn_as)):
        if _key(one) in unique:
            found.findings.append(_mend("PART-036", group, _middle(one.edge), length_mm=one.edge.length_mm))
        else:
            unique[_key(one)] = one
    kept = list(unique.values())
    return [one for number, one in enumerate(kept) if not _lies_on_another(number, kept, group, found)]


def _lies_on_another(number: int, pieces: list[_Piece], group: Group, found: _Found) -> bool:
    """True for a straight edge that lies wholly on a longer straight one."""
    one = pieces[number].edge
    if one.is_arc or len(pieces) > MOST_COMPARED:
        return False
    line = shapely.LineString([one.start_mm, one.end_mm])
    for other in pieces:
        longer = other.edge
        if longer is one or longer.is_arc or longer.chord_mm <= one.chord_mm + NODE_MM:
            continue
        whole = shapely.LineString([longer.start_mm, longer.end_mm])
        if max(whole.distance(shapely.Point(end)) for end in (one.start_mm, one.end_mm)) <= SAME_MM:
            found.findings.append(_mend("PART-036", group, _middle(one), length_mm=line.length))
            return True
    return False


MOST_COMPARED = 2000
"""Edges of one layer that are compared pair by pair.  # source: a second of work"""


# -- chains -------------------------------------------------------------------------------------------------------


def _nodes(pieces: list[_Piece]) -> dict[Point, int]:
    """A number for each end; ends that meet share it."""
    ends = sorted({end for one in pieces for end in (one.edge.start_mm, one.edge.end_mm)})
    tree = shapely.STRtree([shapely.Point(one) for one in ends])
    numbers: dict[Point, int] = {}
    for here, end in enumerate(ends):
        if end in numbers:
            continue
        numbers[end] = here
        for near in sorted(tree.query(shapely.Point(end), predicate="dwithin", distance=NODE_MM).tolist()):
            numbers.setdefault(ends[near], here)
    return numbers


def _chains(pieces: list[_Piece], group: Group, found: _Found) -> list[list[_Piece]]:
    """Edges in chains that end at forks and at free ends; a ring without either is a chain of its own."""
    if not pieces:
        return []
    numbers = _nodes(pieces)
    at_node: dict[int, list[int]] = defaultdict(list)
    for number, one in enumerate(pieces):
        for end in (one.edge.start_mm, one.edge.end_mm):
            at_node[numbers[end]].append(number)
    where = {node: end for end, node in sorted(numbers.items(), reverse=True)}
    forks = (node for node, edges in at_node.items() if len(edges) > 2 and len(edges) % 2)
    found.findings += [
        _mend("PART-038", group, where[node], Severity.WARN, lines=len(at_node[node]))
        for node in sorted(forks, key=lambda one: where[one])
    ]
    left = set(range(len(pieces)))
    starts = [node for node in sorted(at_node) if len(at_node[node]) != 2]
    ways = [(node, number) for node in (*starts, *sorted(at_node)) for number in at_node[node]]
    return [_walk(node, number, pieces, numbers, at_node, left) for node, number in ways if number in left]


def _walk(  # reason: one walk needs the whole graph and what is left of it
    node: int,
    number: int,
    pieces: list[_Piece],
    numbers: dict[Point, int],
    at_node: dict[int, list[int]],
    left: set[int],
) -> list[_Piece]:
    """The chain that starts at a node with an edge, up to the next fork, free end, or its own start."""
    chain, here = [], node
    while True:
        left.discard(number)
        one = pieces[number]
        turned = one if numbers[one.edge.start_mm] == here else one.turned()
        chain.append(turned)
        here = numbers[turned.edge.end_mm]
        onward = [each for each in at_node[here] if each in left]
        if len(at_node[here]) != 2 or not onward or here == node:
            return chain
        number = onward[0]


def _is_ring(chain: list[_Piece]) -> bool:
    """True for a chain that ends where it starts."""
    apart = math.dist(chain[0].edge.start_mm, chain[-1].edge.end_mm)
    return apart <= NODE_MM and (len(chain) > 1 or chain[0].edge.is_arc)


def _gaps_closed(chains: list[list[_Piece]], group: Group, found: _Found) -> list[list[_Piece]]:
    """Chains joined over small gaps, the smallest gap first; wider ones are told."""
    rings = [one for one in chains if _is_ring(one)]
    open_ones = [one for one in chains if not _is_ring(one)]
    while open_ones:
        gap = _smallest_gap(open_ones)
        if gap is None or gap[0] > GAP_MM:
            break
        _, first, second = gap
        found.findings.append(_told_gap("PART-035", group, open_ones, gap))
        chain = _linked(open_ones, first, second)
        open_ones = [one for number, one in enumerate(open_ones) if number not in {first[0], second[0]}]
        (rings if _is_ring(chain) else open_ones).append(chain)
    gap = _smallest_gap(open_ones) if open_ones else None
    if gap is not None and gap[0] <= TOLD_GAP_MM:
        found.findings.append(_told_gap("PART-037", group, open_ones, gap, Severity.WARN))
    return [*rings, *open_ones]


End = tuple[int, bool]
"""A chain by its number, and True for its last end."""


def _end(chains: list[list[_Piece]], end: End) -> Point:
    """Where an end of a chain lies."""
    chain = chains[end[0]]
    return chain[-1].edge.end_mm if end[1] else chain[0].edge.start_mm


def _smallest_gap(chains: list[list[_Piece]]) -> tuple[float, End, End] | None:
    """The two nearest free ends that may be joined; ends of a fork are none."""
    ends: list[End] = [(number, last) for number in range(len(chains)) for last in (False, True)]
    points = [shapely.Point(_end(chains, one)) for one in ends]
    tree = shapely.STRtree(points)
    best: tuple[float, End, End] | None = None
    for number, point in enumerate(points):
        near = tree.query(point, predicate="dwithin", distance=TOLD_GAP_MM).tolist()
        meeting = [one for one in near if one != number and points[one].distance(point) <= NODE_MM]
        if meeting:
            continue
        for other in near:
            apart = float(points[other].distance(point))
            own = ends[other][0] == ends[number][0]
            if other <= number or (own and _length(chains[ends[number][0]]) <= 2.0 * apart):
                continue
            if best is None or apart < best[0]:
                best = (apart, ends[number], ends[other])
    return best


def _length(chain: list[_Piece]) -> float:
    """Length of a chain, mm."""
    return math.fsum(one.edge.length_mm for one in chain)


def _linked(chains: list[list[_Piece]], first: End, second: End) -> list[_Piece]:
    """Two chains, or the two ends of one, with a straight edge between."""
    one = chains[first[0]] if first[1] else _turned(chains[first[0]])
    start = one[-1].edge.end_mm
    if first[0] == second[0]:
        bridge = _Piece(
            edge=Edge(start_mm=start, end_mm=one[0].edge.start_mm, bulge_ratio=0.0), drawn_as=one[0].drawn_as
        )
        return [*one, bridge]
    other = _turned(chains[second[0]]) if second[1] else chains[second[0]]
    bridge = _Piece(edge=Edge(start_mm=start, end_mm=other[0].edge.start_mm, bulge_ratio=0.0), drawn_as=one[0].drawn_as)
    return [*one, bridge, *other]


def _turned(chain: list[_Piece]) -> list[_Piece]:
    """A chain run the other way."""
    return [one.turned() for one in reversed(chain)]


def _told_gap(
    code: str,
    group: Group,
    chains: list[list[_Piece]],
    gap: tuple[float, End, End],
    severity: Severity = Severity.NOTE,
) -> Finding:
    """A gap with its place and width."""
    (ax, ay), (bx, by) = _end(chains, gap[1]), _end(chains, gap[2])
    return _mend(code, group, ((ax + bx) / 2.0, (ay + by) / 2.0), severity, gap_mm=gap[0])


def _contour(chain: list[_Piece], *, true_arcs: bool) -> Contour:
    """A chain as a contour; a ring runs counter-clockwise from its least corner."""
    corners: list[Corner] = [(*one.edge.start_mm, one.edge.bulge_ratio) for one in chain]
    if _is_ring(chain):
        return _standard(Contour(corners=tuple(corners), closed=True, true_arcs=true_arcs))
    corners.append((*chain[-1].edge.end_mm, 0.0))
    found = Contour(corners=tuple(corners), closed=False, true_arcs=true_arcs)
    return min(found, found.turned_back(), key=lambda one: one.corners)
