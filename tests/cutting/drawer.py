"""A tool drawer as a customer draws it, by its numbers: twenty-three recesses in a sheet of 558 x 398."""

from __future__ import annotations

from traywright.geometry import Contour, Region
from traywright.nesting.setup import Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply

THICKNESS = 30.0
QUARTER = 0.41421356237309503  # tangent of 22.5 degrees: the bulge of a quarter turn


def rectangle(left, front, right, back, radius=0.0):
    if not radius:
        return Contour.polygon(((left, front), (right, front), (right, back), (left, back)))
    r = radius
    return Contour(
        corners=(
            (left + r, front, 0.0),
            (right - r, front, QUARTER),
            (right, front + r, 0.0),
            (right, back - r, QUARTER),
            (right - r, back, 0.0),
            (left + r, back, QUARTER),
            (left, back - r, 0.0),
            (left, front + r, QUARTER),
        )
    )


def capsule(x, y, length, width):
    half, r = (length - width) / 2.0, width / 2.0
    return Contour(
        corners=((x - half, y - r, 0.0), (x + half, y - r, 1.0), (x + half, y + r, 0.0), (x - half, y + r, 1.0))
    )


SOCKETS = zip((17, 19, 21, 23, 25, 27, 30, 33), (308.5, 334.5, 362.5, 392.5, 424.5, 458.5, 495.0, 534.5), strict=True)
DRAWN = (
    *((14, capsule(130, y, 200, 24)) for y in (40, 80, 120, 160)),
    (18, rectangle(60, 251, 280, 279)),
    (18, rectangle(300, 290, 530, 370, 3.0)),
    (24, rectangle(30, 210, 64, 320)),
    (20, rectangle(117, 20, 143, 180)),
    *((20, Contour.circle(at, 13.0)) for at in ((170, 251), (170, 279), (415, 290), (415, 370))),
    *((12, Contour.circle((x, 60.0), size / 2.0)) for size, x in SOCKETS),
    (6, rectangle(300, 130, 540, 158)),
)
KINDS = {8: FeatureKind.SLOT, **dict.fromkeys((9, 10, 11, 12), FeatureKind.FINGER_NOTCH)}
OUTLINE = rectangle(0, 0, 558, 398, 10.0)


def ply():
    features = tuple(
        Feature(
            id=f"F{number}",
            kind=KINDS.get(number, FeatureKind.POCKET),
            side="top",
            region=contour.region(),
            floor=Flat(z_mm=THICKNESS - depth),
        )
        for number, (depth, contour) in enumerate(DRAWN, start=1)
    )
    return Ply(
        id="T1.P1",
        kind="k",
        from_mm=0.0,
        to_mm=THICKNESS,
        board="b",
        region=OUTLINE.region(),
        features=features,
    )


def setup(cutters=((1, "flat-8"),), z_zero="bed", datum="front left"):
    return Setup(
        id="B1.S1",
        board_layout="B1",
        board="b",
        blank=Region.rectangle(0, 0, 1200, 600),
        thickness_mm=THICKNESS,
        side_up="top",
        datum=datum,
        z_zero=z_zero,
        pieces=(Piece(id="B1.1", ply="T1.P1", at_mm=(12.0, 12.0), turn_deg=0),),
        bridges=(),
        screws_mm=(),
        zones=(),
        cutters=cutters,
        program="B1-S1",
        runs=1,
    )
