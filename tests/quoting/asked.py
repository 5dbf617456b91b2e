"""A small job to price: round numbers, invented for the test."""

from __future__ import annotations

from decimal import Decimal

from traywright.base import Figure, Given, Status, derive
from traywright.catalogue.cards import Board, Box, Divider, Ground, Rates
from traywright.quoting import LoopAsked, Making, PriceAsked, plan_loop

_GROUND = Ground(unit="", status=Status.INVENTED, source="test")


def _grounds(*keys: str) -> tuple[tuple[str, Ground], ...]:
    return tuple((key, _GROUND) for key in sorted(keys))


def _given(ref: str, value: float) -> Given:
    return Given(ref=f"enquiry:{ref}", value=value, unit="", status=Status.STATED, source="test")


def _figure(path: str, value: float, unit: str) -> Figure:
    return derive(path, value, unit, what=path, method="test", inputs=(_given(path, value),))


RATES = Rates(
    id="test-rates",
    name="test",
    grounds=_grounds(
        "machine_per_h",
        "bench_per_h",
        "design_per_h",
        "overhead_ratio",
        "scrap_ratio",
        "margin_ratio",
        "glue_per_m2",
        "minimum_charge",
        "design_h",
        "bond_h_per_joint",
        "bridge_h",
        "pack_h",
        "load_h_per_board",
    ),
    currency="EUR",
    machine_per_h=Decimal(50),
    bench_per_h=Decimal(40),
    design_per_h=Decimal(48),
    overhead_ratio=0.2,
    scrap_ratio=0.1,
    margin_ratio=0.25,
    glue_per_m2=Decimal(4),
    minimum_charge=Decimal(25),
    machine_allowance_ratio=0.25,
    design_h=1.0,
    bond_h_per_joint=0.5,
    bridge_h=0.01,
    pack_h=0.25,
    load_h_per_board=0.05,
)
BOARD = Board(
    id="board-50",
    name="test",
    grounds=_grounds("price"),
    foam="foam",
    length_mm=2000.0,
    width_mm=1000.0,
    thickness_mm=50.0,
    thickness_tolerance_mm=1.5,
    edge_mm=10.0,
    price=Decimal(30),
    currency="EUR",
)
BOX = Box(
    id="box",
    name="test",
    grounds=_grounds("price"),
    outside_length_mm=600.0,
    outside_width_mm=400.0,
    outside_height_mm=300.0,
    inside_length_mm=560.0,
    inside_width_mm=360.0,
    inside_height_mm=280.0,
    mass_kg=2.0,
    price=Decimal(31),
    currency="EUR",
)
DIVIDER = Divider(
    id="divider",
    name="test",
    grounds=_grounds("price"),
    thickness_mm=4.0,
    mass_kg_per_m2=0.6,
    price=Decimal(2),
    currency="EUR",
)


def loop_asked() -> LoopAsked:
    """100 kits a week, 10 weeks, 1 year, 10 working days away, 5 days a week, 3 kits a pack."""
    return LoopAsked(
        kits_per_week=_given("loop.kits_per_week", 100.0),
        weeks_per_year=_given("loop.weeks_per_year", 10.0),
        years=_given("loop.years", 1.0),
        days=(_given("loop.step.out.days", 4.0), _given("loop.step.back.days", 6.0)),
        spare_packs=_given("loop.spare_packs", 1.0),
        kits_per_pack=_given("pack.kits_per_pack", 3.0),
        working_days_per_week=_given("test.working_days", 5.0),
    )


def asked_price() -> PriceAsked:
    """Two packs from two boards, one hour of router time."""
    making = Making(
        packs=2,
        boards=((BOARD, _figure("nesting/boards", 2.0, "board")),),
        machine=_figure("cutting/time", 1.0, "h"),
        blanks=_figure("nesting/blanks", 4.0, "board"),
        bridges=_figure("holddown/bridges", 8.0, "bridge"),
        joints=_figure("trays/joints", 2.0, "joint"),
        glue=_figure("trays/glue", 1.5, "m2"),
    )
    return PriceAsked(
        currency="EUR",
        packs=2,
        kits=3,
        makings=(making,),
        rates=RATES,
        box=BOX,
        divider=DIVIDER,
        dividers_per_pack=1,
        loop=plan_loop(loop_asked()),
        packs_asked=((2, _given("pack.packs", 2.0)),),
    )
