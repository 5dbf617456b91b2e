"""Same value, same bytes: canonical JSON and the fingerprints made of it."""

from __future__ import annotations

import hashlib
import json
import math
import unicodedata
from typing import Any


def _plain(thing: Any) -> Any:  # noqa: ANN401  # reason: JSON values are any of seven types
    """A JSON value with NFC text, no minus zero and no NaN."""
    if isinstance(thing, str):
        return unicodedata.normalize("NFC", thing)
    if isinstance(thing, float):
        if not math.isfinite(thing):
            raise ValueError(thing)
        return thing + 0.0
    if isinstance(thing, dict):
        return {_plain(key): _plain(value) for key, value in thing.items()}
    if isinstance(thing, list | tuple):
        return [_plain(one) for one in thing]
    return thing


def canonical_json(thing: Any) -> str:  # noqa: ANN401  # reason: JSON values are any of seven types
    r"""Text of a JSON value: keys sorted, UTF-8 NFC, one-space indent, no NaN, newline at the end.

    Raises
    ------
    ValueError
        If a number is not finite.

    Examples
    --------
    >>> canonical_json({"b": -0.0, "a": [1]})
    '{\n "a": [\n  1\n ],\n "b": 0.0\n}\n'
    """
    return json.dumps(_plain(thing), sort_keys=True, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def sha256_of_bytes(content: bytes) -> str:
    """Fingerprint of a file's bytes, as ``sha256:`` and hexadecimal."""
    return "sha256:" + hashlib.sha256(content).hexdigest()


def fingerprint(thing: Any) -> str:  # noqa: ANN401  # reason: JSON values are any of seven types
    """Fingerprint of a JSON value by its canonical text."""
    return sha256_of_bytes(canonical_json(thing).encode("utf-8"))
