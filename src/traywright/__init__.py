"""Layered foam transit trays, from the customer's parts to a read-back program, a price and papers."""

__version__ = "0.1.0"
