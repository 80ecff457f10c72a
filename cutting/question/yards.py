"""Yards and the road: what buying and carrying steel costs beyond the price of a stick."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

__all__ = ["Carry", "Charge", "KeepValue", "Tax", "Yard", "YardCuts"]


class Charge(StrEnum):
    """What a yard charges for, as far as tax tells them apart."""

    MATERIAL = "material"
    CUTS = "cuts"
    DELIVERY = "delivery"


@dataclass(frozen=True, kw_only=True, slots=True)
class Tax:
    """A tax a yard adds, computed once on the sum it applies to, rounded half up.

    Attributes
    ----------
    rate : Decimal
        0.20 is 20 %.
    on : tuple of Charge
        What it applies to.
    """

    rate: Decimal
    on: tuple[Charge, ...] = (Charge.MATERIAL, Charge.CUTS, Charge.DELIVERY)


@dataclass(frozen=True, kw_only=True, slots=True)
class YardCuts:
    """A yard that cuts sticks so that they can be carried.

    Attributes
    ----------
    charge : Decimal
        For one cut.
    free : int
        Cuts of one order that cost nothing.
    allowance : Fraction
        mm of steel to allow at each of its cuts: its kerf, how roughly it cuts, and our own finishing cut.
    """

    charge: Decimal
    free: int = 0
    allowance: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Yard:
    """One yard and its terms.

    Attributes
    ----------
    name : str
        As sticks and rack pieces refer to it.
    delivery : Decimal or None
        Its fee for delivering an order; None where it doesn't deliver.
    delivery_free_from : Decimal or None
        Material amount from which delivery costs nothing.
    collecting : Decimal or None
        Cost of one trip to fetch an order; None where nothing can be fetched there.
    minimum : Decimal
        Material amount below which it takes no order.
    tax : Tax or None
        What it adds.
    cuts : YardCuts or None
        None where it doesn't cut.
    reserves : bool
        Whether its rack pieces may be reserved.
    """

    name: str
    delivery: Decimal | None = None
    delivery_free_from: Decimal | None = None
    collecting: Decimal | None = Decimal(0)
    minimum: Decimal = Decimal(0)
    tax: Tax | None = None
    cuts: YardCuts | None = None
    reserves: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Carry:
    """What can be carried home on one trip.

    Attributes
    ----------
    longest : Fraction or None
        mm, the longest piece (van, roof rack, doorway); None for no limit.
    load : Fraction or None
        kg; more than that means another trip; None for no limit.
    """

    longest: Fraction | None = None
    load: Fraction | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepValue:
    """What leftovers are worth to the shop.

    Attributes
    ----------
    amount : Decimal
        Money for each `per` mm of a drop.
    per : Fraction
        mm.
    shortest : Fraction
        mm, the shortest drop that is worth anything.
    """

    amount: Decimal
    per: Fraction
    shortest: Fraction
