"""Write the JSON Schemas of the enquiry, the result, a layout and the cards into schemas/.

Run it in .venv after a noun got a field or a limit changed: python docs/build_schemas.py
"""

from __future__ import annotations

from pathlib import Path

from traywright.base import canonical_json
from traywright.catalogue import KINDS, card_schema
from traywright.enquiry import enquiry_schema
from traywright.job import layout_schema, result_schema

SCHEMAS = Path(__file__).resolve().parents[1] / "schemas"


def schemas() -> dict[str, str]:
    """The text of each schema by its file name."""
    told = {f"card.{kind}.schema.json": canonical_json(card_schema(kind)) for kind in KINDS}
    told["enquiry.schema.json"] = canonical_json(enquiry_schema())
    told["layout.schema.json"] = canonical_json(layout_schema())
    return told | {"result.schema.json": canonical_json(result_schema())}


if __name__ == "__main__":
    for name, content in schemas().items():
        (SCHEMAS / name).write_text(content, encoding="utf-8", newline="\n")
