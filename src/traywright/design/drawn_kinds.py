"""What a recess of a drawing is, by its depth, its form and what it crosses."""

from __future__ import annotations

import math

import shapely

from traywright.base.tolerance import SAME_MM
from traywright.design.drawn_shapes import Shape
from traywright.geometry import Contour
from traywright.trays import FeatureKind


def is_circle(contour: Contour) -> bool:
    """True for a full circle, in however many arcs it was drawn.

    Examples
    --------
    >>> is_circle(Contour.circle((3.0, 4.0), 5.0)), is_circle(Contour.polygon(((0, 0), (1, 0), (0, 1))))
    (True, False)
    """
    arcs = [one for one in contour.edges if one.is_arc]
    if not contour.closed or len(arcs) < len(contour.edges):
        return False
    centre, radius = arcs[0].centre_mm, arcs[0].radius_mm
    return (
        all(math.dist(one.centre_mm, centre) <= SAME_MM and abs(one.radius_mm - radius) <= SAME_MM for one in arcs)
        and abs(contour.area_mm2 - math.pi * radius * radius) <= SAME_MM * radius
    )


def kinds_of(shapes: tuple[Shape, ...]) -> tuple[FeatureKind, ...]:
    """The kind of each recess.

    Parameters
    ----------
    shapes
        The loops of one tray as they are cut.

    Notes
    -----
    Right through it is a hole if round, else a window. What parts a shallower recess in two is a slot; a circle over
    the edge of a shallower one is a finger notch; all else is a pocket.
    """
    tree = shapely.STRtree([one.fine for one in shapes])
    found = []
    for one in shapes:
        round_one = is_circle(one.line.contour)
        if one.depth.depth is None:
            found.append(FeatureKind.HOLE if round_one else FeatureKind.WINDOW)
            continue
        near = (shapes[each] for each in sorted(tree.query(one.fine, predicate="intersects").tolist()))
        crossed = [each for each in near if each.asked_mm < one.asked_mm and not each.fine.covers(one.fine)]
        if any(shapely.get_num_geometries(each.fine.difference(one.fine)) > 1 for each in crossed):
            found.append(FeatureKind.SLOT)
        else:
            found.append(FeatureKind.FINGER_NOTCH if crossed and round_one else FeatureKind.POCKET)
    return tuple(found)
