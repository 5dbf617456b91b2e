from __future__ import annotations

import pickle

import pytest

from traywright.base.errors import CutError, PartError


@pytest.mark.parametrize("refused", [PartError("PART-004", part="a"), CutError("CUT-001", part="a", most_mm=3.0)])
def test_a_refusal_travels_between_processes(refused):
    back = pickle.loads(pickle.dumps(refused))  # noqa: S301  # reason: our own bytes
    assert type(back) is type(refused)
    assert (back.code, back.parameters) == (refused.code, refused.parameters)
