"""A job's folder is whole or untouched."""

from __future__ import annotations

from pathlib import Path

import pytest

from traywright.base.errors import JobError
from traywright.job.folder import locked, read_result, write_folder

FIRST = {"result.json": b'{"a": 1}', "papers/quote.pdf": b"one"}
SECOND = {"result.json": b'{"a": 2}', "programs/b1.nc": b"two"}


def test_the_earlier_result_is_kept(tmp_path):
    folder = tmp_path / "job"
    write_folder(folder, FIRST)
    write_folder(folder, SECOND)
    assert read_result(folder) == {"a": 2}
    assert (folder / "result.previous" / "papers" / "quote.pdf").read_bytes() == b"one"
    assert not (folder / "papers").exists()


def test_the_same_result_leaves_the_folder_as_it_is(tmp_path):
    folder = tmp_path / "job"
    write_folder(folder, FIRST)
    write_folder(folder, FIRST)
    assert sorted(path.name for path in folder.iterdir()) == ["papers", "result.json", "written.txt"]


def test_only_one_previous_result_is_kept(tmp_path):
    folder = tmp_path / "job"
    for files in (FIRST, SECOND, FIRST):
        write_folder(folder, files)
    assert (folder / "result.previous" / "programs").exists()
    assert not (folder / "result.previous" / "result.previous").exists()


def test_a_folder_of_other_things_is_refused(tmp_path):
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "holiday.jpg").write_bytes(b"x")
    with pytest.raises(JobError) as refused:
        write_folder(tmp_path / "job", FIRST)
    assert refused.value.code == "JOB-004"
    assert (tmp_path / "job" / "holiday.jpg").read_bytes() == b"x"


def test_a_failed_write_leaves_the_earlier_result(tmp_path, monkeypatch):
    folder = tmp_path / "job"
    write_folder(folder, FIRST)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("traywright.job.folder.write_whole", full)
    with pytest.raises(JobError) as refused:
        write_folder(folder, SECOND)
    assert refused.value.code == "JOB-003"
    assert read_result(folder) == {"a": 1}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job"]


def test_a_second_writer_is_refused_and_the_lock_named(tmp_path):
    with locked(tmp_path / "job"), pytest.raises(JobError) as refused, locked(tmp_path / "job"):
        pass
    assert refused.value.code == "JOB-002"
    assert "job.job.lock" in str(refused.value)
    with locked(tmp_path / "job"):
        pass


def test_no_result_is_three_lines(tmp_path):
    with pytest.raises(JobError) as refused:
        read_result(tmp_path)
    assert refused.value.code == "JOB-005"
    assert len(str(refused.value).splitlines()) == 3


def test_a_file_of_somebody_s_own_stays_through_every_run(tmp_path):
    """approval.txt was gone after two runs."""
    folder = tmp_path / "job"
    write_folder(folder, FIRST)
    (folder / "approval.txt").write_bytes(b"yes")
    (folder / "papers" / "signed.pdf").write_bytes(b"ink")
    for files in (SECOND, FIRST, SECOND):
        write_folder(folder, files)
        assert (folder / "approval.txt").read_bytes() == b"yes"
        assert (folder / "papers" / "signed.pdf").read_bytes() == b"ink"
    assert not (folder / "papers" / "quote.pdf").exists()


def test_a_replacement_that_fails_half_way_leaves_the_earlier_result(tmp_path, monkeypatch):
    folder = tmp_path / "job"
    write_folder(folder, FIRST)
    rename = Path.rename

    def refusing(self, target):
        if self.name == "job.new":
            raise OSError(13, "Permission denied")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refusing)
    with pytest.raises(JobError):
        write_folder(folder, SECOND)
    assert read_result(folder) == {"a": 1}


def test_a_replacement_that_was_cut_off_is_finished_by_the_next_run(tmp_path):
    folder = tmp_path / "job"
    write_folder(folder, FIRST)
    folder.rename(tmp_path / "job.old")
    write_folder(folder, SECOND)
    assert read_result(folder) == {"a": 2}
    assert (folder / "result.previous" / "papers" / "quote.pdf").exists()
