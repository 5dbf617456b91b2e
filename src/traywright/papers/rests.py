"""What a protection sheet rests on: drop heights, masses, limits, foam, lifting and lid, each with its ground."""

from __future__ import annotations

from traywright.base import Figure, Given, text
from traywright.catalogue import table as catalogue_table
from traywright.papers.blocks import Block, Cell, Column, heading, table
from traywright.papers.grounds import Book, bracketed, status_word, told_value, unit_word
from traywright.papers.paper import PapersAsked
from traywright.papers.told import ground_key

DROPS = "table:drop_heights#"
LIFT = "protection/lift/"
GAPS = (
    ("lid_gap", "design/pack/gap"),
    ("lid_spread", "design/pack/gap_spread"),
    ("lid_worst", "design/pack/gap_worst"),
)

GroundRow = tuple[Cell | str, ...]


def ground_row(name: str, known: Given | Figure | None, book: Book, *, limit: float | None = None) -> GroundRow:
    """One number with its name, its ground as a word and where it is from; "not known" where there is none.

    Parameters
    ----------
    name
        What it is, in words.
    known
        The number.
    book
        Figures with their numbers.
    limit
        Upper limit that rounding keeps away from, in the number's unit.
    """
    if known is None:
        return (name, text("protection_sheet", "unknown"), text("paper", "none"), text("paper", "none"))
    words = f"{told_value(known.value, known.unit, limit=limit)} {unit_word(known.unit)}".rstrip()
    return (
        name,
        Cell(
            text=bracketed(words, known.status.word),
            voice="strong",
            ground=known.status.word,
            below=book.number(known.path),
        ),
        status_word(known.status),
        known.source,
    )


def drop_heights(asked: PapersAsked) -> tuple[Given, ...]:
    """The drop heights that the falls stand on, lowest first, as the rows of their table.

    Notes
    -----
    Heights are read from the inputs of the figures, so none is listed that no fall was worked out for.
    """
    refs = {ref for one in asked.figures for ref in one.inputs if ref.startswith(DROPS)}
    heights = catalogue_table("drop_heights")
    found = [heights.given(*ref.removeprefix(DROPS).rsplit(".", 1)) for ref in refs]
    return tuple(sorted(found, key=lambda one: (one.value, one.ref)))


def _loads(asked: PapersAsked, book: Book) -> list[GroundRow]:
    """Drop heights, masses and what each part stands."""
    rows = [
        ground_row(text("protection_sheet", "drops", row=one.ref.removeprefix(DROPS).rsplit(".", 1)[0]), one, book)
        for one in drop_heights(asked)
    ]
    rows.append(ground_row(text("protection_sheet", "gross"), book.figures.get("design/pack/gross"), book))
    for one in asked.poses:
        part = one.part
        rows.append(ground_row(text("protection_sheet", "mass", part=part.name), part.mass, book))
        rows.append(ground_row(text("protection_sheet", "fragility", part=part.name), part.fragility, book))
    return rows


def _foam(asked: PapersAsked, book: Book) -> list[GroundRow]:
    """The foam's curve and limits."""
    foam, rows = asked.foam, []
    for key, name in (
        ("plateau_kpa", "curve"),
        ("strain_limit_ratio", "strain_limit_row"),
        ("creep_limit_kpa", "creep"),
    ):
        known = foam.given(key) if getattr(foam, key) is not None else None
        rows.append(ground_row(text("protection_sheet", name, foam=foam.id), known, book))
    return rows


def _columns(width_mm: float) -> list[Column]:
    """What, figure, ground, from."""
    shares = (("load", 0.34), ("figure", 0.18), ("status", 0.18), ("source", 0.30))
    return [Column(title=text("protection_sheet", key), width_mm=width_mm * share) for key, share in shares]


def rests_on(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """Loads, limits and the foam with the ground of each."""
    rows = [*_loads(asked, book), *_foam(asked, book)]
    title = heading(text("protection_sheet", "rests_on"))
    return (title, *table(_columns(width_mm), rows), ground_key(width_mm))


def lift_places(book: Book) -> tuple[str, ...]:
    """Places at which the pack is lifted, sorted."""
    return tuple(sorted({path.split("/")[2] for path in book.figures if path.startswith(LIFT)}))


def whole_pack(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """Gap under the lid and lifting of the closed pack; a line that says so where lifting is not calculated."""
    worst = book.figures.get(GAPS[0][1])
    rows = [
        ground_row(
            text("protection_sheet", name),
            book.figures.get(path),
            book,
            limit=worst.value if worst is not None and name != "lid_gap" else None,
        )
        for name, path in GAPS
    ]
    goal = catalogue_table("niosh_multipliers").given("index_goal", "value")
    for place in lift_places(book):
        limit, index = (book.figures.get(f"{LIFT}{place}/{key}") for key in ("limit", "index"))
        rows.append(ground_row(text("protection_sheet", "lift_limit", place=place), limit, book))
        name = text("protection_sheet", "lift_index", place=place, goal=f"{goal.value:g}")
        rows.append(ground_row(name, index, book, limit=goal.value))
    if not lift_places(book):
        rows.append((text("protection_sheet", "lifting"), text("paper", "not_calculated"), "", ""))
    return (heading(text("protection_sheet", "pack_head", box=asked.box.id)), *table(_columns(width_mm), rows))
