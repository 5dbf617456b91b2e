"""The picture in a photograph's file, read behind limits."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError

MOST_PIXELS = 60_000_000  # source: ours: more than a telephone's camera takes, and a gigabyte to work on
LEAST_PIXELS = 200_000  # source: ours: fewer do not show a millimetre
JPEG, PNG = b"\xff\xd8", b"\x89PNG\r\n\x1a\n"
SIZES = {*range(0xC0, 0xC4), *range(0xC5, 0xC8), *range(0xC9, 0xCC), *range(0xCD, 0xD0)}
"""Markers of a JPEG frame header.  # source: ITU-T T.81, table B.1"""

Picture = NDArray[np.uint8]


def vision(part_id: str) -> Any:  # noqa: ANN401  # reason: the library's module
    """The library that looks at pictures.

    Raises
    ------
    PartError
        PART-080 if it is not installed.
    """
    try:
        import cv2  # noqa: PLC0415  # reason: an extra, and 60 MB
    except ImportError as fault:
        raise PartError("PART-080", part=part_id) from fault
    cv2.setNumThreads(1)
    return cv2


def pixels_told(content: bytes) -> tuple[int, int] | None:
    r"""Width and height that the header of a JPEG or PNG file tells; None if it tells none.

    Examples
    --------
    >>> pixels_told(b"\x89PNG\r\n\x1a\n" + bytes(8) + (640).to_bytes(4, "big") + (480).to_bytes(4, "big"))
    (640, 480)
    """
    if content.startswith(PNG) and len(content) >= 24:
        return int.from_bytes(content[16:20], "big"), int.from_bytes(content[20:24], "big")
    if not content.startswith(JPEG):
        return None
    at = 2
    while at + 9 <= len(content):
        if content[at] != 0xFF:
            return None
        if content[at + 1] in SIZES:
            return int.from_bytes(content[at + 7 : at + 9], "big"), int.from_bytes(content[at + 5 : at + 7], "big")
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return None


def grey_of(part_id: str, file_name: str, content: bytes) -> Picture:
    """The picture in grey, turned as the camera says.

    Parameters
    ----------
    part_id, file_name
        Named in errors.
    content
        A JPEG or PNG file.

    Raises
    ------
    PartError
        PART-003 if it cannot be read, PART-080 if the extra is not installed, PART-081 if it has too many or too few
        pixels.
    """
    cv2 = vision(part_id)
    told = pixels_told(content)
    if told is None:
        raise PartError("PART-003", part=part_id, file=file_name)
    if not LEAST_PIXELS <= told[0] * told[1] <= MOST_PIXELS:
        raise PartError("PART-081", part=part_id, file=file_name, wide=told[0], high=told[1])
    try:
        found = cv2.imdecode(np.frombuffer(content, dtype=np.uint8), cv2.IMREAD_GRAYSCALE)
    except cv2.error as fault:
        raise PartError("PART-003", part=part_id, file=file_name) from fault
    if found is None or found.ndim != 2:
        raise PartError("PART-003", part=part_id, file=file_name)
    picture: Picture = found
    return picture
