"""Drawn questions of the layout room: both offers hold by two checks, stay below the bound, and repeat."""

from __future__ import annotations

import itertools
import math
import random
import sys
from collections import Counter
from pathlib import Path

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout import (
    Container,
    Effort,
    Kind,
    LayoutAsked,
    Offer,
    Placement,
    Sides,
    Spacing,
    lay_out,
)
from traywright.layout.check import check_layout

sys.path.insert(0, str(Path(__file__).resolve().parent))
from cases.random_outlines import question  # after the path, since this folder is no package

TITLE = (
    "Outlines of all forms, spacings by side and pair, rims, regions, slots, kits, turns: two checks, bound, repeats."
)
COUNT = 1000
OFF_MM = 0.002
"""Shapes of the second check are smaller by this: the first gives half a snap step."""
CHORDS = 24
"""Chords of a quarter ellipse in the second check; they lie inside the arc."""
KNOWN_SHARE = 0.1
"""Of the cases are small enough to be tried out in full."""
REPEAT_SHARE = 0.05
SEEDS = 1000


def _body(sides: Sides) -> np.ndarray:
    """Points of four quarter ellipses."""
    steps = np.linspace(0.0, math.pi / 2.0, CHORDS + 1)
    wide, deep = np.cos(steps), np.sin(steps)
    right, back, left, front = (max(0.0, one - OFF_MM) for one in sides.each_mm())
    quarters = [(right * wide, back * deep), (-left * wide, back * deep), (right * wide, -front * deep)]
    return np.concatenate([np.c_[x, y] for x, y in (*quarters, (-left * wide, -front * deep))])


def swept(shape: BaseGeometry, sides: Sides) -> BaseGeometry:
    """All that the body of a spacing reaches from a shape in its own frame, side by side of the shape."""
    body, found = _body(sides), [shape]
    for one in shapely.get_parts(shape):
        for start, end in itertools.pairwise(shapely.get_coordinates(one.exterior)):
            found.append(shapely.MultiPoint(np.concatenate([body + start, body + end])).convex_hull)
    return shapely.union_all([one for one in found if isinstance(one, Polygon) or one.area > 0.0])


def _at(shape: BaseGeometry, one: Placement) -> BaseGeometry:
    return affinity.translate(affinity.rotate(shape, one.turn_deg, origin=(0.0, 0.0)), one.x_mm, one.y_mm)


def _meet(here: BaseGeometry, there: BaseGeometry) -> bool:
    return bool(here.intersects(there)) and bool(here.buffer(-OFF_MM).intersects(there.buffer(-OFF_MM)))


class Twin:
    """The second check: spacings as areas that nothing else may meet, pair by pair."""

    def __init__(self, asked: LayoutAsked, offer: Offer) -> None:
        self.asked, self.offer = asked, offer
        self.bare = {one.id: (one.body() if offer.slots else one.cell()).shape for one in asked.kinds}
        self.reach: dict[tuple[str, str], BaseGeometry] = {}
        self.cells = [_at(self.bare[one.kind], one) for one in offer.placements]
        self.slots = [box(*one) for one in offer.slots]
        self.rows = [self._held(number) for number in range(len(offer.placements))]

    def _held(self, number: int) -> list[int]:
        """Slots in which those of a copy lie."""
        one, cell = self.offer.placements[number], self.asked.kind(self.offer.placements[number].kind)
        left, _, right, _ = cell.outline.bounds_mm
        own = [
            _at(box(left, each.line_mm - each.width_mm / 2.0, right, each.line_mm + each.width_mm / 2.0), one)
            for each in cell.slots
        ]
        return [k for k, slot in enumerate(self.slots) for each in own if slot.buffer(OFF_MM).covers(each)]

    def near(self, here: int, there: int) -> bool:
        """True if one copy stands within what another asks for."""
        one, other = self.offer.placements[here], self.offer.placements[there]
        key = (one.kind, other.kind)
        if key not in self.reach:
            self.reach[key] = swept(self.bare[one.kind], self.asked.spacing.beside(*key))
        return _meet(_at(self.reach[key], one), self.cells[there])

    def outside(self, number: int) -> bool:
        """True if a copy is nearer to a side than its rim."""
        rim = self.asked.spacing.rim_of(self.offer.placements[number].kind)
        container = self.asked.container
        room = box(
            rim.left_mm - OFF_MM,
            rim.front_mm - OFF_MM,
            max(rim.left_mm, container.width_mm - rim.right_mm) + OFF_MM,
            max(rim.front_mm, container.depth_mm - rim.back_mm) + OFF_MM,
        )
        return not room.covers(self.cells[number])

    def barred(self) -> bool:
        """True if a copy or a slot stands within the wall of a region."""
        regions = [one.region.shape.buffer(max(0.0, one.wall_mm - OFF_MM)) for one in self.asked.container.no_go]
        return any(_meet(region, each) for region in regions for each in (*self.cells, *self.slots))

    def cut(self) -> bool:
        """True if a slot cuts into another row, or a copy has slots that lie in none."""
        if not self.slots:
            return False
        for number, one in enumerate(self.offer.placements):
            if len(self.rows[number]) < len(self.asked.kind(one.kind).slots):
                return True
            if any(_meet(slot, self.cells[number]) for k, slot in enumerate(self.slots) if k not in self.rows[number]):
                return True
        return False

    def fault(self) -> str:
        """What does not hold, in a few words."""
        count = len(self.cells)
        if any(self.near(i, j) for i in range(count) for j in range(count) if i != j):
            return "two too near"
        if any(self.outside(k) for k in range(count)):
            return "outside"
        if self.barred():
            return "in a region"
        if self.cut():
            return "a slot through another row"
        counts = Counter(one.kind for one in self.offer.placements)
        kits = {counts[one.id] / one.in_kit for one in self.asked.kinds}
        return "" if kits == {self.offer.kits} and self.offer.kits <= (self.asked.kits_most or math.inf) else "kits"


def fault_of(asked: LayoutAsked, offers: tuple[Offer, Offer]) -> str:
    """What does not hold of two offers."""
    regular, most = offers
    for offer in offers:
        faults = check_layout(asked, offer.placements, offer.slots).faults
        if faults:
            return f"{offer.name}: {faults[0].kind} {faults[0].actual_mm:.4f} of {faults[0].needed_mm:.4f}"
        if offer.count > offer.bound or (offer.proven and offer.count != offer.bound):
            return f"{offer.name}: {offer.count} of at most {offer.bound}"
        told = Twin(asked, offer).fault()
        if told:
            return f"{offer.name}: {told} by the second check"
    if (regular.name, most.name) != ("regular", "most"):
        return "names"
    return "" if most.count >= regular.count else f"most {most.count} below regular {regular.count}"


def tried_out(room: tuple[int, int], bar: tuple[int, int]) -> int:
    """The most bars in a small room of squares, lying or upright, by trying all."""
    wide, deep = room
    sizes = {bar, bar[::-1]}
    masks = [
        sum(1 << (x + i + wide * (y + j)) for i in range(w) for j in range(d))
        for w, d in sorted(sizes)
        for x in range(wide - w + 1)
        for y in range(deep - d + 1)
    ]

    def most(taken: int, first: int) -> int:
        return max(
            (1 + most(taken | one, k + 1) for k, one in enumerate(masks[first:], first) if not taken & one), default=0
        )

    return most(0, 0)


def _known(draw: random.Random) -> tuple[str, str]:
    """A room of a few squares: what all tries give is not beaten, nor is it above the bound."""
    room, bar = (draw.randint(1, 5), draw.randint(1, 4)), (draw.randint(1, 3), draw.randint(1, 3))
    best, unit = tried_out(room, bar), draw.choice((7.0, 10.0, 12.5))
    asked = LayoutAsked(
        kinds=(Kind(id="bar", outline=Region.rectangle(0.0, 0.0, bar[0] * unit, bar[1] * unit)),),
        container=Container(width_mm=room[0] * unit, depth_mm=room[1] * unit),
        spacing=Spacing(wall=Sides.all_round(0.0), rim=Sides.all_round(0.0)),
        turns_deg=(0.0, 90.0),
    )
    offers = lay_out(asked, Effort(rounds=1))
    fault = fault_of(asked, offers)
    if not fault and not offers[1].count <= best <= offers[1].bound:
        fault = f"{offers[1].count} found, {best} by all tries, bound {offers[1].bound}"
    return fault, "known, reached" if offers[1].count == best else "known, missed"


def judge(draw: random.Random) -> tuple[str, str]:
    """Nothing if both offers of a drawn question hold; and what they are counted as."""
    if draw.random() < KNOWN_SHARE:
        return _known(draw)
    asked, effort = question(draw), Effort(rounds=1, seed=draw.randint(1, SEEDS))
    kinds = "one kind" if len(asked.kinds) == 1 else "several kinds"
    try:
        offers = lay_out(asked, effort)
        again = lay_out(asked, effort) if draw.random() < REPEAT_SHARE else offers
    except LayoutError as refused:
        return refused.code, f"{kinds}, refused"
    fault = fault_of(asked, offers) or ("" if again == offers else "a repeat differs")
    regular, most = offers
    told = "nothing goes in" if not most.count else "rows" if most.count == regular.count else "more than rows"
    return fault, f"{kinds}, {told}"
