"""What all tests share: repeatable hypothesis runs, and the mark of kernel tests."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, database=None)
settings.load_profile("ci" if os.environ.get("CI") == "true" else "desk")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark a test as a kernel test if its file or its own name says so; house tests only read the source."""
    for item in items:
        told = Path(item.path).stem + item.name
        if "kernels" in told and "house" not in Path(item.path).parts:
            item.add_marker(pytest.mark.kernels)
