"""A float carries its unit in its name (fields, and parameters of public functions)."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from house.source import Source, sources
from traywright.base.units import NAMES_WITHOUT_UNIT, SUFFIXES

PLAIN = {"float", "int", "bool", "tuple", "list", "Sequence", "Iterable", "Iterator", "Mapping", "Annotated"}


def mentions_float(annotation: ast.expr | None) -> bool:
    # "str | float" is a value for a place in a sentence; in a pair with a noun the docstring tells the unit
    if annotation is None:
        return False
    names = {node.id for node in ast.walk(annotation) if isinstance(node, ast.Name)}
    return "float" in names and names <= PLAIN


def has_unit(name: str) -> bool:
    bare = name.lower().rstrip("_")
    return bare in NAMES_WITHOUT_UNIT or any(bare == suffix or bare.endswith(f"_{suffix}") for suffix in SUFFIXES)


def public_functions(body: list[ast.stmt]) -> Iterator[ast.FunctionDef]:
    for node in body:
        if isinstance(node, ast.FunctionDef) and (not node.name.startswith("_") or node.name == "__init__"):
            yield node
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from public_functions(node.body)


def owned_by_a_unit(source: Source) -> set[str]:
    """Types that stand under a name with a unit, as in gap_mm: Gap; their floats share that unit."""
    return {
        field.annotation.id
        for field in ast.walk(source.tree)
        if isinstance(field, ast.AnnAssign) and isinstance(field.annotation, ast.Name)
        if has_unit(getattr(field.target, "id", ""))
    }


def bare_floats(source: Source) -> Iterator[str]:
    for function in public_functions(source.tree.body):
        told = function.args
        for argument in (*told.posonlyargs, *told.args, *told.kwonlyargs):
            if mentions_float(argument.annotation) and not has_unit(argument.arg):
                yield f"{source.at(argument)} {function.name}({argument.arg})"
    for owner in (node for node in ast.walk(source.tree) if isinstance(node, ast.ClassDef)):
        for field in (node for node in owner.body if isinstance(node, ast.AnnAssign)):
            name = getattr(field.target, "id", "")
            if owner.name not in owned_by_a_unit(source) and mentions_float(field.annotation) and not has_unit(name):
                yield f"{source.at(field)} {owner.name}.{name}"


def test_every_float_says_its_unit():
    faults = [fault for source in sources() for fault in bare_floats(source)]
    assert not faults, "\n".join(faults)


def test_a_bare_float_is_seen():
    text = "class Wall:\n    thick: float\n    high_mm: float\ndef f(wide: float, deep_mm: tuple[float, ...]): ...\n"
    source = Source(path=sources()[0].path, name="traywright.x", lines=tuple(text.splitlines()), tree=ast.parse(text))
    assert [fault.split()[-1] for fault in bare_floats(source)] == ["f(wide)", "Wall.thick"]
