"""The plan of a part in a drawing: outline, what is added to it, holes, steps and marks, layer by layer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely

from traywright.base import nearest
from traywright.base.errors import PartError
from traywright.base.tolerance import SNAP_MM
from traywright.geometry import Region
from traywright.parts.drawing import DrawnLine
from traywright.parts.nested import nested, shapes_of
from traywright.parts.question import PartQuestion
from traywright.parts.read_drawing import MOST_LISTED
from traywright.parts.shape import LayerHeight, LayerTold

MOST_HEIGHT_MM = 10_000.0  # source: ours: no part is that high
MOST_NAMES = 1000  # source: ours: loops among which the nearest name is looked for
ASKED = frozenset({"mark", "left out"})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPlan:
    """Regions of a plan: the plate, steps on it (height above its top, below its underside if negative), holes.

    ``outline`` are the loops of the outline's layer with whether each stands or is a hole.
    """

    plate: Region
    steps: tuple[tuple[Region, float], ...]
    holes: Region
    outline: tuple[tuple[DrawnLine, bool], ...]
    layers: tuple[LayerTold, ...]
    questions: tuple[PartQuestion, ...]


def _heights(part_id: str, loops: Iterable[DrawnLine], asked: Sequence[LayerHeight]) -> dict[str, LayerHeight]:
    """The heights asked for, by the layer or the loop they mean; a layer that is called as a loop is goes first.

    Raises
    ------
    PartError
        PART-090 if a height names what is not there, PART-006 if it cannot be.
    """
    layers = {one.layer.casefold(): one.layer for one in loops}
    names = {one.id.casefold(): one.id for one in loops} | layers
    known = [*layers.values(), *list(names.values())[:MOST_NAMES]]
    found = {}
    for one in asked:
        name = names.get(one.layer.casefold())
        if name is None:
            raise PartError("PART-090", part=part_id, layer=one.layer, near=nearest(one.layer, known))
        if not one.through and not 0.0 < abs(one.height_mm) <= MOST_HEIGHT_MM:
            raise PartError("PART-006", part=part_id, key=name, value=str(one.height_mm), most_mm=MOST_HEIGHT_MM)
        found[name] = one
    return found


def _placed(loops: Sequence[DrawnLine], outline: Region) -> list[str]:
    """What loops without a height are: added where they stick out, marks inside, left out where they lie apart."""
    whole = outline.filled()
    # a ply of a snap step about a common edge is the same line drawn twice
    grown = whole.grown(SNAP_MM).shape
    shapely.prepare(grown)
    shapes = shapes_of([one.contour for one in loops])
    inside, near = shapely.covers(grown, shapes), shapely.intersects(grown, shapes)
    kinds = zip(inside.tolist(), near.tolist(), strict=True)
    return ["mark" if within else "added" if meets else "left out" for within, meets in kinds]


def _taken(loops: Sequence[DrawnLine], outline: Region, height: LayerHeight | None) -> list[str]:
    """What each loop beside the outline is."""
    if height is not None:
        return ["hole" if height.through else "step"] * len(loops)
    return _placed(loops, outline)


def _told(name: str, loops: Sequence[DrawnLine], area_mm2: float, taken: Iterable[str]) -> LayerTold:
    """A layer as it was taken; where its loops were taken in several ways, all of them."""
    ways = ", ".join(sorted(set(taken)))
    length_mm = sum(one.contour.length_mm for one in loops)
    return LayerTold(name=name, loops=len(loops), area_mm2=area_mm2, perimeter_mm=length_mm, taken=ways)


def _ids(loops: Sequence[DrawnLine]) -> str:
    """Loops by their ids, which run on within a layer."""
    return loops[0].id if len(loops) == 1 else f"{loops[0].id} … {loops[-1].id}"


def _questions(unclear: Sequence[tuple[str, list[DrawnLine], str]]) -> tuple[PartQuestion, ...]:
    """One question for all loops inside the outline, one for all that lie apart from it."""
    found = []
    for taken, asks, answers in (
        ("mark", "inner_loops", ("marks", "holes", "steps")),
        ("left out", "apart_loops", ("left out", "parts")),
    ):
        names = [f"{name} ({_ids(loops)})" for name, loops, way in unclear if way == taken]
        if names:
            layers = ", ".join(names[:MOST_LISTED]) + (" …" if len(names) > MOST_LISTED else "")
            asked = PartQuestion(
                field="heights",
                asks=asks,
                parameters=(("layers", layers),),
                readings=tuple((one, layers) for one in answers),
                taken=answers[0],
            )
            found.append(asked)
    return tuple(found)


def _extent_mm2(one: DrawnLine) -> float:
    """Area that a loop encloses by the even-odd rule: of one that crosses itself more than its own sum."""
    return float(shapes_of([one.contour])[0].area)


def whole_loops(part_id: str, loops: Sequence[DrawnLine]) -> None:
    """Refuse loops that cross themselves, so that it is not clear what they enclose.

    Parameters
    ----------
    part_id
        Named in the error.
    loops
        Closed loops of a drawing, mm.

    Raises
    ------
    PartError
        PART-097 with the place of the crossing.
    """
    shapes = shapes_of([one.contour for one in loops])
    for one, shape in zip(loops, shapes, strict=True):
        contour = one.contour
        if abs(float(shape.area) - contour.area_mm2) <= SNAP_MM * contour.length_mm:
            continue
        points = shapely.get_coordinates(shape)
        drawn = {(round(x, 6), round(y, 6)) for x, y in contour.points_mm()}
        # the crossing is the one corner that nobody drew
        new = [(x, y) for x, y in points.tolist() if (round(x, 6), round(y, 6)) not in drawn] or points.tolist()
        x_mm, y_mm = (round(each, 3) + 0.0 for each in min(new))
        raise PartError("PART-097", part=part_id, loop=one.id, layer=one.layer, x_mm=x_mm, y_mm=y_mm)


class _Sorted:
    """Layers beside the outline, while they are sorted."""

    def __init__(self, first: LayerTold) -> None:
        self.layers = [first]
        self.added: list[Region] = []
        self.holes: list[Region] = []
        self.steps: list[tuple[Region, float]] = []
        self.unclear: list[tuple[str, list[DrawnLine], str]] = []


def _sort_in(
    part_id: str, found: _Sorted, layer: tuple[str, list[DrawnLine]], outline: Region, height: LayerHeight | None
) -> None:
    """Sort in one layer, or one loop that has a height of its own."""
    name, loops = layer
    taken = _taken(loops, outline, height)
    found.layers.append(_told(name, loops, nested([one.contour for one in loops]).area_mm2, taken))
    for way in sorted(set(taken)):
        own = [one for one, each in zip(loops, taken, strict=True) if each == way]
        if way in ASKED:
            found.unclear.append((name, own, way))
            continue
        whole_loops(part_id, own)
        region = nested([one.contour for one in own]).region
        if height is not None and way == "step":
            found.steps.append((region, height.height_mm))
        else:
            (found.added if way == "added" else found.holes).append(region)


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
        PART-006, PART-090, PART-096 for a height that cannot be, names nothing or names the outline; PART-097 if a loop
        that is more than a mark crosses itself.

    Notes
    -----
    The layer of the largest loop is the outline; a loop inside another of that layer is a hole. A loop of another layer
    that sticks out of the outline and touches it is added to the plan; one inside is a mark until it gets a height; one
    that lies apart is left out. What is a mark or left out is asked.
    """
    heights = _heights(part_id, loops, asked)
    largest = max(loops, key=lambda one: (_extent_mm2(one), one.id))
    first = largest.layer
    if not heights.keys().isdisjoint({first, largest.id}):
        raise PartError("PART-096", part=part_id, layer=first)
    by_name: dict[str, list[DrawnLine]] = {}
    for one in loops:
        alone = one.id in heights and one.layer not in heights
        by_name.setdefault(one.id if alone else one.layer, []).append(one)
    whole_loops(part_id, by_name[first])
    own = nested([one.contour for one in by_name[first]])
    found = _Sorted(_told(first, by_name[first], own.area_mm2, ["outline"]))
    for name in sorted(by_name.keys() - {first}):
        _sort_in(part_id, found, (name, by_name[name]), own.region, heights.get(name))
    return DrawnPlan(
        plate=Region.union_of([own.region, *found.added]),
        steps=tuple(found.steps),
        holes=Region.union_of(found.holes),
        outline=tuple(zip(by_name[first], own.solid, strict=True)),
        layers=tuple(found.layers),
        questions=_questions(found.unclear),
    )
