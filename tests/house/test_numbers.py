"""Tolerances have one place, lengths are not compared by ==, faults are not swallowed."""

from __future__ import annotations

import ast

from house.source import Source, functions, sources

SMALLEST = 1e-5


def outside_tolerance() -> tuple[Source, ...]:
    return tuple(source for source in sources() if source.name != "traywright.base.tolerance")


def test_no_literal_tolerance():
    faults = []
    for source in outside_tolerance():
        for node in ast.walk(source.tree):
            tiny = isinstance(node, ast.Constant) and isinstance(node.value, float) and 0 < node.value <= SMALLEST
            if tiny and "# source:" not in source.line(node):
                faults.append(f"{source.at(node)} {node.value}")
    assert not faults, "\n".join(faults)


def is_length(node: ast.expr) -> bool:
    name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
    return name.endswith("_mm")


def test_lengths_are_not_compared_exactly():
    faults = []
    for source in outside_tolerance():
        for node in (each for each in ast.walk(source.tree) if isinstance(each, ast.Compare)):
            exact = any(isinstance(operator, ast.Eq | ast.NotEq) for operator in node.ops)
            # an empty tuple is no length
            other = [each for each in (node.left, *node.comparators) if not is_length(each)]
            if exact and len(other) < 1 + len(node.ops) and not any(isinstance(each, ast.Tuple) for each in other):
                faults.append(source.at(node))
    assert not faults, "\n".join(faults)


def test_no_fault_is_swallowed():
    faults = []
    for source in sources():
        for node in (each for each in ast.walk(source.tree) if isinstance(each, ast.ExceptHandler)):
            caught = {each.id for each in ast.walk(node.type) if isinstance(each, ast.Name)} if node.type else {""}
            raised_again = (
                isinstance(node.body[-1], ast.Raise) and node.body[-1].exc is None
            )  # tidies up, hides nothing
            if caught & {"", "Exception", "BaseException"} and not raised_again:
                faults.append(source.at(node))
    assert not faults, "\n".join(faults)


def test_no_function_reads_the_clock_or_draws_by_chance():
    banned = {("time", "time"), ("datetime", "now"), ("datetime", "today"), ("date", "today"), ("random", "random")}
    faults = []
    for source in sources():
        for function in functions(source):
            for node in (each for each in ast.walk(function) if isinstance(each, ast.Attribute)):
                owner = getattr(node.value, "id", getattr(node.value, "attr", ""))
                if (owner, node.attr) in banned:
                    faults.append(source.at(node))
    assert not faults, "\n".join(faults)


# a stage is a plain function: what stands in files comes in as values
STAGES = {
    *("geometry", "layout", "motion", "trays", "protection", "design", "nesting"),
    *("cutting", "holddown", "nc", "verification", "quoting"),
}
TOUCHES = {"open", "read_text", "write_text", "read_bytes", "write_bytes", "environ", "getenv", "cwd", "urandom"}


def test_a_stage_touches_no_file_and_no_environment():
    faults = []
    for source in (each for each in sources() if each.room in STAGES):
        for node in ast.walk(source.tree):
            name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
            if name in TOUCHES:
                faults.append(f"{source.at(node)} {name}")
    assert not faults, "\n".join(faults)


def test_no_choice_hangs_on_hash_or_address():
    faults = []
    for source in sources():
        for function in (each for each in functions(source) if each.name != "__hash__"):
            calls = [each for each in ast.walk(function) if isinstance(each, ast.Call)]
            faults += [source.at(call) for call in calls if getattr(call.func, "id", "") in {"hash", "id"}]
    assert not faults, "\n".join(faults)
