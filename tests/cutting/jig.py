"""A jig plate of hard plastic: holes, slots, a step, a window, with bridges; all numbers our own."""

from __future__ import annotations

import dataclasses

from cutting.drawer import capsule, rectangle
from traywright.geometry import Contour, Region
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply

THICKNESS = 12.0
DRAWN = (
    *((0.0, Contour.circle((x, y), 5.0)) for x, y in ((15.0, 15.0), (225.0, 15.0), (15.0, 145.0), (225.0, 145.0))),
    (0.0, rectangle(150, 40, 210, 80, 8.0)),
    (7.0, capsule(70, 40, 80, 12)),
    (7.0, capsule(70, 120, 80, 8)),
    (4.0, rectangle(140, 100, 200, 130, 5.0)),
    (9.0, Contour.circle((110.0, 80.0), 14.0)),
)


def ply():
    features = tuple(
        Feature(
            id=f"F{number}",
            kind=FeatureKind.HOLE if floor == 0.0 else FeatureKind.POCKET,
            side="top",
            region=contour.region(),
            floor=Flat(z_mm=floor),
        )
        for number, (floor, contour) in enumerate(DRAWN, start=1)
    )
    return Ply(
        id="T1.P1",
        kind="k",
        from_mm=0.0,
        to_mm=THICKNESS,
        board="b",
        region=rectangle(0, 0, 240, 160, 6.0).region(),
        features=features,
    )


def bridge(name, at_mm, along):
    return Bridge(id=f"B1.1.{name}", piece="B1.1", at_mm=at_mm, along=along, waist_mm=8.0, height_mm=3.0)


BRIDGES = (
    bridge("L1", (20.0, 100.0), (0.0, -1.0)),
    bridge("L2", (140.0, 20.0), (1.0, 0.0)),
    bridge("L3", (260.0, 100.0), (0.0, 1.0)),
)


def setup(cutters=((1, "flat-8"),), bridges=BRIDGES, pieces=None):
    return Setup(
        id="B1.S1",
        board_layout="B1",
        board="b",
        blank=Region.rectangle(0, 0, 600, 400),
        thickness_mm=THICKNESS,
        side_up="top",
        datum="front left",
        z_zero="bed",
        pieces=pieces or (Piece(id="B1.1", ply="T1.P1", at_mm=(20.0, 20.0), turn_deg=0),),
        bridges=bridges,
        screws_mm=(),
        zones=(),
        cutters=cutters,
        program="B1-S1",
        runs=1,
    )


def with_feature(ply, floor_mm, contour):
    kind = FeatureKind.HOLE if floor_mm == 0.0 else FeatureKind.POCKET
    extra = Feature(id="F99", kind=kind, side="top", region=contour.region(), floor=Flat(z_mm=floor_mm))
    return dataclasses.replace(ply, features=(*ply.features, extra))


def with_hole(ply, width):
    return with_feature(ply, 0.0, Contour.circle((50.0, 80.0), width / 2.0))
