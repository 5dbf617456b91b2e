"""The reader against the programs and rules that its source prints.

Kramer, T. R., Proctor, F. M., Messina, E. R.: The NIST RS274/NGC Interpreter - Version 3. NISTIR 6556, National
Institute of Standards and Technology, Gaithersburg, 17 August 2000 (a work of the United States government).
"""

from __future__ import annotations

import math

import pytest

from traywright.verification import MotionKind, read_program

C1 = """\
(this program mills "Hello world" between X=0 and X=81 millimeters)
n0010 g21 g0 x0 y0 z50 (top of part should be on XY plane)
n0020 t1 m6 m3 f20 s4000 (use an engraver or small ball-nose endmill)
n0030 g0 x0 y0 z2
n0040 g1 z-0.5 (start H)
n0050 y10
n0060 g0 z2
n0070 y5
n0080 g1 z-0.5
n0090 x 7
n0100 g0 z2
n0110 y0
n0120 g1 z-0.5
n0130 y10
n0140 g0 z2
n0150 x11 y2.5
n0160 g1 z-0.5 (start e)
n0170 x16
n0190 g3 x13.5 y0 i-2.5
n0200 g1 x16
n0210 g0 z2
n0220 x20 y0
n0230 g1 z-0.5 (start l)
n0240 y9
n0250 g0 z2
n0260 x26
n0270 g1 z-0.5 (start l)
n0280 y0
n0290 g0 z2
n0300 x32.5
n0310 g1 z-0.5 (start o)
n0320 g2 x32.5 j2.5
n0330 g0 z2
n0340 x45 y5
n0350 g1 z-0.5 (start w)
n0360 x47 y0
n0370 x48.5 y3
n0380 x50 y0
n0390 x52 y5
n0400 g0 z2
n0410 x57.5 y0
n0420 g1 z-0.5 (start o)
n0430 g2 x57.5 j2.5
n0440 g0 z2
n0450 x64
n0460 g1 z-0.5 (start r)
n0470 y5
n0480 y4
n0490 g2 x69 r4
n0500 g0 z2
n0510 x73 y0
n0520 g1 z-0.5 (start l)
n0530 y9
n0540 g0 z2
n0550 x81
n0560 g1 z-0.5 (start d)
n0570 y0
n0580 x79.5
n0590 g2 j2.5 y5
n0600 g1 x81
n0610 g0 z50
n0620 m2
"""
ARCS = (MotionKind.ARC_CW, MotionKind.ARC_CCW)
START = "G17 G21 G90 G94 F600 S1000 M3\nG0 Z0\n"
DIGITS_MM = 5e-5  # the expected figures are printed with four decimals


def hello():
    return read_program(C1, start_mm=(0.0, 0.0, 50.0))


def length_mm(*kinds):
    return sum(one.length_mm for one in hello().motions if one.kind in kinds)


def stops(text):
    return [(one.code, dict(one.parameters)["line"]) for one in read_program(text).findings if one.severity == 0]


def test_hello_world_is_read_whole():
    """Appendix C.1: 62 lines; nothing is refused, and the one jump of its line numbers (0170 to 0190) is seen."""
    heard = hello()
    assert heard.lines == 62
    assert heard.ended
    assert [(one.code, dict(one.parameters)["line"]) for one in heard.findings] == [("RB-023", 19)]


def test_hello_world_has_five_arcs():
    """Appendix C.1, lines 0190, 0320, 0430, 0490, 0590: one of 270 degrees, two full circles, one by radius, a half.

    The arc by radius spans a chord of 5 at radius 4: 2 asin(0.625); exact values, so only rounding is allowed.
    """
    sweeps = [one.sweep_deg for one in hello().motions if one.kind in ARCS]
    by_radius = -math.degrees(2.0 * math.asin(0.625))
    assert sweeps == pytest.approx([270.0, -360.0, -360.0, by_radius, -180.0], abs=1e-9)


def test_hello_world_lengths():
    """Appendix C.1: arcs 3.75 pi + 10 pi + 8 asin(0.625) + 2.5 pi by hand; the rest summed, 4 digits."""
    by_hand = 3.75 * math.pi + 10.0 * math.pi + 8.0 * math.asin(0.625) + 2.5 * math.pi
    assert by_hand == pytest.approx(56.4519, abs=DIGITS_MM)
    assert length_mm(*ARCS) == pytest.approx(by_hand, abs=1e-9)
    assert length_mm(MotionKind.RAPID) == pytest.approx(202.0528, abs=DIGITS_MM)
    assert length_mm(MotionKind.FEED) == pytest.approx(126.9785, abs=DIGITS_MM)


def test_hello_world_box():
    """Appendix C.1, first comment: between X=0 and X=81; Y 0 to 10 and Z -0.5 to 50 by the words. Exact."""
    boxes = [one.box_mm() for one in hello().motions]
    low = [min(box[0][axis] for box in boxes) for axis in range(3)]
    high = [max(box[1][axis] for box in boxes) for axis in range(3)]
    assert low == pytest.approx([0.0, 0.0, -0.5], abs=1e-9)
    assert high == pytest.approx([81.0, 10.0, 50.0], abs=1e-9)


def test_hello_world_feed_and_cutter():
    """Appendix C.1, line 0020: cutter 1, 4000 rpm, 20 mm a minute; M6 before M3 by Table 8, so the spindle turns."""
    feeds = [one for one in hello().motions if one.kind is not MotionKind.RAPID]
    assert {one.tool for one in feeds} == {1}
    assert {one.spindle_rpm for one in feeds} == {4000.0}
    assert {one.spindle_line for one in feeds} == {3}
    assert {round(one.feed_mm_per_s * 60.0, 9) for one in feeds} == {20.0}


def test_arc_by_radius():
    """Table 10, line with r7.01 (its expression written out): centre (1.5, 7.8476), end (0, 1, 0.5), clockwise.

    Four decimals are printed.
    """
    text = START + "G0 X3 Y1\nG2 X0 R7.01 Z0.5\nM2\n"
    arc = read_program(text).motions[-1]
    assert arc.kind is MotionKind.ARC_CW
    assert arc.end_mm == (0.0, 1.0, 0.5)
    assert arc.centre_mm == pytest.approx((1.5, 7.8476), abs=DIGITS_MM)


def test_arc_by_centre():
    """Section 3.5.3.2: from (7, 7), G17 G2 x10 y16 i3 j4 z9 has centre (10, 11) and radius 5. Exact."""
    arc = read_program(START + "G0 X7 Y7\nG17 G2 x10 y16 i3 j4 z9\nM2\n").motions[-1]
    assert arc.centre_mm == (10.0, 11.0)
    assert arc.radius_mm == pytest.approx(5.0, abs=1e-12)
    assert arc.end_mm == (10.0, 16.0, 9.0)


@pytest.mark.parametrize(("off_mm", "refused"), [(0.0019, False), (0.0021, True)])
def test_arc_radius_limit(off_mm, refused):
    """Section 3.5.3.2: an error if the radii at start and end differ by more than 0.002 mm: 5 % either side of it."""
    text = START + f"G0 X5 Y0\nG3 X0 Y{5.0 + off_mm:.4f} I-5 J0\nM2\n"
    assert stops(text) == ([("RB-020", 4)] if refused else [])


def test_arc_by_radius_back_to_its_start_is_an_error():
    """Section 3.5.3.1: it is an error if the end point of an arc by radius is its current point."""
    assert stops(START + "G0 X5 Y0\nG2 X5 Y0 R5\nM2\n") == [("RB-021", 4)]


@pytest.mark.parametrize(("sweep_deg", "warned"), [(160, False), (179, True), (186, True), (200, False), (355, True)])
def test_poor_arcs_by_radius(sweep_deg, warned):
    """Section 3.5.3.1: near half a turn and near a full turn an arc by radius is bad; 165 and 195 to 345 are well."""
    chord = 20.0 * math.sin(math.radians(sweep_deg) / 2.0)
    radius = -10.0 if sweep_deg > 180 else 10.0
    heard = read_program(START + f"G0 X0 Y0\nG3 X{chord:.6f} R{radius}\nM2\n")
    assert abs(heard.motions[-1].sweep_deg) == pytest.approx(sweep_deg, abs=0.1)
    assert [one.code for one in heard.findings] == (["RB-022"] if warned else [])


def test_spaces_and_case_do_not_matter():
    """Section 3.3: "g0x +0. 12 34y 7" is equivalent to "g0 x+0.1234 y7"."""
    motions = [read_program(START + line + "\nM2\n").motions[-1] for line in ("g0x +0. 12 34y 7", "G0 X+0.1234 Y7")]
    assert motions[0] == motions[1]
    assert motions[0].end_mm[:2] == (0.1234, 7.0)


@pytest.mark.parametrize(("length", "refused"), [(256, False), (257, True)])
def test_longest_line(length, refused):
    """Section 3.3: at most 256 characters."""
    line = "G1 X1 (" + "a" * (length - 8) + ")"
    assert len(line) == length
    assert stops(START + line + "\nM2\n") == ([("RB-010", 3)] if refused else [])


@pytest.mark.parametrize(("number", "refused"), [("N99999", False), ("N100000", True), ("N1.5", True)])
def test_line_numbers(number, refused):
    """Section 3.3.1: an integer of at most five digits."""
    assert stops(START + number + " G0 X1\nM2\n") == ([("RB-017", 3)] if refused else [])


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("G0 G1 X1", "RB-014"),  # group 1 twice
        ("G90 G91 X1", "RB-015"),  # incremental words are not read by this house
        ("G1 X1 X2", "RB-013"),
        ("M3 M5", "RB-014"),
        ("M3 M7 M0 M6 M9", "RB-013"),  # five M words
        ("G1 X1 (a (b) c)", "RB-012"),
        ("G1 X1 (open", "RB-012"),
        ("G1 X1 ; other comment", "RB-011"),
        ("/ G1 X1", "RB-016"),
        ("#1=2.0", "RB-016"),
        ("G4", "RB-017"),
        ("G1 X1 P2", "RB-017"),
        ("G43", "RB-017"),
        ("G2 X1 Y1", "RB-017"),
        ("G18", "RB-015"),
        ("G81 X3 Y4 R0.2 Z-1.1", "RB-015"),
        ("M4", "RB-015"),
        ("G93", "RB-015"),
        ("G2 X1 Y1 R1 I1", "RB-017"),
        ("G80 X1", "RB-017"),
        ("G1 X1 F-3", "RB-017"),
    ],
)
def test_refused_lines(line, code):
    """Sections 3.3.4, 3.3.5, 3.4, 3.5 and Table 4, and what this house refuses on purpose; each under its code."""
    assert stops(START + line + "\nM2\n") == [(code, 3)]


def test_expressions_are_refused_line_by_line():
    """Appendix C.2: the lines compute their numbers; each that does is refused, and none of them moves anything."""
    text = "n0010 g21 g1 x3 f20 (expression test)\nn0020 x [1 + 2]\nn0180 x sin[30]\nn0420 ##1 = 0.375\nn0480 m2\n"
    assert stops(text) == [("RB-016", 2), ("RB-016", 3), ("RB-016", 4)]
    assert len(read_program(text).motions) == 1


def test_end_of_program():
    """Section 3.3 and 3.6.1: a program ends with M2 or M30, or lies between two percent lines."""
    assert stops("G21 G0 Z1\n") == [("RB-019", 1)]
    assert stops("%\nG21 G0 Z1\nM30\n%\n") == []
    assert stops("%\nG21 G0 Z1\nM30\n") == [("RB-019", 4)]
    assert stops("G21 G0 Z1\nM30\nG0 X1\n") == [("RB-018", 3)]


def test_inches():
    """Section 3.5.7: G20 takes lengths in inches, 25.4 mm each, exact."""
    motion = read_program("G20 G1 X2 F60 S100 M3\nM2\n", start_mm=(0.0, 0.0, 0.0)).motions[0]
    assert motion.end_mm[0] == pytest.approx(50.8, abs=1e-12)
    assert motion.feed_mm_per_s == pytest.approx(25.4, abs=1e-12)
