"""Bridges of one setup by a fixed rule, and what is not known about the hold."""

from __future__ import annotations

from collections.abc import Mapping

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from traywright.base import Figure, derive
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Cutter, Machine, Table, table
from traywright.cutting import outline_cutter, outlines_of
from traywright.holddown.edge_loss import edge_loss_mm, held_ratio
from traywright.holddown.hold_advice import BridgeRules, HoldAdvice
from traywright.holddown.judge import Held, judged
from traywright.holddown.places import Ground, Measures, Spot, best_set, spots
from traywright.nesting import place_on_board
from traywright.nesting.setup import Bridge, Piece, Setup
from traywright.trays import Ply

TABLE = "bridge_rules"


def bridge_rules(rules: Table) -> BridgeRules:
    """The rule for bridges as the table holds it.

    Parameters
    ----------
    rules
        The table ``bridge_rules``.

    Raises
    ------
    CatalogueError
        CAT-011 if a row is missing.

    Examples
    --------
    >>> bridge_rules(table("bridge_rules")).waist.unit
    'mm'
    """
    names = BridgeRules.__dataclass_fields__
    return BridgeRules(**{name: rules.given(name, "value") for name in names})


def _cut_out(piece: Piece, ply: Ply, above_mm: float) -> BaseGeometry:
    """What is cut away from a piece at a height, on the board."""
    regions = [one.region for one in ply.features if one.floor.lowest_mm < above_mm - SAME_MM]
    inside = ply.region.filled().difference(ply.region)
    return shapely.union_all([place_on_board(one, piece, ply).shape for one in (*regions, inside) if not one.is_empty])


def _measures(rules: BridgeRules, machine: Machine, cutter: Cutter) -> Measures:
    """The rule's lengths for one machine and cutter."""
    corner_mm = rules.from_corner.value * cutter.diameter_mm + rules.waist.value / 2.0
    return Measures(
        waist_mm=rules.waist.value,
        corner_mm=corner_mm,
        kerf_mm=machine.kerf_mm,
        grip_mm=rules.grip.value,
        from_screw_mm=rules.from_screw.value,
    )


def _grounds(setup: Setup, plies: Mapping[str, Ply], machine: Machine) -> dict[str, Ground]:
    """The foam round each piece: no bridge stands in front of a recess of any depth."""
    outlines = dict(outlines_of(setup, plies))
    standing = {
        piece.id: outlines[piece.id].difference(_cut_out(piece, plies[piece.ply], setup.thickness_mm))
        for piece in setup.pieces
    }
    spare = setup.blank.shape.difference(
        shapely.union_all([one.buffer(machine.kerf_mm, join_style="mitre") for one in outlines.values()])
    )
    return {
        name: Ground(
            outline=outlines[name],
            own=standing[name],
            pieces=shapely.union_all([one for other, one in standing.items() if other != name]),
            spare=spare,
            screws=tuple(Point(one) for one in setup.screws_mm),
        )
        for name in outlines
    }


def _held_figure(setup: Setup, piece: Piece, machine: Machine, outline: BaseGeometry, solid: BaseGeometry) -> Figure:
    """Share of its hold that a piece keeps when it is cut free."""
    loss_mm = edge_loss_mm(machine.kerf_mm, machine.spoil_thickness_mm)
    return derive(
        f"holddown/{setup.id}/{piece.id}/held",
        held_ratio(outline, solid, loss_mm),
        "",
        what="hold kept when cut free",
        method="edge strip of an even spoil board",
        inputs=(machine.given("kerf_mm"), machine.given("spoil_thickness_mm")),
        of=piece.id,
        case=f"edge loss {loss_mm:.2f} mm",
    )


def _bridges(piece: Piece, chosen: tuple[Spot, ...], rules: BridgeRules) -> tuple[Bridge, ...]:
    """Chosen places as bridges, numbered round the piece."""
    ordered = sorted(chosen, key=lambda one: (one.out, one.at_mm))
    return tuple(
        Bridge(
            id=f"{piece.id}.L{number}",
            piece=piece.id,
            at_mm=one.at_mm,
            along=one.along,
            waist_mm=rules.waist.value,
            height_mm=rules.height.value,
        )
        for number, one in enumerate(ordered, start=1)
    )


def _wanted(outline: BaseGeometry, rules: BridgeRules) -> int:
    """How many bridges a piece gets by its longer side."""
    left, front, right, back = outline.bounds
    large = max(right - left, back - front) >= rules.many_from.value - SAME_MM
    return round((rules.many if large else rules.few).value)


def place_bridges(
    setup: Setup,
    plies: Mapping[str, Ply],
    machine: Machine,
    cutters: Mapping[int, Cutter],
    rules: BridgeRules | None = None,
) -> HoldAdvice:
    """Bridges that hold every piece of a setup until it is cut free by hand, by a fixed rule.

    Parameters
    ----------
    setup
        The board as clamped; its bridges are not looked at.
    plies
        Plies by id.
    machine
        For kerf and spoil board.
    cutters
        Cutters by their number on the machine.
    rules
        The rule; left out: the table ``bridge_rules``.

    Returns
    -------
    HoldAdvice
        Bridges in piece order, what is not known, and the share of hold that each piece keeps.

    Raises
    ------
    CutError
        CUT-001, CUT-006 if no cutter goes round the pieces.

    Notes
    -----
    Forces are not calculated: neither of the vacuum nor of the cut. Bridges stand on straight runs, two cutter
    diameters off corners, where foam stands on both sides; rim before neighbour, opposite sides, far apart.
    """
    by = rules or bridge_rules(table(TABLE))
    _, cutter = outline_cutter(setup, machine, cutters)
    measures = _measures(by, machine, cutter)
    held = []
    grounds = _grounds(setup, plies, machine)
    for piece in setup.pieces:
        ground = grounds[piece.id]
        wanted = _wanted(ground.outline, by)
        apart_mm = by.waist.value + 2.0 * by.grip.value
        chosen = best_set(spots(ground, measures), wanted, round(by.to_rim.value), apart_mm)
        solid = ground.outline.difference(_cut_out(piece, plies[piece.ply], 2.0 * SAME_MM))
        held.append(
            Held(
                piece=piece.id,
                wanted=wanted,
                to_rim=sum(1 for one in chosen if one.to_rim),
                bridges=_bridges(piece, chosen, by),
                parts=sum(1 for one in shapely.get_parts(solid).tolist() if one.area > by.waist.value**2),
                figure=_held_figure(setup, piece, machine, ground.outline, solid),
            )
        )
    return HoldAdvice(
        setup=setup.id,
        bridges=tuple(bridge for one in held for bridge in one.bridges),
        findings=judged(setup.id, tuple(held), by),
        figures=tuple(one.figure for one in held),
    )
