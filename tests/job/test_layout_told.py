"""One function of the job turns what was typed into one question, and hands on its two answers."""

from __future__ import annotations

import itertools

import jsonschema
import pytest
import shapely
from shapely import affinity

from layout.outlines import ROOT
from traywright.base import canonical_json
from traywright.base.errors import TraywrightError
from traywright.job import LayoutTyped, lay_out_outlines, layout_schema
from traywright.layout import Effort, Offer, Placement, Sides

OUTLINES = ROOT / "examples" / "outlines"
PLATE = "POLYGON ((0 0, 40 0, 40 30, 0 30, 0 0))"
PIN = "POLYGON ((-5 -5, 5 -5, 5 5, -5 5, -5 -5))"


def typed(*outlines, **told):
    return LayoutTyped(**({"outlines": outlines or (PLATE,), "tray": "200x100", "wall": "8"} | told))


@pytest.fixture
def question(monkeypatch):
    """What the layout room is asked; it answers with one copy of the first kind."""
    seen = []

    def answer(asked, effort):
        seen.append((asked, effort))
        left, front, _, _ = asked.kinds[0].outline.bounds_mm
        at = Placement(asked.kinds[0].id, 20.0 - left, 20.0 - front, 0.0)
        told = {"kits": 1, "bound": 9, "proven": False, "slots": (), "least_wall_mm": float("inf"), "fill_ratio": 0.06}
        return (
            Offer(name="regular", placements=(at,), rows=1, **told),
            Offer(name="most", placements=(at,), rows=0, **told),
        )

    monkeypatch.setattr("traywright.job.layout_told.lay_out", answer)

    def ask(*outlines, **told):
        answered = lay_out_outlines(typed(*outlines, **told))
        return seen[-1][0], seen[-1][1], answered

    return ask


def test_what_is_not_typed(question):
    asked, effort, told = question()
    assert asked.container.width_mm == 200.0
    assert asked.container.depth_mm == 100.0
    assert asked.spacing.wall == asked.spacing.rim == Sides.all_round(8.0)
    assert (asked.turns_deg, asked.free_turn, asked.together, asked.kits_most) == ((0.0, 180.0), False, False, 0)
    assert (asked.kinds[0].id, asked.kinds[0].in_kit, asked.kinds[0].mass_kg) == ("outline", 1, 0.0)
    assert effort == Effort()
    assert told.notes == ()
    assert told.picture is None


def test_every_option_reaches_the_question(question):
    asked, effort, _ = question(
        PLATE,
        PIN,
        wall="8,7,6,5",
        rim="10,11,12,13",
        turns="free:0,90",
        ratio="1,4",
        mass="1.1,0.2",
        together=True,
        kits=3,
        no_go=("POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0))", PLATE),
        no_go_wall="2",
        slots=("0,4,12", "2,3"),
        rounds=5,
        seed=7,
    )
    assert asked.spacing.wall.each_mm() == (8.0, 7.0, 6.0, 5.0)
    assert asked.spacing.rim.each_mm() == (10.0, 11.0, 12.0, 13.0)
    assert (asked.turns_deg, asked.free_turn) == ((0.0, 90.0), True)
    assert [(one.id, one.in_kit, one.mass_kg) for one in asked.kinds] == [("outline", 1, 1.1), ("outline_2", 4, 0.2)]
    assert (asked.together, asked.kits_most) == (True, 3)
    assert [(one.region.area_mm2, one.wall_mm) for one in asked.container.no_go] == [(81.0, 2.0), (1200.0, 2.0)]
    assert [one.reach_mm for one in asked.kinds[1].slots] == [12.0, 0.0]
    assert effort == Effort(rounds=5, seed=7)


def test_a_slot_beside_an_outline_is_refused(question):
    with pytest.raises(TraywrightError) as refused:
        question(PLATE, PIN, slots=("20,4",))
    assert refused.value.code == "JOB-057"
    assert "outline_2" in str(refused.value)


def test_hundreds_of_outlines_are_refused_before_any_is_read(question):
    with pytest.raises(TraywrightError) as refused:
        question(*[f"gone_{number}.wkt" for number in range(300)])
    assert refused.value.code == "LAY-006"


def test_an_option_is_refused_before_a_file_is_opened(question):
    with pytest.raises(TraywrightError) as refused:
        question("gone.wkt", wall="nan")
    assert refused.value.code == "JOB-055"


def test_an_outline_without_area_is_refused(question):
    with pytest.raises(TraywrightError) as refused:
        question("POLYGON ((0 0, 0.0001 0, 0.0001 0.0001, 0 0))")
    assert refused.value.code == "LAY-003"


def test_notes_name_the_file(question, tmp_path):
    (tmp_path / "frame.wkt").write_text("POLYGON ((0 0, 40 0, 40 30, 0 30, 0 0), (9 9, 20 9, 20 20, 9 9))")
    _, _, told = question(str(tmp_path / "frame.wkt"))
    assert told.notes == ("frame.wkt: 1 loop inside the outline counts as filled.",)


def test_the_picture_is_written_whole_or_refused(question, tmp_path):
    file = tmp_path / "sub" / "both.svg"
    assert question(svg=file)[2].picture == file
    assert file.read_bytes().startswith(b"<svg ")
    assert [one.name for one in file.parent.iterdir()] == ["both.svg"]
    with pytest.raises(TraywrightError) as refused:
        question(svg=file / "under_a_file.svg")
    assert refused.value.code == "JOB-058"


def test_progress_ends(question):
    lines = []
    lay_out_outlines(typed(PLATE, PIN), progress=lambda *told: lines.append(told))
    assert lines[0] == ("layout", 0.0, "outline")
    assert lines[-1][:2] == ("layout", 1.0)
    assert [one[1] for one in lines] == sorted(one[1] for one in lines)


def test_the_committed_schema_is_that_of_the_source():
    text = (ROOT / "schemas" / "layout.schema.json").read_text(encoding="utf-8")
    assert text == canonical_json(layout_schema()), "run: python docs/build_schemas.py"


def test_a_key_more_or_less_is_no_layout(question):
    check = jsonschema.Draft202012Validator(layout_schema())
    plain = question()[2].plain
    assert check.is_valid(plain)
    assert plain["offers"][0]["least_wall_mm"] is None
    for key in plain["offers"][0]:
        offers = [{name: value for name, value in one.items() if name != key} for one in plain["offers"]]
        assert not check.is_valid({"offers": offers}), key
    assert not check.is_valid({**plain, "more": 1})
    assert not check.is_valid({"offers": plain["offers"][:1]})


def test_rings_laid_out_keep_their_walls():
    """Distances by shapely on the file's own text, turned and moved as the answer says; nothing of ours between."""
    file = OUTLINES / "ring.wkt"
    told = lay_out_outlines(typed(str(file), tray="250x172", turns="0,180", rounds=1))
    ring = shapely.Polygon(shapely.from_wkt(file.read_text(encoding="utf-8")).exterior)
    regular, most = told.plain["offers"]
    assert most["count"] >= regular["count"] == 6  # 3 x 70 + 4 x 8 = 242 mm, 2 x 70 + 3 x 8 = 164 mm
    for offer in (regular, most):
        copies = [
            affinity.translate(affinity.rotate(ring, one["turn_deg"], origin=(0.0, 0.0)), one["x_mm"], one["y_mm"])
            for one in offer["placements"]
        ]
        least = min(one.distance(other) for one, other in itertools.combinations(copies, 2))
        assert least >= 8.0 - 0.001
        assert offer["least_wall_mm"] == pytest.approx(least, abs=0.003)
        assert all(shapely.box(8, 8, 242, 164).buffer(0.001).covers(one) for one in copies)


def test_an_outline_larger_than_the_tray_is_answered_not_refused():
    told = lay_out_outlines(typed("POLYGON ((0 0, 600 0, 600 10, 0 10, 0 0))"))
    for one in told.plain["offers"]:
        assert (one["count"], one["kits"], one["bound"], one["proven"], one["placements"]) == (0, 0, 0, True, [])
