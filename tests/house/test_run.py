"""The set-up script: its help, its answer where environments cannot be made, its comparison of folders."""

from __future__ import annotations

import importlib.util
import subprocess
import sys

import pytest

from house.source import ROOT, read


@pytest.fixture(scope="module")
def run():
    spec = importlib.util.spec_from_file_location("run_of_the_house", ROOT / "run.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_help_names_every_verb(run, capsys):
    assert run.main(["--help"]) == 0
    told = capsys.readouterr().out
    for verb in ("demo", "test", "check", "bench", "campaign", "pin"):
        assert f"run.py {verb}" in told


def test_an_unknown_verb_is_refused(run, capsys):
    assert run.main(["dmeo"]) == 2


def test_a_missing_part_of_python_is_named_with_the_line_to_type(run, monkeypatch):
    monkeypatch.setattr(run, "has_venv", lambda: False)
    monkeypatch.setattr(run.shutil, "which", lambda name: None)
    with pytest.raises(SystemExit, match="sudo apt-get install python3"):
        run.provide_venv()


def test_as_root_the_missing_part_is_installed(run, monkeypatch):
    answers = iter([False, True])
    typed = []
    monkeypatch.setattr(run, "has_venv", lambda: next(answers))
    monkeypatch.setattr(run.shutil, "which", lambda name: "apt-get")
    monkeypatch.setattr(run.os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(run, "aside", lambda *words, **settings: typed.append(words) or 0)
    run.provide_venv()
    assert [words[1] for words in typed] == ["update", "install"]


def test_unlike_folders_are_told_by_name(run, tmp_path):
    for side, text in (("one", "a"), ("other", "b")):
        (tmp_path / side / "papers").mkdir(parents=True)
        (tmp_path / side / "papers" / "quote.pdf").write_text(text, encoding="utf-8")
        (tmp_path / side / "same.json").write_text("{}", encoding="utf-8")
    (tmp_path / "other" / "alone.txt").write_text("", encoding="utf-8")
    assert list(run.unlike(tmp_path / "one", tmp_path / "other")) == ["alone.txt", "papers/quote.pdf"]


def test_the_script_needs_the_standard_library_only():
    from house.source import imports

    used = {name.split(".")[0] for _, name in imports(read(ROOT / "run.py", "run"))}
    assert used <= set(sys.stdlib_module_names)


def test_the_script_answers_without_the_environment():
    words = [sys.executable, "-S", str(ROOT / "run.py"), "--help"]
    told = subprocess.run(words, stdin=subprocess.DEVNULL, check=True, capture_output=True, text=True)
    assert "python3 run.py demo" in told.stdout
