"""A small board, its cards and a program written by hand: one block with one pocket, held by two bridges."""

from __future__ import annotations

from traywright.catalogue.cards import Cutter, Machine
from traywright.geometry import Region
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays.floor import Flat, Trough  # noqa: F401  # reason: the scenes' tests take both from here
from traywright.trays.tray import Feature, FeatureKind, Ply

MACHINE = Machine(
    id="m1",
    name="router",
    grounds=(),
    travel_x_mm=400.0,
    travel_y_mm=300.0,
    travel_z_mm=150.0,
    bed_x_mm=400.0,
    bed_y_mm=300.0,
    feed_mm_per_s=100.0,
    plunge_ratio=0.3,
    rapid_mm_per_s=300.0,
    acceleration_mm_per_s2=1000.0,
    junction_mm=0.02,
    spindle_rpm=12000.0,
    spin_up_s=4.0,
    cutter_change_s=60.0,
    setup_s=600.0,
    kerf_mm=12.0,
    saw_kerf_mm=4.0,
    clearance_mm=10.0,
    into_spoil_mm=0.3,
    spoil_thickness_mm=18.0,
    z_zero="bed",
    datum="front left",
    cutters=("c12",),
    vacuum_zones=(),
)


def cutter(**changes):
    card = {
        "id": "c12",
        "name": "flat 12",
        "grounds": (),
        "form": "flat",
        "diameter_mm": 12.0,
        "reach_mm": 60.0,
        "flutes": 2,
        "step_down_mm": 30.0,
        "step_over_ratio": 0.75,
        "centre_cutting": True,
    }
    return Cutter(**(card | changes))


CUTTERS = {1: cutter()}
POCKET = Feature(
    id="T1.C1.F1",
    kind=FeatureKind.POCKET,
    side="top",
    region=Region.rectangle(26, 26, 74, 54).grown(6.0),
    floor=Flat(z_mm=10.0),
)


def ply(*features, region=None):
    return Ply(
        id="T1.P1",
        kind="k",
        from_mm=0.0,
        to_mm=25.0,
        board="b25",
        region=region or Region.rectangle(0, 0, 100, 80),
        features=features or (POCKET,),
    )


PLIES = {"T1.P1": ply()}
BRIDGES = (
    Bridge(id="B1.S1.K1", piece="B1.1", at_mm=(50.0, 20.0), along=(1.0, 0.0), waist_mm=12.0, height_mm=6.0),
    Bridge(id="B1.S1.K2", piece="B1.1", at_mm=(90.0, 100.0), along=(1.0, 0.0), waist_mm=12.0, height_mm=6.0),
)


def setup(**changes):
    fields = {
        "id": "B1.S1",
        "board_layout": "B1",
        "board": "b25",
        "blank": Region.rectangle(0, 0, 140, 120),
        "thickness_mm": 25.0,
        "side_up": "top",
        "datum": "front left",
        "z_zero": "bed",
        "pieces": (Piece(id="B1.1", ply="T1.P1", at_mm=(20.0, 20.0), turn_deg=0),),
        "bridges": BRIDGES,
        "screws_mm": (),
        "zones": (),
        "cutters": ((1, "c12"),),
        "program": "B1-S1",
        "runs": 1,
    }
    return Setup(**(fields | changes))


SETUP = setup()
GOOD = """\
(block with one pocket)
N1 G17 G21 G40 G49 G80 G90 G94 G54
N2 T1 M6
N3 S12000 M3
N4 G4 P4.0
N5 G0 Z35.0000 G43 H1
(pocket)
N6 G0 X46.0000 Y46.0000
N7 G0 Z27.0000
N8 G1 Z10.0000 F1800.0
N9 G1 X94.0000 F6000.0
N10 G1 Y74.0000
N11 G1 X46.0000
N12 G1 Y46.0000
N13 G1 X55.0000 Y55.0000
N14 G1 X85.0000
N15 G1 Y65.0000
N16 G1 X55.0000
N17 G1 Y55.0000
N18 G0 Z35.0000
(outline)
N19 G0 X100.0000 Y14.0000
N20 G0 Z27.0000
N21 G1 Z-0.3000 F1800.0
N22 G1 X68.3000 F6000.0
N23 G1 X62.0000 Z6.0000
N24 G1 X38.0000
N25 G1 X31.7000 Z-0.3000
N26 G1 X20.0000
N27 G2 X14.0000 Y20.0000 I0.0000 J6.0000
N28 G1 Y100.0000
N29 G2 X20.0000 Y106.0000 I6.0000 J0.0000
N30 G1 X71.7000
N31 G1 X78.0000 Z6.0000
N32 G1 X102.0000
N33 G1 X108.3000 Z-0.3000
N34 G1 X120.0000
N35 G2 X126.0000 Y100.0000 I0.0000 J-6.0000
N36 G1 Y20.0000
N37 G2 X120.0000 Y14.0000 I-6.0000 J0.0000
N38 G1 X100.0000
N39 G0 Z35.0000
N40 M5
N41 G0 X0.0000 Y0.0000
N42 M30
"""
