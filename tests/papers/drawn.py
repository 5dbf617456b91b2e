"""A drawing job to draw papers of: the tool drawer, its contours, tray, setup, cuts, program and read-back by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from functools import cache

from papers.asked import HEAD
from traywright.base import Severity, finding
from traywright.catalogue import load_cards
from traywright.cutting import plan_cuts
from traywright.geometry import Contour, Region
from traywright.nc import ProgramHead, write_program
from traywright.nesting.setup import BoardLayout, BoardPlan, Bridge, Piece, Setup
from traywright.papers import AssumptionLine, DrawnPapersAsked, DrawnTray
from traywright.quoting.quote import Break, Quote
from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind, plies_of
from traywright.verification import read_back

CATALOGUE = load_cards(None)
FOAM_BOARD, SOLID_BOARD = "two-colour-1200x600x30", "hdpe-1000x1000x12"
QUARTER = math.tan(math.pi / 8.0)
"""Bulge of a quarter turn."""


OWN_HEAD = {"number": "DRAWER-3", "revision": "A", "draft": False, "verdict": "not asked"}


def rounded(left, front, right, back, radius=0.0):
    """A rectangle with round corners, counter-clockwise."""
    if not radius:
        return Contour.polygon(((left, front), (right, front), (right, back), (left, back)))
    r = radius
    return Contour(
        corners=(
            *((left + r, front, 0.0), (right - r, front, QUARTER), (right, front + r, 0.0)),
            *((right, back - r, QUARTER), (right - r, back, 0.0), (left + r, back, QUARTER)),
            *((left, back - r, 0.0), (left, front + r, QUARTER)),
        )
    )


def capsule(x, y, long, wide):
    """A slot with round ends about (x, y)."""
    half, r = long / 2.0, wide / 2.0
    return Contour(
        corners=(
            *((x - half + r, y - r, 0.0), (x + half - r, y - r, 1.0)),
            *((x + half - r, y + r, 0.0), (x - half + r, y + r, 1.0)),
        )
    )


OUTLINE = rounded(0.0, 0.0, 558.0, 398.0, 10.0)
SOCKETS = tuple(
    zip((308.5, 334.5, 362.5, 392.5, 424.5, 458.5, 495.0, 534.5), (17, 19, 21, 23, 25, 27, 30, 33), strict=True)
)
DRAWER = (
    *((14.0, capsule(130.0, y, 200.0, 24.0)) for y in (40.0, 80.0, 120.0, 160.0)),
    (18.0, rounded(60.0, 251.0, 280.0, 279.0)),
    (18.0, rounded(300.0, 290.0, 530.0, 370.0, 3.0)),
    (24.0, rounded(30.0, 210.0, 64.0, 320.0)),
    (20.0, rounded(117.0, 20.0, 143.0, 180.0)),
    *((20.0, Contour.circle(at, 13.0)) for at in ((170.0, 251.0), (170.0, 279.0), (415.0, 290.0), (415.0, 370.0))),
    *((12.0, Contour.circle((x, 60.0), wide / 2.0)) for x, wide in SOCKETS),
    (6.0, rounded(300.0, 130.0, 540.0, 158.0)),
)
JIG = (
    (4.0, rounded(60.0, 50.0, 240.0, 140.0, 6.0)),
    (8.0, rounded(80.0, 70.0, 220.0, 130.0, 6.0)),
    *((12.0, Contour.circle((x, 100.0), 10.0)) for x in (110.0, 150.0, 190.0)),
    *((12.0, Contour.circle(at, 4.5)) for at in ((20.0, 20.0), (280.0, 20.0), (280.0, 180.0), (20.0, 180.0))),
)
JIG_OUTLINE = rounded(0.0, 0.0, 300.0, 200.0, 10.0)


def tray_of(outline, loops, thickness, board):
    """One tray of loops with their depths."""
    features = tuple(
        Feature(
            id=f"T1.F{number}",
            kind=FeatureKind.HOLE if deep >= thickness else FeatureKind.POCKET,
            side="top",
            region=contour.region(),
            floor=Flat(z_mm=max(thickness - deep, 0.0)),
        )
        for number, (deep, contour) in enumerate(loops, start=1)
    )
    return Tray(
        id="T1",
        name="T1",
        kind=TrayKind.TRAY,
        outline=outline.region(),
        thickness_mm=thickness,
        foam="",
        ply_boards=((board, thickness),),
        features=features,
        keep="depth",
    )


def made_of(tray, board, cutter, solid, at=(12.0, 12.0)):
    """The tray on one board: setup, cuts, program, read-back."""
    machine = CATALOGUE.machine("demo-router-1300")
    ply = plies_of(tray)[0]
    x, y = at
    width, depth = tray.outline.size_mm
    bridges = tuple(
        Bridge(id=f"B1.1.L{number}", piece="B1.1", at_mm=place, along=(1.0, 0.0), waist_mm=12.0, height_mm=6.0)
        for number, place in enumerate(((x + width / 3.0, y), (x + width / 2.0, y + depth)), start=1)
    )
    setup = Setup(
        id="B1.S1",
        board_layout="B1",
        board=board.id,
        blank=Region.rectangle(0.0, 0.0, board.length_mm, board.width_mm),
        thickness_mm=tray.thickness_mm,
        side_up="top",
        datum="front left",
        z_zero="bed",
        pieces=(Piece(id="B1.1", ply=ply.id, at_mm=at, turn_deg=0),),
        bridges=bridges,
        screws_mm=((5.0, 5.0), (x + width + 20.0, 5.0)),
        zones=("A",),
        cutters=((1, cutter.id),),
        program="DRAWER-3-B1-S1.nc",
        runs=1,
    )
    plan = plan_cuts(setup, {ply.id: ply}, machine, {1: cutter}, solid=solid)
    program = write_program(
        plan,
        setup,
        machine,
        CATALOGUE.dialect("demo-mm"),
        {1: cutter},
        ProgramHead(job="D", revision="A", release="0", cut="sha256:0"),
    )
    read = read_back(
        program.text,
        name=program.name,
        setup=setup,
        plies={ply.id: ply},
        machine=machine,
        cutters={1: cutter},
        solid=solid,
    )
    return setup, plan, program, read


@cache
def _made(is_solid):
    """Tray and made setup of one of both jobs."""
    board = CATALOGUE.board(SOLID_BOARD if is_solid else FOAM_BOARD)
    solid = CATALOGUE.stuff_of(board) if is_solid else None
    cutter = CATALOGUE.cutter("flat-6" if is_solid else "flat-8")
    loops, outline = (JIG, JIG_OUTLINE) if is_solid else (DRAWER, OUTLINE)
    tray = tray_of(outline, loops, board.thickness_mm, board.id)
    return board, solid, cutter, tray, made_of(tray, board, cutter, solid)


def a_finding(number, severity=Severity.NOTE):
    """A thin place."""
    return finding(
        "TRAY-038",
        severity,
        (f"T1.F{number}",),
        cause=str(number),
        count=1,
        wide_mm="2.0",
        high_mm="2.0",
        place=f"({number}.0, 265.0)",
        least_mm="8",
    )


def drawn_asked(*, is_solid=False, findings=(), head=None, **changed):
    """Everything the papers of the drawer, or of the jig, show."""
    board, solid, cutter, tray, made = _made(is_solid)
    loops = JIG if is_solid else DRAWER
    outline = JIG_OUTLINE if is_solid else OUTLINE
    layout = BoardLayout(
        id="B1",
        board=board.id,
        cut_from="whole",
        blank=made[0].blank,
        thickness_mm=tray.thickness_mm,
        count=1,
        pieces=made[0].pieces,
        spare_pieces=0,
        yield_ratio=0.3,
    )
    deep = tuple(sorted({one for one, _ in loops}, reverse=True))
    exact = DrawnTray(
        tray=tray,
        depths_mm=deep,
        ending_mm2=tuple(1000.0 + number for number in range(len(deep))),
        outline_mm2=outline.area_mm2,
        open_mm2=60229.62,
        removed_mm3=950274.8,
        corner_left_mm2=54.1,
    )
    price = Break(packs=1, cost=Decimal(80), price=Decimal("1120.00"), per_pack=Decimal("1120.00"), per_kit_trip=None)
    asked = DrawnPapersAsked(
        head=replace(HEAD, **{**OWN_HEAD, **(head or {})}),
        trays=(exact,),
        plies=plies_of(tray),
        board=board,
        stuff="Demo stuff",
        solid=solid,
        machine=CATALOGUE.machine("demo-router-1300"),
        cutters=((1, cutter),),
        boards=BoardPlan(layouts=(layout,), needs=(), setups=(made[0],)),
        made=(made,),
        figures=(),
        numbers=(),
        findings=findings,
        first=findings[:5],
        overrides=(),
        assumptions=(AssumptionLine(field="drawing.keep", taken="depth", status="assumed", effect="floors"),),
        quote=Quote(currency="EUR", packs=1, lines=(), breaks=(price,), figures=(), findings=()),
        quantity=1,
        nominal_mm=board.thickness_mm,
        measured_mm=tray.thickness_mm,
        shape="customer",
        file="files/drawer.dxf",
        loops=(("OUTLINE", outline), *((f"DEPTH_{one:g}", contour) for one, contour in loops)),
        left_out=(("TEXT", "TEXT", 4), ("DIM", "DIMENSION", 2)),
        asked=(("Which unit has the drawing?", "mm"),),
    )
    return replace(asked, **changed)
