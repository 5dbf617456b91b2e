"""Bytes changed at random, drawings made at random, and files made to do harm: three lines, never a traceback."""

from __future__ import annotations

import io
import json
import math
import random
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from parts.dxf_text import arc, block, circle, drawing, groups, insert, line, polyline, read, rectangle
from traywright.base import message
from traywright.base.errors import PartError

DRAWER = Path(__file__).parents[2] / "examples" / "drawer_as_drawn" / "files" / "drawer_as_drawn.dxf"
WORDS = (b"nan", b"inf", b"1e300", b"-1e300", b"", b"LINE", b"INSERT", b"0", b"-1", b"99999999", b"\xff\xfe", b"ENDSEC")


def rich(binary=False) -> bytes:
    made = ezdxf.new("R2013")
    made.header["$INSUNITS"] = 4
    space = made.modelspace()
    inner = made.blocks.new("IN", base_point=(1, 2))
    inner.add_arc((0, 0), 5, 0, 180)
    inner.add_line((-5, 0), (5, 0))
    space.add_blockref("IN", (50, 50), dxfattribs={"xscale": -2, "rotation": 30})
    space.add_ellipse((0, 0), (30, 0), 0.5)
    space.add_open_spline([(0, 0, 0), (10, 40, 0), (50, 40, 0), (60, 0, 0)])
    space.add_lwpolyline([(0, 0, 0.5), (60, 0, 0), (60, 40, 0)], format="xyb", close=True)
    space.add_text("A")
    space.add_circle((100, 0), 9)
    stream = io.BytesIO() if binary else io.StringIO()
    made.write(stream, fmt="bin" if binary else "asc")
    told = stream.getvalue()
    return told if binary else told.encode("utf-8")


RICH, BINARY, OURS = rich(), rich(binary=True), DRAWER.read_bytes()


def taken(content) -> None:
    """Read, or refused in three lines."""
    told = drawn = None
    try:
        drawn = read(content, length_unit="file")
    except PartError as refused:
        told = refused.message
    if drawn is None:
        assert all((told.what, told.why, told.fix))
        assert "\n" not in told.what
        return
    for one in drawn.findings:
        assert message(one.code, dict(one.parameters)).what
    for one in (*drawn.loops, *drawn.lines):
        assert all(math.isfinite(each) for corner in one.contour.corners for each in corner)
        assert one.layer.encode("utf-8")


QUICK = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow], deadline=None)


@QUICK
@given(st.sampled_from([RICH, OURS, BINARY]), st.randoms(use_true_random=False))
def test_changed_bytes(content, chance):
    told = bytearray(content)
    for _ in range(chance.randint(1, 12)):
        told[chance.randrange(len(told))] = chance.randrange(256)
    taken(bytes(told))


@QUICK
@given(st.sampled_from([RICH, OURS]), st.randoms(use_true_random=False))
def test_changed_values(content, chance):
    lines = content.split(b"\n")
    first = next(number for number, one in enumerate(lines) if one.strip() == b"ENTITIES")
    for _ in range(chance.randint(1, 6)):
        number = chance.randrange(first, len(lines) - 1)
        what = chance.choice(("value", "gone", "twice"))
        lines[number : number + 1] = {
            "value": [chance.choice(WORDS)], "gone": [], "twice": [lines[number]] * 2
        }[what]  # fmt: skip
    taken(b"\n".join(lines))


@QUICK
@given(st.sampled_from([RICH, OURS, BINARY]), st.floats(0.0, 0.999))
def test_files_cut_short_are_refused(content, share):
    with pytest.raises(PartError):
        read(content[: int(len(content) * share)], length_unit="file")


number = st.one_of(st.floats(-500.0, 500.0), st.sampled_from([0.0, math.nan, math.inf, 1e300, -1e7, 1e-300]))
spot = st.tuples(number, number)
entity = st.one_of(
    st.builds(line, spot, spot),
    st.builds(circle, spot, number),
    st.builds(arc, spot, number, number, number),
    st.builds(polyline, st.lists(st.tuples(number, number, number), min_size=1, max_size=5), closed=st.booleans()),
    st.builds(insert, st.sampled_from(["B", "NONE"]), spot, scale=spot, turn=number),
)


@QUICK
@given(st.lists(entity, min_size=1, max_size=8), st.lists(entity, max_size=4), st.sampled_from([None, 1, 4, 6, 99]))
def test_drawings_at_random(entities, inner, unit):
    taken(drawing(*entities, unit=unit, blocks=(block("B", *inner),)))


@QUICK
@given(st.lists(st.tuples(st.floats(0, 900), st.floats(0, 500), st.floats(5, 60), st.floats(5, 60)), max_size=6))
def test_what_goes_in_comes_out(boxes):
    apart = [(x, y + 700.0 * k, w, h) for k, (x, y, w, h) in enumerate(boxes)]
    edges = [one for x, y, w, h in apart for one in rectangle(x, y, x + w, y + h)]
    random.Random(len(edges)).shuffle(edges)
    drawn = read(drawing(circle((-100.0, -100.0), 7.0), *edges))
    want = sorted([49.0 * math.pi, *(w * h for _, _, w, h in apart)])
    assert sorted(one.contour.area_mm2 for one in drawn.loops) == pytest.approx(want, rel=1e-9)
    corners = {one[:2] for each in drawn.loops for one in each.contour.corners}
    for x, y, w, h in apart:
        for at in ((x, y), (x + w, y), (x + w, y + h), (x, y + h)):
            assert min(math.dist(at, one) for one in corners) <= 0.01


# -- files made to do harm -------------------------------------------------------------------------------------------

HARNESS = """
import json, resource, sys, time
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
from traywright.base.errors import PartError
from traywright.parts import read_drawing
content = open(sys.argv[1], "rb").read()
start = time.process_time()
code = ""
try:
    read_drawing(content, "a.dxf", length_unit="mm", leave_out=(), board_mm=(1200.0, 600.0))
except PartError as refused:
    code = refused.code
# not ru_maxrss: a new program inherits that of the process that started it
told = dict(line.split(":", 1) for line in open("/proc/self/status"))
most = int(told["VmHWM"].split()[0])
print(json.dumps({"code": code, "s": time.process_time() - start, "mb": most / 1024.0}))
"""


def doubling(deep, name="B") -> bytes:
    """Each block holds the next one twice."""
    blocks = [block(f"{name}{one}", insert(f"{name}{one + 1}"), insert(f"{name}{one + 1}")) for one in range(deep)]
    last = block(f"{name}{deep}", circle((0, 0), 5.0))
    return drawing(insert(f"{name}0"), blocks=(*blocks, last))


def million_entities() -> bytes:
    return drawing(line((0, 0), (1, 1)) * 1_000_000)


def short_million() -> bytes:
    return drawing("0\nLINE\n" * 1_000_000)


def many_corners() -> bytes:
    return drawing(groups((0, "LWPOLYLINE"), (8, "C"), (90, 900_000), (70, 1)) + "10\n0\n20\n0\n" * 900_000)


def corners_by_blocks() -> bytes:
    corners = [(math.cos(one), math.sin(one), 0.0) for one in range(5000)]
    return drawing(insert("B", c70=200, c71=200, c44=9.0, c45=9.0), blocks=(block("B", polyline(corners)),))


def at_the_limit() -> bytes:
    return drawing(*(line((k % 200 * 5.0, k // 200), (k % 200 * 5.0 + 4, k // 200)) for k in range(10_000)))


HARMFUL = {
    "million entities": (million_entities, "PART-029"),
    "a million empty entities": (short_million, "PART-029"),
    "a million corners": (many_corners, "PART-029"),
    "corners by blocks": (corners_by_blocks, "PART-029"),
    "blocks that double": (lambda: doubling(30), "PART-029"),
    "blocks too deep": (lambda: doubling(200), "PART-030"),
    "a block in itself": (lambda: drawing(insert("A"), blocks=(block("A", insert("A")),)), "PART-030"),
    "blocks in a ring": (
        lambda: drawing(insert("A"), blocks=(block("A", insert("B")), block("B", insert("A")))),
        "PART-030",
    ),
    "an array without end": (
        lambda: drawing(
            insert("A", c70=30_000, c71=30_000, c44=1.0, c45=1.0), blocks=(block("A", circle((0, 0), 1.0)),)
        ),
        "PART-029",
    ),
    "an empty array without end": (
        lambda: drawing(insert("A", c70=30_000, c71=30_000, c44=1.0, c45=1.0), blocks=(block("A"),)),
        "PART-029",
    ),
    "no number": (lambda: drawing(line((math.nan, 0), (1, 1))), "PART-031"),
    "beyond all sense": (lambda: drawing(circle((0, 0), 1e300)), "PART-031"),
    "a place that is infinite": (
        lambda: drawing(insert("A", at=(math.inf, 0)), blocks=(block("A", circle((0, 0), 1.0)),)),
        "PART-031",
    ),
    "an endless oval": (
        lambda: drawing(insert("A", scale=(1e7, 1.0)), blocks=(block("A", circle((0, 0), 1e6)),)),
        "PART-029",
    ),
    "circles of kilometres": (lambda: drawing(*(circle((0, 0), 9e6 + one) for one in range(3000))), "PART-029"),
    "one circle ever again": (lambda: drawing(circle((0, 0), 30.0) * 20_000), "PART-029"),
    "many lines": (at_the_limit, ""),
}


@pytest.mark.parametrize("name", HARMFUL)
def test_harm_ends_early(name, tmp_path):
    make, code = HARMFUL[name]
    file = tmp_path / "a.dxf"
    file.write_bytes(make())
    ran = subprocess.run([sys.executable, "-c", HARNESS, str(file)], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr[-2000:]
    told = json.loads(ran.stdout)
    assert told["code"] == code
    assert told["s"] < 20.0
    assert told["mb"] < 1024.0
    assert not ran.stderr
