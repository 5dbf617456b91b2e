"""The price of a job and what it costs per kit trip."""

from traywright.quoting.loop_plan import LoopAsked, LoopPlan, plan_loop
from traywright.quoting.price import money, price
from traywright.quoting.quote import Break, Making, PriceAsked, Quote, QuoteLine
from traywright.quoting.sheets import SheetsAsked, price_sheets, sheet_share

__all__ = [
    "Break",
    "LoopAsked",
    "LoopPlan",
    "Making",
    "PriceAsked",
    "Quote",
    "QuoteLine",
    "SheetsAsked",
    "money",
    "plan_loop",
    "price",
    "price_sheets",
    "sheet_share",
]
