"""The pack: the stack in its box, its masses, its gap and its balance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import Figure, Finding, Given, Severity, derive, finding
from traywright.base.units import MM_PER_M
from traywright.design.asked import PackAsked
from traywright.design.layers import Storey
from traywright.geometry import Region
from traywright.trays import Cell, Layer, Pack, Tray, foam_mass_kg

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackTold:
    """The pack with the figures it stands on and what is to be said of it."""

    pack: Pack
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]


def layers_of(asked: PackAsked, pieces: Sequence[Tray], divider_over: str) -> tuple[Layer, ...]:
    """The stack from the box's bottom up, at nominal thickness; the divider lies on the piece named."""
    found, bottom = [], 0.0
    for one in pieces:
        found.append(
            Layer(kind=one.kind.value, id=one.id, bottom_mm=bottom, top_mm=round(bottom + one.thickness_mm, 3))
        )
        bottom = found[-1].top_mm
        if asked.divider is not None and one.id == divider_over:
            top = round(bottom + asked.divider.thickness_mm, 3)
            found.append(Layer(kind="divider", id=asked.divider.id, bottom_mm=bottom, top_mm=top))
            bottom = top
    return tuple(found)


def pack_of(
    asked: PackAsked, pieces: Sequence[Tray], layers: tuple[Layer, ...], storeys: Sequence[Storey], outline: Region
) -> PackTold:
    """Masses, gap and centre of gravity of what lies in the box.

    Parameters
    ----------
    asked
        The pack as asked.
    pieces
        All trays, pads, caps and covers.
    layers
        Where each lies.
    storeys
        The layers of parts that were drawn.
    outline
        Outline of every tray.

    Notes
    -----
    Foam counts in the middle of its layer, the box in the middle of its inside. The thickness of a ply may vary by
    the tolerance of its board; the spread is the root of the sum of squares, the worst case their sum.
    """
    payload, foam, divider = _payload(asked, storeys), _foam(asked, pieces), _divider(asked, layers, outline)
    gross = derive(
        "design/pack/gross",
        payload.value + foam.value + divider.value + asked.box.mass_kg,
        "kg",
        what="gross mass",
        method="sum of parts, foam, divider, box",
        inputs=(payload, foam, divider, asked.box.given("mass_kg")),
    )
    gap, spread, worst = _gaps(asked, pieces, layers)
    pack = Pack(
        box=asked.box.id,
        kits=asked.kit_count,
        layers=layers,
        payload_kg=payload.value,
        foam_kg=foam.value,
        divider_kg=divider.value,
        gross_kg=gross.value,
        gap_nominal_mm=gap.value,
        gap_rss_mm=spread.value,
        gap_worst_mm=worst.value,
        centre_of_gravity_mm=_centre(asked, pieces, layers, storeys, divider.value),
    )
    figures = (payload, foam, divider, gross, gap, spread, worst)
    return PackTold(pack=pack, figures=figures, findings=_judge(asked, gap, spread, worst))


def _payload(asked: PackAsked, storeys: Sequence[Storey]) -> Figure:
    """Mass of all parts of the storeys that were drawn."""
    kinds = [one.kind for one in storeys] or list(asked.kinds)
    count = asked.kit_count if storeys else 0
    return derive(
        "design/pack/payload",
        count * math.fsum(one.per_kit * one.pose.part.mass_kg for one in kinds),
        "kg",
        what="mass of the parts",
        method="kits x parts a kit x mass",
        inputs=(asked.kits, *(one.pose.part.mass for one in kinds)),
    )


def _foam(asked: PackAsked, pieces: Sequence[Tray]) -> Figure:
    """Mass of all foam."""
    return derive(
        "design/pack/foam",
        math.fsum(foam_mass_kg(one, asked.foam) for one in pieces),
        "kg",
        what="mass of the foam",
        method="volume left x density",
        inputs=(asked.foam.given("density_kg_m3"), *_thicknesses(asked, "thickness_mm")),
    )


def _divider(asked: PackAsked, layers: tuple[Layer, ...], outline: Region) -> Figure:
    """Mass of the divider, 0 without one."""
    if asked.divider is None:
        mass, inputs = 0.0, (asked.kits,)
    else:
        count = sum(one.kind == "divider" for one in layers)
        mass = count * asked.divider.mass_kg_per_m2 * outline.area_mm2 / MM_PER_M**2
        inputs = (asked.divider.given("mass_kg_per_m2"),)
    return derive("design/pack/divider", mass, "kg", what="mass of the divider", method="area x mass", inputs=inputs)


def _thicknesses(asked: PackAsked, key: str) -> tuple[Given, ...]:
    """One number of every board card, in the order of ids."""
    return tuple(one.given(key) for one in sorted(asked.boards, key=lambda board: board.id))


def _gaps(asked: PackAsked, pieces: Sequence[Tray], layers: tuple[Layer, ...]) -> tuple[Figure, Figure, Figure]:
    """Nominal gap under the lid, and the plus-minus of the stack's height: spread and worst case."""
    height = layers[-1].top_mm if layers else 0.0
    tolerances = {one.id: one.thickness_tolerance_mm for one in asked.boards}
    each = [tolerances[board] for one in pieces for board, _ in one.ply_boards]
    inside, boards = asked.box.given("inside_height_mm"), _thicknesses(asked, "thickness_tolerance_mm")
    nominal = derive(
        "design/pack/gap",
        round(asked.box.inside_height_mm - height, 3),
        "mm",
        what="gap under the lid",
        method="inside height less the stack",
        inputs=(inside, *_thicknesses(asked, "thickness_mm")),
    )
    spread = derive(
        "design/pack/gap_spread",
        math.sqrt(math.fsum(one**2 for one in each)),
        "mm",
        what="spread of the stack's height",
        method="root of the sum of squares",
        inputs=boards,
    )
    worst = derive(
        "design/pack/gap_worst",
        math.fsum(each),
        "mm",
        what="worst change of height",
        method="sum of the tolerances",
        inputs=boards,
    )
    return nominal, spread, worst


def _judge(asked: PackAsked, gap: Figure, spread: Figure, worst: Figure) -> tuple[Finding, ...]:
    """A finding where the boards' tolerance alone may keep the lid open or leave the stack loose."""
    if gap.value < 0.0 or spread.value <= gap.value:
        return ()
    return (
        finding(
            "TRAY-016",
            Severity.WARN,
            (asked.box.id,),
            figure=spread.path,
            gap_mm=gap.value,
            spread_mm=spread.value,
            worst_mm=worst.value,
        ),
    )


def _centre(
    asked: PackAsked, pieces: Sequence[Tray], layers: tuple[Layer, ...], storeys: Sequence[Storey], divider_kg: float
) -> Point:
    """Centre of gravity of the pack, in the frame of the trays."""
    by_id = {one.id: one for one in pieces}
    storey_of = {one.kind.pose.part.id: one for one in storeys}
    box = asked.box
    middle = pieces[0].outline.centre_mm if pieces else (0.0, 0.0)
    masses: list[tuple[float, Point]] = [(box.mass_kg, (*middle, box.inside_height_mm / 2.0))]
    for layer in layers:
        at = (*middle, (layer.bottom_mm + layer.top_mm) / 2.0)
        if layer.kind == "divider":
            masses.append((divider_kg, at))
            continue
        tray = by_id[layer.id]
        masses.append((foam_mass_kg(tray, asked.foam), at))
        masses += [_part(cell, storey_of[cell.part], layer.bottom_mm) for cell in tray.cells]
    total = math.fsum(mass for mass, _ in masses)
    x, y, z = (math.fsum(mass * at[axis] for mass, at in masses) / total for axis in range(3))
    return (x, y, z)


def _part(cell: Cell, storey: Storey, bottom_mm: float) -> tuple[float, Point]:
    """Mass and centre of gravity of the part in a cell."""
    pose = storey.kind.pose
    x, y, z = pose.centre_of_gravity_mm
    turn = math.radians(cell.turn_deg)
    at_x = cell.at_mm[0] + x * math.cos(turn) - y * math.sin(turn)
    at_y = cell.at_mm[1] + x * math.sin(turn) + y * math.cos(turn)
    return pose.part.mass_kg, (at_x, at_y, bottom_mm + cell.at_mm[2] + z)
