"""The finished view of a plan: made once, written by many."""

from shared.view.model import (
    DropRow,
    LayoutView,
    PartRow,
    PieceView,
    SawView,
    StopRow,
    TotalsView,
    View,
)
from shared.view.orders import CarriedView, ChangeView, Charge, MoneyView, OrderView, YardCutView
from shared.view.present import present
from shared.view.rows import BuyRow
from shared.wording.values import Amount, Length, Quantity

__all__ = [
    "Amount",
    "BuyRow",
    "CarriedView",
    "ChangeView",
    "Charge",
    "DropRow",
    "LayoutView",
    "Length",
    "MoneyView",
    "OrderView",
    "PartRow",
    "PieceView",
    "Quantity",
    "SawView",
    "StopRow",
    "TotalsView",
    "View",
    "YardCutView",
    "present",
]
