"""The layers of a pack spread upward, seen from the front left corner above: parallel view, each axis to one scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base import natural_key
from traywright.geometry import Region
from traywright.papers.inks import depth_ink
from traywright.papers.marks import THIN_MM, Area, Lettering, Marks, Points, Stroke, moved
from traywright.papers.paper import PapersAsked
from traywright.papers.views import floors, lying
from traywright.parts import Pose
from traywright.trays.pack import Layer
from traywright.trays.tray import Tray

# source: own choice: x runs right and slightly up, y left and up, so that both near sides are seen
X_SHARE = (0.88, 0.17)
Y_SHARE = (-0.50, 0.36)
Z_SHARE = 1.0
SPREAD_RATIO = 0.75
"""Room between layers over the depth of the tray as seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A parallel view at a scale, lifted by ``up_mm`` on paper."""

    scale_ratio: float
    up_mm: float = 0.0

    def point(self, x_mm: float, y_mm: float, z_mm: float) -> tuple[float, float]:
        """Where a point of the thing lies on paper."""
        across = X_SHARE[0] * x_mm + Y_SHARE[0] * y_mm
        up = X_SHARE[1] * x_mm + Y_SHARE[1] * y_mm + Z_SHARE * z_mm
        return (across * self.scale_ratio, up * self.scale_ratio + self.up_mm)

    def rings(self, region: Region, z_mm: float) -> tuple[Points, ...]:
        """Rings of a level region."""
        return tuple(
            tuple(self.point(x, y, z_mm) for x, y in ring)
            for shell, holes in region.rings()
            for ring in (shell, *holes)
        )


def _sides(outline: Region, view: View, thickness_mm: float) -> Marks:
    """The upright sides that are seen, the left one darker."""
    found: list[tuple[float, Area]] = []
    for shell, _ in outline.rings():
        for (x0, y0), (x1, y1) in zip(shell, (*shell[1:], shell[0]), strict=True):
            out = (y1 - y0, x0 - x1)  # outward normal of a counter-clockwise ring
            if out[0] >= 0.0 and out[1] >= 0.0:
                continue
            quad = (
                view.point(x0, y0, 0.0),
                view.point(x1, y1, 0.0),
                view.point(x1, y1, thickness_mm),
                view.point(x0, y0, thickness_mm),
            )
            fill = "foam-3" if out[0] < out[1] else "foam-1"
            found.append((-(y0 + y1), Area(rings_mm=(quad,), fill=fill, width_mm=THIN_MM)))
    return tuple(one for _, one in sorted(found, key=lambda pair: pair[0]))


def _plate(tray: Tray, poses: Mapping[str, Pose], view: View) -> Marks:
    """One tray with its recesses and parts painted on its top."""
    top = tray.thickness_mm
    marks = _sides(tray.outline, view, top)
    marks += (Area(rings_mm=view.rings(tray.outline, top), fill="foam", width_mm=THIN_MM),)
    for height, region in floors(tray):
        fill = depth_ink(top - height, top)
        marks += (Area(rings_mm=view.rings(region.simpler(0.1), top), fill=fill, width_mm=0.12),)
    for cell in tray.cells:
        outline = lying(cell, poses).simpler(0.1)
        marks += (Area(rings_mm=view.rings(outline, top), fill="part", width_mm=0.2),)
    return marks


def _sheet(width_mm: float, depth_mm: float, thickness_mm: float, view: View) -> Marks:
    """A divider."""
    outline = Region.rectangle(0.0, 0.0, width_mm, depth_mm)
    low = Area(rings_mm=view.rings(outline, 0.0), fill="sheet", width_mm=0.18)
    return (low, Area(rings_mm=view.rings(outline, thickness_mm), fill="sheet", width_mm=THIN_MM))


def _gap_mm(asked: PapersAsked) -> float:
    """Room between two layers as spread, mm of the thing."""
    _, depth = _plan_mm(asked)
    return depth * Y_SHARE[1] * SPREAD_RATIO


def _plan_mm(asked: PapersAsked) -> tuple[float, float]:
    """Largest width and depth of the trays."""
    sizes = [one.outline.bounds_mm for one in asked.trays]
    return max(one[2] for one in sizes), max(one[3] for one in sizes)


def _thickness_mm(layer: Layer) -> float:
    """Height of a layer."""
    return layer.top_mm - layer.bottom_mm


def stack_size_mm(asked: PapersAsked) -> tuple[float, float]:
    """Width and height of the spread stack in millimetres of the thing."""
    width, depth = _plan_mm(asked)
    spread = (len(asked.pack.layers) - 1) * _gap_mm(asked) + sum(_thickness_mm(one) for one in asked.pack.layers)
    return (
        X_SHARE[0] * width - Y_SHARE[0] * depth,
        X_SHARE[1] * width + Y_SHARE[1] * depth + spread * Z_SHARE,
    )


def spread_stack(asked: PapersAsked, scale_ratio: float, *, size_pt: float = 14.0) -> Marks:
    """The pack's layers one above the other with their numbers, from the lower left corner of the picture.

    Parameters
    ----------
    asked
        The job.
    scale_ratio
        Millimetres on paper for one millimetre along each axis.
    size_pt
        Size of the numbers, which stand to the right of the picture.
    """
    width, depth = _plan_mm(asked)
    by_id = {one.id: one for one in asked.trays}
    poses = {one.part.id: one for one in asked.poses}
    gap = _gap_mm(asked)
    marks: Marks = ()
    height = 0.0
    for number, layer in enumerate(asked.pack.layers, start=1):
        view = View(scale_ratio=scale_ratio, up_mm=height * scale_ratio * Z_SHARE)
        thick = _thickness_mm(layer)
        tray = by_id.get(layer.id)
        marks += _sheet(width, depth, thick, view) if tray is None else _plate(tray, poses, view)
        x, y = view.point(width, 0.0, thick / 2.0)
        marks += (
            Stroke(points_mm=((x + 1.2, y), (x + 5.0, y)), width_mm=THIN_MM),
            Lettering(text=str(number), at_mm=(x + 6.4, y - size_pt * 0.125), size_pt=size_pt, voice="strong"),
        )
        height += thick + gap
    return moved(marks, -Y_SHARE[0] * depth * scale_ratio, 0.0)


def layer_words(asked: PapersAsked) -> tuple[tuple[str, str, float], ...]:
    """Number, name and thickness of each layer from the bottom up."""
    names = {one.id: f"{one.id} {one.name}" for one in sorted(asked.trays, key=lambda one: natural_key(one.id))}
    if asked.divider is not None:
        names[asked.divider.id] = asked.divider.name
    return tuple(
        (str(number), names.get(one.id, one.id), _thickness_mm(one))
        for number, one in enumerate(asked.pack.layers, start=1)
    )
