"""The price of one stick of each kind, whatever the basis on which a yard sells it.

A price by length or weight gives each stick's price first, rounded half up to the currency's smallest unit; all further
sums are made from these rounded prices, so that a plan's total is what the yard's bill says.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.question.errors import JobError
from cutting.question.job import Discount, Job, PerLength, PerStick, PerWeight, Source, Stick
from cutting.question.money import from_minor, minor_digits
from cutting.question.problems import Problem

__all__ = ["has_price", "lowest_rate", "price_steps", "settle_currency", "stick_prices"]


def settle_currency(job: Job) -> Job:
    """Return a job that has a currency only where money is spoken of.

    That is where sticks have prices, or where one's own pieces are all there is and terms come to nothing with them.
    """
    own = bool(job.sticks) and all(stick.source is Source.OWN for stick in job.sticks)
    terms = bool(job.yards or job.keep_value or job.kind_cost or job.layout_cost)
    spoken = any(stick.price is not None for stick in job.sticks) or (own and terms)
    return job if spoken or job.currency is None else replace(job, currency=None)


def stick_prices(job: Job) -> dict[str, Decimal | None]:
    """Price of one stick of each kind.

    Parameters
    ----------
    job : Job
        A job without input problems.

    Returns
    -------
    dict of str to Decimal or None
        By stick id, in the order of the job: 0 for one's own pieces; None throughout for a job without prices.

    Raises
    ------
    JobError
        A stick of a priced job whose price cannot be known: none stated, by weight where the section has no known
        weight, or a discount where no stick of that section is priced.
    """
    if job.currency is None:
        return {stick.id: None for stick in job.sticks}
    return {stick.id: _price(job, stick, job.currency) for stick in job.sticks}


def price_steps(job: Job) -> dict[str, tuple[tuple[int, Decimal], ...]]:
    """Price of one stick of each line by how many of it are bought.

    Parameters
    ----------
    job : Job
        A priced job without input problems.

    Returns
    -------
    dict of str to tuple of (int, Decimal)
        By stick id, in the order of the job: (from so many sticks, price of each of them), ascending, the first from 1.

    Raises
    ------
    JobError
        As in `stick_prices`.
    """
    assert job.currency is not None
    steps: dict[str, tuple[tuple[int, Decimal], ...]] = {}
    for stick in job.sticks:
        later = sorted(stick.breaks, key=lambda entry: entry.least)
        prices = [(1, stick), *((entry.least, replace(stick, price=entry.price)) for entry in later)]
        steps[stick.id] = tuple((least, _price(job, line, job.currency)) for least, line in prices)
    return steps


def lowest_rate(job: Job, stick: Stick) -> Fraction | None:
    """Lowest price per mm among the same yard's sticks of the same section, on which a discount is based.

    Parameters
    ----------
    job : Job
        A priced job.
    stick : Stick
        The piece the discount is for.

    Returns
    -------
    Fraction or None
        Money per mm, from prices rounded per stick; None where no such stick has a price that can be known.
    """
    if job.currency is None:
        return None
    rates = [
        Fraction(_rounded(_plain_price(other), job.currency)) / other.length
        for other in job.sticks
        if other.source is Source.STICKS
        and other.yard == stick.yard
        and other.section.key == stick.section.key
        and has_price(other)
    ]
    return min(rates, default=None)


def has_price(stick: Stick) -> bool:
    """Whether a stick's price can be known from the stick alone."""
    if stick.source is Source.OWN or isinstance(stick.price, PerStick | PerLength):
        return True
    return isinstance(stick.price, PerWeight) and stick.section.mass is not None


def _price(job: Job, stick: Stick, currency: str) -> Decimal:
    if not isinstance(stick.price, Discount):
        return _rounded(_plain_price(stick), currency)
    rate = lowest_rate(job, stick)
    if rate is None:
        raise _unknown(stick, f"no stick of {stick.section.label} has a price that the discount could come off")
    return _rounded(rate * stick.length * (1 - Fraction(stick.price.share)), currency)


def _rounded(amount: Fraction, currency: str) -> Decimal:
    """Round half up to whole minor units, exactly (an amount per weight is rarely a finite decimal)."""
    units = amount * 10 ** minor_digits(currency)
    return from_minor((2 * units.numerator + units.denominator) // (2 * units.denominator), currency)


def _plain_price(stick: Stick) -> Fraction:
    """Return the price of one stick before rounding, discounts aside."""
    if stick.source is Source.OWN:
        return Fraction(0)
    price = stick.price
    if isinstance(price, PerStick):
        return Fraction(price.amount)
    if isinstance(price, PerLength):
        return Fraction(price.amount) * stick.length / price.per
    if isinstance(price, PerWeight):
        if stick.section.mass is None:
            raise _unknown(stick, f"the weight of {stick.section.label} isn't known; give price or price_per_length")
        return Fraction(price.amount) * stick.section.mass * stick.length / 1000 / price.per
    raise _unknown(stick, "it has no price, but other sticks of this job have one")


def _unknown(stick: Stick, why: str) -> JobError:
    return JobError([Problem(where=stick.id, text="", message=why)])
