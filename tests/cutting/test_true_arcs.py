"""Arcs stay arcs: the program's text, read back and grown by the cutter's radius, is the drawn contour to 0.01 mm."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from cutting import drawer
from cutting.bench import CARDS, DIALECT, MACHINE
from cutting.drawer import capsule, rectangle
from traywright.base.tolerance import DRAWN_MM
from traywright.cutting import machine_for, plan_cuts
from traywright.geometry import Contour
from traywright.nc import ProgramHead, write_program
from traywright.trays.floor import Flat
from traywright.verification import read_program
from traywright.verification.motion import plan_distance_mm

CUTTERS = {1: CARDS.cutter("flat-8")}
RADIUS = 4.0
AT = (12.0, 12.0)
HEAD = ProgramHead(job="j", revision="A", release="0", cut="sha256:0")
BUMP = Contour(  # a pocket with a round nose of 6 mm standing into it: its wall path turns the other way
    corners=((300, 200, 0), (360, 200, 0), (360, 260, 0), (336, 260, -1.0), (324, 260, 0), (300, 260, 0))
)
DRAWN = {
    "circle": Contour.circle((60.0, 60.0), 13.0),
    "capsule": capsule(150.0, 60.0, 90.0, 24.0),
    "R10": rectangle(40, 120, 120, 180, 10.0),
    "R5": rectangle(160, 120, 240, 180, 5.0),
    "R4.5": rectangle(280, 40, 360, 100, 4.5),
    "wide": Contour.circle((140.0, 260.0), 60.0),
    "nose": BUMP,
    "outline": rectangle(0, 0, 420, 360, 10.0),
}


def planned(solid=None, **asked):
    contours = [one for name, one in DRAWN.items() if name != "outline"]
    own = drawer.ply().features[0]
    features = tuple(
        dataclasses.replace(own, id=f"F{at}", region=one.region(), floor=Flat(z_mm=5.0 + at))
        for at, one in enumerate(contours)
    )
    ply = dataclasses.replace(drawer.ply(), features=features, region=DRAWN["outline"].region())
    setup = drawer.setup()
    plan = plan_cuts(setup, {"T1.P1": ply}, MACHINE, CUTTERS, solid=solid, **asked)
    text = write_program(plan, setup, machine_for(MACHINE, solid), DIALECT, CUTTERS, HEAD).text
    return read_program(text).motions


@pytest.fixture(scope="module")
def foam():
    return planned(true_arcs=True)


@pytest.fixture(scope="module")
def solid():
    return planned(CARDS.solid("hdpe"))


def walls(contour, step_mm=0.4):
    """Points along the true edges, on the board; square corners keep the cutter out and are left out."""
    for edge in contour.edges:
        (ax, ay), (bx, by) = edge.start_mm, edge.end_mm
        count = max(2, math.ceil(edge.length_mm / step_mm))
        for share in (np.arange(count) + 0.5) / count:
            if edge.is_arc:
                (cx, cy), first = edge.centre_mm, math.atan2(ay - edge.centre_mm[1], ax - edge.centre_mm[0])
                turn = first + edge.turn_rad * share
                at = (cx + edge.radius_mm * math.cos(turn), cy + edge.radius_mm * math.sin(turn))
            else:
                at = (ax + (bx - ax) * share, ay + (by - ay) * share)
            foot = min(math.dist(at, edge.start_mm), math.dist(at, edge.end_mm))
            if foot < RADIUS and (not edge.is_arc or edge.bulge_ratio < 0.0):
                continue
            yield (at[0] + AT[0], at[1] + AT[1])


def near(contour, motions):
    """Motions at feed near a contour."""
    left, front, right, back = contour.bounds_mm
    low, high = (left + AT[0] - 9.0, front + AT[1] - 9.0), (right + AT[0] + 9.0, back + AT[1] + 9.0)
    for one in motions:
        if (
            one.feed_mm_per_s
            and one.is_known
            and all(a <= b <= c for a, b, c in zip(low, one.end_mm[:2], high, strict=True))
        ):
            yield one


@pytest.mark.parametrize("name", DRAWN)
def test_the_wall_that_the_text_cuts_is_the_drawn_one(foam, name):
    motions = tuple(near(DRAWN[name], foam))
    if name == "outline":  # the deepest pass, all else lies inside
        motions = tuple(one for one in motions if one.end_mm[2] < 0.0)
    off = [min(plan_distance_mm(one, at) for one in motions) - RADIUS for at in walls(DRAWN[name])]
    assert len(off) > 50
    assert max(off) <= DRAWN_MM
    assert min(off) >= -DRAWN_MM


@pytest.mark.parametrize(
    ("name", "radius", "turn_deg"),
    [
        ("circle", 9.0, 360.0),
        ("capsule", 8.0, 360.0),
        ("R10", 6.0, 360.0),
        ("R5", 1.0, 360.0),
        ("wide", 56.0, 360.0),
        ("nose", 10.0, 180.0 - 2.0 * math.degrees(math.asin(0.4))),
        ("outline", 14.0, 360.0),
    ],
)
@pytest.mark.parametrize("of", ["foam", "solid"])
def test_a_wall_is_cut_by_arcs_of_the_true_radius(of, name, radius, turn_deg, request):
    motions = request.getfixturevalue(of)
    own = [one for one in near(DRAWN[name], motions) if one.kind.is_arc and abs(one.radius_mm - radius) < 0.3]
    wall = [one for one in own if abs(one.start_mm[2] - min(each.start_mm[2] for each in own)) < 1e-6]
    assert {round(one.radius_mm - radius, 2) + 0.0 for one in wall} <= {0.0, 0.01, -0.01}
    assert max(abs(one.radius_mm - radius) for one in wall) <= DRAWN_MM
    # at least nine tenths of the turn are arcs: a first and a last chord may stay a line
    assert sum(abs(one.sweep_deg) for one in wall) >= 0.9 * turn_deg
