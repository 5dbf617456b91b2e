"""Over-cut corners of a drawn tray: the one change to the customer's shape, made on request and told."""

from __future__ import annotations

from dataclasses import replace

import shapely

from traywright.base import Finding, Severity, finding
from traywright.design.corner_relief import relieved
from traywright.design.drawn_shapes import Shape


def with_relief(shapes: tuple[Shape, ...], radius_mm: float, tray: str) -> tuple[tuple[Shape, ...], list[Finding]]:
    """Shapes over-cut in corners tighter than the cutter, and how much of the plan that takes.

    Parameters
    ----------
    shapes
        What is cut.
    radius_mm
        Radius of the smallest cutter.
    tray
        Id of the tray.
    """
    wider = []
    for one in shapes:
        region = relieved(one.region, radius_mm).region
        added = region.difference(one.region)
        wider.append(replace(one, region=region, fine=one.fine.union(added.shape)))
    before, after = (shapely.union_all([one.fine for one in each]).area for each in (shapes, wider))
    grown = sum(one.region != other.region for one, other in zip(shapes, wider, strict=True))
    if not grown:
        return shapes, []
    note = finding(
        "TRAY-034",
        Severity.WARN,
        (tray,),
        cause=f"relief {tray}",
        count=grown,
        added_mm2=round(float(after - before), 1),
        radius_mm=radius_mm,
    )
    return tuple(wider), [note]
