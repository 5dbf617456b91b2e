"""A part from a photograph with a printed scale: its outline in millimetres, with how far it may be off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.geometry import Region
from traywright.parts.photo_camera import (
    Camera,
    Lens,
    camera_of,
    focal_of,
    homography,
    lens_and_homography,
    lens_from_lines,
)
from traywright.parts.photo_edges import BLUR, Points
from traywright.parts.photo_file import grey_of, vision
from traywright.parts.photo_markers import PHOTO_LINE_MM, SheetSeen, find_sheet, photo_room_mm
from traywright.parts.photo_outline import find_part
from traywright.parts.photo_square import crossing, find_square, sheet_edges
from traywright.parts.question import PartQuestion
from traywright.parts.shape import ShapeAsked

PART_RATIO = 0.72  # source: ours: grey between part and paper, over the grey of paper
USUAL_FOCAL = 1.1  # source: ours: focal length over the longer side, where a square view tells none
FIXED_MM = 0.15  # source: ours: edges broken, burrs, print
PIXELS = 1.5  # source: ours: what an edge may be off in the picture
FAR_RATIO = 0.002  # source: ours: what a small square may be off a hundred times its share further out
UNKNOWN_MM = 5.0  # source: ours: height that is allowed for where none is told
WALL_RATIO = 0.1  # source: ours: share of the parallax that stays where an edge shows its wall or hides it
SPIKE_MM = 0.15  # source: ours: no edge of a part that foam holds is as fine
SPECK_MM2 = 1.0  # source: ours: a hole of a millimetre is no matter to foam
SMOOTH_MM = 0.02  # source: ours: points of the outline closer to their neighbours' line say nothing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotoRead:
    """The outline of a part on a photograph, mm, from the corner of the scale, y up.

    ``plus_minus_mm`` is how far it may be off, ``scale`` square or sheet, ``bend_px`` what is left of the bend of
    straight edges (pixels); ``parallax_ratio`` how far an edge is seen shifted for each mm that it stands high.
    """

    plan: Region
    plus_minus_mm: float
    scale: str
    parallax_ratio: float
    questions: tuple[PartQuestion, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Scaled:
    """A picture with its scale: lens, view of the plane, where the part is looked for, how far the scale reaches."""

    lens: Lens
    view: NDArray[np.float64]
    paper: NDArray[np.bool_]
    scale: str
    middle_mm: tuple[float, float]
    reach_mm: float


def _on_square(cv2: Any, asked: ShapeAsked, picture: NDArray[np.float32], white: float) -> _Scaled:  # noqa: ANN401  # reason: untyped library
    """The scale from one printed square; the lens from all straight edges that are seen."""
    high, wide = picture.shape
    square = find_square(cv2, asked.id, picture, white)
    lens, _ = lens_from_lines(wide, high, [*square.sides, *sheet_edges(cv2, picture, white)])
    sides = [lens.undone(one) for one in square.sides]
    corners = np.array([crossing(sides[number - 1], sides[number]) for number in range(4)])
    side_mm = asked.square_mm
    plane = np.array([(0.0, 0.0), (0.0, side_mm), (side_mm, side_mm), (side_mm, 0.0)])
    light = cv2.morphologyEx(
        (picture > PART_RATIO * white).astype(np.uint8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8)
    )
    outlines, _ = cv2.findContours(light, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    paper = np.zeros(picture.shape, np.uint8)
    cv2.drawContours(paper, [max(outlines, key=cv2.contourArea)], -1, 1, -1)
    middle = square.corners.mean(axis=0)
    around = np.round(middle + (square.corners - middle) * 1.08).astype(np.int32)
    cv2.fillPoly(paper, [around], 0)
    paper = cv2.erode(paper, np.ones((9, 9), np.uint8))
    return _Scaled(
        lens=lens,
        view=homography(plane, corners),
        paper=paper.astype(bool),
        scale="square",
        middle_mm=(side_mm / 2.0, side_mm / 2.0),
        reach_mm=side_mm,
    )


def _on_sheet(cv2: Any, asked: ShapeAsked, seen: SheetSeen, shape: tuple[int, int]) -> _Scaled:  # noqa: ANN401  # reason: untyped library
    """The scale from a marker sheet: lens and view together from all its marks."""
    high, wide = shape
    ratio = asked.line_mm / PHOTO_LINE_MM
    lens, view = lens_and_homography(wide, high, seen.plane_mm * ratio, seen.seen)
    left, front, right, back = (one * ratio for one in photo_room_mm(seen.paper))
    count = 60
    steps = np.linspace(0.0, 1.0, count, endpoint=False)[:, None]
    ring = [np.array(one) for one in ((left, front), (right, front), (right, back), (left, back))]
    rim = np.concatenate([a + (b - a) * steps for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)])
    paper = np.zeros(shape, np.uint8)
    cv2.fillPoly(paper, [np.round(lens.bent(_seen(view, rim))).astype(np.int32)], 1)
    return _Scaled(
        lens=lens,
        view=view,
        paper=paper.astype(bool),
        scale="sheet",
        middle_mm=((left + right) / 2.0, (front + back) / 2.0),
        reach_mm=math.hypot(right - left, back - front),
    )


def _seen(view: NDArray[np.float64], plane_mm: Points) -> Points:
    """Where points of the plane are seen, lens undone."""
    told = np.column_stack([plane_mm, np.ones(len(plane_mm))]) @ view.T
    seen: Points = told[:, :2] / told[:, 2:]
    return seen


def _on_plan(loop: tuple[Points, Points], scaled: _Scaled, camera: Camera, thickness_mm: float) -> Points:
    """Points of a loop in mm: an edge that shows its wall ends on the paper, one that hides it is the upper edge."""
    points, out = loop
    undone, further = scaled.lens.undone(points), scaled.lens.undone(points + out)
    base = camera.on_plane(undone, np.zeros(len(points)))
    outward = camera.on_plane(further, np.zeros(len(points))) - base
    shows = ((np.array(camera.place_mm[:2]) - base) * outward).sum(axis=1) > 0.0
    return camera.on_plane(undone, np.where(shows, 0.0, thickness_mm))


def _clean(plan: Region) -> Region:
    """The largest piece without spikes and specks that noise draws; fewer points."""
    pieces = plan.opened(SPIKE_MM).pieces()
    if not pieces:
        return Region.empty()
    largest = max(pieces, key=lambda one: one.area_mm2)
    ((shell, holes),) = largest.rings()
    real = [hole for hole in holes if Region.polygon(hole).area_mm2 > SPECK_MM2]
    return Region.polygon(shell, real).simpler(SMOOTH_MM)


def _plus_minus_mm(
    scaled: _Scaled, camera: Camera, points_mm: Points, thickness_mm: float | None
) -> tuple[float, float]:
    """How far the outline may be off, and how far an edge is shifted for each mm of height."""
    here = camera.on_plane(_seen(scaled.view, points_mm), np.zeros(len(points_mm)))
    one = camera.on_plane(_seen(scaled.view, points_mm) + np.array([1.0, 0.0]), np.zeros(len(points_mm)))
    pixel_mm = float(np.linalg.norm(one - here, axis=1).max())
    off = points_mm - np.array(camera.place_mm[:2])
    parallax_ratio = float((np.linalg.norm(off, axis=1) / camera.place_mm[2]).max())
    far_mm = float(np.linalg.norm(points_mm - np.array(scaled.middle_mm), axis=1).max())
    beyond_mm = max(0.0, far_mm - scaled.reach_mm / 2.0)
    height_mm = UNKNOWN_MM if thickness_mm is None else WALL_RATIO * thickness_mm
    return FIXED_MM + PIXELS * pixel_mm + FAR_RATIO * beyond_mm + parallax_ratio * height_mm, parallax_ratio


def read_photo(asked: ShapeAsked, content: bytes) -> PhotoRead:
    """The outline of a flat part on a photograph beside a printed square or on the marker sheet.

    Parameters
    ----------
    asked
        The file's name, the thickness of the part, the side of the square and the measured length of the sheet's line.
    content
        A JPEG or PNG file.

    Raises
    ------
    PartError
        PART-003 if it cannot be read, PART-009 if nothing is enclosed, PART-080 without the extra, PART-081 too many or
        too few pixels, PART-082 no scale, PART-083 several, PART-084 no part, PART-085 a part that runs off, PART-086
        several parts.

    Notes
    -----
    The lens follows from edges that are straight in truth, the view from the square's corners (or the sheet's marks),
    the focal length from the right angles of the plane, and with it the place of the camera. The part is dark on the
    paper; its edge is the steepest step of grey. Where the camera looks at an edge from outside, the wall is seen and
    ends on the paper; elsewhere the upper edge hides it and is carried down by the thickness. Walls are taken to be
    upright. The heights of the part cannot be seen: without a thickness none is taken, and the plus-or-minus allows for
    5 mm.
    """
    cv2 = vision(asked.id)
    grey = grey_of(asked.id, asked.file_name, content)
    picture = cv2.GaussianBlur(grey, (0, 0), BLUR).astype(np.float32)
    white = float(np.percentile(picture, 95))
    sheet = find_sheet(cv2, grey)
    high, wide = grey.shape
    scaled = _on_square(cv2, asked, picture, white) if sheet is None else _on_sheet(cv2, asked, sheet, (high, wide))
    focal = focal_of(scaled.view, float(max(wide, high)))
    camera = camera_of(scaled.view, focal or USUAL_FOCAL * max(wide, high))
    loops = find_part(cv2, asked.id, picture, scaled.paper, PART_RATIO * white)
    rings = [_on_plan(one, scaled, camera, asked.thickness_mm or 0.0) for one in loops]
    shell, *holes = [[(float(x), float(y)) for x, y in ring] for ring in rings]
    plan = _clean(Region.polygon(shell, holes))
    if plan.is_empty:
        raise PartError("PART-009", part=asked.id)
    plus_minus_mm, parallax_ratio = _plus_minus_mm(scaled, camera, rings[0], asked.thickness_mm)
    noticed = [
        finding(
            "PART-087",
            Severity.NOTE,
            (asked.id,),
            part=asked.id,
            plus_minus_mm=round(plus_minus_mm, 2),
            parallax_mm=round(parallax_ratio, 2),
        )
    ]
    if focal is None:
        noticed.append(finding("PART-088", Severity.NOTE, (asked.id,), part=asked.id))
    questions = () if asked.thickness_mm is not None else (PartQuestion(field="thickness_mm", asks="thickness"),)
    return PhotoRead(
        plan=plan,
        plus_minus_mm=round(plus_minus_mm, 3),
        scale=scaled.scale,
        parallax_ratio=parallax_ratio,
        questions=questions,
        findings=tuple(noticed),
    )
