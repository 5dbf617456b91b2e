"""Outlines of workpieces that nothing was tuned on: eleven families of them, all sizes from the draw."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from itertools import combinations, pairwise

import shapely
from shapely import affinity
from shapely.geometry import Polygon

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Point, Region

LEAST_MM, MOST_MM = 40.0, 180.0  # longest side of an outline
CURVE_MM = 0.05  # chords of a drawn curve, as a scanned or exported outline has them
Places = list[tuple[float, float, float]]
"""x, y and turn of each copy."""


def _at(radius: float, angle_rad: float, centre: Point = (0.0, 0.0)) -> Point:
    return (centre[0] + radius * math.cos(angle_rad), centre[1] + radius * math.sin(angle_rad))


def _chain(points: list[Point], radius: float) -> Region:
    """What a disc sweeps along a line of points."""
    return Region.union_of([Region.capsule(here, there, radius) for here, there in pairwise(points)])


def _tapered(start: Point, start_radius: float, end: Point, end_radius: float) -> Region:
    """Two discs and the band round both."""
    return Region.disc(start, start_radius).union(Region.disc(end, end_radius)).hull()


def rounded_polygon(draw: random.Random) -> Region:
    """A plate of four to eight corners, none on a circle."""
    corners = draw.randint(4, 8)
    turns = [math.tau * (k + draw.uniform(-0.3, 0.3)) / corners for k in range(corners)]
    return Region.polygon([_at(draw.uniform(35.0, 60.0), one) for one in turns])


def star_casting(draw: random.Random) -> Region:
    """A hub with three to five arms, each with a boss at its end."""
    arms, reach = draw.randint(3, 5), draw.uniform(40.0, 70.0)
    arm, boss = draw.uniform(5.0, 9.0), draw.uniform(9.0, 15.0)
    found = [Region.disc((0.0, 0.0), draw.uniform(16.0, 26.0))]
    for k in range(arms):
        end = _at(reach, math.tau * k / arms)
        found += [Region.capsule((0.0, 0.0), end, arm), Region.disc(end, boss)]
    return Region.union_of(found)


def bracket(draw: random.Random) -> Region:
    """An L, T or U of two or three legs with a boss or two."""
    wide, deep, leg = draw.uniform(70.0, 130.0), draw.uniform(50.0, 110.0), draw.uniform(14.0, 26.0)
    legs = {"L": (0.0,), "T": ((wide - leg) / 2.0,), "U": (0.0, wide - leg)}[draw.choice("LTU")]
    found = [Region.rectangle(0.0, 0.0, wide, leg)]
    for left in legs:
        found.append(Region.rectangle(left, 0.0, left + leg, deep))
        if draw.random() < 0.6:
            found.append(Region.disc((left + leg / 2.0, deep), leg * draw.uniform(0.55, 0.85)))
    return Region.union_of(found)


def lever(draw: random.Random) -> Region:
    """Two round ends and a web, straight or bent at a third eye."""
    reach, large, small = draw.uniform(70.0, 130.0), draw.uniform(18.0, 30.0), draw.uniform(10.0, 17.0)
    end = (reach, 0.0)
    web = _tapered((0.0, 0.0), large * 0.55, end, small * 0.7)
    found = [Region.disc((0.0, 0.0), large), Region.disc(end, small), web]
    if draw.random() < 0.5:
        third = _at(draw.uniform(40.0, 80.0), math.radians(draw.uniform(60.0, 140.0)))
        found += [_tapered((0.0, 0.0), large * 0.5, third, small * 0.7), Region.disc(third, small)]
    return Region.union_of(found)


def lugged_wheel(draw: random.Random) -> Region:
    """A wheel with one to four lugs at its rim."""
    radius, lugs = draw.uniform(28.0, 55.0), draw.randint(1, 4)
    lug, out = draw.uniform(6.0, 12.0), draw.uniform(4.0, 16.0)
    step = math.tau / lugs if draw.random() < 0.7 else math.radians(draw.uniform(50.0, 80.0))
    ends = [_at(radius + out, k * step) for k in range(lugs)]
    return Region.union_of([Region.disc((0.0, 0.0), radius), *(Region.capsule((0.0, 0.0), one, lug) for one in ends)])


def hook(draw: random.Random) -> Region:
    """A shank that ends in a part of a ring, with an eye at its other end."""
    ring, thick = draw.uniform(22.0, 34.0), draw.uniform(6.0, 10.0)
    open_rad = math.radians(draw.uniform(200.0, 270.0))
    arc = [_at(ring, math.pi / 2.0 - open_rad * k / 16) for k in range(17)]
    top = (0.0, ring + draw.uniform(35.0, 80.0))
    return _chain([top, *arc], thick).union(Region.disc(top, thick * draw.uniform(1.5, 2.2)))


def toothed_plate(draw: random.Random) -> Region:
    """A disc or a sector of one with trapezoid teeth."""
    teeth, root, high = draw.randint(9, 20), draw.uniform(28.0, 55.0), draw.uniform(5.0, 9.0)
    pitch = math.tau / teeth
    shares = ((0.0, root), (0.3, root), (0.42, root + high), (0.58, root + high), (0.7, root))
    rim = [_at(far, pitch * (k + share)) for k in range(teeth) for share, far in shares]
    if draw.random() < 0.4:
        kept = rim[: 5 * max(3, teeth // 3)]
        return Region.polygon([(0.0, 0.0), *kept]).union(Region.disc((0.0, 0.0), root * 0.35))
    return Region.polygon(rim)


def housing(draw: random.Random) -> Region:
    """A cast box seen from above: ears, a flange on one side and a step or a bay in another."""
    wide, deep = draw.uniform(70.0, 140.0), draw.uniform(50.0, 90.0)
    body, ear = Region.rectangle(0.0, 0.0, wide, deep), draw.uniform(7.0, 12.0)
    corners = [(0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep)]
    ears = [Region.disc(one, ear) for one in draw.sample(corners, draw.randint(2, 4))]
    at = draw.uniform(0.25, 0.6) * wide
    neck = Region.rectangle(at - 12.0, deep - 5.0, at + 12.0, deep + draw.uniform(12.0, 30.0))
    bay = Region.rectangle(
        draw.uniform(0.55, 0.8) * wide, -1.0, wide * draw.choice((0.9, 1.3)), deep * draw.uniform(0.2, 0.5)
    )
    return Region.union_of([body.difference(bay), neck, *ears]) if ears else body


def bent_tube(draw: random.Random) -> Region:
    """A tube of two to four straight runs, with a collar at one end."""
    radius, heading = draw.uniform(6.0, 11.0), 0.0
    points = [(0.0, 0.0)]
    for number in range(draw.randint(2, 4)):
        if number:
            heading += math.radians(draw.choice((30.0, 45.0, 60.0, 90.0)) * draw.choice((1.0, 1.0, -1.0)))
        points.append(_at(draw.uniform(30.0, 65.0), heading, points[-1]))
    collar = Region.rectangle(-4.0, -1.6 * radius, 4.0, 1.6 * radius)
    return _chain(points, radius).union(collar)


def turned_part(draw: random.Random) -> Region:
    """A shaft with three to six shoulders, seen from the side."""
    at, found = 0.0, []
    for _ in range(draw.randint(3, 6)):
        long, radius = draw.uniform(8.0, 45.0), draw.uniform(6.0, 30.0)
        found.append(Region.rectangle(at - 0.5, -radius, at + long, radius))
        at += long
    return Region.union_of(found)


def yoke(draw: random.Random) -> Region:
    """A fork on a stem, with an eye at the stem's end."""
    gap, arm, deep = draw.uniform(16.0, 40.0), draw.uniform(10.0, 18.0), draw.uniform(30.0, 60.0)
    stem, half = draw.uniform(30.0, 80.0), draw.uniform(6.0, 12.0)
    wide = gap / 2.0 + arm
    fork = Region.rectangle(-wide, 0.0, wide, deep + arm).difference(
        Region.rectangle(-gap / 2.0, arm, gap / 2.0, 999.0)
    )
    eye = Region.disc((0.0, -stem), half * draw.uniform(1.3, 2.0))
    return Region.union_of([fork, Region.rectangle(-half, -stem, half, 1.0), eye])


FAMILIES: tuple[Callable[[random.Random], Region], ...] = (
    rounded_polygon,
    star_casting,
    bracket,
    lever,
    lugged_wheel,
    hook,
    toothed_plate,
    housing,
    bent_tube,
    turned_part,
    yoke,
)


def drawn_outline(draw: random.Random) -> tuple[str, Region]:
    """The name of a family and one outline of it, in one piece without holes, about the middle of its box."""
    wanted = draw.uniform(LEAST_MM, MOST_MM)
    family = draw.choice(FAMILIES)
    whole = family(draw)
    longest = max(whole.size_mm)
    # within limits, since a gear tooth as thick as a finger is another part
    ratio = min(MOST_MM, max(LEAST_MM, longest * min(1.5, max(0.6, wanted / longest)))) / longest
    sized = Region(affinity.scale(whole.shape, ratio, ratio, origin=(0.0, 0.0)))
    fillet = draw.uniform(0.8, 2.5)
    soft = sized.grown(-fillet).grown(2.0 * fillet).grown(-fillet)
    piece = max(soft.pieces(), key=lambda one: one.area_mm2).filled().simpler(CURVE_MM)
    left, front, right, back = piece.bounds_mm
    return family.__name__, piece.moved(-(left + right) / 2.0, -(front + back) / 2.0)


def broken(outline: Region, places: Places, size_mm: tuple[float, float], wall_mm: float) -> str:
    """What a layout breaks of wall and rim, by shapely alone; empty if it keeps both."""
    ring = Polygon(outline.rings()[0][0])
    bare = [affinity.translate(affinity.rotate(ring, turn, origin=(0.0, 0.0)), x, y) for x, y, turn in places]
    rim = wall_mm - SAME_MM
    room = shapely.box(rim, rim, size_mm[0] - rim, size_mm[1] - rim)
    if not all(room.covers(one) for one in bare):
        return "leaves the container"
    least = min((here.distance(there) for here, there in combinations(bare, 2)), default=math.inf)
    return f"leaves a wall of {least:.4f} mm" if least < wall_mm - SAME_MM else ""
