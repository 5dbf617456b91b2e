"""The whole plan of one setup: level by level, kind by kind over all pieces, outlines with bridges last."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.errors import CutError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue.cards import Cutter, Machine, Solid
from traywright.cutting.clearing import Site, clear, steps_down
from traywright.cutting.corridor import link_of, run_outs
from traywright.cutting.cut_plan import XYZ, CutPlan, Move, Operation
from traywright.cutting.for_solid import cutters_for, machine_for, slope_ratio_of
from traywright.cutting.gone import Cuts, removed_at
from traywright.cutting.moves import clear_height_mm, lengths_and_time, run_moves
from traywright.cutting.order import visiting_order
from traywright.cutting.outline import keeps_of, outline_runs
from traywright.cutting.ramp import LEAST_ENTRY_RATIO
from traywright.cutting.recess import KINDS, Recess, due, levels_of, recesses_of, skinned
from traywright.cutting.rings import EASE_MM, Line, polygons, shrunk
from traywright.cutting.run import Run
from traywright.cutting.solid_outline import solid_outline_runs
from traywright.nesting import place_on_board
from traywright.nesting.setup import Setup
from traywright.trays.tray import Ply

Unit = tuple[Run, ...]
Numbered = tuple[tuple[int, Cutter], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What every step of one plan reads."""

    setup: Setup
    machine: Machine
    flats: Numbered
    sites: tuple[tuple[str, Site], ...]
    solid: Solid | None
    clean_corners: bool
    true_arcs: bool

    @property
    def top_mm(self) -> float:
        """Board thickness."""
        return self.setup.thickness_mm

    @property
    def by_number(self) -> dict[int, Cutter]:
        """The flat cutters by their number."""
        return dict(self.flats)

    @property
    def lowest_mm(self) -> float:
        """Height of what is cut right through."""
        return -self.machine.into_spoil_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """An operation before it is numbered."""

    kind: str
    level_mm: float
    cutter: int
    features: tuple[str, ...]
    units: tuple[Unit, ...]


def outlines_of(setup: Setup, plies: Mapping[str, Ply]) -> tuple[tuple[str, BaseGeometry], ...]:
    """Outline of every piece on the board, without the holes inside it, by piece id.

    Parameters
    ----------
    setup
        The board as clamped.
    plies
        Plies by id.
    """
    return tuple(
        (piece.id, place_on_board(plies[piece.ply].region.filled(), piece, plies[piece.ply]).shape)
        for piece in setup.pieces
    )


def _sites(
    setup: Setup, plies: Mapping[str, Ply], machine: Machine, slope_ratio: float
) -> tuple[tuple[str, Site], ...]:
    """Each piece with what must not be touched round it."""
    outlines = outlines_of(setup, plies)
    by_id = dict(outlines)
    links = tuple((link_of(one, by_id[one.piece], machine.kerf_mm), one.height_mm) for one in setup.bridges)
    return tuple(
        (
            name,
            Site(
                outline=outline,
                others=shapely.union_all([shape for other, shape in outlines if other != name]),
                links=links,
                thickness_mm=setup.thickness_mm,
                slope_ratio=slope_ratio,
            ),
        )
        for name, outline in outlines
    )


def _flats(setup: Setup, cutters: Mapping[int, Cutter]) -> Numbered:
    """Flat centre-cutting cutters of a setup, largest first."""
    numbers = [number for number, _ in setup.cutters]
    found = [(one, cutters[one]) for one in numbers if cutters[one].form == "flat" and cutters[one].centre_cutting]
    return tuple(sorted(found, key=lambda one: (-one[1].diameter_mm, one[0])))


def _reaching(flats: Numbered, setup: Setup, lowest_mm: float, at: str) -> Numbered:
    """Flat cutters that reach down from the board's top to a height."""
    depth_mm = setup.thickness_mm - lowest_mm
    found = tuple(one for one in flats if one[1].reach_mm >= depth_mm - SAME_MM)
    if not found:
        reach_mm = max((one.reach_mm for _, one in flats), default=0.0)
        raise CutError("CUT-001", setup=setup.id, at=at, depth_mm=round(depth_mm, 3), reach_mm=reach_mm)
    return found


def _goes_into(recess: Recess, cutter: Cutter, *, ramped: bool) -> bool:
    """True if a cutter goes into a recess; into a solid only where its centre has room for a ramp."""
    place = shrunk(recess.region.shape, cutter.radius_mm - EASE_MM)
    if not ramped:
        return not place.is_empty
    # the eased place is wider than the path by the ease on each side
    least_mm = LEAST_ENTRY_RATIO * cutter.diameter_mm + 2.0 * EASE_MM
    boxes = [one.bounds for one in shapely.get_parts(place).tolist() if not one.is_empty]
    return bool(boxes) and all(max(box[2] - box[0], box[3] - box[1]) >= least_mm for box in boxes)


def _cutter_for(recess: Recess, job: _Job) -> int:
    """The largest flat cutter that reaches a recess's floor and goes into it; else the smallest that reaches."""
    reaching = _reaching(job.flats, job.setup, recess.floor_mm, recess.id)
    for number, cutter in reaching:
        if _goes_into(recess, cutter, ramped=job.solid is not None):
            return number
    if job.solid is not None:
        least_mm = reaching[-1][1].diameter_mm
        raise CutError("CUT-007", feature=recess.id, diameter_mm=least_mm, ramp_deg=job.solid.ramp_deg)
    return reaching[-1][0]


def _names_in(area: BaseGeometry, recesses: tuple[Recess, ...]) -> str:
    """Ids of the recesses that an area belongs to."""
    return ", ".join(one.id for one in recesses if one.region.shape.intersects(area))


def _piece_units(
    recesses: tuple[Recess, ...], level_mm: float, *, cuts: Cuts, site: Site, cutter: Cutter
) -> tuple[tuple[Unit, ...], Cuts]:
    """Runs of one piece at one level, one unit for each connected recess, and the longer record of cuts."""
    units: list[Unit] = []
    for area in polygons(shapely.union_all([one.region.shape for one in recesses])):
        near = tuple(one for one in cuts if one[1].distance(area) <= cutter.diameter_mm)
        run_out = run_outs(
            area, site.outline, others=site.barred(level_mm), radius_mm=cutter.radius_mm, name=_names_in(area, recesses)
        )
        runs, longer = clear(area, run_out, level_mm, cuts=near, site=site, cutter=cutter)
        if not runs and area.difference(removed_at(longer, level_mm)).area > area.area / 2.0:
            raise CutError("CUT-002", feature=_names_in(area, recesses), diameter_mm=cutter.diameter_mm)
        cuts = (*cuts, *longer[len(near) :])
        units += [runs] if runs else []
    return tuple(units), cuts


def _recess_steps(job: _Job, recesses: tuple[Recess, ...], cuts: dict[str, Cuts]) -> list[_Step]:
    """Steps of all levels and kinds, cutters largest first within a kind; the record of cuts grows."""
    number_of = {one.id: _cutter_for(one, job) for one in recesses}
    steps: list[_Step] = []
    for level_mm, kind in ((level_mm, kind) for level_mm in levels_of(recesses) for kind in KINDS):
        now = due(recesses, level_mm, kind)
        for number, cutter in job.flats:
            mine = tuple(one for one in now if number_of[one.id] == number)
            units: list[Unit] = []
            for name, site in job.sites:
                own = tuple(one for one in mine if one.piece == name)
                if own:
                    found, cuts[name] = _piece_units(own, level_mm, cuts=cuts[name], site=site, cutter=cutter)
                    units += found
            if units:
                names = tuple(one.id for one in mine)
                steps.append(_Step(kind=kind, level_mm=level_mm, cutter=number, features=names, units=tuple(units)))
    return steps


def _rest_steps(job: _Job, recesses: tuple[Recess, ...], cuts: dict[str, Cuts]) -> list[_Step]:
    """Steps of every smaller cutter over what larger ones left in corners, level by level."""
    steps: list[_Step] = []
    widest = {one.id: job.by_number[_cutter_for(one, job)].diameter_mm for one in recesses}
    for (number, cutter), level_mm in ((one, level_mm) for one in job.flats[1:] for level_mm in levels_of(recesses)):
        if cutter.reach_mm < job.top_mm - level_mm - SAME_MM:
            continue
        here = tuple(
            one
            for one in recesses
            if abs(one.floor_mm - level_mm) <= SAME_MM and widest[one.id] > cutter.diameter_mm + SAME_MM
        )
        for kind in KINDS:
            units: list[Unit] = []
            names: list[str] = []
            for (name, site), one in ((own, one) for own in job.sites for one in here):
                if one.piece != name or one.kind != kind:
                    continue
                found, cuts[name] = _piece_units((one,), level_mm, cuts=cuts[name], site=site, cutter=cutter)
                units += found
                names += [one.id] if found else []
            if units:
                steps.append(
                    _Step(kind=kind, level_mm=level_mm, cutter=number, features=tuple(names), units=tuple(units))
                )
    return steps


def outline_cutter(setup: Setup, machine: Machine, cutters: Mapping[int, Cutter]) -> tuple[int, Cutter]:
    """The cutter that goes round the pieces: the largest flat one that reaches through and is no wider than the kerf.

    Parameters
    ----------
    setup
        The board as clamped.
    machine
        For kerf and depth into the spoil board.
    cutters
        Cutters by their number on the machine.

    Raises
    ------
    CutError
        CUT-001 no flat cutter reaches, CUT-006 none is as narrow as the kerf.
    """
    reaching = _reaching(_flats(setup, cutters), setup, -machine.into_spoil_mm, setup.id)
    for number, cutter in reaching:
        if cutter.diameter_mm <= machine.kerf_mm + SAME_MM:
            return number, cutter
    raise CutError("CUT-006", setup=setup.id, kerf_mm=machine.kerf_mm)


def _outline_step(job: _Job, number: int, cutter: Cutter, heights_mm: tuple[float, float]) -> _Step:
    """The cut round every piece between two heights, with its bridges."""
    from_mm, lowest_mm = heights_mm
    outlines = {name: site.outline for name, site in job.sites}
    keeps = keeps_of(job.sites[0][1].links if job.sites else (), cutter)
    middles = tuple((float(one.centroid.x), float(one.centroid.y)) for one in outlines.values())
    names = tuple(outlines)
    done: tuple[Line, ...] = ()
    units: list[Unit] = []
    for index in visiting_order(middles, (0.0, 0.0)):
        outline, slope_ratio = outlines[names[index]], slope_ratio_of(job.solid)
        if slope_ratio > 0.0:
            passes = (from_mm, *steps_down(from_mm, lowest_mm, cutter))
            runs, paths = solid_outline_runs(
                outline, done, keeps, cutter=cutter, heights_mm=passes, slope_ratio=slope_ratio
            )
        else:
            runs, paths = outline_runs(outline, done, keeps, cutter=cutter, depth_mm=heights_mm)
        done = (*done, *paths)
        units += [runs] if runs else []
    features = tuple(f"{name}/outline" for name in names)
    return _Step(kind="outline", level_mm=lowest_mm, cutter=number, features=features, units=tuple(units))


def _steps(job: _Job, recesses: tuple[Recess, ...], outline: tuple[int, Cutter]) -> list[_Step]:
    """Everything in its turn: recesses, corners, outlines; in a solid first to a skin, then holes, then outlines."""
    cuts: dict[str, Cuts] = {name: () for name, _ in job.sites}
    corners = _rest_steps if job.clean_corners else lambda *_: []
    if job.solid is None:
        return [
            *_recess_steps(job, recesses, cuts),
            *corners(job, recesses, cuts),
            _outline_step(job, *outline, (job.top_mm, job.lowest_mm)),
        ]
    skin_mm = min(job.solid.skin_mm, job.top_mm)
    first, last = skinned(recesses, skin_mm)
    return [
        *_recess_steps(job, first, cuts),
        *corners(job, first, cuts),
        _outline_step(job, *outline, (job.top_mm, skin_mm)),
        *_recess_steps(job, last, cuts),
        *corners(job, last, cuts),
        _outline_step(job, *outline, (skin_mm, job.lowest_mm)),
    ]


def _operation(step: _Step, number: int, start: XYZ, job: _Job) -> Operation:
    """A step as an operation: units in visiting order (outlines keep theirs)."""
    firsts = tuple(unit[0].points_mm[0][:2] for unit in step.units)
    order = range(len(firsts)) if step.kind == "outline" else visiting_order(firsts, start[:2])
    moves: tuple[Move, ...] = tuple(
        move
        for index in order
        for run in step.units[index]
        for move in run_moves(run, thickness_mm=job.top_mm, machine=job.machine, even=job.true_arcs)
    )
    return Operation(
        id=f"{job.setup.id}.O{number}",
        kind=step.kind,
        level_mm=step.level_mm,
        cutter=step.cutter,
        features=step.features,
        moves=moves,
    )


def plan_cuts(  # noqa: PLR0913  # reason: board, plies and two cards, and what a drawing or a solid asks besides
    setup: Setup,
    plies: Mapping[str, Ply],
    machine: Machine,
    cutters: Mapping[int, Cutter],
    *,
    clean_corners: bool = False,
    solid: Solid | None = None,
    true_arcs: bool = False,
) -> CutPlan:
    """What one setup is cut by: operations in their order, with time and lengths.

    Parameters
    ----------
    setup
        The board as clamped, with its bridges.
    plies
        Plies by id, at least those of the setup's pieces.
    machine
        The machine.
    cutters
        Cutters by their number on the machine.
    clean_corners
        True: every smaller flat cutter that reaches goes over what the larger ones left of a recess.
    solid
        What the board is of, where it is no foam: its feed and spindle speed, its step down, ramps instead of plunges,
        and a skin under all that goes through until everything else is cut.
    true_arcs
        True: a turn that needs several arcs is cut into equal ones, so that each has the drawn radius to 0.01 mm; else
        the short rest of a turn may have another one. Always so in a solid.

    Returns
    -------
    CutPlan
        Levels from the highest floor down; within a level slots, then pockets, then what goes right through, each
        over all pieces; outlines last of all.

    Raises
    ------
    CutError
        CUT-001 no flat cutter reaches, CUT-002 none goes into a recess, CUT-003 a floor that is not flat, CUT-004 a
        recess of the other side, CUT-005 a corridor too narrow to run out, CUT-006 no cutter as narrow as the kerf,
        CUT-007 no room for a ramp into a solid.

    Notes
    -----
    Only flat cutters, only vertical walls. The time holds acceleration and look-ahead, no jerk and no block rate.
    """
    machine, cutters = machine_for(machine, solid), cutters_for(cutters, solid)
    job = _Job(
        setup=setup,
        machine=machine,
        flats=_flats(setup, cutters),
        sites=_sites(setup, plies, machine, slope_ratio_of(solid)),
        solid=solid,
        clean_corners=clean_corners,
        true_arcs=true_arcs or solid is not None,
    )
    steps = _steps(job, recesses_of(setup, plies, machine), outline_cutter(setup, machine, cutters))
    start: XYZ = (0.0, 0.0, clear_height_mm(setup.thickness_mm, machine))
    here = start
    operations: list[Operation] = []
    for number, step in enumerate(steps, start=1):
        operation = _operation(step, number, here, job)
        here = operation.moves[-1].to_mm
        operations.append(operation)
    moves = tuple(move for one in operations for move in one.moves)
    cut_mm, rapid_mm, time_s, plain_s = lengths_and_time(start, moves, machine)
    changes = sum(1 for a, b in pairwise(operations) if a.cutter != b.cutter)
    still_s = machine.spin_up_s * (changes + 1) + machine.cutter_change_s * changes
    return CutPlan(
        setup=setup.id,
        start_mm=start,
        operations=tuple(operations),
        time_s=time_s + still_s,
        length_over_feed_s=plain_s,
        cut_length_mm=cut_mm,
        rapid_length_mm=rapid_mm,
        air_length_mm=sum(run.air_mm for step in steps for unit in step.units for run in unit),
    )
