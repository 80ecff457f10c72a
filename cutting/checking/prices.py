"""The checker's own way to a price: worked out again from the job, breaks and discounts included."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import floor

from cutting.question.job import Discount, Job, PerLength, PerStick, PerWeight, Price, Source, Stick
from cutting.question.money import minor_digits

__all__ = ["cents", "cents_down", "lowest_price", "price_at"]


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
