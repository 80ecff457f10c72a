"""One line of the buy list in the finished view."""

from __future__ import annotations

from dataclasses import dataclass

from shared.wording.values import Amount, Length, Quantity

__all__ = ["BuyRow"]


@dataclass(frozen=True, kw_only=True, slots=True)
class BuyRow:
    """One line of the buy list.

    Attributes
    ----------
    id : str
        The job's name for it.
    section : str
        With its material.
    length : Length
        What a tape says.
    source : str
        ``sticks``, ``rack`` or ``own``.
    what : str
        The whole line in words, such as ``12 sticks of SHS 2x2x1/8, 20 ft``.
    quantity : int
        How many.
    price, cost : Amount or None
        For one and for all; None in a job without prices.
    weight : Quantity or None
        Of all; None where unknown.
    surface : Quantity or None
        Outside surface of the parts cut from them; None where unknown.
    yard : str
        Which yard has it; empty where the job names none.
    """

    id: str
    section: str
    length: Length
    source: str
    what: str
    quantity: int
    price: Amount | None
    cost: Amount | None
    weight: Quantity | None
    surface: Quantity | None
    yard: str = ""
