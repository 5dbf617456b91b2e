"""Edges that meet two by two, in chains and rings; gaps closed where only one end can be meant."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace

from traywright.base.tolerance import DRAWN_MM, GAP_MM
from traywright.geometry import Edge, Point
from traywright.parts.pieces import Pair, Piece, near_pairs, nodes_of

TOLD_GAP_MM = 5.0
"""Gaps too wide to be closed are told up to here.  # source: common practice, no source"""

Chain = list[Piece]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chained:
    """Chains of edges; gaps that were closed, and those too wide, with their widths; forks with how many lines meet."""

    rings: tuple[Chain, ...]
    open_ones: tuple[Chain, ...]
    closed_gaps: tuple[tuple[Point, float], ...]
    wide_gaps: tuple[tuple[Point, float], ...]
    forks: tuple[tuple[Point, int], ...]


class _Net:
    """Edges by the nodes that they end in."""

    def __init__(self, pieces: list[Piece]) -> None:
        self.numbers = nodes_of(pieces)
        self.pieces = [one for one in pieces if not self._is_speck(one)]
        self.place: dict[int, Point] = {}
        for end, node in sorted(self.numbers.items()):
            self.place.setdefault(node, end)
        self.at: dict[int, list[int]] = defaultdict(list)
        for number, one in enumerate(self.pieces):
            for end in one.ends_mm:
                self.at[self.numbers[end]].append(number)

    def _is_speck(self, piece: Piece) -> bool:
        """True for an edge between ends that count as one, too short to be a round of its own."""
        start, end = (self.numbers[one] for one in piece.ends_mm)
        return start == end and piece.edge.length_mm <= 4.0 * DRAWN_MM

    def free_ends(self) -> list[int]:
        """Nodes in which one edge ends alone."""
        return sorted(node for node, edges in self.at.items() if len(edges) == 1)

    def forks(self) -> list[int]:
        """Nodes in which three ends or more meet."""
        return sorted(node for node, edges in self.at.items() if len(edges) > 2)

    def walk(self, node: int, number: int, left: set[int]) -> Chain:
        """The chain that starts at a node with an edge, up to the next fork, free end, or its own start."""
        chain, here = [], node
        while True:
            left.discard(number)
            one = self.pieces[number]
            turned = one if self.numbers[one.edge.start_mm] == here else one.turned()
            chain.append(turned)
            here = self.numbers[turned.edge.end_mm]
            onward = [each for each in self.at[here] if each in left]
            if len(self.at[here]) != 2 or not onward or here == node:
                return chain
            number = onward[0]

    def chains(self) -> list[Chain]:
        """All chains; they end at forks and at free ends, or are rings."""
        left = set(range(len(self.pieces)))
        starts = [node for node in sorted(self.at) if len(self.at[node]) != 2]
        ways = [(node, number) for node in (*starts, *sorted(self.at)) for number in self.at[node]]
        return [self.walk(node, number, left) for node, number in ways if number in left]


def chained(pieces: list[Piece]) -> Chained:
    """Edges as chains.

    Parameters
    ----------
    pieces
        Edges of one layer and colour in their standing order, each once.

    Returns
    -------
    Chained
        A free end within 0.5 mm of exactly one other free end, which has no other either, is joined to it by a
        straight edge. More than two together are a fork.
    """
    loose = _Net(pieces)
    chains = loose.chains()
    pairs, crowds = _pairs(loose, chains)
    bridges = [_bridge(loose, pair) for pair in pairs]
    net = _Net([*loose.pieces, *bridges])
    found = net.chains()
    rings = tuple(one for one in found if _is_ring(one))
    open_ones = tuple(one for one in found if not _is_ring(one))
    forks = [(net.place[node], len(net.at[node])) for node in _real_forks(net, open_ones)]
    return Chained(
        rings=rings,
        open_ones=open_ones,
        closed_gaps=tuple((_between(*one.ends_mm), one.edge.chord_mm) for one in bridges),
        wide_gaps=tuple(_wide_gaps(open_ones)),
        forks=(*forks, *crowds),
    )


def _is_ring(chain: Chain) -> bool:
    """True for a chain that ends where it starts."""
    apart_mm = math.dist(chain[0].edge.start_mm, chain[-1].edge.end_mm)
    return apart_mm <= DRAWN_MM and _length_mm(chain) > 4.0 * DRAWN_MM


def _length_mm(chain: Chain) -> float:
    """Length along a chain."""
    return math.fsum(one.edge.length_mm for one in chain)


def _between(one: Point, other: Point) -> Point:
    """The middle of two spots."""
    return ((one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0)


def _real_forks(net: _Net, open_ones: tuple[Chain, ...]) -> list[int]:
    """Forks at which a chain ends that is no ring: rings that touch in one spot are clear."""
    ends = {net.numbers[one] for chain in open_ones for one in (chain[0].edge.start_mm, chain[-1].edge.end_mm)}
    return [node for node in net.forks() if node in ends]


def _chain_of_ends(net: _Net, chains: list[Chain]) -> dict[int, int]:
    """The chain that ends in a free end."""
    found: dict[int, int] = {}
    for number, chain in enumerate(chains):
        for end in (chain[0].edge.start_mm, chain[-1].edge.end_mm):
            found[net.numbers[end]] = number
    return found


def _partners(near: list[Pair]) -> dict[int, list[int]]:
    """By each end, the ends near it."""
    found: dict[int, list[int]] = defaultdict(list)
    for one, other in near:
        found[one].append(other)
        found[other].append(one)
    return found


def _pairs(net: _Net, chains: list[Chain]) -> tuple[list[Pair], list[tuple[Point, int]]]:
    """Free ends that belong together, and crowds of them in which that is not clear."""
    ends = net.free_ends()
    owner = _chain_of_ends(net, chains)
    near = []
    for one, other in near_pairs([net.place[node] for node in ends], GAP_MM):
        first, second = ends[one], ends[other]
        apart_mm = math.dist(net.place[first], net.place[second])
        # the two ends of a short stroke are no gap
        if owner[first] != owner[second] or _length_mm(chains[owner[first]]) > 2.0 * GAP_MM + apart_mm:
            near.append((first, second))
    partners = _partners(near)
    alone = [(one, other) for one, other in near if len(partners[one]) == 1 and len(partners[other]) == 1]
    crowded = sorted({node for pair in near for node in pair if len(partners[node]) > 1})
    told: set[int] = set()
    crowds = []
    for node in crowded:
        if node not in told:
            told |= {node, *partners[node]}
            crowds.append((net.place[node], len(partners[node]) + 1))
    return alone, crowds


def _bridge(net: _Net, pair: Pair) -> Piece:
    """A straight edge over a gap; it is called after the line that it makes longer."""
    first, second = (net.place[node] for node in pair)
    beside = net.pieces[net.at[pair[0]][0]]
    return replace(beside, edge=Edge(start_mm=first, end_mm=second, bulge_ratio=0.0), true_arcs=True)


def _wide_gaps(chains: tuple[Chain, ...]) -> list[tuple[Point, float]]:
    """Gaps too wide to be closed, where all that parts open lines from a loop are such gaps."""
    ends = [one for chain in chains for one in (chain[0].edge.start_mm, chain[-1].edge.end_mm)]
    near = [
        (one, other)
        for one, other in near_pairs(ends, TOLD_GAP_MM)
        if one // 2 != other // 2 or _length_mm(chains[one // 2]) > 4.0 * math.dist(ends[one], ends[other])
    ]
    partners = _partners(near)
    onward = {one: others[0] for one, others in sorted(partners.items()) if len(others) == 1}
    onward = {one: other for one, other in onward.items() if onward.get(other) == one}
    found = []
    for one, other in sorted(onward.items()):
        apart_mm = math.dist(ends[one], ends[other])
        if one < other and apart_mm > GAP_MM and _closes(one, onward):
            found.append((_between(ends[one], ends[other]), apart_mm))
    return found


def _closes(first: int, onward: dict[int, int]) -> bool:
    """True if one comes back to an end by going over gaps and along lines."""
    here = first
    for _ in range(len(onward) + 1):
        if here not in onward:
            return False
        here = onward[here] ^ 1  # over the gap, then along that line to its other end
        if here == first:
            return True
    return False
