"""Solids drawn from a plane shape: extruded upward or turned about an axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from traywright.base.tolerance import ARC_CHORD_MM
from traywright.geometry.mesh import Mesh
from traywright.geometry.region import Region
from traywright.geometry.solids import solid_of


def segments_of_circle(radius_mm: float, chord_mm: float = ARC_CHORD_MM) -> int:
    """Number of chords of a full circle that keep a chord tolerance, a multiple of four.

    Parameters
    ----------
    radius_mm
        Above 0.
    chord_mm
        Largest distance of a chord from its arc, above 0.

    Examples
    --------
    >>> segments_of_circle(46.0)
    152
    """
    if radius_mm <= chord_mm:
        return 8
    return 4 * max(2, math.ceil(math.pi / 4.0 / math.acos(1.0 - chord_mm / radius_mm)))


def _flat(region: Region) -> Any:  # noqa: ANN401  # reason: untyped library
    import manifold3d  # noqa: PLC0415  # reason: the solid kernel waits until a solid is asked

    rings = [ring for shell, holes in region.rings() for ring in (shell, *(tuple(hole) for hole in holes))]
    return manifold3d.CrossSection([np.array(ring) for ring in rings], manifold3d.FillRule.EvenOdd)


def _mesh(solid: Any) -> Mesh:  # noqa: ANN401  # reason: untyped library
    told = solid.to_mesh64()
    return Mesh(np.asarray(told.vert_properties)[:, :3], np.asarray(told.tri_verts).astype(np.int64))


def extruded(region: Region, bottom_mm: float, top_mm: float) -> Mesh:
    """Closed mesh of a plane region between two heights.

    Parameters
    ----------
    region
        Not empty; holes go through.
    bottom_mm, top_mm
        Heights, top above bottom.

    Raises
    ------
    ValueError
        If the region is empty or top is not above bottom.
    """
    if region.is_empty or not top_mm > bottom_mm:
        raise ValueError(top_mm)
    raised = _flat(region).extrude(top_mm - bottom_mm)
    return _mesh(raised.translate((0.0, 0.0, bottom_mm)))


def turned_about_x(profile: Region, chord_mm: float = ARC_CHORD_MM) -> Mesh:
    """Closed mesh of a profile turned about the x axis.

    Parameters
    ----------
    profile
        Region with x along the axis and y the radius, y from 0 up.
    chord_mm
        Largest distance of a chord from the largest circle; the corners lie on the circle, the chords inside.

    Raises
    ------
    ValueError
        If the profile is empty or reaches below the axis.
    """
    if profile.is_empty or profile.bounds_mm[1] < 0.0:
        raise ValueError(profile.bounds_mm)
    # the solid kernel turns (radius, height) about the height, which becomes z: swap, then bring z to x
    swapped = Region(shapely.transform(profile.shape, lambda xy: xy[:, ::-1]))
    raised = _mesh(_flat(swapped).revolve(segments_of_circle(profile.bounds_mm[3], chord_mm)))
    return Mesh(raised.points_mm[:, [2, 0, 1]], raised.triangles)


def combined(add: Sequence[Mesh], take_away: Sequence[Mesh] = ()) -> Mesh:
    """Closed mesh of solids added together with others taken away.

    Parameters
    ----------
    add, take_away
        Closed meshes; at least one to add.

    Raises
    ------
    ValueError
        If nothing is left.
    """
    import manifold3d  # noqa: PLC0415  # reason: the solid kernel waits until a solid is asked

    whole = manifold3d.Manifold.batch_boolean([solid_of(one) for one in add], manifold3d.OpType.Add)
    if take_away:
        taken = manifold3d.Manifold.batch_boolean([solid_of(one) for one in take_away], manifold3d.OpType.Add)
        whole = whole - taken
    if whole.is_empty():
        raise ValueError(len(add))
    return _mesh(whole)
