"""Floor of the house: units, tolerances, figures, findings, errors, messages, canonical bytes."""

from traywright.base.canonical import canonical_json, fingerprint, sha256_of_bytes
from traywright.base.figure import Figure, Given, Status, derive
from traywright.base.finding import Finding, Limit, Severity, finding
from traywright.base.ids import file_name, natural_key
from traywright.base.messages import message, text
from traywright.base.nearest import nearest
from traywright.base.show import shown

__all__ = [
    "Figure",
    "Finding",
    "Given",
    "Limit",
    "Severity",
    "Status",
    "canonical_json",
    "derive",
    "file_name",
    "finding",
    "fingerprint",
    "message",
    "natural_key",
    "nearest",
    "sha256_of_bytes",
    "shown",
    "text",
]
