"""The stages of a drawing job: read, trays, sheets, cuts, program, read-back, price."""

from __future__ import annotations

from dataclasses import replace

from traywright.base import Given
from traywright.catalogue import Board, Cutter
from traywright.design import DepthAsked, DrawnAsked, DrawnTrays, draw_as_drawn
from traywright.enquiry import DepthTerm, DrawnRead
from traywright.holddown import place_bridges
from traywright.job.drawn_done import DrawnDone, DrawnJobAsked
from traywright.job.drawn_pricing import price_drawn
from traywright.job.fingerprints import cut_fingerprint, drawn_trays_fingerprint
from traywright.job.making import MakeAsked, make
from traywright.job.pipeline import Clock
from traywright.job.pool import map_in_order
from traywright.job.warm import warm_kernels
from traywright.nc import ProgramHead
from traywright.nesting import NestResult, PlyCount, lay_on_sheets
from traywright.parts import Drawing, read_drawing
from traywright.trays import plies_of


def drawing_of(asked: DrawnJobAsked) -> Drawing:
    """The drawing that the enquiry names, in millimetres.

    Raises
    ------
    PartError
        If the file cannot be taken.
    """
    terms = asked.read.enquiry.drawing
    return read_drawing(
        asked.files[terms.file],
        terms.file,
        length_unit=terms.length_unit,
        leave_out=terms.leave_out,
        keep_layers=_named_layers(asked.read),
        board_mm=(asked.board.length_mm, asked.board.width_mm),
    )


def _named_layers(read: DrawnRead) -> tuple[str, ...]:
    """Layers that the enquiry itself asks to cut."""
    terms = read.enquiry.drawing
    named = [one.layer for one in (*terms.depth, *terms.engrave)]
    return tuple(dict.fromkeys(one for one in (*named, terms.outline) if one))


def board_as_measured(asked: DrawnJobAsked) -> Board:
    """The board at the thickness it was measured at, or as its card says."""
    return replace(asked.board, thickness_mm=_thickness(asked).value)


def _thickness(asked: DrawnJobAsked) -> Given:
    """What the board was measured at, or its card's own thickness."""
    field = "drawing.thickness_mm"
    return asked.read.given(field) if asked.read.has(field) else asked.board.given("thickness_mm")


def cutters_asked(asked: DrawnJobAsked) -> tuple[Cutter, ...]:
    """Flat cutters that may be mounted, the largest first: those named, else the machine's own.

    Where corners are to be cut with a smaller cutter and none is named, every smaller one that the shop has may be.
    """
    terms, catalogue = asked.read.enquiry.drawing, asked.catalogue
    named = [catalogue.cutter(one) for one in terms.cutters or asked.machine.cutters]
    flat = [one for one in named if one.form == "flat"]
    if terms.corner == "smaller_cutter" and not terms.cutters and flat:
        least_mm = min(one.diameter_mm for one in flat)
        every = (catalogue.cutter(one) for one in catalogue.ids("cutter"))
        flat += [one for one in every if one.form == "flat" and one.diameter_mm < least_mm]
    return tuple(sorted(flat, key=lambda one: (-one.diameter_mm, one.id)))


def trays_of(asked: DrawnJobAsked, drawing: Drawing) -> DrawnTrays:
    """The trays of a drawing, nothing moved.

    Raises
    ------
    DesignError
        If a layer has no depth, a floor would be too thin, or there is no outline.
    """
    terms = asked.read.enquiry.drawing
    return draw_as_drawn(
        DrawnAsked(
            drawing=drawing,
            outline_layer=terms.outline,
            depths=_depths(asked.read, "depth", terms.depth),
            engrave=_depths(asked.read, "engrave", terms.engrave),
            board=asked.board,
            stuff=asked.stuff,
            thickness=_thickness(asked),
            keep=terms.keep,
            corner=terms.corner,
            cutters=cutters_asked(asked),
        )
    )


def _depths(read: DrawnRead, key: str, rows: tuple[DepthTerm, ...]) -> tuple[DepthAsked, ...]:
    """Rows of the depth table with the ground of each number."""
    return tuple(
        DepthAsked(
            layer=one.layer,
            colour=one.colour or 0,
            depth=None if one.mm is None else read.given(f"drawing.{key}.{number}.mm"),
        )
        for number, one in enumerate(rows, start=1)
    )


def run_drawn_stages(asked: DrawnJobAsked, *, workers: int, clock: Clock) -> DrawnDone:
    """All stages of a drawing job up to the price.

    Parameters
    ----------
    asked
        The job; its enquiry answers everything.
    workers
        Processes for cutting and read-back; the result is the same with any number.
    clock
        Shows the stages and counts their CPU seconds.

    Raises
    ------
    TraywrightError
        If a result cannot exist; judgements come back as findings.
    """
    with clock.stage("compile"):
        warm_kernels()
    with clock.stage("drawing"):
        drawing = drawing_of(asked)
    with clock.stage("design"):
        drawn = trays_of(asked, drawing)
    machine = replace(asked.machine, cutters=drawn.cutters)
    cutters = tuple(asked.catalogue.cutter(one) for one in machine.cutters)
    quantity = asked.read.given("drawing.quantity")
    plies = tuple(ply for tray in drawn.trays for ply in plies_of(tray))
    with clock.stage("nesting"):
        nest = lay_on_sheets(
            tuple(PlyCount(ply=ply, count=round(quantity.value)) for ply in plies),
            board_as_measured(asked),
            machine,
            job_number=asked.read.enquiry.job.number,
            wanted=(quantity,),
        )
    done = DrawnDone(
        asked=asked,
        drawing=drawing,
        drawn=drawn,
        plies=plies,
        machine=machine,
        cutters=cutters,
        nest=nest,
        made=(),
        quote=None,
    )
    with clock.stage("cutting") as told:
        makes = _makes(done, nest)
        made, cpu_s = map_in_order(
            make, makes, workers=workers, told=lambda count: told(count / len(makes), makes[count - 1].setup.id)
        )
    clock.add("cutting", cpu_s if workers > 1 and len(makes) > 1 else 0.0)
    done = replace(done, made=made)
    with clock.stage("quoting"):
        return replace(done, quote=price_drawn(done))


def _makes(done: DrawnDone, nest: NestResult) -> tuple[MakeAsked, ...]:
    """Each setup with its bridges, ready for a worker."""
    asked, job = done.asked, done.asked.read.enquiry.job
    dialect = asked.catalogue.dialect(asked.read.enquiry.shop.dialect)
    plies = {ply.id: ply for ply in done.plies}
    held = []
    for setup in nest.plan.setups:
        cutters = tuple((number, asked.catalogue.cutter(card)) for number, card in setup.cutters)
        on_it = tuple((name, plies[name]) for name in sorted({piece.ply for piece in setup.pieces}))
        advice = place_bridges(setup, dict(on_it), done.machine, dict(cutters))
        named = f"{setup.program}.{dialect.extension.lstrip('.')}"
        held.append((replace(setup, bridges=advice.bridges, program=named), advice, on_it, cutters))
    setups = tuple(setup for setup, _, _, _ in held)
    head = ProgramHead(
        job=job.number,
        revision=job.revision,
        release=asked.release,
        cut=cut_fingerprint(drawn_trays_fingerprint(done.drawn.trays), setups, done.machine, done.cutters),
    )
    return tuple(
        MakeAsked(
            setup=setup,
            hold=advice,
            plies=on_it,
            machine=done.machine,
            cutters=cutters,
            dialect=dialect,
            head=head,
            clean_corners=len(done.cutters) > 1,
            solid=asked.solid,
            true_arcs=True,
        )
        for setup, advice, on_it, cutters in held
    )
