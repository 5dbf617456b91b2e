"""A small bench for tests of making: one machine, cutters, plies and setups, and an independent look at moves."""

from __future__ import annotations

import dataclasses
import math

import shapely
from shapely.geometry import LineString, Point

from traywright.catalogue import load_cards
from traywright.cutting import MoveKind
from traywright.geometry import Region
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply

CARDS = load_cards(None)
MACHINE = CARDS.machine("demo-router-1300")
CUTTER = CARDS.cutter("flat-12")
CUTTERS = {1: CUTTER}
DIALECT = CARDS.dialect("demo-mm")


def feature(name, kind, region, floor_mm):
    return Feature(id=name, kind=FeatureKind(kind), side="top", region=region, floor=Flat(z_mm=floor_mm))


def ply(*features, region=None, thickness_mm=50.0, name="T1.P1"):
    region = region or Region.rectangle(0, 0, 200, 150)
    return Ply(id=name, kind="k", from_mm=0.0, to_mm=thickness_mm, board="b", region=region, features=tuple(features))


def piece(name="B1.1", at_mm=(40.0, 40.0), turn_deg=0, of="T1.P1"):
    return Piece(id=name, ply=of, at_mm=at_mm, turn_deg=turn_deg)


def bridge(at_mm, along, of="B1.1", name="L1"):
    return Bridge(id=f"{of}.{name}", piece=of, at_mm=at_mm, along=along, waist_mm=12.0, height_mm=6.0)


def setup(*pieces, bridges=(), blank=None, thickness_mm=50.0, cutters=((1, "flat-12"),), z_zero="bed"):
    return Setup(
        id="B1.S1",
        board_layout="B1",
        board="b",
        blank=blank or Region.rectangle(0, 0, 600, 500),
        thickness_mm=thickness_mm,
        side_up="top",
        datum="front left",
        z_zero=z_zero,
        pieces=tuple(pieces or (piece(),)),
        bridges=tuple(bridges),
        screws_mm=(),
        zones=(),
        cutters=cutters,
        program="B1-S1",
        runs=1,
    )


def machine(**changes):
    return dataclasses.replace(MACHINE, **changes)


def chords(here, move):
    """Own chords of a move, not those of the room under test."""
    if move.kind in {MoveKind.RAPID, MoveKind.LINE}:
        return [here, move.to_mm]
    cx, cy = move.centre_mm
    radius = math.hypot(here[0] - cx, here[1] - cy)
    first = math.atan2(here[1] - cy, here[0] - cx)
    sweep = math.atan2(move.to_mm[1] - cy, move.to_mm[0] - cx) - first
    sign = 1.0 if move.kind is MoveKind.ARC_CCW else -1.0
    sweep = sign * ((sign * sweep) % (2.0 * math.pi))
    count = max(2, math.ceil(abs(sweep) / 0.02))
    return [
        (cx + radius * math.cos(first + sweep * k / count), cy + radius * math.sin(first + sweep * k / count), here[2])
        for k in range(count)
    ] + [move.to_mm]


def feed_paths(plan):
    """(operation, lowest z, plan line) of every move at feed."""
    here = plan.start_mm
    for operation in plan.operations:
        for move in operation.moves:
            points = chords(here, move)
            if move.kind is not MoveKind.RAPID:
                flat = [one[:2] for one in points]
                same = all(math.dist(one, flat[0]) < 1e-9 for one in flat)
                yield operation, min(here[2], move.to_mm[2]), Point(flat[0]) if same else LineString(flat)
            here = move.to_mm


def swept(plan, radius_mm, *, down_to_mm, kinds=None):
    """All that the cutter covers at a height or under it."""
    paths = [
        line.buffer(radius_mm, quad_segs=32)
        for operation, z_mm, line in feed_paths(plan)
        if z_mm <= down_to_mm + 1e-6 and (kinds is None or operation.kind in kinds)
    ]
    return shapely.union_all(paths)
