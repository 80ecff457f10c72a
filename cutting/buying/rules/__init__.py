"""The commercial rules, each one file with its rows in the buying model, what it costs, and what it joins.

`RULES` is in the order in which they enter the buying model. How to add one: DEVELOPERS.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from cutting.buying.costs import Costs
from cutting.buying.market import Market, RoomOrder, Rule, Taken
from cutting.buying.objective import on_grid, price_table
from cutting.buying.rules.breaks import Breaks, priced_steps
from cutting.buying.rules.idling import Idling
from cutting.buying.rules.kinds import Kinds
from cutting.buying.rules.leftovers import Leftovers
from cutting.buying.rules.order import Orders
from cutting.buying.rules.stock import Stock
from cutting.buying.rules.substitutes import Substitutes
from cutting.question.job import Job
from cutting.question.money import minor_digits

__all__ = ["NOTHING", "cost_of", "costs_of", "rules_of", "uses_rules"]

RULES: Final[tuple[type[Rule], ...]] = (Substitutes, Stock, Breaks, Orders, Kinds, Leftovers, Idling)
NOTHING: Final = tuple(rule() for rule in RULES)  # sticks with a price each, and no more


def uses_rules(job: Job) -> bool:
    """Whether a job states anything that couples its sections or goes beyond the price of each stick."""
    return any(rule.stated(job) for rule in RULES)


def costs_of(job: Job) -> Costs:
    """Put every amount of a job on one grid."""
    if job.currency is None:
        table = price_table(job)
        unit, whole = on_grid(list(table.values()))
        return Costs(unit=unit, money=1, steps={name: ((1, n),) for name, n in zip(table, whole, strict=True)})
    cent = Fraction(1, 10 ** minor_digits(job.currency))
    unit, _ = on_grid([cent, *(amount for rule in RULES for amount in rule.amounts(job) if amount)])
    steps = {
        name: tuple((least, int(price / unit)) for least, price in some) for name, some in priced_steps(job).items()
    }
    return Costs(unit=unit, money=int(cent / unit), steps=steps)


def rules_of(job: Job, costs: Costs) -> tuple[Rule, ...]:
    """Return every rule as a job states it."""
    return tuple(rule.of(job, costs) for rule in RULES)


def cost_of(market: Market, orders: Sequence[RoomOrder], idle: Sequence[int]) -> int | None:
    """Return what is taken and cut in each room costs, in units of cost; None where a rule forbids it.

    `idle` is how many sticks of each line stay whole.
    """
    taken, total = Taken(market=market, orders=orders, idle=idle), 0
    for rule in market.rules:
        cost = rule.cost(taken)
        if cost is None:
            return None
        total += cost
    return total
