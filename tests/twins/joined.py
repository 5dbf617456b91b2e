"""Plain twins of the loops that join points and look for open edges: dictionaries, row by row."""

from __future__ import annotations


def joined_points(steps):
    """Row of the first of each different point, and the number of each row's point."""
    known, firsts, numbers = {}, [], []
    for row, point in enumerate(map(tuple, steps.tolist())):
        if point not in known:
            known[point] = len(firsts)
            firsts.append(row)
        numbers.append(known[point])
    return firsts, numbers


def unanswered_edges(triangles, points):
    """How many edges are not run as often one way as the other."""
    runs = {}
    for a, b, c in triangles.tolist():
        for start, end in ((a, b), (b, c), (c, a)):
            if start != end:
                edge = (min(start, end), max(start, end))
                runs[edge] = runs.get(edge, 0) + (1 if start < end else -1)
    return sum(1 for one in runs.values() if one)
