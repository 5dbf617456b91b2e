"""Work on files from outside ends in an answer or in three lines, whatever the file does to its reader."""

from __future__ import annotations

import os
import sys
import time

import pytest

from traywright.base.errors import JobError, PartError
from traywright.job.guarded import guarded


def doubled(number):
    return 2 * number


def refuses(name):
    raise PartError("PART-004", part=name)


def sleeps(seconds):
    time.sleep(seconds)


def falls(_):
    os.abort()


def swells(most_bytes):
    return len(bytearray(most_bytes))


def test_the_answer_comes_back():
    assert guarded(doubled, 21, file="a.step") == 42


def test_a_refusal_comes_back_as_it_was():
    with pytest.raises(PartError) as refused:
        guarded(refuses, "a", file="a.step")
    assert refused.value.code == "PART-004"
    assert "a:" in str(refused.value)


def test_what_takes_too_long_is_ended():
    start = time.monotonic()
    with pytest.raises(JobError) as refused:
        guarded(sleeps, 60.0, file="a.step", most_s=4.0)
    assert refused.value.code == "JOB-040"
    assert time.monotonic() - start < 15.0


def test_a_library_that_falls_takes_nothing_with_it():
    with pytest.raises(JobError) as refused:
        guarded(falls, None, file="a.step")
    assert refused.value.code == "JOB-042"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems cannot hold a process to its memory")
def test_what_wants_too_much_memory_is_refused():
    with pytest.raises(JobError) as refused:
        guarded(swells, 2_000_000_000, file="a.step")
    assert refused.value.code == "JOB-041"
