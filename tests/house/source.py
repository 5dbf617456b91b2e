"""The source tree as the house tests see it: files, their syntax, their texts."""

from __future__ import annotations

import ast
import subprocess
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src" / "traywright"
MESSAGES = SRC / "base" / "messages"
CARDS = SRC / "catalogue" / "data"
FunctionNode = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One file of Python."""

    path: Path
    name: str
    lines: tuple[str, ...]
    tree: ast.Module

    @property
    def room(self) -> str:
        """The folder directly under traywright, or the module's own name."""
        return [*self.name.split("."), ""][1]

    def at(self, node: ast.AST) -> str:
        """Where a node stands, as an editor opens it."""
        return f"{self.path.relative_to(ROOT).as_posix()}:{getattr(node, 'lineno', 1)}"

    def line(self, node: ast.AST) -> str:
        """The text of the line on which a node begins."""
        return self.lines[getattr(node, "lineno", 1) - 1]


def read(path: Path, name: str) -> Source:
    """One file, parsed."""
    text = path.read_text(encoding="utf-8")
    return Source(path=path, name=name, lines=tuple(text.splitlines()), tree=ast.parse(text))


@cache
def sources() -> tuple[Source, ...]:
    """Every module of traywright, in the order of its path."""
    found = []
    for path in sorted(SRC.rglob("*.py")):
        parts = path.relative_to(SRC.parent).with_suffix("").parts
        found.append(read(path, ".".join(parts[:-1] if parts[-1] == "__init__" else parts)))
    return tuple(found)


def rooms() -> tuple[str, ...]:
    """The folders directly under traywright that hold Python."""
    return tuple(sorted(path.parent.name for path in SRC.glob("*/__init__.py")))


def kernel_sources() -> tuple[Source, ...]:
    """The files of compiled loops."""
    return tuple(
        source for source in sources() if source.path.match("_kernels.py") or source.path.match("layout/_kernels_*.py")
    )


def functions(source: Source) -> Iterator[FunctionNode]:
    """Every function and method of a file, inner ones too."""
    return (node for node in ast.walk(source.tree) if isinstance(node, FunctionNode))


def imports(source: Source) -> Iterator[tuple[ast.AST, str]]:
    """Every module that a file imports, with the statement; of "from a import b" both a and a.b."""
    for node in ast.walk(source.tree):
        if isinstance(node, ast.Import):
            yield from ((node, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node, node.module
            yield from ((node, f"{node.module}.{alias.name}") for alias in node.names)


def decorator_name(node: ast.expr) -> str:
    """The last word of a decorator: njit of @numba.njit(cache=True)."""
    bare = node.func if isinstance(node, ast.Call) else node
    return bare.attr if isinstance(bare, ast.Attribute) else getattr(bare, "id", "")


def is_dataclass(node: ast.ClassDef) -> bool:
    """Whether a class carries the dataclass decorator."""
    return any(decorator_name(each) == "dataclass" for each in node.decorator_list)


@cache
def project() -> dict[str, object]:
    """The tables of pyproject.toml."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


@cache
def tracked() -> tuple[Path, ...]:
    """Every file that is or would be committed."""
    words = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    told = subprocess.run(words, cwd=ROOT, check=True, capture_output=True, text=True, stdin=subprocess.DEVNULL).stdout
    return tuple(path for name in sorted(set(told.split("\0"))) if name and (path := ROOT / name).is_file())
