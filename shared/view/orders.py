"""The finished view of what yards get to read: their orders, where they cut, what comes home, and the money apart."""

from __future__ import annotations

from dataclasses import dataclass

from shared.view.rows import BuyRow
from shared.wording.values import Amount, Length, Quantity

__all__ = ["CarriedView", "ChangeView", "Charge", "MoneyView", "OrderView", "YardCutView"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Charge:
    """One line of a yard's bill below its sticks.

    Attributes
    ----------
    what : str
        Such as ``8 cuts, 4 of them free``.
    amount : Amount
        What it costs.
    """

    what: str
    amount: Amount


@dataclass(frozen=True, kw_only=True, slots=True)
class OrderView:
    """One yard's order.

    Attributes
    ----------
    yard : str
        Its name.
    heading : str
        Its name, and how the order comes home.
    transport : str
        ``delivered``, ``collected in 2 trips``.
    rows : tuple of BuyRow
        Its lines of the buy list.
    charges : tuple of Charge
        What the bill adds up, the sticks first; empty in a job without prices.
    total : Amount or None
        Their sum.
    weight : Quantity or None
        Of all its sticks; None where one's is unknown.
    notes : tuple of str
        Prices reached by quantity, rack pieces to reserve.
    """

    yard: str
    heading: str
    transport: str
    rows: tuple[BuyRow, ...]
    charges: tuple[Charge, ...]
    total: Amount | None
    weight: Quantity | None
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CarriedView:
    """One piece of a stick as it is carried home.

    Attributes
    ----------
    name : str
        What the layouts call it.
    length : Length
        From end to end.
    weight : Quantity or None
        None where unknown.
    words : str
        All of that in words.
    """

    name: str
    length: Length
    weight: Quantity | None
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class YardCutView:
    """Sticks that a yard cuts alike, so that they can be carried.

    Attributes
    ----------
    yard : str
        Its name.
    what : str
        Which sticks, such as ``3 sticks of L 1-1/2x1-1/2x3/16, 20 ft (R-L20)``.
    quantity : int
        Sticks cut alike.
    marks : tuple of str
        Where to mark each, from one and the same raw end to the middle of the yard's cut.
    words : str
        The marks in a sentence.
    pieces : tuple of CarriedView
        What comes home of each, from that end.
    """

    yard: str
    what: str
    quantity: int
    marks: tuple[str, ...]
    words: str
    pieces: tuple[CarriedView, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangeView:
    """A part cut from another section than the one drawn.

    Attributes
    ----------
    mark : str
        Which part.
    wanted, taken : str
        The section drawn and the one it is cut from, with their materials.
    remark : str
        The designer's.
    saved : str
        What that saves, in words.
    words : str
        All of that, and that the designer must confirm.
    """

    mark: str
    wanted: str
    taken: str
    remark: str
    saved: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MoneyView:
    """Money paid, apart from what one's own pieces and the drops are worth.

    Attributes
    ----------
    paid : Amount
        All orders: what the yards are paid.
    kinds : Amount
        What buying several kinds of section costs you; nobody is paid it.
    own_value : Amount
        Value of one's own pieces that are used.
    credit : Amount
        Worth of the drops kept.
    layouts : Amount
        What further layouts cost you.
    counted : Amount
        What was minimised: paid, kinds, own value and layouts less the credit.
    words : tuple of str
        Each that is not 0, in a sentence.
    """

    paid: Amount
    kinds: Amount
    own_value: Amount
    credit: Amount
    layouts: Amount
    counted: Amount
    words: tuple[str, ...]
