"""Keys of a full enquiry that no stage reads yet are told, and only where they were stated."""

from __future__ import annotations

import re

import pytest

from enquiry.asked import HEAD, LOOP, REST, SHAPE, enquiry
from house.source import SRC
from traywright.enquiry import read_enquiry, unread_terms

STEP = "distance_km = 300\ntemperature_c = [-10, 40]\nin_the_box = false\nrepacked_by = 'them'\n"
# room temperature: the part is as its drawing tells it
STATE = "[[part.state]]\nname = 'hot'\ntemperature_c = 23\n"
EACH = [
    (enquiry(head=HEAD + "supersedes = 'T-0/A'\n"), "job.supersedes"),
    (enquiry(head=HEAD + "confidential = 'watermark'\n"), "job.confidential"),
    (enquiry(shape=SHAPE + STATE), "part.block.state.hot.temperature_c"),
    (enquiry(more=LOOP.replace("[[", "stockout_ratio = 0.05\n[[")), "loop.stockout_ratio"),
    (enquiry(more=LOOP.replace("[[", "kits_stay_together = false\n[[")), "loop.kits_stay_together"),
    *[(enquiry(more=LOOP + f"{line}\n"), f"loop.step.out.{line.partition(' ')[0]}") for line in STEP.splitlines()],
    (enquiry(rest=REST.replace("[shop]", "never_touch_materials = ['PVC']\n[shop]")), "foam.never_touch_materials"),
    (enquiry(rest=REST + "use_remnants = false\n"), "shop.use_remnants"),
    (enquiry(more="[offer]\ndamage_cost_per_part = '120.00'\n"), "offer.damage_cost_per_part"),
    (enquiry(more="[offer]\ntax_ratio = 0.2\n"), "offer.tax_ratio"),
]


@pytest.mark.parametrize(("content", "place"), EACH, ids=[place for _, place in EACH])
def test_a_stated_key_that_no_stage_reads_is_told(content, place):
    assert unread_terms(read_enquiry(content)) == (place,)


def test_nothing_is_told_of_what_was_assumed_or_asks_for_nothing():
    assert unread_terms(read_enquiry(enquiry(more=LOOP + "in_the_box = true\n"))) == ()
    assert unread_terms(read_enquiry(enquiry(head=HEAD + "confidential = 'local_only'\n"))) == ()


def test_the_temperature_of_a_hot_state_is_read():
    assert unread_terms(read_enquiry(enquiry(shape=SHAPE + STATE.replace("23", "80")))) == ()


def test_places_come_in_the_order_of_the_file():
    whole = enquiry(
        head=HEAD + "supersedes = 'T-0/A'\n",
        shape=SHAPE + STATE,
        more=LOOP + STEP + "[offer]\ntax_ratio = 0\n",
    )
    told = unread_terms(read_enquiry(whole))
    assert (told[0], told[-1]) == ("job.supersedes", "offer.tax_ratio")
    assert len(told) == 7


def test_no_room_reads_what_is_said_to_be_unread():
    """A stage that begins to read one of the keys takes it off the list."""
    keys = {place.rpartition(".")[2] for _, place in EACH} - {"temperature_c"}  # read of a hot state, not of a step
    rooms = [path for path in SRC.rglob("*.py") if path.parent.name != "enquiry"]
    found = {key for path in rooms for key in keys if re.search(rf"\b{key}\b", path.read_text(encoding="utf-8"))}
    assert found == set()
