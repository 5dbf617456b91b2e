"""The falls of a job as rows and as pictures: figures by part, direction and height."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding, Severity, Status, text
from traywright.geometry import Region
from traywright.papers.blocks import Block, Cell, Column, table
from traywright.papers.drawing import scaled
from traywright.papers.grounds import Book, bracketed, lettered, told_value
from traywright.papers.hatching import cross_in, foam_in, part_in, spent_in
from traywright.papers.marks import THICK_MM, THIN_MM, Area, Marks, Stroke, area_of, box, moved
from traywright.papers.paper import PapersAsked
from traywright.papers.signs import arrow, placed_sign
from traywright.papers.views import Cut, lying, pack_cut
from traywright.parts import Pose
from traywright.trays.tray import Cell as TrayCell

ROOM = "protection"
WAYS = ("under", "over", "left", "right", "front", "back")
STEPS = {"under": (0, -1), "over": (0, 1), "left": (-1, 0), "front": (-1, 0), "right": (1, 0), "back": (1, 0)}
"""Way of fall in the picture: along the plane, and up."""
BAR_MM = 12.5
LIMIT_RATIO = 0.72  # source: own choice: where the limit stands in a bar
PICTURE_MM = (56.0, 30.0)
AROUND_RATIO = 0.55
"""Foam shown around a part, over the part's own size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FallKey:
    """One fall: part id, direction, drop height as it stands in the path of its figures."""

    part: str
    way: str
    drop: str

    def figure(self, book: Book, quantity: str, rate: str) -> Figure | None:
        """One figure of the fall."""
        return book.figures.get(f"{ROOM}/{self.part}/{self.way}/{self.drop}/{quantity}/{rate}")


def key_of(path: str) -> FallKey | None:
    """The fall that a figure belongs to, if it is one.

    Examples
    --------
    >>> key_of("protection/spindle/under/460/peak/slow").way
    'under'
    """
    parts = path.split("/")
    if len(parts) < 6 or parts[0] != ROOM or parts[2] not in WAYS:  # reason: six steps of the path
        return None
    return FallKey(part=parts[1], way=parts[2], drop=parts[3])


def falls_of(asked: PapersAsked) -> tuple[FallKey, ...]:
    """All falls in part order, direction order, rising height."""
    order = {one.part.id: number for number, one in enumerate(asked.poses)}
    keys = {found for one in asked.figures if (found := key_of(one.path)) is not None}
    return tuple(
        sorted(keys, key=lambda one: (order.get(one.part, len(order)), one.part, WAYS.index(one.way), float(one.drop)))
    )


def _band(key: FallKey, book: Book, quantity: str, limit: float | None, *, upper: bool = True) -> Cell:
    """Low and high of a quantity with the figure's number below and the line of its ground."""
    slow, quick = key.figure(book, quantity, "slow"), key.figure(book, quantity, "quick")
    if slow is None or quick is None:
        return Cell(text=text("paper", "none"))
    ends = sorted((slow, quick), key=lambda one: one.value)
    words = [told_value(one.value, one.unit, limit=limit, upper=upper) for one in ends]
    worse = max((slow, quick), key=lambda one: one.value if upper else -one.value)
    span = words[0] if words[0] == words[1] else f"{words[0]} / {words[1]}"
    numbers = " / ".join(number for one in ends if (number := book.number(one.path)))
    return Cell(text=bracketed(span, worse.status.word), voice="strong", ground=worse.status.word, below=numbers)


def _worst(key: FallKey, book: Book, quantity: str) -> float | None:
    """The larger of both rates."""
    found = [one.value for rate in ("slow", "quick") if (one := key.figure(book, quantity, rate)) is not None]
    return max(found) if found else None


def bar(value: float | None, high: float | None, wide_mm: float = BAR_MM) -> Marks:
    """Kept beside needed: a solid bar up to the value, an open one up to the limit, what is over it cross-hatched.

    Parameters
    ----------
    value, high
        A quantity and its limit in one unit; without either there is no bar.
    wide_mm
        Room on paper; the limit stands at 72 % of it.
    """
    if value is None or high is None or high <= 0.0:
        return ()
    unit = wide_mm * LIMIT_RATIO / high
    at_limit = high * unit
    end = min(value * unit, wide_mm)
    upper, lower = -1.0, -3.4
    inside = Area(rings_mm=(box(0.0, lower, min(end, at_limit), upper),), fill="ink")
    room = Area(rings_mm=(box(0.0, lower, at_limit, upper),), width_mm=0.2)
    mark = Stroke(points_mm=((at_limit, lower - 0.7), (at_limit, upper + 0.7)), width_mm=THICK_MM)
    over: Marks = ()
    if end > at_limit:
        zone = Region.rectangle(at_limit, lower, end, upper)
        over = (*cross_in(zone, pitch_mm=0.9), area_of(zone, 1.0, ink="red", width_mm=0.2))
    return (room, inside, *over, mark)


def _letters(asked: PapersAsked) -> dict[FallKey, tuple[str, Finding]]:
    """The worst finding of each fall with its letter."""
    found: dict[FallKey, tuple[str, Finding]] = {}
    for letter, one in lettered(asked):
        key = key_of(one.figure)
        if key is not None:
            found.setdefault(key, (letter, one))
    return found


def falls_table(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """Every way of fall of every part, with its limits as bars."""
    limit = asked.foam.strain_limit_ratio
    keys = ("part", "way", "drop", "peak", "stands", "against", "strain", "strain_limit", "travel", "gap", "ground")
    shares = (0.115, 0.093, 0.055, 0.155, 0.062, 0.078, 0.142, 0.078, 0.084, 0.084, 0.054)
    columns = [
        Column(
            title=text("protection_sheet", key, limit=f"{limit:g}")
            if key == "strain_limit"
            else text("protection_sheet", key),
            width_mm=width_mm * share,
        )
        for key, share in zip(keys[:-1], shares, strict=False)
    ]
    columns.append(Column(title="", width_mm=width_mm * shares[-1]))
    letters, names = _letters(asked), {one.part.id: one.part for one in asked.poses}
    rows, last = [], ""
    for key in falls_of(asked):
        part = names.get(key.part)
        stands = part.fragility if part is not None else None
        most = stands.value if stands is not None else None
        sign = letters.get(key)
        drawn = placed_sign(sign[1].severity, sign[0], 4.6) if sign else ()
        rows.append(
            (
                Cell(text=(part.name if part else key.part) if key.part != last else "", voice="strong"),
                text("way", key.way),
                key.drop,
                _band(key, book, "peak", most),
                _stands(most, stands.status if stands is not None else None),
                Cell(marks=bar(_worst(key, book, "peak"), most), height_mm=4.0),
                _band(key, book, "strain", limit),
                Cell(marks=bar(_worst(key, book, "strain"), limit), height_mm=4.0),
                _one(key, book, "travel"),
                _one(key, book, "gap"),
                Cell(marks=drawn, height_mm=7.2),
            )
        )
        last = key.part
    return table(columns, rows, size_pt=8.0)


def _stands(most: float | None, status: Status | None) -> Cell:
    """Fragility with its ground."""
    if most is None or status is None:
        return Cell(text=text("protection_sheet", "unknown"))
    return Cell(text=bracketed(f"{most:g}", status.word), ground=status.word)


def _one(key: FallKey, book: Book, quantity: str) -> Cell:
    """A quantity at its worse, slow rate with the figure's number."""
    figure = key.figure(book, quantity, "slow")
    if figure is None:
        return Cell(text=text("paper", "none"))
    words = told_value(figure.value, figure.unit, limit=0.0, upper=False)
    status = figure.status.word
    return Cell(text=bracketed(words, status), ground=status, below=book.number(figure.path))


def weakest(asked: PapersAsked, most: int = 3) -> tuple[tuple[str, Finding, FallKey], ...]:
    """The first findings that show a fall and differ in code, then any others, with their letters."""
    found = [
        (letter, one, key)
        for letter, one in lettered(asked)
        if one.severity is not Severity.NOTE and one.at and (key := key_of(one.figure)) is not None
    ]
    chosen: list[tuple[str, Finding, FallKey]] = []
    for other_code in (True, False):
        for one in found:
            differs = all(one[1].code != each[1].code for each in chosen)
            if len(chosen) < most and one not in chosen and (differs or not other_code):
                chosen.append(one)
    return tuple(chosen)


def _placed(asked: PapersAsked, cell_id: str) -> tuple[TrayCell, float] | None:
    """A cell and the height of its tray in the pack."""
    for tray in asked.trays:
        for cell in tray.cells:
            if cell.id == cell_id:
                return cell, next((one.bottom_mm for one in asked.pack.layers if one.id == tray.id), 0.0)
    return None


def _window(own: Region, travel_mm: float, way: str) -> Region:
    """What of the cut is shown: the part, foam around it, in the shape of the picture, shifted to where it falls."""
    left, low, right, high = own.bounds_mm
    step = STEPS[way]
    around = AROUND_RATIO * max(right - left, high - low) / 2.0 + 8.0
    wide = right - left + 2.0 * around + abs(step[0]) * travel_mm
    tall = high - low + 2.0 * around + abs(step[1]) * travel_mm
    shape = PICTURE_MM[0] / PICTURE_MM[1]
    wide, tall = max(wide, tall * shape), max(tall, wide / shape)
    x = (left + right) / 2.0 + step[0] * travel_mm / 2.0
    y = (low + high) / 2.0 + step[1] * travel_mm / 2.0
    return Region.rectangle(x - wide / 2.0, y - tall / 2.0, x + wide / 2.0, y + tall / 2.0)


def _swept(own: Region, travel_mm: float, way: str) -> Region:
    """Where the part goes."""
    step = STEPS[way]
    stops = [own.moved(step[0] * travel_mm * part / 12.0, step[1] * travel_mm * part / 12.0) for part in range(1, 13)]
    return Region.union_of(stops).difference(own)


def fall_picture(asked: PapersAsked, finding: Finding, key: FallKey, travel_mm: float) -> Marks:
    """The real tray cut upright through the first cell that falls, with the way of fall, from the lower left corner.

    Foam that the part goes into has red dots, where it comes to rest is dashed; the arrow is the way of fall.
    """
    placed = _placed(asked, finding.at[0])
    poses: dict[str, Pose] = {one.part.id: one for one in asked.poses}
    if placed is None:
        return ()
    cell, _ = placed
    axis = "y" if key.way in {"front", "back"} else "x"
    left, front, right, back = lying(cell, poses).bounds_mm
    at = round((front + back) / 2.0 if axis == "x" else (left + right) / 2.0, 3)
    cut = pack_cut(asked.pack, asked.trays, poses, axis, at)
    own = dict(cut.parts).get(cell.id, Region.empty())
    if own.is_empty:
        return ()
    window = _window(own, travel_mm, key.way)
    return _drawn(Cut(foam=cut.foam, parts=cut.parts), own, window, travel_mm, key.way)


def _drawn(cut: Cut, own: Region, window: Region, travel_mm: float, way: str) -> Marks:
    """The cut inside its window at the picture's scale."""
    left, low, right, _ = window.bounds_mm
    scale = PICTURE_MM[0] / (right - left)
    swept = _swept(own, travel_mm, way)
    marks: Marks = (area_of(window, scale, fill="sheet"),)
    for _, region in cut.foam:
        seen = region.intersection(window)
        marks += (area_of(seen, scale, fill="foam"), *foam_in(scaled(seen.difference(swept), scale)))
        marks += (area_of(seen, scale, width_mm=0.18), *spent_in(scaled(seen.intersection(swept), scale)))
    for _, region in cut.parts:
        seen = region.intersection(window)
        marks += (
            area_of(seen, scale, fill="part"),
            *part_in(scaled(seen, scale)),
            area_of(seen, scale, width_mm=THIN_MM),
        )
    step = STEPS[way]
    rest = own.moved(step[0] * travel_mm, step[1] * travel_mm).intersection(window)
    marks += (area_of(rest, scale, width_mm=THIN_MM, dash_mm=(0.9, 0.7)),)
    marks += (area_of(window, scale, width_mm=THIN_MM),)
    middle = own.centre_mm
    across, up = step
    tail = (middle[0] * scale - across * 5.0, middle[1] * scale - up * 5.0)
    halo = Stroke(points_mm=(tail, (tail[0] + across * 10.0, tail[1] + up * 10.0)), ink="sheet", width_mm=2.6)
    marks += (halo, *moved(arrow(across * 10.0, up * 10.0), *tail))
    return moved(marks, -left * scale, -low * scale)
