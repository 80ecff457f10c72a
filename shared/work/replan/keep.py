"""Which layouts can stay at the least cost: best effort, since proving that no more can stay would take too long."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from cutting.answer.plan import Plan
from cutting.question.job import Source
from shared.work.replan.ask import Answer, Asking, Pins
from shared.work.replan.standing import Judged
from shared.work.replan.sums import drop_of

__all__ = ["keep_most"]

_Key = tuple[str, str]


def keep_most(asking: Asking, first: Answer, least: Answer, target: Fraction) -> None:
    """Look for plans that cost no more than `target` and keep more layouts than none.

    Parameters
    ----------
    asking : Asking
        Makes them, and remembers the best.
    first, least : Answer
        With every layout kept, which costs more than `target`; and with none.
    target : Fraction
        The least cost known.
    """
    alike = _alike(asking, least.plan)
    most = len(asking.pins) - (len(alike) if asking.reaches(alike, target) else 0)
    order = _order(asking, first, least)
    count = _fewest(asking, order, min(most, len(order)), target)
    if count is None:
        return
    kept = list(_without(asking, order[:count]))
    for pin in reversed(order[:count]):
        if asking.reaches([*kept, pin], target):
            kept.append(pin)


def _fewest(asking: Asking, order: Sequence[Judged], most: int, target: Fraction) -> int | None:
    """How many layouts from the first of `order` on must go: doubled, then halved in between; None where unknown.

    The more are given up, the less the rest costs, so that halving finds the border.
    """
    if not most:
        return None
    low, high = 0, 1
    while not asking.reaches(_without(asking, order[:high]), target):
        if high >= most:
            return None
        low, high = high, min(2 * high, most)
    while high - low > 1:
        middle = (low + high) // 2
        if asking.reaches(_without(asking, order[:middle]), target):
            high = middle
        else:
            low = middle
    return high


def _without(asking: Asking, gone: Sequence[Judged]) -> Pins:
    leaving = {pin.slot.id for pin in gone}
    return tuple(pin for pin in asking.pins if pin.slot.id not in leaving)


def _order(asking: Asking, first: Answer, least: Answer) -> list[Judged]:
    """Layouts to give up, loosest first, begun ones last; only of sections that cost more than they must."""
    dear = _dear(asking, first, least)
    among = [pin for pin in asking.concerned(asking.pins) if dear is None or pin.slot.cut.section.key in dear]
    kerf = asking.remains.job.saw.kerf
    return sorted(among, key=lambda pin: (pin.slot.sawn > 0, -drop_of(pin, kerf)))


def _dear(asking: Asking, first: Answer, least: Answer) -> set[_Key] | None:
    if asking.market or first.plan is None or least.plan is None:
        return None
    before, after = _by_section(first.plan), _by_section(least.plan)
    return {key for key, cost in before.items() if cost > after.get(key, Fraction(0))}


def _by_section(plan: Plan) -> dict[_Key, Fraction]:
    """What a plan buys of each section: money, or mm where there are no prices."""
    costs: dict[_Key, Fraction] = {cut.section.key: Fraction(0) for cut in plan.cuts}
    for line in plan.buy:
        if line.source is not Source.OWN:
            costs[line.section.key] += line.quantity * line.length if line.cost is None else Fraction(line.cost)
    return costs


def _alike(asking: Asking, plan: Plan | None) -> Pins:
    """Layouts that a plan happens to make again: parts of the same lengths on a bar of the same length."""
    if plan is None:
        return ()
    lengths = {stick.id: stick.length for stick in asking.everything.sticks}
    made = Counter[tuple[object, ...]]()
    for cut in plan.cuts:
        if cut.source is Source.OWN:
            parts = tuple(sorted(piece.length for piece in cut.pieces))
            made[cut.section.key, cut.length, parts] += cut.quantity
    found = []
    for pin in asking.pins:
        parts = tuple(sorted(piece.length for piece in pin.slot.left))
        key = (pin.slot.cut.section.key, lengths.get(pin.bar.name), parts)
        if made[key] > 0:
            made[key] -= 1
            found.append(pin)
    return tuple(found)
