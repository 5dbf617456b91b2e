"""Plain twins of the search for neighbours over sides, and of the sheets that hang together over them."""

from __future__ import annotations

from collections import defaultdict


def neighbours(triangles, points):
    """The triangle beyond each side (-1 none, -2 several), and whether both run the side the same way."""
    met = defaultdict(list)
    for row, corners in enumerate(triangles):
        for side in range(3):
            met[frozenset((corners[side], corners[(side + 1) % 3]))].append((row, side, corners[side]))
    beside = [[-1] * 3 for _ in triangles]
    same = [[False] * 3 for _ in triangles]
    for found in met.values():
        for row, side, _ in found:
            beside[row][side] = -1 if len(found) == 1 else -2
        if len(found) == 2:
            (one, own, start), (other, its, begins) = found
            beside[one][own], beside[other][its] = other, one
            same[one][own] = same[other][its] = start == begins
    return beside, same


def sheets(beside, same):
    """Sheet of each triangle, whether it must be turned, and how many sides contradict."""
    sheet, turned, found = {}, {}, 0
    for start in range(len(beside)):
        if start in sheet:
            continue
        sheet[start], turned[start] = found, False
        grown = True
        while grown:
            grown = False
            for one in [each for each in sheet if sheet[each] == found]:
                for other, alike in zip(beside[one], same[one], strict=True):
                    if other >= 0 and other not in sheet:
                        sheet[other], turned[other], grown = found, turned[one] != alike, True
        found += 1
    torn = [
        one
        for one, row in enumerate(beside)
        for other, alike in zip(row, same[one], strict=True)
        if other >= 0 and (turned[one] != alike) != turned[other]
    ]
    return [sheet[k] for k in range(len(beside))], [turned[k] for k in range(len(beside))], len(torn)
