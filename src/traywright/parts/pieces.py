"""Loose edges of one layer: which ends meet, which edges stand twice."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from traywright.base.tolerance import DRAWN_MM, SAME_MM
from traywright.geometry import Edge, Point
from traywright.parts.drawing_limits import MOST_PAIRINGS, check_count

Pair = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One edge with the entity it came from."""

    edge: Edge
    drawn_as: str
    true_arcs: bool = True

    def turned(self) -> Piece:
        """The edge run the other way."""
        one = self.edge
        back = Edge(start_mm=one.end_mm, end_mm=one.start_mm, bulge_ratio=-one.bulge_ratio + 0.0)
        return replace(self, edge=back)

    @property
    def ends_mm(self) -> tuple[Point, Point]:
        """Both ends."""
        return self.edge.start_mm, self.edge.end_mm

    @property
    def middle_mm(self) -> Point:
        """The middle of the edge, on its arc."""
        (ax, ay), (bx, by), bulge = self.edge.start_mm, self.edge.end_mm, self.edge.bulge_ratio
        return ((ax + bx) / 2.0 + (by - ay) * bulge / 2.0, (ay + by) / 2.0 - (bx - ax) * bulge / 2.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubled:
    """A length of a line that stood twice, where its middle lies."""

    at_mm: Point
    length_mm: float


def in_order(pieces: Iterable[Piece]) -> list[Piece]:
    """Pieces in an order and a sense that do not hang on the file: each from its lesser end."""
    ways = (one if one.edge.start_mm <= one.edge.end_mm else one.turned() for one in pieces)
    return sorted(ways, key=lambda one: (*one.ends_mm, one.edge.bulge_ratio, one.drawn_as))


def near_pairs(points_mm: Sequence[Point], within_mm: float) -> list[Pair]:
    """All pairs of points that are no farther apart than a distance, by their numbers, the lesser first, sorted.

    Raises
    ------
    PartError
        PART-029 if there are more than any drawing has.
    """
    if len(points_mm) < 2:
        return []
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until a drawing has loose lines

    tree = cKDTree(np.asarray(points_mm, dtype=np.float64))
    # counted first: all pairs of a hostile file do not fit into memory; each point meets itself, each pair counts twice
    pairs = (int(tree.count_neighbors(tree, within_mm)) - len(points_mm)) // 2
    check_count(pairs, MOST_PAIRINGS)
    found = np.sort(tree.query_pairs(within_mm, output_type="ndarray"), axis=1)
    return sorted((int(one), int(other)) for one, other in found)


def nodes_of(pieces: Iterable[Piece]) -> dict[Point, int]:
    """A number for each end; ends that meet within what a drawing is held to share it, the least end's."""
    ends = sorted({end for one in pieces for end in one.ends_mm})
    near = defaultdict(list)
    for one, other in near_pairs(ends, DRAWN_MM):
        near[one].append(other)
    numbers: dict[Point, int] = {}
    for here, end in enumerate(ends):
        if end in numbers:
            continue
        numbers[end] = here
        for other in near[here]:
            numbers.setdefault(ends[other], here)
    return numbers


def without_same(pieces: list[Piece]) -> tuple[list[Piece], list[Doubled]]:
    """Edges whose ends and middle are those of another, dropped; so are edges without length."""
    nodes = nodes_of(pieces)
    by_ends: dict[Pair, list[Piece]] = defaultdict(list)
    dropped, compared = [], 0
    for one in pieces:
        if one.edge.length_mm <= SAME_MM:
            continue
        start, end = sorted((nodes[one.edge.start_mm], nodes[one.edge.end_mm]))
        alike = by_ends[start, end]
        compared += len(alike)
        check_count(compared, MOST_PAIRINGS)
        if any(math.dist(one.middle_mm, each.middle_mm) <= DRAWN_MM for each in alike):
            dropped.append(Doubled(at_mm=one.middle_mm, length_mm=one.edge.length_mm))
        else:
            alike.append(one)
    return [one for alike in by_ends.values() for one in alike], dropped
