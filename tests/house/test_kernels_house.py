"""Kernels take arrays and numbers, see nothing else, and have a plain twin."""

from __future__ import annotations

import ast

import pytest

from house.source import ROOT, decorator_name, imports, kernel_sources, read, sources

ALLOWED = {"__future__", "math", "numba", "numpy"}
JITS = {"njit", "jit", "guvectorize", "vectorize"}
TWINS = ROOT / "tests" / "twins"

every_kernel_file = pytest.mark.parametrize("source", kernel_sources(), ids=lambda source: source.name)


def compiled(source):
    for node in source.tree.body:
        if isinstance(node, ast.FunctionDef) and JITS & {decorator_name(each) for each in node.decorator_list}:
            yield node


@every_kernel_file
def test_kernels_import_numpy_and_numba_only(source):
    assert {name.split(".")[0] for _, name in imports(source)} <= ALLOWED


@every_kernel_file
def test_kernels_do_not_bend_arithmetic(source):
    words = {each.arg for each in ast.walk(source.tree) if isinstance(each, ast.keyword)}
    assert "fastmath" not in words  # it makes isnan(nan) false
    assert "parallel" not in words  # the order of a sum must not depend on the number of threads


def test_compiled_code_lives_in_kernels():
    faults = [
        source.at(node)
        for source in sources()
        if source not in kernel_sources()
        for node, name in imports(source)
        if name.split(".")[0] == "numba"
    ]
    assert not faults, "\n".join(faults)


@every_kernel_file
def test_every_kernel_has_a_plain_twin(source):
    twins = {
        node.name
        for path in TWINS.glob("*.py")
        for node in ast.walk(read(path, path.stem).tree)
        if isinstance(node, ast.FunctionDef)
    }
    alone = [node.name for node in compiled(source) if not node.name.startswith("_") and node.name not in twins]
    assert not alone, f"write a slow plain function of this name in tests/twins: {alone}"


@pytest.mark.parametrize("path", sorted(TWINS.glob("*.py")), ids=lambda path: path.stem)
def test_a_twin_is_written_separately(path):
    if not path.name.startswith("test_"):
        used = {name.split(".")[0] for _, name in imports(read(path, path.stem))}
        assert not used & {"numba", "traywright"}
