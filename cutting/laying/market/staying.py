"""What a plan says of sticks that stay whole: which, what they do to their order, and what that saves."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.answer.plan import Idle, IdleReason, Transport
from cutting.buying.lines import taken
from cutting.buying.market import Market, Taken
from cutting.buying.rules import cost_of
from cutting.buying.rules.order import Bill, material_of
from cutting.search.market.loop import Choice

__all__ = ["idle_credit", "idle_of"]


def idle_of(market: Market, choice: Choice, made: Sequence[tuple[int, Bill]]) -> tuple[Idle, ...]:
    """Return what is to be said of each order that has such sticks.

    Parameters
    ----------
    market : Market
        The job.
    choice : Choice
        The plan.
    made : sequence of (int, Bill)
        Every yard's number and its bill.
    """
    return tuple(_idle(market, choice, number, bill) for number, bill in made if _whole(market, choice, number))


def idle_credit(market: Market, choice: Choice) -> int:
    """Return the worth of all sticks that stay whole, in units of cost."""
    return sum(line.idle_credit * whole for line, whole in zip(market.lines, choice.idle, strict=True))


def _whole(market: Market, choice: Choice, number: int) -> tuple[tuple[str, int], ...]:
    """Return the lines of one yard of which sticks stay whole, and how many."""
    lines = zip(market.lines, choice.idle, strict=True)
    return tuple((line.stick.id, whole) for line, whole in lines if whole and line.yard == number)


def _idle(market: Market, choice: Choice, number: int, made: Bill) -> Idle:
    """Say what the sticks of an order that stay whole are good for: against the same order without them."""
    counts = [order.counts for order in choice.orders]
    lines = zip(market.lines, choice.idle, strict=True)
    without = tuple(0 if line.yard == number else whole for line, whole in lines)
    cost = cost_of(market, choice.orders, without)
    material, terms = (
        material_of(Taken(market=market, orders=choice.orders, idle=without), number),
        market.terms[number],
    )
    reasons = []
    if material < terms.minimum:
        reasons.append(IdleReason.MINIMUM)
    free = made.transport is Transport.DELIVERED and not made.delivery
    if free and terms.delivery and terms.free_from is not None and material < terms.free_from:
        reasons.append(IdleReason.DELIVERY)
    for line, whole, left in zip(market.lines, choice.idle, without, strict=True):
        before = taken(line, counts, left)
        if before and whole != left and line.price(taken(line, counts, whole)) < line.price(before):
            reasons.append(IdleReason.PRICE)
            break
    return Idle(
        yard=terms.name,
        sticks=_whole(market, choice, number),
        reasons=tuple(reasons),
        saved=None if cost is None else market.unit * (cost - choice.cost),
    )
