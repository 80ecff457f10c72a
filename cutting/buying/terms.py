"""A yard's terms in whole minor units."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from cutting.buying.costs import minor_units, whole_units
from cutting.question.yards import Charge, Yard

__all__ = ["Terms", "terms_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """One yard's terms in whole minor units.

    Attributes
    ----------
    name : str
        Its name.
    delivery, free_from, collecting : int or None
        Fee of a delivery, material from which it is free, cost of a trip; None where there is no such thing.
    minimum : int
        Least material of an order.
    charge, free : int
        For one cut, and cuts that cost nothing.
    rate : Fraction
        Tax.
    on : tuple of Charge
        What is taxed.
    load : Fraction or None
        kg carried on one trip.
    """

    name: str
    delivery: int | None
    free_from: int | None
    collecting: int | None
    minimum: int
    charge: int
    free: int
    rate: Fraction
    on: tuple[Charge, ...]
    load: Fraction | None

    def taxed(self, charge: Charge) -> int:
        """Return 1 where tax is on this charge, else 0."""
        return int(charge in self.on)


def terms_of(yard: Yard, currency: str | None, load: Fraction | None) -> Terms:
    """Turn a yard's terms into whole minor units."""
    minor = minor_units(currency)

    def at_least(amount: Decimal) -> int:
        return ceil(Fraction(amount) * minor)

    def units(amount: Decimal | None) -> int | None:
        return None if amount is None else whole_units(amount, currency)

    cuts = yard.cuts
    return Terms(
        name=yard.name,
        delivery=units(yard.delivery),
        free_from=None if yard.delivery_free_from is None else at_least(yard.delivery_free_from),
        collecting=units(yard.collecting),
        minimum=at_least(yard.minimum),
        charge=0 if cuts is None else whole_units(cuts.charge, currency),
        free=0 if cuts is None else cuts.free,
        rate=Fraction(0) if yard.tax is None else Fraction(yard.tax.rate),
        on=() if yard.tax is None else yard.tax.on,
        load=load,
    )
