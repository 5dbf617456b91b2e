"""A plain twin of guided separation, one thought a line; it draws the same numbers."""

from __future__ import annotations

import math

WORD = (1 << 64) - 1


class Draws:
    """Whole numbers by xorshift64* (Vigna 2016)."""

    def __init__(self, seed):
        self.word = (seed * 2654435769 + 88172645463325252) & WORD

    def below(self, limit):
        self.word ^= self.word >> 12
        self.word = (self.word ^ (self.word << 25)) & WORD
        self.word ^= self.word >> 27
        return (((self.word * 0x2545F4914F6CDD1D) & WORD) >> 33) % limit


def _deep(depth, a, b):
    half = depth.shape[2] // 2
    dx, dy = b[1] - a[1], b[2] - a[2]
    return float(depth[a[0], b[0], dx + half, dy + half]) if max(abs(dx), abs(dy)) <= half else 0.0


def _all_pairs(depth, copies):
    size = len(copies)
    return {(i, j): _deep(depth, copies[i], copies[j]) for i in range(size) for j in range(i + 1, size)}


def separated(depth, ground, places, poses, start, sweeps, most, seed):
    """The copies with the least overlap found, and its sum; without barred regions and without an end by places."""
    assert ground.shape[1] == 0
    assert most == math.inf
    draws, half = Draws(seed), depth.shape[2] // 2
    copies = [tuple(int(v) for v in one) for one in start]
    size = len(copies)
    weights = {(i, j): 1.0 for i in range(size) for j in range(size)}
    best, least = list(copies), math.inf
    order = list(range(size))
    reach = half // 4 + 1

    def cost(k, pose, x, y):
        return sum(weights[k, j] * _deep(depth, copies[j], (pose, x, y)) for j in range(size) if j != k)

    for _ in range(sweeps):
        deep = _all_pairs(depth, copies)
        total = sum(deep.values())
        if total < least:
            best, least = list(copies), total
        if total <= 0.0:
            return best, least
        worst = max(deep.values())
        for (i, j), value in deep.items():
            grown = weights[i, j] * (1.2 + 0.4 * value / worst) if value > 0.0 else max(1.0, weights[i, j] * 0.95)
            weights[i, j] = weights[j, i] = grown
        conflict = {k for pair, value in deep.items() if value > 0.0 for k in pair}
        for i in range(size - 1, 0, -1):
            j = draws.below(i + 1)
            order[i], order[j] = order[j], order[i]
        for k in order:
            if k in conflict and cost(k, *copies[k]) > 0.0:
                copies[k] = _moved(draws, places, poses[k], copies[k], lambda *one, k=k: cost(k, *one), reach)
    return best, least


def _moved(draws, places, poses, copy, cost, reach):
    options = []
    for pose in range(poses[0], poses[1]):
        x0, x1, y0, y1 = (int(v) for v in places[pose])
        at = (cost(*copy), *copy[1:]) if pose == copy[0] else (math.inf, x0, y0)
        for draw in range(40):
            if draw < 20:
                x, y = x0 + draws.below(x1 - x0 + 1), y0 + draws.below(y1 - y0 + 1)
            else:
                x = min(max(copy[1] + draws.below(2 * reach + 1) - reach, x0), x1)
                y = min(max(copy[2] + draws.below(2 * reach + 1) - reach, y0), y1)
            tried = cost(pose, x, y)
            if tried < at[0]:
                at = (tried, x, y)
        options.append((at[0], pose, *_descended(cost, pose, at, (x0, x1, y0, y1))))
    least = min(one[2] for one in options)
    return next((pose, x, y) for _, pose, value, x, y in options if value == least)


def _descended(cost, pose, at, room):
    value, at_x, at_y = at
    for step in (8, 4, 2, 1):
        better = True
        while better and value > 0.0:
            better = False
            for move in range(9):
                x, y = at_x + (move % 3 - 1) * step, at_y + (move // 3 - 1) * step
                if room[0] <= x <= room[1] and room[2] <= y <= room[3]:
                    tried = cost(pose, x, y)
                    if tried < value:
                        value, at_x, at_y, better = tried, x, y, True
    return value, at_x, at_y
