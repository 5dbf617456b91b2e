"""The marker sheet that parts are laid on: where its marks stand, and where they are seen in a picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Region
from traywright.parts.photo_edges import Points
from traywright.parts.photo_file import vision

MARK_MM = 14.0  # source: ours: seen from half a metre a mark has some hundred pixels a side
MARGIN_MM = 12.0  # source: ours: printers leave 5 mm of an edge white
PHOTO_LINE_MM = 100.0
"""Length of the line that is measured on the print."""
CELLS = 6
"""Cells along a mark: four of its number and a black rim."""
MIDDLE_GREY = 128
LEAST_MARKS = 8  # source: ours: fewer do not hold the lens


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPaper:
    """A size of paper, how many marks stand along its sides, and the number of the first."""

    name: str
    wide_mm: float
    high_mm: float
    across: int
    upward: int
    first: int


PHOTO_PAPERS = (
    PhotoPaper(name="A4", wide_mm=297.0, high_mm=210.0, across=10, upward=6, first=0),  # source: ISO 216
    PhotoPaper(name="Letter", wide_mm=279.4, high_mm=215.9, across=9, upward=6, first=50),  # source: ANSI/ASME Y14.1
)


def photo_marks(paper: PhotoPaper) -> dict[int, tuple[float, float]]:
    """Lower left corners of the marks of a sheet by their numbers, mm from the lower left corner of the paper."""
    left, low = MARGIN_MM, MARGIN_MM
    right, high = paper.wide_mm - MARGIN_MM - MARK_MM, paper.high_mm - MARGIN_MM - MARK_MM
    xs = np.linspace(left, right, paper.across).tolist()
    ys = np.linspace(low, high, paper.upward).tolist()
    places = [(x, low) for x in xs] + [(x, high) for x in xs]
    places += [(x, y) for y in ys[1:-1] for x in (left, right)]
    return {paper.first + number: (round(x, 3), round(y, 3)) for number, (x, y) in enumerate(places)}


def photo_room_mm(paper: PhotoPaper) -> tuple[float, float, float, float]:
    """The white area between the marks: left, front, right, back."""
    off = MARGIN_MM + MARK_MM + 2.0
    return off, off, paper.wide_mm - off, paper.high_mm - off


def mark_region(number: int) -> Region:
    """The black of a mark, its lower left corner at 0, 0.

    Parameters
    ----------
    number
        From 0 to 99.

    Raises
    ------
    PartError
        PART-080 if the extra for photographs is not installed.
    """
    cv2 = vision("photo-sheet")
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_100)
    black = np.asarray(cv2.aruco.generateImageMarker(book, number, CELLS)) < MIDDLE_GREY
    cell_mm = MARK_MM / CELLS
    found = []
    for row, column in zip(*np.nonzero(black[::-1]), strict=True):
        x_mm, y_mm = float(column) * cell_mm, float(row) * cell_mm
        found.append(Region.rectangle(x_mm, y_mm, x_mm + cell_mm, y_mm + cell_mm))
    return Region.union_of(found)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetSeen:
    """A marker sheet in a picture: the paper, corners of marks on it (mm) and where they are seen (pixels)."""

    paper: PhotoPaper
    plane_mm: Points
    seen: Points


def find_sheet(cv2: Any, grey: NDArray[np.uint8]) -> SheetSeen | None:  # noqa: ANN401  # reason: untyped library
    """The marker sheet in a picture, None if too few of its marks are seen.

    Parameters
    ----------
    cv2
        The library that looks at pictures.
    grey
        The picture.
    """
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_100)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, numbers, _ = cv2.aruco.ArucoDetector(book, settings).detectMarkers(grey)
    if numbers is None:
        return None
    told = {
        int(number): one.reshape(4, 2).astype(np.float64) for number, one in zip(numbers.ravel(), corners, strict=True)
    }
    for paper in PHOTO_PAPERS:
        places = photo_marks(paper)
        own = sorted(number for number in told if number in places)
        if len(own) < LEAST_MARKS:
            continue
        # corners come clockwise from the upper left
        square = np.array([(0.0, MARK_MM), (MARK_MM, MARK_MM), (MARK_MM, 0.0), (0.0, 0.0)])
        plane = np.concatenate([np.array(places[number]) + square for number in own])
        return SheetSeen(paper=paper, plane_mm=plane, seen=np.concatenate([told[number] for number in own]))
    return None
