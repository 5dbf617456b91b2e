"""Lines of an SVG drawing: one stroke a subpath, in the unit that the file tells, y up."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.units import MM_PER_INCH, MM_PER_M
from traywright.geometry import Point
from traywright.parts.drawing import DrawnLine, LeftOut, StrokesRead
from traywright.parts.svg_curve import Bounds, Run, Straight, bounds_of, contour_of, holds, mapped_run
from traywright.parts.svg_page import NO_LAYER, Place, framed, lengths, page_of, refusing
from traywright.parts.svg_path import PIECES_MOST
from traywright.parts.svg_plane import SAME_PLACE, joined, transform_of
from traywright.parts.svg_shapes import SHAPES, runs_of_shape
from traywright.parts.svg_style import Sheet, look_of
from traywright.parts.svg_xml import DEPTH_MOST, ELEMENTS_MOST, Node, read_nodes

POINTS_MOST = 400_000  # source: ours: a drawing of a tray has some 100 to 100 000 points
LARGEST_MM = 4_000.0  # source: ours: the largest sheet that a router of this trade takes
UNITS_MM = (MM_PER_M, MM_PER_INCH, 10.0)

_LINK = re.compile(r"url\(\s*[\"']?#([^\"')\s]+)[\"']?\s*\)")
_GROUPS = frozenset({"svg", "g", "a", "switch"})
_STORES = frozenset({"defs", "symbol"})
_WORDS = frozenset({"text", "flowRoot"})
_PICTURES = frozenset({"image", "foreignObject", "video", "canvas", "iframe"})
_GROUP_PLACES = frozenset({"transform", "transform-origin", "translate", "rotate", "scale"})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stroke:
    run: Run
    layer: str
    colour: int
    drawn_as: str


class _Reader:
    """One file while it is walked: what its ids name, what was found, what was left."""

    def __init__(self, root: Node) -> None:
        self.named: dict[str, Node] = {}
        self.sheet = Sheet()
        for node in _all_of(root):
            self.named.setdefault(node.attributes.get("id", ""), node)
            if node.name == "style":
                self.sheet.add(node.text)
        self.sizes: dict[int, tuple[int, int]] = {}
        self.used: set[int] = set()
        self.strokes: list[_Stroke] = []
        self.left: Counter[tuple[str, str]] = Counter()
        self.mirrored = False
        self.covered = 0
        self.pieces = 0
        self.page: Point | None = None
        self.dangling = 0

    def weighed(self, node: Node, depth: int = 1, under: tuple[int, ...] = ()) -> tuple[int, int]:
        """Elements and levels that an element has once every ``use`` in it is written out.

        Raises
        ------
        PartError
            PART-052 beyond a limit, PART-053 if it holds itself.
        """
        if node.number in under:
            raise PartError("PART-053", element=node.told)
        if node.number not in self.sizes:
            if depth > DEPTH_MOST:
                raise PartError("PART-052", most=DEPTH_MOST, of="levels")
            inner = [self.weighed(one, depth + 1, (*under, node.number)) for one in self._inside(node)]
            count, levels = 1 + sum(one for one, _ in inner), 1 + max((deep for _, deep in inner), default=0)
            self.sizes[node.number] = (count, levels)
        count, levels = self.sizes[node.number]
        if count > ELEMENTS_MOST or depth + levels > DEPTH_MOST + 1:
            over = count > ELEMENTS_MOST
            raise PartError("PART-052", most=ELEMENTS_MOST if over else DEPTH_MOST, of="elements" if over else "levels")
        return count, levels

    def _inside(self, node: Node) -> tuple[Node, ...]:
        target = self._target(node) if node.name == "use" else None
        return node.children if target is None else (*node.children, target)

    def _target(self, node: Node) -> Node | None:
        told = node.attributes.get("href", "").strip()
        return self.named.get(told[1:]) if len(told) > 1 and told.startswith("#") else None

    def walk(self, node: Node, outer: Place, *, by_use: bool = False) -> None:
        """Take an element and all that it shows."""
        if node.name in _GROUPS or (by_use and node.name == "symbol"):
            self._group(node, outer, by_use=by_use)
        elif node.name == "use":
            self._use(node, outer)
        elif node.name in SHAPES:
            self._shape(node, self._inner(node, outer))
        elif node.name in _WORDS:
            place = self._inner(node, outer)
            a, b, c, d, _, _ = place.matrix
            # the page is turned once, so words that read right come out mirrored against their own frame
            self.mirrored = self.mirrored or a * d - b * c > 0.0
            self._leave(place, "text")
        elif node.name in _PICTURES:
            self._leave(self._inner(node, outer), "image")

    def _inner(self, node: Node, outer: Place) -> Place:
        """Look, matrix and covers inside an element."""
        place = _inner(node, outer, self.sheet)
        return replace(place, covers=(*place.covers, self._cover(place))) if place.look.cover else place

    def _cover(self, place: Place) -> Bounds | None:
        """The rectangle that is left of an element; None where it is no upright rectangle."""
        hit = _LINK.fullmatch(place.look.cover)
        node = self.named.get(hit[1]) if hit else None
        a, b, c, d, _, _ = place.matrix
        upright = not (b or c) or not (a or d)
        if node is None or node.name != "clipPath" or not upright or set(node.attributes) - {"id", "clipPathUnits"}:
            return None
        if node.attributes.get("clipPathUnits", "userSpaceOnUse") != "userSpaceOnUse" or len(node.children) != 1:
            return None
        rect = node.children[0]
        if rect.name != "rect" or set(rect.attributes) - {"x", "y", "width", "height", "id"}:
            return None
        with refusing(rect):
            runs = runs_of_shape("rect", rect.attributes, place.view)
            return bounds_of(mapped_run(place.matrix, one) for one in runs) if runs else None

    def _is_paper(self, place: Place, runs: list[Run]) -> bool:
        """True for a white shape without a line that lies under the whole page."""
        if self.page is None or not place.look.is_paper:
            return False
        return holds(bounds_of(runs), (0.0, 0.0, *self.page))

    def _leave(self, place: Place, drawn_as: str) -> None:
        self.left[(place.layer, drawn_as)] += 1

    def _group(self, node: Node, outer: Place, *, by_use: bool) -> None:
        place = _in_layer(node, self._inner(node, outer), by_use=by_use)
        if node.name in {"svg", "symbol"}:
            inside = framed(node, place)
            if inside is None:
                return
            place = inside
        shown = node.children
        if node.name == "switch":
            shown = next(((one,) for one in shown if one.name and "requiredExtensions" not in one.attributes), ())
        for one in shown:
            self.walk(one, place)

    def _use(self, node: Node, outer: Place) -> None:
        place = self._inner(node, outer)
        target = self._target(node)
        if target is None:
            self.dangling += 1
            return
        self.used.add(target.number)
        x, y = lengths(node, ("x", "y"), place.view)
        place = replace(place, matrix=joined(place.matrix, (1.0, 0.0, 0.0, 1.0, x, y)))
        if target.name in {"svg", "symbol"}:
            sizes = {key: value for key, value in node.attributes.items() if key in {"width", "height"}}
            target = replace(target, attributes={**target.attributes, **sizes})
        self.walk(target, place, by_use=True)

    def _shape(self, node: Node, place: Place) -> None:
        look = place.look
        if not (look.drawn and look.seen and (look.stroked or (look.filled and node.name != "line"))):
            self._leave(place, "hidden")
            return
        if look.marked:
            self._leave(place, "marker")
        with refusing(node):
            drawn = runs_of_shape(node.name, node.attributes, place.view)
            runs = [mapped_run(place.matrix, one) for one in drawn]
        self.pieces += sum(len(one.pieces) for one in runs)
        if self.pieces > PIECES_MOST:
            raise PartError("PART-052", most=PIECES_MOST, of="points")
        if runs and self._is_paper(place, runs):
            self._leave(place, "background")
            return
        if runs and place.covers:
            own = bounds_of(runs)
            self.covered += not all(one is not None and holds(one, own) for one in place.covers)
        for run in runs:
            if not look.stroked and len(run.pieces) == 1 and isinstance(run.pieces[0], Straight):
                self._leave(place, "hidden")  # the inside of one straight edge paints nothing
                continue
            # what is painted inside is an area, also where its line was not drawn back to its start
            whole = run if look.stroked else replace(run, closed=True)
            self.strokes.append(_Stroke(run=whole, layer=place.layer, colour=look.colour, drawn_as=node.name))


def _all_of(root: Node) -> Iterator[Node]:
    waiting = [root]
    while waiting:
        node = waiting.pop()
        yield node
        waiting.extend(reversed(node.children))


def _in_layer(node: Node, place: Place, *, by_use: bool) -> Place:
    """Its own layer, by a label, else by an id as long as no label stands above; the id of a ``use`` names no layer."""
    label, own = node.attributes.get("label", "").strip(), node.attributes.get("id", "").strip()
    if label:
        return replace(place, layer=label, labelled=True)
    return replace(place, layer=own) if own and not place.labelled and not by_use else place


def _inner(node: Node, outer: Place, sheet: Sheet) -> Place:
    """Look and matrix inside an element.

    Raises
    ------
    PartError
        PART-054 or PART-055 for a transform that cannot be read, or one that stands in the style.
    """
    look = look_of(node, sheet, outer.look)
    placed = look.placed if node.name in SHAPES else look.placed & _GROUP_PLACES
    text = node.attributes.get("transform", "")
    told = next(iter(sorted(placed)), "transform-origin" if text and "transform-origin" in node.attributes else "")
    with refusing(node):
        if told:
            raise ValueError(told)
        matrix = joined(outer.matrix, transform_of(text)) if text else outer.matrix
    return replace(outer, look=look, matrix=matrix)


def _finer(unit: str, strokes: list[_Stroke]) -> float:
    """Most millimetres that one unit of the file may turn out to mean: chords must be fine enough for it."""
    if unit or not strokes:
        return 1.0
    left, low, right, high = bounds_of(one.run for one in strokes)
    size = max(right - left, high - low)
    return next((one for one in UNITS_MM if size * one <= LARGEST_MM), 1.0)


def _drawn(strokes: list[_Stroke], finer_ratio: float) -> tuple[DrawnLine, ...]:
    """The strokes as contours, numbered as in the file.

    Raises
    ------
    PartError
        PART-052 if they have too many points.
    """
    lines: list[DrawnLine] = []
    count = 0
    for one in strokes:
        contour = contour_of(one.run, finer_ratio)
        if contour is None:
            continue
        count += len(contour.corners)
        if count > POINTS_MOST:
            raise PartError("PART-052", most=POINTS_MOST, of="points")
        told = str(len(lines) + 1)
        lines.append(DrawnLine(id=told, layer=one.layer, colour=one.colour, contour=contour, drawn_as=one.drawn_as))
    return tuple(lines)


def _findings(reader: _Reader) -> tuple[Finding, ...]:
    counts = (
        ("PART-056", Severity.WARN, reader.covered),
        ("PART-057", Severity.WARN, reader.dangling),
        ("PART-058", Severity.NOTE, reader.sheet.unread),
    )
    return tuple(finding(code, severity, ("drawing",), count=count) for code, severity, count in counts if count)


def svg_strokes(content: bytes) -> StrokesRead:
    """Every line that an SVG file draws, as it is drawn: arcs as arcs, other curves as fine chords of equal area.

    Parameters
    ----------
    content
        The file, plain or packed with gzip.

    Returns
    -------
    StrokesRead
        Strokes in the order of the file. ``unit_told`` is ``mm`` where width or height of the root carry a real unit,
        coordinates then being millimetres; empty where they carry none or pixels, coordinates then being the file's
        own numbers. The lower left corner of the page is 0, 0 and y points up.

    Raises
    ------
    PartError
        PART-050 to PART-055: no SVG, entities, beyond a limit, an element in itself, a number, path or transform that
        cannot be read, or one that is not finite.

    Notes
    -----
    Words, pictures, markers and hidden shapes are left out and counted. Clip paths and masks are not applied: the whole
    outline is taken, and told (PART-056).

    Examples
    --------
    >>> read = svg_strokes(
    ...     b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">'
    ...     b'<g id="DEPTH_14"><circle cx="20" cy="10" r="5"/></g></svg>'
    ... )
    >>> read.unit_told, read.strokes[0].layer, read.strokes[0].contour.bounds_mm
    ('mm', 'DEPTH_14', (15.0, 25.0, 25.0, 35.0))
    """
    root = read_nodes(content)
    reader = _Reader(root)
    reader.weighed(root)
    with refusing(root):
        if root.attributes.get("transform"):  # which side of the view box it stands on is not the same in 1.1 and 2
            raise ValueError("transform")
    unit, place, reader.page = page_of(root, _inner(root, Place(matrix=SAME_PLACE, view=None), reader.sheet).look)
    for one in root.children:
        reader.walk(one, place)
    for node in _all_of(root):
        if node.name in _STORES:
            unseen = [one for one in node.children if one.name in SHAPES and one.number not in reader.used]
            reader.left[(NO_LAYER, node.name)] += len(unseen) if node.number not in reader.used else 0
    left = (LeftOut(layer=layer, drawn_as=kind, count=count) for (layer, kind), count in sorted(reader.left.items()))
    return StrokesRead(
        unit_told=unit,
        strokes=_drawn(reader.strokes, _finer(unit, reader.strokes)),
        left_out=tuple(one for one in left if one.count),
        mirrored_words=reader.mirrored,
        findings=_findings(reader),
    )
