"""The plan of a part in a drawing: outline, what is added to it, holes, steps and marks, layer by layer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from traywright.base import nearest
from traywright.base.errors import PartError
from traywright.base.tolerance import SNAP_MM
from traywright.geometry import Region
from traywright.parts.drawing import DrawnLine
from traywright.parts.question import PartQuestion
from traywright.parts.shape import LayerHeight, LayerTold

MOST_HEIGHT_MM = 10_000.0  # source: ours: no part is that high


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPlan:
    """Regions of a plan: the plate, steps on it (height above its top, below its underside if negative), holes."""

    plate: Region
    steps: tuple[tuple[Region, float], ...]
    holes: Region
    layers: tuple[LayerTold, ...]
    questions: tuple[PartQuestion, ...]


def _nested(loops: Sequence[DrawnLine]) -> tuple[Region, float]:
    """What the loops of one layer enclose, a loop in a loop being a hole, and its exact area."""
    regions = [one.contour.region() for one in loops]
    whole, area_mm2 = Region.empty(), 0.0
    order = sorted(range(len(loops)), key=lambda number: (-loops[number].contour.area_mm2, number))
    for number in order:
        inside = whole.contains(regions[number])
        whole = whole.difference(regions[number]) if inside else whole.union(regions[number])
        area_mm2 += -loops[number].contour.area_mm2 if inside else loops[number].contour.area_mm2
    return whole, area_mm2


def _heights(part_id: str, loops: Iterable[DrawnLine], asked: Sequence[LayerHeight]) -> dict[str, LayerHeight]:
    """The heights asked for, by the layer or the loop they mean.

    Raises
    ------
    PartError
        PART-090 if a height names what is not there, PART-006 if it cannot be.
    """
    names = {one.layer.casefold(): one.layer for one in loops} | {one.id.casefold(): one.id for one in loops}
    found = {}
    for one in asked:
        name = names.get(one.layer.casefold())
        if name is None:
            raise PartError("PART-090", part=part_id, layer=one.layer, near=nearest(one.layer, names.values()))
        if not one.through and not 0.0 < abs(one.height_mm) <= MOST_HEIGHT_MM:
            raise PartError("PART-006", part=part_id, key=name, value=str(one.height_mm), most_mm=MOST_HEIGHT_MM)
        found[name] = one
    return found


def _taken(region: Region, outline: Region, height: LayerHeight | None) -> str:
    """What a layer beside the outline is: by its height, else by whether it sticks out of the outline."""
    if height is not None:
        return "hole" if height.through else "step"
    whole = outline.filled()
    # a ply of a snap step about a common edge is the same line drawn twice
    outside = region.difference(whole.grown(SNAP_MM))
    return "added" if not outside.is_empty and region.distance_mm(whole) <= SNAP_MM else "mark"


def _question(marks: Sequence[LayerTold]) -> tuple[PartQuestion, ...]:
    if not marks:
        return ()
    layers = ", ".join(one.name for one in marks)
    readings = (("marks", layers), ("holes", layers), ("steps", layers))
    return (
        PartQuestion(
            field="outline", asks="inner_loops", parameters=(("layers", layers),), readings=readings, taken="marks"
        ),
    )


def plan_of(part_id: str, loops: Sequence[DrawnLine], asked: Sequence[LayerHeight]) -> DrawnPlan:
    """The plan of a part in a drawing.

    Parameters
    ----------
    part_id
        Named in errors.
    loops
        Closed loops of the drawing, mm, at least one.
    asked
        Heights by layer, or by the id of one loop.

    Raises
    ------
    PartError
        PART-006, PART-090, PART-096 for a height that cannot be, names nothing or names the outline.

    Notes
    -----
    The layer of the largest loop is the outline; a loop inside another of that layer is a hole. A layer that sticks out
    of the outline and touches it is added to the plan. Other layers inside are marks until they get a height.
    """
    heights = _heights(part_id, loops, asked)
    largest = max(loops, key=lambda one: (one.contour.area_mm2, one.id))
    first = largest.layer
    if not heights.keys().isdisjoint({first, largest.id}):
        raise PartError("PART-096", part=part_id, layer=first)
    by_name: dict[str, list[DrawnLine]] = {}
    for one in loops:
        by_name.setdefault(one.id if one.id in heights else one.layer, []).append(one)
    plate, area_mm2 = _nested(by_name[first])
    outline, holes, steps, layers = plate, Region.empty(), [], []
    for name in sorted(by_name, key=lambda each: (each != first, each)):
        region, own_mm2 = (plate, area_mm2) if name == first else _nested(by_name[name])
        taken = "outline" if name == first else _taken(region, outline, heights.get(name))
        length_mm = sum(one.contour.length_mm for one in by_name[name])
        layers.append(
            LayerTold(name=name, loops=len(by_name[name]), area_mm2=own_mm2, perimeter_mm=length_mm, taken=taken)
        )
        if taken == "added":
            plate = plate.union(region)
        elif taken == "hole":
            holes = holes.union(region)
        elif taken == "step":
            steps.append((region, heights[name].height_mm))
    marks = [one for one in layers if one.taken == "mark"]
    return DrawnPlan(plate=plate, steps=tuple(steps), holes=holes, layers=tuple(layers), questions=_question(marks))
