"""Cards and plies of an invented shop for the tests of this room."""

from __future__ import annotations

from decimal import Decimal

from traywright.base import Status
from traywright.catalogue.cards import Board, Ground, Machine
from traywright.geometry import Region
from traywright.trays.tray import Ply


def grounds(*keys):
    return tuple((key, Ground(unit="mm", status=Status.INVENTED, source="test")) for key in sorted(keys))


def board(card="slab-30", *, length=2000.0, width=1000.0, thickness=30.0, edge=10.0):
    return Board(
        id=card,
        name=card,
        grounds=grounds("length_mm", "width_mm", "edge_mm"),
        foam="foam",
        length_mm=length,
        width_mm=width,
        thickness_mm=thickness,
        thickness_tolerance_mm=1.0,
        edge_mm=edge,
        price=Decimal(10),
        currency="EUR",
    )


def machine(*, bed=(1300.0, 1300.0), travel=(1300.0, 1300.0), kerf=12.0, saw=4.0):
    return Machine(
        id="router",
        name="router",
        grounds=grounds("kerf_mm", "saw_kerf_mm", "bed_x_mm", "bed_y_mm", "travel_x_mm", "travel_y_mm"),
        travel_x_mm=travel[0],
        travel_y_mm=travel[1],
        travel_z_mm=200.0,
        bed_x_mm=bed[0],
        bed_y_mm=bed[1],
        feed_mm_per_s=100.0,
        plunge_ratio=0.3,
        rapid_mm_per_s=300.0,
        acceleration_mm_per_s2=1000.0,
        junction_mm=0.02,
        spindle_rpm=12000.0,
        spin_up_s=5.0,
        cutter_change_s=60.0,
        setup_s=300.0,
        kerf_mm=kerf,
        saw_kerf_mm=saw,
        clearance_mm=10.0,
        into_spoil_mm=0.5,
        spoil_thickness_mm=18.0,
        z_zero="bed",
        datum="front left",
        cutters=("flat-12", "ball-12"),
        vacuum_zones=("left", "right"),
    )


def ply(ply_id="T1.P1", *, kind="", card="slab-30", size=(500.0, 300.0), thickness=30.0, region=None, sides=("top",)):
    return Ply(
        id=ply_id,
        kind=kind or ply_id,
        from_mm=0.0,
        to_mm=thickness,
        board=card,
        region=region or Region.rectangle(0.0, 0.0, *size),
        features=(),
        sides=sides,
    )
