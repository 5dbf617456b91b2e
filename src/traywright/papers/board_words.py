"""Words on the picture of a board: the name of each piece and the step in each loop, none on another or on a sign."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from traywright.base import natural_key
from traywright.cutting.cut_plan import CutPlan
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.nesting.setup import Piece, Setup
from traywright.papers.lettering import LEAST_PT, MM_PER_PT, PAIR_JOINT, width_of_mm
from traywright.papers.marks import Lettering
from traywright.trays.tray import Ply

NAME_PT = 10.0  # source: own choice: read at arm's length on a board of 94 mm
FIGURE_RATIO = 0.75  # source: height of a figure over the size of its letters, measured on the faces
AIR_MM = 0.4  # source: own choice: air between a word and the edge of its loop, under half a halo
BESIDE_MM = 1.3  # source: own choice: two steps side by side nearer than this read as one number
SPOTS = (0.5, 0.25, 0.75, 0.125, 0.875)
"""Where a word may stand along the sides of its loop, the middle first."""

Field = tuple[float, float, float, float]
"""Left, low, right and high on paper, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Loop:
    """A loop on the board with the steps that cut it, and the field around it on paper."""

    name: str
    steps: tuple[int, ...]
    region: Region
    field: Field

    @property
    def words(self) -> str:
        """The steps as they are written."""
        return ", ".join(str(one) for one in self.steps)


def steps_of(plan: CutPlan) -> dict[str, list[int]]:
    """Which steps cut a feature, by ``piece/feature``."""
    found: dict[str, list[int]] = {}
    for number, one in enumerate(plan.operations, start=1):
        for name in one.features:
            found.setdefault(name, []).append(number)
    return found


def field_of(word: Lettering) -> Field:
    """The field that a word takes, level or read from the right."""
    long, high = width_of_mm(word.text, word.size_pt, word.voice), FIGURE_RATIO * word.size_pt * MM_PER_PT
    before = long / 2.0 if word.anchor == "middle" else 0.0
    x, y = word.at_mm
    if word.turn_deg:
        return x - high, y - before, x, y - before + long
    return x - before, y, x - before + long, y + high


def _grown(field: Field, by_mm: float, up_mm: float | None = None) -> Field:
    """The field with air around."""
    up = by_mm if up_mm is None else up_mm
    return field[0] - by_mm, field[1] - up, field[2] + by_mm, field[3] + up


def _meets(field: Field, fields: npt.NDArray[np.float64]) -> bool:
    """True if a field lies on one of the others."""
    left, low, right, high = field
    return bool(np.any((fields[:, 0] < right) & (left < fields[:, 2]) & (fields[:, 1] < high) & (low < fields[:, 3])))


def _rows(fields: Sequence[Field]) -> npt.NDArray[np.float64]:
    """Fields as rows of an array."""
    return np.array(fields, dtype=np.float64).reshape(-1, 4)


def _field(region: Region, scale_ratio: float) -> Field:
    """The field around a region on paper."""
    left, front, right, back = (one * scale_ratio for one in region.bounds_mm)
    return left, front, right, back


def board_words(
    setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float, signs: Sequence[Field]
) -> tuple[Lettering, ...]:
    """The steps in or beside their loops and the name of each piece.

    Parameters
    ----------
    setup, plan, plies
        The board as clamped, what is cut in which order, and the plies by id.
    scale_ratio
        Millimetres on paper for one millimetre of the board.
    signs
        Fields of screws, bridges and datum, which no word covers if it can stand elsewhere.

    Notes
    -----
    A loop without room for its step in or beside it goes without, but each set of steps of a piece stands once at
    least where no other word is in its way.
    """
    steps = steps_of(plan)
    words: list[Lettering] = []
    for piece in setup.pieces:
        words += _on_piece(piece, plies[piece.ply], steps, scale_ratio, signs)
    return tuple(words)


def _on_piece(
    piece: Piece, ply: Ply, steps: Mapping[str, Sequence[int]], scale_ratio: float, signs: Sequence[Field]
) -> list[Lettering]:
    """The words of one piece: its name first, then steps, the first step first."""
    loops = [
        _loop(f"{piece.id}/{one.id}", place_on_board(one.region, piece, ply), steps, scale_ratio)
        for one in ply.features
    ]
    loops.sort(key=lambda one: (one.steps, natural_key(one.name)))
    around = _field(place_on_board(ply.region, piece, ply), scale_ratio)
    last = ", ".join(str(one) for one in steps.get(f"{piece.id}/outline", ()))
    near = [one for one in signs if _meets(one, _rows([around]))]
    fields = _rows([one.field for one in loops])
    words = list(_name(piece.id, last, around, np.vstack((fields, _rows(near)))))
    names = len(words)
    for one in loops:
        word = _step(one, around, fields, words, near)
        if word is not None:
            words.append(word)
    told = {one.text for one in words[names:]}
    for one in loops:
        if one.words and one.words not in told:
            word = _anywhere(one, around, words, near)
            if word is not None:
                words.append(word)
                told.add(one.words)
    return words


def _loop(name: str, region: Region, steps: Mapping[str, Sequence[int]], scale_ratio: float) -> _Loop:
    """A loop on its board."""
    return _Loop(name=name, steps=tuple(steps.get(name, ())), region=region, field=_field(region, scale_ratio))


def _lines(name: str, last: str, wide_mm: float, high_mm: float) -> tuple[tuple[str, float, float], ...]:
    """The lines of a piece's name with their size and height above its corner; none where the piece is too small."""
    whole = f"{name}{PAIR_JOINT}{last}" if last else name
    for size in (NAME_PT, LEAST_PT):
        if width_of_mm(whole, size, "strong") <= wide_mm:
            return ((whole, size, 0.0),) if size * MM_PER_PT <= high_mm else ()
    step = LEAST_PT * MM_PER_PT * 1.2
    lines = (f"{PAIR_JOINT.lstrip()}{last}", name)
    if high_mm < step + LEAST_PT * MM_PER_PT or any(width_of_mm(one, LEAST_PT, "strong") > wide_mm for one in lines):
        return ()
    return tuple((one, LEAST_PT, step * row) for row, one in enumerate(lines))


def _name(name: str, last: str, around: Field, taken: npt.NDArray[np.float64]) -> tuple[Lettering, ...]:
    """The piece's name with the step that cuts it out, in the first corner or side that is free, else lower left."""
    left, low, right, high = around
    lines = _lines(name, last, right - left - 2.0, high - low - 2.4)
    if not lines:
        return ()
    wide = max(width_of_mm(told, size, "strong") for told, size, _ in lines)
    top = max(up + FIGURE_RATIO * size * MM_PER_PT for _, size, up in lines)
    across = (left + 1.4, right - 1.4 - wide, (left + right - wide) / 2.0)
    upward = (low + 1.6, high - 1.6 - top, (low + high - top) / 2.0)
    spots = [(x, y) for y in upward for x in across]
    free = [(x, y) for x, y in spots if not _meets(_grown((x, y, x + wide, y + top), AIR_MM), taken)]
    x, y = (free or spots)[0]
    return tuple(
        Lettering(text=told, at_mm=(x, y + up), size_pt=size, voice="strong", halo=True) for told, size, up in lines
    )


def _level(words: str, x_mm: float, y_mm: float) -> Lettering:
    """A step's number about a spot."""
    sag = FIGURE_RATIO * LEAST_PT * MM_PER_PT / 2.0
    return Lettering(text=words, at_mm=(x_mm, y_mm - sag), size_pt=LEAST_PT, voice="strong", anchor="middle", halo=True)


def _upright(words: str, x_mm: float, y_mm: float) -> Lettering:
    """A step's number about a spot, read from the right."""
    sag = FIGURE_RATIO * LEAST_PT * MM_PER_PT / 2.0
    return Lettering(
        text=words,
        at_mm=(x_mm + sag, y_mm),
        size_pt=LEAST_PT,
        voice="strong",
        anchor="middle",
        turn_deg=90.0,
        halo=True,
    )


def _spot(field: Field, across_ratio: float, upward_ratio: float) -> tuple[float, float]:
    """A spot of a field."""
    left, low, right, high = field
    return left + across_ratio * (right - left), low + upward_ratio * (high - low)


def _inside(loop: _Loop) -> Iterator[Lettering]:
    """Words in a loop: about its middle, then along its sides."""
    spots = sorted(((a, b) for a in SPOTS for b in SPOTS), key=lambda one: SPOTS.index(one[0]) + SPOTS.index(one[1]))
    for across, upward in spots:
        yield _level(loop.words, *_spot(loop.field, across, upward))
    wide, high = loop.field[2] - loop.field[0], loop.field[3] - loop.field[1]
    if high > wide:
        for upward in SPOTS:
            yield _upright(loop.words, *_spot(loop.field, 0.5, upward))


def _outside(loop: _Loop) -> Iterator[Lettering]:
    """Words beside a loop: above, below, right, left."""
    left, low, right, high = loop.field
    x, y = _spot(loop.field, 0.5, 0.5)
    half_high = FIGURE_RATIO * LEAST_PT * MM_PER_PT / 2.0 + 2.0 * AIR_MM
    half_wide = width_of_mm(loop.words, LEAST_PT, "strong") / 2.0 + 2.0 * AIR_MM
    yield _level(loop.words, x, high + half_high)
    yield _level(loop.words, x, low - half_high)
    yield _level(loop.words, right + half_wide, y)
    yield _level(loop.words, left - half_wide, y)


def _within(inner: Field, outer: Field) -> bool:
    """True if a field lies in another."""
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def _is_clear(word: Lettering, words: Sequence[Lettering]) -> bool:
    """True if no other word stands so near that both run together."""
    return not _meets(_grown(field_of(word), BESIDE_MM, AIR_MM), _rows([field_of(one) for one in words]))


def _step(
    loop: _Loop, around: Field, fields: npt.NDArray[np.float64], words: Sequence[Lettering], near: Sequence[Field]
) -> Lettering | None:
    """The word of a loop where it stands in it, or beside it, on nothing else; None without such a place."""
    if not loop.words:
        return None
    # what holds the loop whole is the ground it is seen on
    holds = (fields[:, 0] <= loop.field[0]) & (fields[:, 1] <= loop.field[1])
    holds &= (fields[:, 2] >= loop.field[2]) & (fields[:, 3] >= loop.field[3])
    others = np.vstack((fields[~holds], _rows(near)))
    for word in _inside(loop):
        own = field_of(word)
        if _within(_grown(own, AIR_MM), loop.field) and not _meets(own, others) and _is_clear(word, words):
            return word
    for word in _outside(loop):
        own = _grown(field_of(word), AIR_MM / 2.0)
        if _within(own, around) and not _meets(own, np.vstack((fields, _rows(near)))) and _is_clear(word, words):
            return word
    return None


def _anywhere(loop: _Loop, around: Field, words: Sequence[Lettering], near: Sequence[Field]) -> Lettering | None:
    """The word of a loop that has no room of its own: on other loops, but on no word, no sign and no edge."""
    for word in (*_outside(loop), *_inside(loop)):
        own = field_of(word)
        if _within(own, around) and not _meets(own, _rows(near)) and _is_clear(word, words):
            return word
    return None
