"""Every amount of a job on one grid of whole numbers, and what leftovers are worth."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from cutting.buying.objective import on_grid, price_table
from cutting.question.job import Job, Source, Stick
from cutting.question.money import minor_digits
from cutting.question.prices import price_steps

__all__ = ["Costs", "keep_rate", "own_worth"]


class Costs:
    """Every amount of a job on one grid of whole numbers."""

    def __init__(self, job: Job) -> None:
        self.steps: dict[str, tuple[tuple[int, int], ...]]
        if job.currency is None:
            table = price_table(job)
            self.money = 1
            self.unit, whole = on_grid(list(table.values()))
            self.steps = {stick: ((1, number),) for stick, number in zip(table, whole, strict=True)}
            return
        cent = Fraction(1, 10 ** minor_digits(job.currency))
        lengths = [job.saw.kerf, *(part.length for part in job.parts)]
        rates = {rate for stick in job.sticks if (rate := keep_rate(job, stick))}
        fine = [rate * length for rate in sorted(rates) for length in lengths]
        for stick in job.sticks:
            fine += [keep_rate(job, stick) * mm for mm in (stick.clear, stick.length)] + [own_worth(job, stick)]
        self.unit, _ = on_grid([cent, *(amount for amount in fine if amount)])
        self.money = int(cent / self.unit)
        self.steps = {
            stick.id: tuple((least, self.whole(Fraction(price) + own_worth(job, stick))) for least, price in steps)
            for stick, steps in zip(job.sticks, price_steps(job).values(), strict=True)
        }

    def whole(self, amount: Fraction) -> int:
        """Return an amount in units of cost."""
        return int(amount / self.unit)


def keep_rate(job: Job, stick: Stick) -> Fraction:
    """Money per mm that a drop of a stick is worth: never more than the stick costs at its lowest price.

    What it costs per metre is rounded down to the currency's smallest unit.
    """
    keep = job.keep_value
    if keep is None or job.currency is None:
        return Fraction(0)
    rate = Fraction(keep.amount) / keep.per
    if stick.source is Source.OWN:
        return rate
    cents = 10 ** minor_digits(job.currency)
    lowest = min(price for _, price in price_steps(job)[stick.id])
    return min(rate, Fraction(floor(Fraction(lowest) * cents * 1000 / stick.length), cents * 1000))


def own_worth(job: Job, stick: Stick) -> Fraction:
    """Value of a piece of one's own, which using it costs: that of a drop of its length."""
    keep = job.keep_value
    if stick.source is not Source.OWN or keep is None or stick.length < keep.shortest:
        return Fraction(0)
    return Fraction(keep.amount) / keep.per * stick.length
