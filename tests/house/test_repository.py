"""What is committed: pins only, no foreign address, no path of a machine, one kind of line end."""

from __future__ import annotations

import re
from pathlib import Path

from house.source import ROOT, project, tracked

# names of namespaces and of the licence; no address that anything is fetched from
KNOWN_HOSTS = {"www.apache.org", "www.w3.org", "json-schema.org", "schemas.microsoft.com"}
HOME = re.compile(r"(?<![\w.])/(home|Users|root|mnt)/\w")
EXCHANGE = {".step", ".stp", ".stl", ".pdf", ".png", ".jpg", ".npz", ".ttf"}  # kept byte for byte


def texts():
    for path in tracked():
        content = path.read_bytes()
        if b"\0" not in content:
            yield path.relative_to(ROOT).as_posix(), content


def test_constraints_are_pins_and_nothing_else():
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert lines == sorted(lines, key=lambda line: line.split("==")[0].lower())
    for line in lines:
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]*==[0-9][A-Za-z0-9.+!]*", line), line


def test_every_dependency_is_pinned():
    told = project()["project"]
    asked = [*told["dependencies"], *told["optional-dependencies"]["dev"], *project()["build-system"]["requires"]]
    pinned = {
        re.sub(r"[._-]+", "-", line.split("==")[0]).lower()
        for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    }
    missing = [name for name in asked if re.split(r"[<>=~! \[]", name)[0].lower() not in pinned]
    assert not missing


def test_no_address_is_committed():
    faults = []
    for name, content in texts():
        hosts = {host.decode() for host in re.findall(rb"https?://([A-Za-z0-9.-]+)", content)}
        faults += [f"{name}: {host}" for host in sorted(hosts - KNOWN_HOSTS)]
        if re.search(rb"(index[-_]url|find-links|trusted-host)\s*=", content):
            faults.append(f"{name}: says where packages come from")
    assert not faults, "\n".join(faults)


def test_no_path_of_a_machine_is_committed():
    here = [str(ROOT), *(str(path) for path in ROOT.parent.iterdir() if path.is_dir())]
    here = [text for text in here if len(text) > 8 and len(Path(text).parts) > 2]  # "/usr/lib" is no one's own
    faults = []
    for name, content in texts():
        text = content.decode("utf-8", errors="replace")
        if HOME.search(text) or any(f"{place}/" in text or f"{place}\n" in text for place in here):
            faults.append(name)
    assert not faults, "\n".join(faults)


def test_text_ends_lines_in_one_way():
    faults = [name for name, content in texts() if Path(name).suffix.lower() not in EXCHANGE and b"\r" in content]
    assert not faults, "\n".join(faults)


def test_ci_runs_the_check_and_nothing_else():
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if line and not line.startswith("#")] == ["python3 run.py check"]


def test_changelog_names_changed_results():
    assert "### Results change" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
