"""Nouns as the plain values of result.json, and back: trays, setups, regions, floors, findings, figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from traywright.base import Figure, Finding
from traywright.geometry import Region
from traywright.job.figure_book import FigureBook
from traywright.nesting.setup import BoardLayout, Bridge, Piece, Setup
from traywright.trays.floor import Ball, Flat, Floor, Trough
from traywright.trays.tray import Cell, Feature, FeatureKind, Tray, TrayKind, Wall

Plain = dict[str, Any]


def plain_region(region: Region) -> list[Plain]:
    """Polygons of a region."""
    return [
        {"shell": [list(p) for p in shell], "holes": [[list(p) for p in hole] for hole in holes]}
        for shell, holes in region.rings()
    ]


def region_of(plain: list[Plain]) -> Region:
    """The region of plain polygons."""
    return Region.union_of([Region.polygon(one["shell"], one["holes"]) for one in plain])


def plain_floor(floor: Floor) -> Plain:
    """A floor with its axis and radius; a flat one stands at its height with radius 0."""
    if isinstance(floor, Flat):
        level = [0.0, 0.0, floor.z_mm]
        return {"kind": "flat", "start_mm": level, "end_mm": level, "radius_mm": 0.0}
    if isinstance(floor, Trough):
        return {
            "kind": "trough",
            "start_mm": list(floor.start_mm),
            "end_mm": list(floor.end_mm),
            "radius_mm": floor.radius_mm,
        }
    centre = list(floor.centre_mm)
    return {"kind": "ball", "start_mm": centre, "end_mm": centre, "radius_mm": floor.radius_mm}


def floor_of(plain: Plain) -> Floor:
    """The floor of its plain values."""
    start = tuple(plain["start_mm"])
    if plain["kind"] == "flat":
        return Flat(z_mm=start[2])
    if plain["kind"] == "trough":
        return Trough(start_mm=start, end_mm=tuple(plain["end_mm"]), radius_mm=plain["radius_mm"])
    return Ball(centre_mm=start, radius_mm=plain["radius_mm"])


def plain_feature(feature: Feature) -> Plain:
    """A feature."""
    return {
        "id": feature.id,
        "kind": feature.kind.value,
        "side": feature.side,
        "region_mm": plain_region(feature.region),
        "floor": plain_floor(feature.floor),
        "for_cell": feature.for_cell,
    }


def plain_cell(cell: Cell) -> Plain:
    """A cell with its walls."""
    return {
        "id": cell.id,
        "part": cell.part,
        "pose": cell.pose,
        "at_mm": list(cell.at_mm),
        "turn_deg": cell.turn_deg,
        "kit_no": cell.kit_no,
        "play_mm": cell.play_mm,
        "walls": [
            {key: getattr(one, key) for key in ("towards", "needed_mm", "without_need", "kept_mm", "gap_mm")}
            for one in cell.walls
        ],
    }


def tray_of(plain: Plain) -> Tray:
    """The tray of its plain values."""
    return Tray(
        id=plain["id"],
        name=plain["name"],
        kind=TrayKind(plain["kind"]),
        outline=region_of(plain["outline_mm"]),
        thickness_mm=plain["size_mm"][2],
        foam=plain["foam"],
        ply_boards=tuple((one["board"], one["to_mm"] - one["from_mm"]) for one in plain["plies"]),
        cells=tuple(_cell_of(one) for one in plain["cells"]),
        features=tuple(
            Feature(
                id=one["id"],
                kind=FeatureKind(one["kind"]),
                side=one["side"],
                region=region_of(one["region_mm"]),
                floor=floor_of(one["floor"]),
                for_cell=one["for_cell"],
            )
            for one in plain["features"]
        ),
        keep=plain["keep"],
        per_pack=plain["per_pack"],
    )


def _cell_of(plain: Plain) -> Cell:
    """The cell of its plain values."""
    walls = tuple(Wall(**one) for one in plain["walls"])
    return Cell(**{**plain, "at_mm": tuple(plain["at_mm"]), "walls": walls})


def plain_piece(piece: Piece) -> Plain:
    """A piece on a board."""
    return {
        "id": piece.id,
        "ply": piece.ply,
        "at_mm": list(piece.at_mm),
        "turn_deg": piece.turn_deg,
        "side_up": piece.side_up,
    }


def plain_board(layout: BoardLayout) -> Plain:
    """One kind of board layout."""
    return {
        "id": layout.id,
        "board": layout.board,
        "cut_from": layout.cut_from,
        "blank_mm": plain_region(layout.blank),
        "thickness_mm": layout.thickness_mm,
        "count": layout.count,
        "pieces": [plain_piece(one) for one in layout.pieces],
        "spare_pieces": layout.spare_pieces,
        "yield_ratio": layout.yield_ratio,
    }


def plain_setup(setup: Setup) -> Plain:
    """One board clamped once."""
    return {
        "id": setup.id,
        "board_layout": setup.board_layout,
        "board": setup.board,
        "blank_mm": plain_region(setup.blank),
        "thickness_mm": setup.thickness_mm,
        "side_up": setup.side_up,
        "datum": setup.datum,
        "z_zero": setup.z_zero,
        "pieces": [plain_piece(one) for one in setup.pieces],
        "bridges": [
            {
                "id": one.id,
                "piece": one.piece,
                "at_mm": list(one.at_mm),
                "along": list(one.along),
                "waist_mm": one.waist_mm,
                "height_mm": one.height_mm,
            }
            for one in setup.bridges
        ],
        "screws_mm": [list(one) for one in setup.screws_mm],
        "zones": list(setup.zones),
        "cutters": [{"number": number, "card": card} for number, card in setup.cutters],
        "program": setup.program,
        "runs": setup.runs,
    }


def setup_of(plain: Plain) -> Setup:
    """The setup of its plain values."""
    return Setup(
        **{
            **{
                key: plain[key] for key in ("id", "board_layout", "board", "thickness_mm", "side_up", "datum", "z_zero")
            },
            "blank": region_of(plain["blank_mm"]),
            "pieces": tuple(Piece(**{**one, "at_mm": tuple(one["at_mm"])}) for one in plain["pieces"]),
            "bridges": tuple(
                Bridge(**{**one, "at_mm": tuple(one["at_mm"]), "along": tuple(one["along"])})
                for one in plain["bridges"]
            ),
            "screws_mm": tuple((one[0], one[1]) for one in plain["screws_mm"]),
            "zones": tuple(plain["zones"]),
            "cutters": tuple((one["number"], one["card"]) for one in plain["cutters"]),
            "program": plain["program"],
            "runs": plain["runs"],
        }
    )


def plain_finding(one: Finding, numbers: Mapping[str, str], *, overridden: bool = False) -> Plain:
    """A finding with its figure's number."""
    limit = one.limit
    return {
        "code": one.code,
        "severity": one.severity.word,
        "at": list(one.at),
        "point_mm": list(one.point_mm),
        "figure": numbers.get(one.figure, one.figure),
        "limit": None
        if limit is None
        else {"value": limit.value, "unit": limit.unit, "status": limit.status.word, "source": limit.source},
        "fix": one.fix,
        "cause": one.cause,
        "overridden": overridden,
        "parameters": [{"name": name, "value": value} for name, value in one.parameters],
    }


def plain_figures(book: FigureBook) -> list[Plain]:
    """Every figure with its number; inputs are numbers or leaves."""
    numbers = book.numbers()
    return [_plain_figure(one, numbers) for one in book.figures]


def _plain_figure(one: Figure, numbers: Mapping[str, str]) -> Plain:
    """One figure."""
    return {
        "id": numbers[one.path],
        "path": one.path,
        "what": one.what,
        "of": one.of,
        "case": one.case,
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "unit": one.unit,
        "method": one.method,
        "inputs": [numbers.get(path, path) for path in one.inputs],
        "status": one.status.word,
        "source": one.source,
    }
