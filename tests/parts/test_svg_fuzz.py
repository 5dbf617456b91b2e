"""Whatever the bytes are: strokes, or an error of three lines; within time and memory."""

from __future__ import annotations

import gzip
import math
import subprocess
import sys
import time
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import PartError
from traywright.parts.svg_file import svg_strokes

HEAD = b'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100">'
SECONDS, MEGABYTES = 20.0, 1000.0


def code_of(content):
    """The code of the error, empty where the file is read; anything else than a PartError is a fault of ours."""
    try:
        told = svg_strokes(content)
    except PartError as fault:
        code, lines = fault.code, str(fault).splitlines()
    else:
        return checked(told)
    assert len(lines) == 3
    return code


def checked(told):
    """Nothing, after a look at the numbers of what was read."""
    for one in told.strokes:
        assert all(math.isfinite(number) for corner in one.contour.corners for number in corner)
        assert math.isfinite(one.contour.area_mm2)
        assert math.isfinite(one.contour.length_mm)
    return ""


# --- fuzz -------------------------------------------------------------------------------------------------------------


@given(st.binary(max_size=300))
def test_any_bytes(content):
    code_of(content)
    code_of(HEAD + content)
    code_of(HEAD + content + b"</svg>")


NUMBERS = st.one_of(
    st.floats(-1e4, 1e4).map(repr),
    st.sampled_from(["0", "-0", "1e300", "nan", "inf", "1e-300", ".5.5", "-", "1e", "+.5e1", "10", "10"]),
)
PATHS = st.lists(st.one_of(st.sampled_from(list("MmLlHhVvCcSsQqTtAaZz ,")), NUMBERS), max_size=30).map(" ".join)
WHOLE = st.integers(-50, 50)


@settings(max_examples=300)
@given(PATHS)
def test_any_path(text):
    code_of(HEAD + f'<path stroke="red" d="{text}"/></svg>'.encode())
    code_of(HEAD + f'<path d="M0 0{text}"/></svg>'.encode())


@given(st.text("matrixscaleotkwXY()0123456789,. -e", max_size=40), st.text(max_size=30))
def test_any_transform_style_and_view_box(move, look):
    clean = "".join(one for one in look if one.isprintable() and one not in '<>&"')
    code_of(HEAD + f'<g transform="{move}" style="{clean}"><circle r="3" class="{clean}"/></g></svg>'.encode())
    code_of(f'<svg viewBox="{move}" width="{clean}"><style>{clean}</style><circle r="3"/></svg>'.encode())


@settings(max_examples=40)
@given(st.lists(st.tuples(WHOLE, WHOLE), min_size=4, max_size=4), st.sampled_from([1.0, 0.01, 7.0]))
def test_chords_of_a_bezier_lie_within_two_micrometres(points, size):
    p, q, r, s = ((x * size, y * size) for x, y in points)
    text = " ".join(f"{x!r},{y!r}" for x, y in (q, r, s))
    content = f'<svg width="100mm" viewBox="0 0 100 100"><path stroke="red" d="M{p[0]!r},{p[1]!r}C{text}"/></svg>'
    told = svg_strokes(content.encode())
    if not told.strokes:
        return
    (stroke,) = told.strokes
    corners = [(x, 100.0 - y) for x, y, _ in stroke.contour.corners]
    chain = [*corners, corners[0]] if stroke.contour.closed else corners
    for step in range(101):
        t = step / 100.0
        f, g, h, k = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3
        spot = tuple(f * p[i] + g * q[i] + h * r[i] + k * s[i] for i in (0, 1))
        assert min(off(spot, a, b) for a, b in pairwise(chain)) <= 0.0021


def off(spot, a, b):
    """Distance of a spot from a straight edge."""
    along, beside = (b[0] - a[0], b[1] - a[1]), (spot[0] - a[0], spot[1] - a[1])
    square = along[0] ** 2 + along[1] ** 2
    share = min(max((along[0] * beside[0] + along[1] * beside[1]) / square, 0.0), 1.0) if square > 0.0 else 0.0
    return math.hypot(beside[0] - share * along[0], beside[1] - share * along[1])


@given(
    st.tuples(*[st.floats(-3, 3).map(lambda one: round(one, 3))] * 6),
    st.sampled_from(['<rect x="1" y="2" width="7" height="4" rx="1"/>', '<path d="M0 0H9V5A5 5 0 0 0 4 10H0z"/>']),
)
def test_an_affine_map_times_the_area_by_its_determinant(matrix, drawn):
    a, b, c, d = matrix[:4]
    plain = svg_strokes(HEAD + drawn.encode() + b"</svg>").strokes[0].contour.area_mm2
    move = " ".join(map(str, matrix))
    told = svg_strokes(b'<svg width="9mm">' + f'<g transform="matrix({move})">{drawn}</g></svg>'.encode())
    shown = sum(one.contour.area_mm2 for one in told.strokes) / (25.4 / 96.0) ** 2
    assert shown == pytest.approx(plain * abs(a * d - b * c), abs=0.02)


# --- hostile files ----------------------------------------------------------------------------------------------------

LAUGHS = (
    b'<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "ha">'
    + b"".join(b'<!ENTITY %c "%s">' % (98 + step, b"&%c;" % (97 + step) * 10) for step in range(12))
    + b"]><svg><text>&m;</text></svg>"
)


@pytest.mark.parametrize(
    "content",
    [
        LAUGHS,
        b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg><text>&x;</text></svg>',
        b'<!DOCTYPE svg [<!ENTITY % x SYSTEM "http://www.w3.org/x"> %x;]><svg/>',
        b'<!-- a --><?b c?>\n<!DOCTYPE svg SYSTEM "a.dtd" [ ]><svg/>',
        b'<!DOCTYPE svg SYSTEM "file:///etc/passwd"><svg><path d="&x;M0 0"/></svg>',
        b"<!DOCTYPE svg [<svg/>",
    ],
)
def test_entities_and_document_types_of_its_own_are_refused(content):
    assert code_of(content) == "PART-051"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"   ",
        b"<svg",
        b"<svg><g></svg>",
        b"<html/>",
        b'<svg xmlns="urn:other"/>',
        b"\x00\x01\x02",
        b"\x1f\x8b\x08junk",
        b"<svg>&nope;</svg>",
        b"<svg>\xff\xfe</svg>",
        "<svg/>".encode("utf-16"),
        "<svg/>".encode("utf-32"),
        b'<?xml version="1.0" encoding="UTF-7"?><svg/>',
        b'<?xml version="1.0" encoding="utf-16"?><svg/>',
        b"  0\nSECTION\n",
        gzip.compress(b"no drawing", mtime=0),
        gzip.compress(HEAD, mtime=0)[:-12],
    ],
)
def test_what_is_no_svg_text_is_refused(content):
    assert code_of(content) == "PART-050"


def ring(count):
    links = "".join(f'<g id="a{one}"><use xlink:href="#a{(one + 1) % count}"/></g>' for one in range(count))
    return HEAD + links.encode() + b"</svg>"


def doubling(levels):
    links = "".join(
        f'<g id="a{one}"><use xlink:href="#a{one + 1}"/><use xlink:href="#a{one + 1}"/></g>' for one in range(levels)
    )
    return HEAD + f'<defs>{links}<circle id="a{levels}" r="1"/></defs><use xlink:href="#a0"/></svg>'.encode()


def chain(count):
    links = "".join(f'<use id="a{one}" xlink:href="#a{one + 1}"/>' for one in range(count))
    return HEAD + f'<defs>{links}<circle id="a{count}" r="1"/></defs><use xlink:href="#a0"/></svg>'.encode()


def many(one, count):
    return HEAD + one * count + b"</svg>"


HOSTILE = {
    "a copy of itself": (lambda: HEAD + b'<g id="a"><use xlink:href="#a"/></g></svg>', "PART-053"),
    "a ring of copies": (lambda: ring(20), "PART-053"),
    "a long ring of copies": (lambda: ring(3000), "PART-052"),
    "copies of copies": (lambda: doubling(40), "PART-052"),
    "a chain of copies": (lambda: chain(5000), "PART-052"),
    "deep groups": (lambda: HEAD + b"<g>" * 100_000, "PART-052"),
    "a million elements": (lambda: many(b'<circle r="1"/>', 1_000_000), "PART-052"),
    "a million points": (lambda: HEAD + b'<path d="M0 0 ' + b"1 1 " * 1_000_000 + b'"/></svg>', "PART-052"),
    "many long paths": (lambda: many(b'<path d="M0 0' + b"h1v1" * 20_000 + b'"/>', 100), "PART-052"),
    "large curves": (
        lambda: many(b'<path d="M0 0' + b"C9e5 0 0 9e5 9e5 9e5C0 0 9e5 0 0 0" * 20 + b'"/>', 900),
        "PART-052",
    ),
    "a packed bomb": (lambda: gzip.compress(HEAD + b" " * 200_000_000, mtime=0), "PART-052"),
    "a long file": (lambda: HEAD + b" " * 200_000_000, "PART-052"),
    "blanks in a path": (lambda: HEAD + b'<path d="M0 0' + b" " * 5_000_000 + b'x"/></svg>', "PART-054"),
    "blanks in a transform": (lambda: HEAD + b'<g transform="' + b" " * 5_000_000 + b'x"/></svg>', "PART-054"),
    "remarks in a style": (lambda: HEAD + b"<style>" + b"/*" * 2_000_000 + b"</style></svg>", ""),
    "blocks in a style": (lambda: HEAD + b"<style>" + b"@a{" * 1_000_000 + b"</style></svg>", ""),
    "rules in a style": (
        lambda: (
            HEAD
            + b"<style>"
            + b"*{fill:red}.a{fill:red}" * 50_000
            + b"</style>"
            + b'<circle class="a"/>' * 9000
            + b"</svg>"
        ),
        "",
    ),
    "a long number": (lambda: HEAD + b'<circle r="' + b"9" * 5_000_000 + b'"/></svg>', "PART-055"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_ends_soon(name):
    make, code = HOSTILE[name]
    content = make()
    started = time.process_time()
    assert code_of(content) == code
    assert time.process_time() - started < SECONDS / 2.0


def test_a_hostile_file_takes_no_gigabyte():
    # in a process of its own, since the largest memory of a process never shrinks
    program = """
from traywright.base.errors import PartError
from traywright.parts.svg_file import svg_strokes
elements = b'<svg>' + b'<circle r="1"/>' * 1_000_000
points = b'<svg><path d="M0 0 ' + b'1 1 ' * 2_000_000 + b'"/></svg>'
for content in (elements, points):
    try:
        svg_strokes(content)
    except PartError as fault:
        print(fault.code)
# not ru_maxrss: a new program inherits that of the process that started it
told = dict(line.split(":", 1) for line in open("/proc/self/status"))
print(told["VmHWM"].split()[0])
"""
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    first, second, largest = told.stdout.split()
    assert first == second == "PART-052"
    assert int(largest) / 1000.0 < MEGABYTES
