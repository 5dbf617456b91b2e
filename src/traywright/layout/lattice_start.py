"""A first layout from the densest lattice of one outline: strong where a container holds many copies."""

from __future__ import annotations

from collections.abc import Iterator

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region
from traywright.layout.asked import LayoutAsked
from traywright.layout.check import check_layout
from traywright.layout.lattice import Lattice, densest_lattice
from traywright.layout.lattice_spots import lattice_spots
from traywright.layout.offer import Placement
from traywright.layout.place import same_turn, snapped_mm
from traywright.layout.settle import Settle


def lattice_start(asked: LayoutAsked, base_deg: float, beyond: int) -> tuple[Placement, ...]:
    """The copies of the densest lattice that the container holds, if they are more than those that stand already.

    Parameters
    ----------
    asked
        The question; of several kinds, kits of more than one, regions that nothing may enter or pairs with walls of
        their own, nothing is tried.
    base_deg
        What all turns are turned on by.
    beyond
        Copies that stand already.
    """
    kind = asked.kinds[0]
    if len(asked.kinds) > 1 or kind.in_kit > 1 or asked.container.no_go or asked.spacing.pairs:
        return ()
    best: tuple[Placement, ...] = ()
    cell = kind.cell()
    for lattice, turn_deg, half in _lattices(asked, cell):
        found = _stood(asked, lattice, cell, (turn_deg + base_deg) % 360.0, half=half)
        best = found if len(found) > len(best) else best
    if len(best) <= beyond:
        return ()
    best = best[: asked.kits_most or len(best)]
    return best if not check_layout(asked, best).faults else Settle(asked).settled(best)


def _lattices(asked: LayoutAsked, cell: Region) -> Iterator[tuple[Lattice, float, bool]]:
    """Each turn allowed with the lattice of its frame; a turn whose opposite came before is left out."""
    made: dict[bool, Lattice] = {}
    turns = asked.turns_deg
    for number, turn in enumerate(turns):
        if any(same_turn(turn + 180.0, one) for one in turns[:number]):
            continue
        half = any(same_turn(turn + 180.0, one) for one in turns)
        if half not in made:
            made[half] = densest_lattice(cell, asked.spacing.wall, half_turned=half)
        yield made[half], turn, half


def _stood(asked: LayoutAsked, lattice: Lattice, cell: Region, turn_deg: float, *, half: bool) -> tuple[Placement, ...]:
    """The copies of one lattice at one turn, where most of them stand in the container."""
    boxes = [_room_mm(asked, cell.turned(turn)) for turn in (turn_deg, turn_deg + 180.0)]
    spots = lattice_spots(lattice, boxes[0], boxes[1] if half else (0.0, 0.0, -1.0, -1.0), frame_deg=turn_deg)
    id_ = asked.kinds[0].id
    return tuple(
        Placement(
            id_,
            snapped_mm(one.x_mm),
            snapped_mm(one.y_mm),
            round((turn_deg + 180.0 * one.half_turned) % 360.0, 6) + 0.0,
        )
        for one in spots
    )


def _room_mm(asked: LayoutAsked, shape: Region) -> tuple[float, float, float, float]:
    """Where the frame origin of a turned outline may stand: left, front, right, back."""
    rim = asked.spacing.rim_of(asked.kinds[0].id)
    left, front, right, back = shape.bounds_mm
    return (
        rim.left_mm - left,
        rim.front_mm - front,
        asked.container.width_mm - rim.right_mm - right + SAME_MM,
        asked.container.depth_mm - rim.back_mm - back + SAME_MM,
    )
