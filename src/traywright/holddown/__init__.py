"""Where a board must be held: bridges by a fixed rule; forces are not calculated yet."""

from traywright.holddown.edge_loss import edge_loss_mm, held_ratio
from traywright.holddown.hold_advice import BridgeRules, HoldAdvice
from traywright.holddown.place import bridge_rules, place_bridges

__all__ = ["BridgeRules", "HoldAdvice", "bridge_rules", "edge_loss_mm", "held_ratio", "place_bridges"]
