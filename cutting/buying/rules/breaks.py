"""Rule: the price of a line's sticks, by the break that their number reaches."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cutting.buying.lines import Line
from cutting.buying.market import Rows, Rule, Taken
from cutting.buying.rules.leftovers import own_worth
from cutting.question.job import Job
from cutting.question.prices import price_steps

__all__ = ["Breaks", "priced_steps"]


def priced_steps(job: Job) -> dict[str, tuple[tuple[int, Fraction], ...]]:
    """Return what a stick of each line costs from so many on; of own pieces what using one costs."""
    return {
        stick.id: tuple((least, Fraction(price) + own_worth(job, stick)) for least, price in steps)
        for stick, steps in zip(job.sticks, price_steps(job).values(), strict=True)
    }


class Breaks(Rule):
    """Prices sticks."""

    __slots__ = ()

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether a line has breaks."""
        return any(stick.breaks for stick in job.sticks)

    def rows(self, master: Rows) -> Any:
        """Price every line."""
        market = master.market
        units = [1 if line.yard is None else market.money for line in market.lines]
        for number, (line, unit) in enumerate(zip(market.lines, units, strict=True)):
            master.prices.append(_price(master, number, line, unit))
        return sum(price * unit for price, unit in zip(master.prices, units, strict=True))

    def cost(self, taken: Taken) -> int:
        """Return the price of all sticks."""
        return sum(count * line.price(count) for line, count in taken.lines() if count)


def _price(master: Rows, number: int, line: Line, unit: int) -> Any:
    """Return the price of all sticks of a line, in so many units of cost."""
    steps = [(least, price // unit) for least, price in line.steps]
    taken = master.taken(number)
    if len(steps) == 1:
        return taken * steps[0][1]
    ends = [least - 1 for least, _ in steps[1:]] + [line.most]
    amounts, chosen = [], []
    for (least, price), end in zip(steps, ends, strict=True):
        if least <= min(end, line.most):
            here = master.bool()
            amount = master.model.new_int_var(0, min(end, line.most), "")
            master.model.add(amount <= min(end, line.most) * here)
            master.model.add(amount >= least * here)
            amounts.append((amount, price))
            chosen.append(here)
    master.model.add_at_most_one(chosen)
    master.model.add(taken == sum(amount for amount, _ in amounts))
    return master.total([amount for amount, _ in amounts], [price for _, price in amounts])
