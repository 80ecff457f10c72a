"""What a yard's order costs, in whole minor units: the one place where the solver adds up charges.

Taxes are rounded half up once per yard, fees to the smallest unit; trips are our own cost and never taxed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from cutting.answer.plan import Transport
from cutting.question.money import minor_digits
from cutting.question.yards import Charge, Yard

__all__ = ["Bill", "Terms", "bill", "terms_of", "whole_units"]


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


@dataclass(frozen=True, kw_only=True, slots=True)
class Bill:
    """What one order costs, in whole minor units.

    Attributes
    ----------
    transport : Transport
        How it comes home.
    trips : int
        0 where delivered.
    material, cutting, delivery, collecting, tax : int
        The charges.
    """

    transport: Transport
    trips: int
    material: int
    cutting: int
    delivery: int
    collecting: int
    tax: int

    @property
    def total(self) -> int:
        """Everything that the order costs."""
        return self.material + self.cutting + self.delivery + self.collecting + self.tax


def _minor(currency: str | None) -> int:
    """Return minor units to one unit of a currency; without prices there is no money and it doesn't matter."""
    return 1 if currency is None else int(10 ** minor_digits(currency))


def whole_units(amount: Decimal, currency: str | None) -> int:
    """Return an amount in minor units, rounded half up."""
    units = Fraction(amount) * _minor(currency)
    return (2 * units.numerator + units.denominator) // (2 * units.denominator)


def terms_of(yard: Yard, currency: str | None, load: Fraction | None) -> Terms:
    """Turn a yard's terms into whole minor units."""
    minor = _minor(currency)

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


def bill(terms: Terms, *, material: int, cuts: int, mass: Fraction, transports: Sequence[Transport]) -> Bill | None:
    """Add up an order, by the cheapest of these transports that the yard offers.

    Parameters
    ----------
    terms : Terms
        The yard's.
    material : int
        Price of all its sticks.
    cuts : int
        Cuts it makes.
    mass : Fraction
        kg of all its sticks (of no matter where no load is stated).
    transports : sequence of Transport
        What the sticks allow.

    Returns
    -------
    Bill or None
        None where the yard takes no such order.
    """
    if material < terms.minimum:
        return None
    bills = [_bill(terms, material, cuts, mass, transport) for transport in transports]
    return min((each for each in bills if each is not None), key=lambda each: each.total, default=None)


def _bill(terms: Terms, material: int, cuts: int, mass: Fraction, transport: Transport) -> Bill | None:
    delivery, collecting, trips = 0, 0, 0
    if transport is Transport.DELIVERED:
        if terms.delivery is None:
            return None
        free = terms.free_from is not None and material >= terms.free_from
        delivery = 0 if free else terms.delivery
    else:
        if terms.collecting is None:
            return None
        trips = 1 if terms.load is None else max(1, ceil(mass / terms.load))
        collecting = trips * terms.collecting
    cutting = terms.charge * max(0, cuts - terms.free)
    base = (
        terms.taxed(Charge.MATERIAL) * material
        + terms.taxed(Charge.CUTS) * cutting
        + terms.taxed(Charge.DELIVERY) * delivery
    )
    tax = terms.rate * base
    return Bill(
        transport=transport,
        trips=trips,
        material=material,
        cutting=cutting,
        delivery=delivery,
        collecting=collecting,
        tax=(2 * tax.numerator + tax.denominator) // (2 * tax.denominator),
    )
