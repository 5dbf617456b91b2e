"""The JSON Schema of result.json."""

from __future__ import annotations

from typing import Any

from traywright.job.result_model import ResultModel


def result_schema() -> dict[str, Any]:
    """The JSON Schema of ``result.json``; committed as ``schemas/result.schema.json``.

    Returns
    -------
    dict
        Draft 2020-12: every key is required and no other is allowed, at every level.

    Examples
    --------
    >>> result_schema()["additionalProperties"]
    False
    """
    schema = ResultModel.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
