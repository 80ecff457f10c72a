"""The finished view of a plan: made once, written by many."""

from shared.view.model import (
    BuyRow,
    DropRow,
    LayoutView,
    PartRow,
    PieceView,
    SawView,
    StopRow,
    TotalsView,
    View,
)
from shared.view.present import present
from shared.view.values import Amount, Length, Quantity

__all__ = [
    "Amount",
    "BuyRow",
    "DropRow",
    "LayoutView",
    "Length",
    "PartRow",
    "PieceView",
    "Quantity",
    "SawView",
    "StopRow",
    "TotalsView",
    "View",
    "present",
]
