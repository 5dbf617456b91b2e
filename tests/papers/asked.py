"""A small judged job to draw papers of, built by hand: blocks in one tray, one board, one program; all invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from traywright.base import Figure, Given, Limit, Severity, Status, finding
from traywright.catalogue import load_cards
from traywright.cutting.cut_plan import CutPlan, Operation
from traywright.geometry import Region
from traywright.nc.program import Program
from traywright.nesting.setup import BoardLayout, BoardPlan, Bridge, Piece, Setup
from traywright.papers import AssumptionLine, PaperHead, PapersAsked
from traywright.parts import PartAsked, Plate, build_part, take_pose
from traywright.quoting.quote import Break, Quote, QuoteLine
from traywright.trays import Cell, Feature, FeatureKind, Flat, Layer, Pack, Tray, TrayKind, Trough, Wall, plies_of
from traywright.verification.read_back import ReadBack

CATALOGUE = load_cards(None)
BOARD = CATALOGUE.board("demo-2000x1000x50")
SIZE_MM = (30.0, 20.0, 24.0)
PITCH_MM = (50.0, 40.0)


def given(ref, value, unit):
    return Given(ref=f"enquiry:{ref}", value=value, unit=unit, status=Status.STATED, source="test")


def figure(path, value, unit, status=Status.MEMORY):
    return Figure(
        path=path,
        what=path,
        of="",
        case="",
        value=value,
        low=value,
        high=value,
        unit=unit,
        method="test",
        inputs=("enquiry:part.block.mass_kg",),
        status=status,
        source="test",
    )


def pose():
    asked = PartAsked(
        id="block",
        name="Valve block",
        dimensions=Plate(length_mm=SIZE_MM[0], width_mm=SIZE_MM[1], thickness_mm=SIZE_MM[2]),
        mass=given("part.block.mass_kg", 0.5, "kg"),
        fragility=given("part.block.fragility_gn", 80.0, "gn"),
    )
    return take_pose(build_part(asked, None)[0], (0.0, 0.0, -1.0))


def tray(columns, rows):
    """A tray of 50 with pockets 20 deep, a hole at each right wall and a trough below the first pocket."""
    cells, features = [], []
    for number in range(columns * rows):
        x = 40.0 + PITCH_MM[0] * (number % columns)
        y = 40.0 + PITCH_MM[1] * (number // columns)
        name = f"T1.C{number + 1}"
        wall = Wall(towards="rim:left", needed_mm=25.0, kept_mm=19.0, gap_mm=20.0)
        at = (x, y, 30.0)
        cells.append(
            Cell(id=name, part="block", pose=0, at_mm=at, turn_deg=0.0, kit_no=number + 1, play_mm=1.0, walls=(wall,))
        )
        region = Region.rectangle(x - 16.0, y - 11.0, x + 16.0, y + 11.0)
        features.append(
            Feature(
                id=f"{name}.F1",
                kind=FeatureKind.POCKET,
                side="top",
                region=region,
                floor=Flat(z_mm=30.0),
                for_cell=name,
            )
        )
    hole = Region.disc((20.0, 15.0), 8.0)
    features.append(Feature(id="T1.F1", kind=FeatureKind.HOLE, side="top", region=hole, floor=Flat(z_mm=0.0)))
    trough = Trough(start_mm=(30.0, 40.0, 34.0), end_mm=(50.0, 40.0, 34.0), radius_mm=9.0)
    lying = Region.rectangle(30.0, 31.0, 50.0, 49.0)
    features.append(Feature(id="T1.F2", kind=FeatureKind.SADDLE, side="top", region=lying, floor=trough))
    outline = Region.rectangle(0.0, 0.0, 50.0 + PITCH_MM[0] * columns, 50.0 + PITCH_MM[1] * rows)
    return Tray(
        id="T1",
        name="Valve block tray",
        kind=TrayKind.TRAY,
        outline=outline,
        thickness_mm=50.0,
        foam="demo-pe45-dissipative",
        ply_boards=((BOARD.id, 50.0),),
        cells=tuple(cells),
        features=tuple(features),
    )


FALL = "protection/block/left/460"
FIGURES = (
    figure(f"{FALL}/peak/slow", 70.0, "gn"),
    figure(f"{FALL}/peak/quick", 81.04, "gn"),
    figure(f"{FALL}/strain/slow", 0.7004, ""),
    figure(f"{FALL}/strain/quick", 0.62, ""),
    figure(f"{FALL}/travel/slow", 12.0, "mm"),
    figure(f"{FALL}/travel/quick", 10.0, "mm"),
    figure("design/pack/gross", 12.31, "kg", Status.INVENTED),
    figure("protection/lift/bench/index", 1.2, "ratio"),
    figure("quoting/5/packs", 5.0, "piece", Status.STATED),
    figure("quoting/5/price", 1234.5, "EUR"),
)


def peak_stop(number):
    limit = Limit(value=80.0, unit="gn", status=Status.STATED, source="test")
    return finding(
        "PRO-022",
        Severity.STOP,
        (f"T1.C{number}",),
        figure=f"{FALL}/peak/quick",
        limit=limit,
        cause=str(number),
        part="block",
        direction="the left",
        ways="the left 81.1",
        drop="460",
        peak="81.1",
        most="80",
        cells=1,
    )


def quote():
    line = QuoteLine(
        id="Q1", what="box", detail="case", quantity="quoting/5/packs", rate=Decimal("31.00"), amount=Decimal("155.00")
    )
    headline = Break(
        packs=5, cost=Decimal(800), price=Decimal("1234.50"), per_pack=Decimal("246.90"), per_kit_trip=None
    )
    return Quote(currency="EUR", packs=5, lines=(line,), breaks=(headline,), figures=(), findings=())


def made(ply):
    piece = Piece(id="B1.1", ply=ply.id, at_mm=(40.0, 40.0), turn_deg=0)
    setup = Setup(
        id="B1.S1",
        board_layout="B1",
        board=BOARD.id,
        blank=Region.rectangle(0.0, 0.0, 998.0, 1000.0),
        thickness_mm=50.0,
        side_up="top",
        datum="front left",
        z_zero="bed",
        pieces=(piece,),
        bridges=(
            Bridge(id="B1.1.L1", piece="B1.1", at_mm=(60.0, 40.0), along=(1.0, 0.0), waist_mm=12.0, height_mm=6.0),
        ),
        screws_mm=((12.5, 13.0),),
        zones=("A",),
        cutters=((1, "flat-12"),),
        program="JOB-7-B1-S1.nc",
        runs=2,
    )
    steps = (
        ("pocket", 30.0, tuple(f"B1.1/{one.id}" for one in ply.features if one.kind is FeatureKind.POCKET)),
        ("hole", -0.5, ("B1.1/T1.F1",)),
        ("outline", -0.5, ("B1.1/outline",)),
    )
    operations = tuple(
        Operation(id=f"B1.S1.O{number}", kind=kind, level_mm=level, cutter=1, features=features, moves=())
        for number, (kind, level, features) in enumerate(steps, start=1)
    )
    plan = CutPlan(
        setup="B1.S1",
        start_mm=(0.0, 0.0, 80.0),
        operations=operations,
        time_s=612.0,
        length_over_feed_s=400.0,
        cut_length_mm=1.0,
        rapid_length_mm=1.0,
        air_length_mm=0.0,
    )
    program = Program(name=setup.program, setup=setup.id, dialect="demo-mm", text="N1 G21\nM2\n", operations=())
    read = ReadBack(
        program=program.name,
        setup=setup.id,
        true=True,
        grid_mm=0.5,
        gouge_mm=0.0,
        remainder_mm=0.0,
        error_bound_mm=0.5,
        removed_mm3=1.0,
        findings=(),
    )
    return setup, plan, program, read


HEAD = PaperHead(
    number="JOB-7",
    revision="C",
    title="Valve blocks to the coater",
    customer="Example Valve Works",
    dated="2026-11-25",
    due="",
    valid_days=30,
    length_shown="mm",
    invented=False,
    draft=True,
    verdict="fails the screening check",
    release="0.1.0",
    fingerprint_trays="sha256:0123456789abcdef",
    fingerprint_cut="sha256:123456789abcdef0",
    fingerprint_offer="sha256:23456789abcdef01",
)


def papers_asked(*, columns=2, rows=2, stops=2, **head):
    drawn = tray(columns, rows)
    plies = plies_of(drawn)
    one = made(plies[0])
    layout = BoardLayout(
        id="B1",
        board=BOARD.id,
        cut_from="half 998x1000",
        blank=one[0].blank,
        thickness_mm=50.0,
        count=2,
        pieces=one[0].pieces,
        spare_pieces=0,
        yield_ratio=0.5,
    )
    found = tuple(peak_stop(number % (columns * rows) + 1) for number in range(stops))
    cells = columns * rows
    return PapersAsked(
        head=replace(HEAD, **head),
        poses=(pose(),),
        trays=(drawn,),
        plies=plies,
        pack=Pack(
            box="case-300x200x135",
            kits=cells,
            layers=(Layer(kind="tray", id="T1", bottom_mm=0.0, top_mm=50.0),),
            payload_kg=0.5 * cells,
            foam_kg=0.1,
            divider_kg=0.0,
            gross_kg=12.31,
            gap_nominal_mm=2.0,
            gap_rss_mm=1.0,
            gap_worst_mm=1.5,
            centre_of_gravity_mm=(0.0, 0.0, 0.0),
        ),
        packs=5,
        box=CATALOGUE.box("case-300x200x135"),
        divider=None,
        foam=CATALOGUE.foam("demo-pe45-dissipative"),
        machine=CATALOGUE.machine("demo-router-1300"),
        cutters=((1, CATALOGUE.cutter("flat-12")), (2, CATALOGUE.cutter("ball-12"))),
        boards=BoardPlan(layouts=(layout,), needs=(), setups=(one[0],)),
        made=(one,),
        figures=FIGURES,
        numbers=tuple((each.path, f"G-{number:04d}") for number, each in enumerate(FIGURES, start=1)),
        findings=found,
        first=found[:3],
        overrides=(("PRO-022", "T1.C1", "tested by the customer", "the owner"),),
        assumptions=(
            AssumptionLine(field="part.block.tolerance_mm", taken="0.1 mm", status="assumed", effect="clearance"),
        ),
        quote=quote(),
        board_cards=(BOARD,),
    )
