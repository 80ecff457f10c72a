"""Rule: sticks that stay whole: how many of a line may be worth buying though no part is cut from them.

Such a stick is bought for what it does to the order: it reaches a minimum, makes delivery free, or brings a price by
quantity. It comes home as it is: no yard cuts it, so one that is too long to be carried is only delivered.

With more of a line than its dearest threshold takes by itself, leaving one of them out changes nothing but the price of
that one; so the numbers below rule out no cheaper plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from cutting.buying.costs import Costs, whole_units
from cutting.buying.lines import Line
from cutting.buying.market import Rows, Rule, Taken
from cutting.buying.rules.leftovers import keep_rate
from cutting.buying.rules.trips import reach_of
from cutting.question.job import Job, Source, Stick
from cutting.question.yards import Yard

__all__ = ["Idling", "with_idle"]


class Idling(Rule):
    """Credits sticks that stay whole where leftovers are worth something; what they cost is their line's price."""

    __slots__ = ()

    def rows(self, master: Rows) -> Any:
        """Return what they are worth, as less than nothing."""
        return -master.total(master.idle, [line.idle_credit for line in master.market.lines])

    def cost(self, taken: Taken) -> int:
        """Return the same of what is taken."""
        return -sum(line.idle_credit * n for line, n in zip(taken.market.lines, taken.idle, strict=True))


def with_idle(
    job: Job, lines: Sequence[Line], costs: Costs, yards: Mapping[str, Yard], sections: int
) -> tuple[Line, ...]:
    """Say of every line how many sticks may stay whole, and add those lines that are good for nothing else.

    Parameters
    ----------
    job : Job
        The job.
    lines : sequence of Line
        Those that parts can be cut from.
    costs : Costs
        Its money in whole numbers.
    yards : mapping of str to Yard
        Every yard by name, in the order of the terms.
    sections : int
        Sections with parts; others are numbered from there on.
    """
    known = {line.stick.id: line for line in lines}
    numbers = {line.stick.section.key: line.section for line in lines}
    found = []
    for stick in job.sticks:
        line = known.get(stick.id)
        most = _most(job, stick, costs, yards)
        if line is None and most:
            number = numbers.setdefault(stick.section.key, sections + len(numbers))
            line = _unused(stick, number, costs, list(yards))
        if line is not None:
            found.append(_idle(job, line, most, costs) if most else line)
    return tuple(found)


def _unused(stick: Stick, section: int, costs: Costs, names: list[str]) -> Line:
    return Line(
        stick=stick,
        section=section,
        kinds=(),
        yard=names.index(stick.yard),
        steps=costs.steps[stick.id],
        most=0,
        mass=stick.length / 1000 * (stick.section.mass or 0),
    )


def _idle(job: Job, line: Line, idle: int, costs: Costs) -> Line:
    stick, keep = line.stick, job.keep_value
    reach = reach_of(job, stick)
    worth = Fraction(0) if keep is None or stick.length < keep.shortest else keep_rate(job, stick) * stick.length
    most = line.most + idle
    return replace(
        line,
        most=most if stick.available is None else min(most, stick.available),
        idle=idle,
        idle_delivered=reach is not None and stick.length > reach,
        idle_credit=costs.whole(worth),
    )


def _most(job: Job, stick: Stick, costs: Costs, yards: Mapping[str, Yard]) -> int:
    """Return how many sticks of a line may stay whole."""
    if not job.idle or job.currency is None or stick.source is not Source.STICKS:
        return 0
    yard = yards[stick.yard]
    reach = reach_of(job, stick)
    if yard.delivery is None and (yard.collecting is None or (reach is not None and stick.length > reach)):
        return 0
    thresholds = [yard.minimum]
    if yard.delivery and yard.delivery_free_from is not None:
        thresholds.append(yard.delivery_free_from)
    amount = max(whole_units(each, job.currency) for each in thresholds)
    steps = [(least, price // costs.money) for least, price in costs.steps[stick.id]]
    lowest = min(price for _, price in steps)
    most = max(steps[-1][0] if len(steps) > 1 else 0, -(-amount // lowest) if lowest else 0)
    return most if stick.available is None else min(most, stick.available)
