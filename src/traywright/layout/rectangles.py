"""Equal rectangles in a rectangle, with a kerf between them and an edge around them."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.layout._blocks import block_spots
from traywright.layout._bounds import Search, Spot, Steps, tight
from traywright.layout._small import pushed, small_question
from traywright.layout.place import Place, refuse_lengths, snapped_mm

SEARCH_COUNT = 9
"""Rectangles up to which a count is settled by search."""  # source: own timing; above, the tries run out
SEARCH_TRIES = 200_000
"""Places that the search may try."""  # source: own timing, about 1 s on one core


@dataclass(frozen=True, slots=True, kw_only=True)
class RectangleLayout:
    """Equal rectangles in a rectangle.

    ``placements`` are lower left corners of the rectangles as turned (0 or 90), sorted by x, then y. No layout holds
    more than ``bound``; ``proven`` is true if no layout holds more than ``count``.
    """

    placements: tuple[Place, ...]
    count: int
    bound: int
    proven: bool


def pack_rectangles(
    *,
    width_mm: float,
    depth_mm: float,
    item_width_mm: float,
    item_depth_mm: float,
    kerf_mm: float,
    edge_mm: float,
) -> RectangleLayout:
    """As many equal rectangles as blocks, pinwheels and L-shaped pieces hold, beside a bound that no layout can beat.

    Parameters
    ----------
    width_mm, depth_mm
        The sheet along x and y, above 0; its lower left corner is the origin.
    item_width_mm, item_depth_mm
        The rectangle at turn 0, above 0.
    kerf_mm
        Least distance of two rectangles along x or along y, 0 or more.
    edge_mm
        Least distance of a rectangle to the sheet's edge, 0 or more.

    Returns
    -------
    RectangleLayout
        Empty, and proven, if not one rectangle goes in.

    Raises
    ------
    LayoutError
        LAY-001 if a length is not finite or not in its range.

    Notes
    -----
    Kerf is added to the rectangle and once to the sheet. The question is first put in small whole numbers that let the
    same rows in. Rows both ways are tried, then two blocks, then five blocks as a pinwheel (of four, if the middle
    stays empty), each block so again; where they miss the bound, the sheet is cut by staircases into two Ls, each cut
    so again. Rows and two blocks only where a sheet takes many hundreds. Tries are limited by number; at the limit the
    best so far is given. The bound is by area on a sheet whose sides are cut to sums of the two lengths, less what a
    colouring shows must stay empty; the least over all the small questions. Up to nine rectangles a search then
    settles whether one more goes in, if its tries suffice. Two rectangles that pass each other corner to corner count
    as a kerf apart only if they are so along x or along y.

    References
    ----------
    Barnes (1979), Packing the maximum number of m x n tiles in a large p x q rectangle: the empty area that the
    colouring shows (abstract only; the reasoning stands in ``_bounds``). Lins, Lins & Morabito (2003), An L-approach
    for packing (l, w)-rectangles into rectangular and L-shaped pieces; Birgin, Lobato & Morabito (2010), An effective
    recursive partitioning approach for the packing of identical rectangles in a rectangle: five blocks first, then Ls
    (method from memory; the cuts are worked out in ``docs/layout.md``).

    Examples
    --------
    >>> sheet = pack_rectangles(width_mm=500, depth_mm=500, item_width_mm=290, item_depth_mm=190, kerf_mm=4, edge_mm=5)
    >>> sheet.count, sheet.proven
    (4, True)
    >>> sorted(turn for _, _, turn in sheet.placements)
    [0, 0, 90, 90]
    """
    refuse_lengths(
        {"width_mm": width_mm, "depth_mm": depth_mm, "item_width_mm": item_width_mm, "item_depth_mm": item_depth_mm},
        {"kerf_mm": kerf_mm, "edge_mm": edge_mm},
    )
    steps = Steps(
        width=_steps(width_mm - 2.0 * edge_mm + kerf_mm),
        depth=_steps(depth_mm - 2.0 * edge_mm + kerf_mm),
        item_width=_steps(item_width_mm + kerf_mm),
        item_depth=_steps(item_depth_mm + kerf_mm),
    )
    if min(steps.width, steps.depth) <= 0:
        return RectangleLayout(placements=(), count=0, bound=0, proven=True)
    spots, bound = _filled(steps)
    places = sorted(
        Place(snapped_mm(edge_mm + x * SNAP_MM), snapped_mm(edge_mm + y * SNAP_MM), 90 if turned else 0)
        for x, y, turned in spots
    )
    return RectangleLayout(placements=tuple(places), count=len(places), bound=bound, proven=len(places) == bound)


def _steps(length_mm: float) -> int:
    """Whole snap steps, what is nearer than half a step counted as reached."""
    return int((length_mm + SAME_MM) / SNAP_MM)


def _filled(steps: Steps) -> tuple[tuple[Spot, ...], int]:
    """The layout and its bound, both found in the shortest whole numbers that ask the same."""
    small, bound = small_question(steps)
    spots, bound = _settled(small, block_spots(small, bound), bound)
    return pushed(spots, small, steps), bound


def _settled(steps: Steps, spots: tuple[Spot, ...], bound: int) -> tuple[tuple[Spot, ...], int]:
    """The layout and its bound after a search for one more, where few enough go in."""
    step = steps.item_width // tight(steps).item_width
    while len(spots) < bound and len(spots) < SEARCH_COUNT:
        search = Search(steps, SEARCH_TRIES)
        found = search.find(len(spots) + 1)
        if found is None:
            return spots, len(spots) if search.settled else bound
        spots = tuple((x * step, y * step, turned) for x, y, turned in found)
    return spots, bound
