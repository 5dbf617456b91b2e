"""Pages and viewports of an SVG file: which unit its numbers have, and where they come to lie.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011, chapter 7.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from traywright.base.errors import PartError
from traywright.base.units import MM_PER_INCH
from traywright.geometry import Point
from traywright.parts.svg_curve import Bounds
from traywright.parts.svg_plane import (
    PX_PER_INCH,
    Matrix,
    TooLargeError,
    ViewBox,
    fitted,
    joined,
    mapped,
    stated_mm,
    stretches,
    user_length,
    view_box_of,
)
from traywright.parts.svg_style import Look
from traywright.parts.svg_xml import Node

NO_LAYER = "0"
PIXELS = MM_PER_INCH / PX_PER_INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where an element stands: matrix to the page, viewport for percentages, layer and look.

    ``labelled`` is True where the layer's name comes from a label; ``covers`` are the rectangles of the clip paths
    above it, None for a mask or a clip path that is no upright rectangle.
    """

    matrix: Matrix
    view: Point | None
    layer: str = NO_LAYER
    labelled: bool = False
    look: Look = field(default_factory=Look)
    covers: tuple[Bounds | None, ...] = ()


@contextmanager
def refusing(node: Node) -> Iterator[None]:
    """Turn what cannot be read of an element into an error that names it.

    Raises
    ------
    PartError
        PART-054 for what is not of the recommendation's form, PART-055 for a number that is not finite or too large.
    """
    try:
        yield
    except TooLargeError as fault:
        raise PartError("PART-055", element=node.told, text=" ".join(str(one) for one in fault.args)) from fault
    except ValueError as fault:
        raise PartError("PART-054", element=node.told, text=" ".join(str(one) for one in fault.args)) from fault


def lengths(node: Node, keys: tuple[str, str], view: Point | None, missing: str = "0") -> Point:
    """Two lengths of an element in user units, one across and one down.

    Parameters
    ----------
    node
        The element.
    keys
        Names of the two attributes.
    view
        Width and height of the viewport, for percentages.
    missing
        What an attribute that is not told stands for.
    """
    told = [node.attributes.get(key, "").strip() for key in keys]
    with refusing(node):
        across, down = (
            user_length(missing if one in {"", "auto"} else one, None if view is None else view[side])
            for side, one in enumerate(told)
        )
    return (across, down)


def _view_box(node: Node) -> ViewBox | None:
    with refusing(node):
        return view_box_of(node.attributes.get("viewBox", ""))


def _fitted(node: Node, box: ViewBox, size: Point) -> Matrix:
    with refusing(node):
        return fitted(box, size, node.attributes.get("preserveAspectRatio", ""))


def framed(node: Node, place: Place) -> Place | None:
    """The place inside an ``svg`` or ``symbol`` with a viewport of its own; None where it has no size."""
    x, y = lengths(node, ("x", "y"), place.view) if node.name == "svg" else (0.0, 0.0)
    matrix, box = joined(place.matrix, (1.0, 0.0, 0.0, 1.0, x, y)), _view_box(node)
    if box is None and place.view is None and not {"width", "height"} & set(node.attributes):
        return replace(place, matrix=matrix)
    size = lengths(node, ("width", "height"), place.view, missing="100%")
    if min(size) <= 0.0:
        return None
    if box is None:
        return replace(place, matrix=matrix, view=size)
    return replace(place, matrix=joined(matrix, _fitted(node, box, size)), view=(box[2], box[3]))


def _told(root: Node, key: str) -> tuple[bool, float | None]:
    """True if width or height of the root is told in a real unit, and its millimetres, of 96 pixels an inch if not."""
    text = root.attributes.get(key, "").strip() or "auto"
    if text == "auto" or text.endswith(("%", "em", "ex", "ch", "vw", "vh")):
        return False, None
    with refusing(root):
        real, pixels = stated_mm(text), user_length(text, None)
    return (False, pixels * PIXELS) if real is None else (True, real)


def page_of(root: Node, look: Look) -> tuple[str, Place, Point | None]:
    """Unit that the file tells, the place of what stands in its root, and the size of the page where it is told.

    y points up, the lower left corner of the page is 0, 0.

    Parameters
    ----------
    root
        The root element.
    look
        What it lets others inherit.

    Notes
    -----
    One side in a real unit is enough; the other one then follows from the view box, or from its own pixels. Without a
    real unit the numbers of the view box stay as they are, unless it is stretched unevenly: then they are pixels.
    """
    box = _view_box(root)
    (is_wide, width), (is_high, height) = _told(root, "width"), _told(root, "height")
    if is_wide or is_high:
        place = _page_in_mm(root, look, box, (width, height))
        return "mm", place, _size_of(place, box)
    pixels = [None if one is None else one / PIXELS for one in (width, height)]
    place = _page_in_numbers(root, look, box, (pixels[0], pixels[1]))
    return "", place, _size_of(place, box)


def _size_of(place: Place, box: ViewBox | None) -> Point | None:
    """Width and height of the page: its upper right corner, y being turned up."""
    if place.view is None:
        return None
    left, top = (box[0], box[1]) if box else (0.0, 0.0)
    return (mapped(place.matrix, (left + place.view[0], 0.0))[0], mapped(place.matrix, (0.0, top))[1])


def _page_in_mm(root: Node, look: Look, box: ViewBox | None, size: tuple[float | None, float | None]) -> Place:
    width, height = size
    if box is None:
        matrix: Matrix = (PIXELS, 0.0, 0.0, -PIXELS, 0.0, height or 0.0)
        view = None if width is None or height is None else (width / PIXELS, height / PIXELS)
        return Place(matrix=matrix, view=view, look=look)
    width = (height or 0.0) * box[2] / box[3] if width is None else width
    height = width * box[3] / box[2] if height is None else height
    matrix = joined((1.0, 0.0, 0.0, -1.0, 0.0, height), _fitted(root, box, (width, height)))
    return Place(matrix=matrix, view=(box[2], box[3]), look=look)


def _page_in_numbers(root: Node, look: Look, box: ViewBox | None, size: tuple[float | None, float | None]) -> Place:
    width, height = size
    both = None if width is None or height is None else (width, height)
    if box is None:
        return Place(matrix=(1.0, 0.0, 0.0, -1.0, 0.0, height or 0.0), view=both, look=look)
    left, top, across, down = box
    frame: Matrix = (1.0, 0.0, 0.0, 1.0, -left, -top)
    page_down = down
    if both is not None and stretches(root.attributes.get("preserveAspectRatio", "")):
        frame, page_down = _fitted(root, box, both), both[1]
    return Place(matrix=joined((1.0, 0.0, 0.0, -1.0, 0.0, page_down), frame), view=(across, down), look=look)
