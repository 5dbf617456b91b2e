"""A drawn question of the layout room: outlines of many forms, a container near or far from their size, spacings."""

from __future__ import annotations

import math
import random

from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout import Container, Kind, LayoutAsked, NoGo, PairWall, RowSlot, Sides, Spacing

MOST_COPIES = 12
"""Copies by the area of their boxes, about: a case stays cheap."""
TURNS_DEG = ((0.0,), (0.0, 180.0), (0.0, 90.0), (0.0, 90.0, 180.0, 270.0), (0.0, 45.0), (30.0, 210.0))
SLOT_SHARE = 0.15  # of the questions have slots
FREE_SHARE = 0.06  # of the questions leave the turn free
BARRED_SHARE = 0.3  # of the questions have regions that nothing may enter


def _convex(draw: random.Random, size: float) -> Region:
    turns = [math.tau * (k + draw.uniform(0.0, 0.8)) / 7.0 for k in range(draw.randint(4, 7))]
    return Region.polygon([(size / 2.0 * math.cos(one), size / 2.0 * math.sin(one)) for one in turns]).hull()


def _star(draw: random.Random, size: float) -> Region:
    tips = draw.randint(3, 7)
    inner = draw.uniform(0.25, 0.8)
    radii = [size / 2.0 * (1.0 if k % 2 else inner) * draw.uniform(0.8, 1.0) for k in range(2 * tips)]
    return Region.polygon(
        [(r * math.cos(math.pi * k / tips), r * math.sin(math.pi * k / tips)) for k, r in enumerate(radii)]
    )


def _rectilinear(draw: random.Random, size: float) -> Region:
    blocks = [Region.rectangle(0.0, 0.0, size, size * draw.uniform(0.2, 0.4))]
    for _ in range(draw.randint(1, 3)):
        left = draw.uniform(0.0, 0.7) * size
        blocks.append(Region.rectangle(left, -size * draw.choice((0.0, 0.3)), left + 0.25 * size, size * draw.random()))
    return Region.union_of(blocks)


def _slotted(draw: random.Random, size: float) -> Region:
    deep = size * draw.uniform(0.4, 1.0)
    block = Region.rectangle(0.0, 0.0, size, deep)
    gap = Region.rectangle(size * 0.3, deep * 0.3, size * draw.uniform(0.6, 1.1), deep * draw.uniform(0.5, 0.8))
    return block.difference(gap)


def _round(draw: random.Random, size: float) -> Region:
    if draw.random() < 0.5:
        return Region.disc((0.0, 0.0), size / 2.0)
    return Region.capsule((0.0, 0.0), (size * 0.6, size * draw.uniform(-0.2, 0.2)), size * 0.2)


def _rectangle(draw: random.Random, size: float) -> Region:
    return Region.rectangle(0.0, 0.0, round(size), max(1.0, round(size * draw.uniform(0.1, 1.0))))


FORMS = (_convex, _star, _rectilinear, _slotted, _round, _rectangle)


def outline(draw: random.Random, size_mm: float) -> Region:
    """One outline in one piece, at most about as wide as its size, off its frame origin now and then."""
    made = draw.choice(FORMS)(draw, size_mm)
    largest = max(made.pieces(), key=lambda one: one.area_mm2)
    return largest.moved(draw.choice((0.0, 0.0, round(draw.uniform(-50.0, 50.0), 3))), 0.0)


def sides(draw: random.Random, most_mm: float) -> Sides:
    """No spacing, one all round, or one for each side, some of them none."""
    form = draw.choice(("none", "even", "even", "sides"))
    if form == "none":
        return Sides.all_round(0.0)
    if form == "even":
        return Sides.all_round(round(draw.uniform(0.0, most_mm), draw.choice((0, 3))))
    right, back, left, front = (draw.choice((0.0, round(draw.uniform(0.0, most_mm), 2))) for _ in range(4))
    return Sides(right_mm=right, back_mm=back, left_mm=left, front_mm=front)


def _kind(draw: random.Random, number: int, size_mm: float, *, slotted: bool, kits: bool) -> Kind:
    shape = outline(draw, size_mm * draw.uniform(0.5, 1.0))
    left, front, right, back = shape.bounds_mm
    notches, slots = Region.empty(), ()
    if slotted:
        line = round(draw.uniform(front, back), 3)
        slots = (
            RowSlot(
                line_mm=line, width_mm=round(draw.uniform(1.0, 0.3 * size_mm), 2), reach_mm=draw.choice((0.0, 6.0))
            ),
        )
    elif draw.random() < 0.15:
        notches = Region.disc(((left + right) / 2.0, front), 0.15 * size_mm).union(shape).difference(shape)
    told = {"id": f"k{number}", "outline": shape, "in_kit": draw.choice((1, 1, 2, 3)) if kits else 1}
    told |= {"mass_kg": round(draw.uniform(0.0, 5.0), 2)}
    try:
        return Kind(**told, notches=notches, slots=slots)
    except LayoutError:  # a slot or notch that does not meet its outline
        return Kind(**told)


def _spacing(draw: random.Random, ids: list[str], most_mm: float) -> Spacing:
    pairs = [PairWall(a, b, sides(draw, most_mm)) for a in ids for b in ids if draw.random() < 0.15]
    rims = [(one, sides(draw, most_mm)) for one in ids if draw.random() < 0.15]
    return Spacing(wall=sides(draw, most_mm), rim=sides(draw, most_mm), pairs=tuple(pairs), rims=tuple(rims))


def _barred(draw: random.Random, wide: float, deep: float) -> tuple[NoGo, ...]:
    found = []
    for _ in range(draw.randint(1, 2) if draw.random() < BARRED_SHARE else 0):
        x, y, size = draw.uniform(0.0, wide), draw.uniform(0.0, deep), 0.3 * min(wide, deep)
        region = draw.choice((Region.disc((x, y), size / 2.0), Region.rectangle(x, y, x + size, y + 0.5 * size)))
        found.append(NoGo(region=region, wall_mm=draw.choice((0.0, round(draw.uniform(0.0, 10.0), 2)))))
    return tuple(found)


def question(draw: random.Random) -> LayoutAsked:
    """One question."""
    size = draw.choice((10.0, 30.0, 60.0, 120.0)) * draw.uniform(0.7, 1.3)
    count = draw.choice((1, 1, 1, 2, 3, 4))
    slotted = draw.random() < SLOT_SHARE
    kinds = [_kind(draw, k, size, slotted=slotted and draw.random() < 0.8, kits=count > 1) for k in range(count)]
    boxes = sum(one.in_kit * math.prod(one.cell().size_mm) for one in kinds)
    wide = max(one.cell().size_mm[0] for one in kinds) * draw.uniform(0.9, 5.0)
    deep = draw.uniform(0.9, 1.0 + MOST_COPIES / count) * boxes / wide
    wide, deep = round(max(1.0, wide), 2), round(min(max(1.0, deep), 4.0 * wide), 2)
    return LayoutAsked(
        kinds=tuple(kinds),
        container=Container(width_mm=wide, depth_mm=deep, no_go=_barred(draw, wide, deep)),
        spacing=_spacing(draw, [one.id for one in kinds], min(20.0, 0.5 * size)),
        turns_deg=draw.choice(TURNS_DEG),
        free_turn=draw.random() < FREE_SHARE,
        together=count > 1 and draw.random() < 0.3,
        kits_most=draw.choice((0, 0, 0, 1, 3)),
    )
