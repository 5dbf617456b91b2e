"""A drawn board: one to four pieces with recesses that a cutter can clear, laid as nesting lays them, with bridges."""

from __future__ import annotations

import dataclasses
import math
import random
from collections.abc import Mapping

from traywright.catalogue import Cutter, Machine, load_cards
from traywright.design.corner_relief import WAYS, relieved
from traywright.geometry import Region
from traywright.holddown import place_bridges
from traywright.nesting.screws import screw_places
from traywright.nesting.setup import Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply

CARDS = load_cards(None)
MACHINE = CARDS.machine("demo-router-1300")
FLAT = CARDS.cutter("flat-12")
DIALECT = CARDS.dialect("demo-mm")
LEAST_WALL_MM = 4.0  # thinner foam is not left standing between a recess and an edge, nor between two recesses
CORNER_MM = 27.0  # recesses open at an edge stay off its corners, which may be round or cut off
TRIES = 20
EDGE_SHARE = 0.25  # of pockets and windows are open at an edge
ISLAND_SHARE = 0.25  # of the closed ones have an island
THROUGH_SHARE = 0.7  # of the holes go right through


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A setup with its bridges, the plies on it, and the cards."""

    setup: Setup
    plies: Mapping[str, Ply]
    machine: Machine
    cutters: Mapping[int, Cutter]


def _outline(draw: random.Random) -> Region:
    """A blank piece: mostly a rectangle, else with round or cut-off corners or a step."""
    width, depth = draw.uniform(60.0, 200.0), draw.uniform(60.0, 160.0)
    whole = Region.rectangle(0.0, 0.0, width, depth)
    form = draw.choice(("plain", "plain", "plain", "round", "bevel", "step"))
    cut = draw.uniform(8.0, 20.0)
    if form == "round":
        return whole.grown(-cut).grown(cut)
    if form == "bevel":
        return whole.difference(Region.polygon([(0.0, 0.0), (cut, 0.0), (0.0, cut)]))
    if form == "step":
        return whole.difference(Region.rectangle(width - 1.5 * cut, depth - 2.0 * cut, width + 1.0, depth + 1.0))
    return whole


def _blob(draw: random.Random, size: tuple[float, float]) -> Region:
    """A region with sharp corners somewhere on a piece."""
    x, y = draw.uniform(-5.0, size[0] + 5.0), draw.uniform(-5.0, size[1] + 5.0)
    wide, deep = draw.uniform(1.0, 60.0), draw.uniform(1.0, 50.0)
    form = draw.choice(("rectangle", "rectangle", "polygon", "disc", "capsule", "cross"))
    if form == "disc":
        return Region.disc((x, y), wide / 2.0)
    if form == "capsule":
        return Region.capsule((x, y), (x + wide, y + draw.choice((0.0, deep))), draw.uniform(1.0, 10.0))
    if form == "polygon":
        turns = sorted(draw.uniform(0.0, math.tau) for _ in range(draw.randint(3, 7)))
        return Region.polygon([(x + wide * math.cos(one), y + deep * math.sin(one)) for one in turns])
    block = Region.rectangle(x, y, x + wide, y + deep)
    if form == "cross":
        block = block.union(Region.rectangle(x + wide / 3.0, y - 10.0, x + wide * 2.0 / 3.0, y + deep + 10.0))
    return block.turned(draw.choice((0.0, 0.0, draw.uniform(0.0, 90.0))), (x, y))


def _cleared(draw: random.Random, wanted: Region, radius_mm: float) -> Region:
    """A region that a cutter clears: grown by its radius, or with corner relief."""
    if draw.choice((False, True)):
        return wanted.grown(radius_mm)
    return relieved(wanted, radius_mm, draw.choice(WAYS)).region


def _slot(draw: random.Random, size: tuple[float, float], diameter_mm: float) -> Region:
    """A slot across a piece or into it, open at the edge; sometimes just as wide as the cutter."""
    width = diameter_mm * draw.choice((1.0, 1.0, draw.uniform(1.01, 3.0)))
    at, end = draw.uniform(10.0, size[1] - 10.0), draw.choice((size[0] + 20.0, draw.uniform(30.0, size[0] - 10.0)))
    if end > size[0]:
        return Region.rectangle(-20.0, at - width / 2.0, end, at + width / 2.0)
    round_end = Region.disc((end, at), width / 2.0)
    return Region.rectangle(-20.0, at - width / 2.0, end, at + width / 2.0).union(round_end)


def _notch(draw: random.Random, size: tuple[float, float], radius_mm: float) -> Region:
    """A recess at the left or right edge of a piece, square to it, at least a cutter's diameter deep."""
    deep, wide = draw.uniform(radius_mm, size[0] / 2.0), draw.uniform(1.0, size[1] / 2.0)
    wide = min(wide, size[1] - 2.0 * CORNER_MM)
    at = draw.uniform(CORNER_MM, size[1] - CORNER_MM - wide)
    far = 60.0  # far outside, so that corner relief does not touch the edge
    core = Region.rectangle(-far, at, deep + radius_mm, at + wide)
    if draw.choice((False, True)):
        core = Region.rectangle(size[0] - deep - radius_mm, at, size[0] + far, at + wide)
    return _cleared(draw, core, radius_mm)


def _recess(draw: random.Random, outline: Region, cutter: Cutter) -> tuple[FeatureKind, Region]:
    """Kind and region of one recess; one that is open at the edge is cut off there, others lie inside."""
    size, radius_mm = outline.size_mm, cutter.radius_mm
    kind = draw.choice((FeatureKind.POCKET, FeatureKind.POCKET, FeatureKind.SLOT, FeatureKind.HOLE, FeatureKind.WINDOW))
    if kind is FeatureKind.SLOT:
        return kind, _slot(draw, size, cutter.diameter_mm).intersection(outline)
    if kind is FeatureKind.HOLE:
        at = (draw.uniform(0.1, 0.9) * size[0], draw.uniform(0.1, 0.9) * size[1])
        return kind, Region.disc(at, radius_mm * draw.choice((1.0, draw.uniform(1.02, 3.0))))
    if draw.random() < EDGE_SHARE:
        return kind, _notch(draw, size, radius_mm).intersection(outline)
    wanted = _blob(draw, size)
    if draw.random() < ISLAND_SHARE:
        around = wanted.grown(draw.uniform(15.0, 30.0))
        left, front, right, back = around.bounds_mm
        island = Region.disc(((left + right) / 2.0, (front + back) / 2.0), draw.uniform(5.0, 12.0))
        wanted = around.difference(island)
    return kind, _cleared(draw, wanted, radius_mm)


def _stands(region: Region, outline: Region, others: tuple[Region, ...]) -> bool:
    """Whether foam beside a recess is either thick enough or wholly gone."""
    void = Region.union_of((region, *others))
    foam = outline.difference(void)
    thin = foam.difference(foam.opened(LEAST_WALL_MM / 2.0))
    # sharp corners of foam are thin by nature; a wall is longer than it is thick
    return all(min(one.size_mm) < 1.0 or one.area_mm2 < LEAST_WALL_MM for one in thin.pieces())


def _floor_mm(draw: random.Random, kind: FeatureKind, thickness_mm: float) -> float:
    """Height of a recess's floor; windows and most holes go right through."""
    if kind is FeatureKind.WINDOW or (kind is FeatureKind.HOLE and draw.random() < THROUGH_SHARE):
        return 0.0
    return round(draw.uniform(3.0, thickness_mm - 2.0), draw.choice((0, 1, 3)))


def _ply(draw: random.Random, name: str, thickness_mm: float, cutter: Cutter) -> Ply:
    """A blank with up to six recesses."""
    outline = _outline(draw)
    features: list[Feature] = []
    for _ in range(draw.randint(0, 6)):
        for _ in range(TRIES):
            kind, region = _recess(draw, outline, cutter)
            known = tuple(one.region for one in features)
            if region.area_mm2 > cutter.diameter_mm and outline.contains(region) and _stands(region, outline, known):
                floor = Flat(z_mm=_floor_mm(draw, kind, thickness_mm))
                number = len(features) + 1
                features.append(Feature(id=f"{name}.F{number}", kind=kind, side="top", region=region, floor=floor))
                break
    return Ply(
        id=name,
        kind=name,
        from_mm=0.0,
        to_mm=thickness_mm,
        board="b",
        region=outline,
        features=tuple(features),
    )


def _pieces(draw: random.Random, plies: tuple[Ply, ...], kerf_mm: float) -> tuple[tuple[Piece, ...], Region]:
    """Pieces in a row or two, at least a kerf apart, and the blank round them."""
    rim = draw.uniform(12.0, 40.0)
    x = y = rim
    row_depth = right = 0.0
    pieces = []
    count = draw.randint(1, 4)
    for number in range(1, count + 1):
        ply, turn = draw.choice(plies), draw.choice((0, 90, 180, 270))
        width, depth = ply.region.size_mm if turn in {0, 180} else ply.region.size_mm[::-1]
        if count > 2 and number == 3:  # reason: the third begins a row
            x, y, row_depth = rim, y + row_depth + kerf_mm, 0.0
        pieces.append(Piece(id=f"B1.{number}", ply=ply.id, at_mm=(round(x, 3), round(y, 3)), turn_deg=turn))
        x += width + kerf_mm + draw.choice((0.0, 0.0, draw.uniform(0.0, 15.0)))
        row_depth, right = max(row_depth, depth), max(right, x - kerf_mm)
    return tuple(pieces), Region.rectangle(0.0, 0.0, math.ceil(right + rim), math.ceil(y + row_depth + rim))


def on_board(piece: Piece, ply: Ply) -> Region:
    """Where a piece lies, worked out here."""
    turned = ply.region.turned(float(piece.turn_deg))
    left, front, _, _ = turned.bounds_mm
    return turned.moved(piece.at_mm[0] - left, piece.at_mm[1] - front)


def drawn_board(draw: random.Random) -> Board:
    """A board with pieces, recesses, screws and bridges, all from the draw."""
    diameter_mm = draw.choice((12.0, 12.0, 10.0, 8.0, 6.0))
    cutter = dataclasses.replace(FLAT, diameter_mm=diameter_mm, reach_mm=65.0)
    thickness_mm = draw.choice((20.0, 25.0, 30.0, 40.0, 50.0, 60.0, round(draw.uniform(20.0, 60.0), 1)))
    plies = tuple(_ply(draw, f"T{one}.P1", thickness_mm, cutter) for one in range(1, draw.randint(2, 3)))
    pieces, blank = _pieces(draw, plies, MACHINE.kerf_mm)
    by_id = {one.id: one for one in plies}
    outlines = [on_board(one, by_id[one.ply]) for one in pieces]
    cutters = {1: cutter}
    z_zero = draw.choice(("bed", "top"))
    bare = Setup(
        id="B1.S1",
        board_layout="B1",
        board="b",
        blank=blank,
        thickness_mm=thickness_mm,
        side_up="top",
        datum=MACHINE.datum,
        z_zero=z_zero,
        pieces=pieces,
        bridges=(),
        screws_mm=screw_places(blank, outlines, MACHINE.kerf_mm),
        zones=(),
        cutters=((1, cutter.id),),
        program="B1-S1",
        runs=1,
    )
    bridges = place_bridges(bare, by_id, MACHINE, cutters).bridges
    return Board(
        setup=dataclasses.replace(bare, bridges=bridges),
        plies=by_id,
        machine=dataclasses.replace(MACHINE, z_zero=z_zero),
        cutters=cutters,
    )
