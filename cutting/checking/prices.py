"""The checker's own way to a price: worked out again from the job, breaks and discounts included."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from cutting.answer.plan import Transport
from cutting.question.job import Discount, Job, PerLength, PerStick, PerWeight, Price, Source, Stick
from cutting.question.money import minor_digits
from cutting.question.yards import Charge, Yard

__all__ = ["Charges", "cents", "cents_down", "charges_of", "lowest_price", "price_at", "trips_of"]


def cents(currency: str, amount: Fraction) -> Decimal:
    """Round half up to the currency's smallest unit."""
    digits = minor_digits(currency)
    whole, rest = divmod(amount * 10**digits, 1)
    return Decimal(whole + (rest >= Fraction(1, 2))).scaleb(-digits)


def cents_down(currency: str, amount: Fraction) -> Decimal:
    """Round down to the currency's smallest unit."""
    digits = minor_digits(currency)
    return Decimal(floor(amount * 10**digits)).scaleb(-digits)


def lowest_price(job: Job, stick: Stick) -> Decimal:
    """Work out what a stick costs at its best break."""
    counts = (1, *(entry.least for entry in stick.breaks))
    return min(price for count in counts if (price := price_at(job, stick, count)) is not None)


def price_at(job: Job, stick: Stick, quantity: int) -> Decimal | None:
    """Work out again what one of so many sticks of a line costs, rounded half up to the currency's smallest unit."""
    if job.currency is None:
        return None
    price, least = stick.price, 0
    for entry in stick.breaks:
        if least < entry.least <= quantity:
            price, least = entry.price, entry.least
    amount = _discounted(job, stick, price) if isinstance(price, Discount) else _amount(stick, price)
    return None if amount is None else cents(job.currency, amount)


def _discounted(job: Job, stick: Stick, price: Discount) -> Fraction | None:
    """Take the share off the lowest price per length of that section's sticks at the same yard, breaks not counted."""
    assert job.currency is not None
    rates = [
        Fraction(cents(job.currency, amount)) / other.length
        for other in job.sticks
        if other.source is Source.STICKS and other.section.key == stick.section.key and other.yard == stick.yard
        if (amount := _amount(other, other.price)) is not None
    ]
    return min(rates) * stick.length * (1 - Fraction(price.share)) if rates else None


def _amount(stick: Stick, price: Price | None) -> Fraction | None:
    match price:
        case PerStick(amount=amount):
            return Fraction(amount)
        case PerLength(amount=amount, per=per):
            return stick.length / per * Fraction(amount)
        case PerWeight(amount=amount, per=per) if stick.section.mass is not None:
            return stick.length / 1000 * stick.section.mass / per * Fraction(amount)
        case None if stick.source is Source.OWN:
            return Fraction(0)
        case _:
            return None


@dataclass(frozen=True, kw_only=True, slots=True)
class Charges:
    """What a yard's order costs beyond its sticks."""

    cutting: Decimal
    delivery: Decimal
    collecting: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """All of it."""
        return self.cutting + self.delivery + self.collecting + self.tax


def trips_of(job: Job, transport: Transport, weight: Fraction | None) -> int:
    """Count the trips that fetching so many kg takes; none where they are delivered."""
    if transport is Transport.DELIVERED:
        return 0
    return 1 if job.carry.load is None or weight is None else max(1, ceil(weight / job.carry.load))


def charges_of(currency: str, yard: Yard, material: Decimal, cuts: int, trips: int | None) -> Charges:
    """Work out what an order costs beyond its sticks: fetched in so many trips, or delivered where that is None."""
    delivery, collecting, cutting = Decimal(0), Decimal(0), Decimal(0)
    if trips is None:
        free = yard.delivery_free_from is not None and material >= yard.delivery_free_from
        delivery = Decimal(0) if free else cents(currency, Fraction(yard.delivery or 0))
    else:
        collecting = trips * cents(currency, Fraction(yard.collecting or 0))
    if yard.cuts is not None:
        cutting = max(0, cuts - yard.cuts.free) * cents(currency, Fraction(yard.cuts.charge))
    tax = Decimal(0)
    if yard.tax is not None:
        amounts = {Charge.MATERIAL: material, Charge.CUTS: cutting, Charge.DELIVERY: delivery}
        base = sum((amounts[charge] for charge in Charge if charge in yard.tax.on), Decimal(0))
        tax = cents(currency, Fraction(base) * Fraction(yard.tax.rate))
    return Charges(cutting=cutting, delivery=delivery, collecting=collecting, tax=tax)
