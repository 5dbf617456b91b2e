"""Plain look-ahead over a path: written apart from the compiled one, vertex by vertex, for tests only."""

from __future__ import annotations

import math
from itertools import pairwise


def look_ahead(points, feeds, acceleration, junction, each_axis):
    """Time along a path and the speed at each vertex; moves without length are taken out first."""
    spots = [tuple(float(value) for value in points[0])]
    index_of = [0]
    tops = []
    for point, feed in zip(points[1:], feeds, strict=True):
        spot = tuple(float(value) for value in point)
        if math.dist(spot, spots[-1]) > 1e-12:
            spots.append(spot)
            tops.append(float(feed))
        index_of.append(len(spots) - 1)
    lengths = [math.dist(a, b) for a, b in pairwise(spots)]
    ways = [
        tuple((q - p) / length for p, q in zip(a, b, strict=True))
        for a, b, length in zip(spots, spots[1:], lengths, strict=False)
    ]
    pulls = [acceleration / max(abs(value) for value in way) if each_axis else acceleration for way in ways]
    speeds = [0.0] * len(spots)
    for k in range(1, len(spots) - 1):
        turn = math.acos(max(-1.0, min(1.0, sum(p * q for p, q in zip(ways[k - 1], ways[k], strict=True)))))
        pull = min(pulls[k - 1], pulls[k])
        allowed = [tops[k - 1], tops[k]]
        s = math.sin((math.pi - turn) / 2.0)
        if s < 1.0 - 1e-15:
            allowed.append(math.sqrt(pull * junction * s / (1.0 - s)))
        if turn > 0.0:
            allowed.append(math.sqrt(pull * min(lengths[k - 1], lengths[k]) / (2.0 * math.sin(turn / 2.0))))
        speeds[k] = min(allowed)
    for k in reversed(range(len(lengths))):
        speeds[k] = min(speeds[k], math.sqrt(speeds[k + 1] ** 2 + 2.0 * pulls[k] * lengths[k]))
    time = 0.0
    for k, length in enumerate(lengths):
        speeds[k + 1] = min(speeds[k + 1], math.sqrt(speeds[k] ** 2 + 2.0 * pulls[k] * length))
        up = (tops[k] ** 2 - speeds[k] ** 2) / (2.0 * pulls[k])
        down = (tops[k] ** 2 - speeds[k + 1] ** 2) / (2.0 * pulls[k])
        if up + down <= length:
            time += (tops[k] - speeds[k]) / pulls[k] + (tops[k] - speeds[k + 1]) / pulls[k]
            time += (length - up - down) / tops[k]
        else:
            peak = math.sqrt((2.0 * pulls[k] * length + speeds[k] ** 2 + speeds[k + 1] ** 2) / 2.0)
            time += (peak - speeds[k]) / pulls[k] + (peak - speeds[k + 1]) / pulls[k]
    return time, [speeds[k] for k in index_of]
