"""What a replan proposes, in sentences for the people in the shop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cutting.answer.plan import Buy, Objective, Plan, Transport
from cutting.question.job import Source
from shared.wording.amounts import exact_text
from shared.wording.plurals import listed, many, plural
from shared.wording.sentences import counted
from shared.wording.tape import tape_of
from shared.wording.values import amount, weight
from shared.work.rack.bars import Bar, BarState, bar_name
from shared.work.replan.remains import Remains
from shared.work.replan.search import Found
from shared.work.replan.standing import Judged, Standing
from shared.work.replan.sums import paid, spent

__all__ = ["words_of"]


def words_of(
    remains: Remains, found: Found, *, used: Sequence[int], unneeded: Sequence[Bar], keep_from: Fraction
) -> tuple[str, ...]:
    """Say what is to be bought, how good that is, and what becomes of every layout and bar.

    Parameters
    ----------
    remains : Remains
        What was left to do.
    found : Found
        What the search ended with.
    used : sequence of int
        Numbers of the bars that are cut from.
    unneeded : sequence of Bar
        Those held for the work that aren't needed any more.
    keep_from : Fraction
        mm, the shortest piece worth a label.
    """
    if found.reasons:
        return ("What is left can't be planned as things are.", *found.reasons)
    telling = _Telling(remains, found, keep_from)
    return (
        *telling.buying(),
        *telling.proof(),
        *telling.begun(),
        *telling.replaced(),
        *telling.kept(),
        *telling.taken(used),
        *telling.back(unneeded),
    )


class _Telling:
    """One replan being told."""

    def __init__(self, remains: Remains, found: Found, keep_from: Fraction) -> None:
        self.remains = remains
        self.found = found
        self.keep_from = keep_from
        self.plan: Plan | None = None if found.result is None else found.result.plan
        self.tape = tape_of(remains.job)

    def buying(self) -> Iterator[str]:
        """What to buy, first of all."""
        bought = [line for line in self.plan.buy if line.source is not Source.OWN] if self.plan else []
        if bought:
            sticks = [
                counted(count, source)
                for source in (Source.STICKS, Source.RACK)
                if (count := sum(line.quantity for line in bought if line.source is source))
            ]
            yield f"Buy {listed(sticks)} more: {self._value(spent(self.plan, self.found.objective))}."
            yield from map(self._line, bought)
            yield from self._orders()
        elif not self.remains.wanted:
            yield "Every part is made: nothing is left to plan."
        elif not self.remains.missing(self.found.kept):
            yield "Every part that is still to be made is on a layout that stays as it is: there is nothing to buy."
        else:
            yield "What is left can be cut from steel at hand: there is nothing to buy."

    def _line(self, line: Buy) -> str:
        each = f", {amount(line.price, self.remains.job.currency or '').full} each" if line.price is not None else ""
        return f"{line.quantity} x {line.stick}: {line.section.label}, {self.tape.stick(line.length)}{each}."

    def _orders(self) -> Iterator[str]:
        """How the orders come home, where yards state terms."""
        currency = self.remains.job.currency
        for order in self.plan.orders if self.plan else ():
            trips = f"{many(order.trips, 'trip')}"
            way = "delivered" if order.transport is Transport.DELIVERED else f"fetched in {trips}"
            total = "" if order.total is None or currency is None else f", {amount(order.total, currency).full} in all"
            if order.yard:
                yield f"From {order.yard}, {way}{total}."

    def _value(self, value: Fraction) -> str:
        if self.found.objective is Objective.MONEY:
            return amount(paid(self.plan), self.remains.job.currency or "").full
        if self.found.objective is Objective.LENGTH:
            return f"{self.tape.text(value)} of steel"
        shown = weight(value, self.remains.job.unit)
        return f"{shown.full if shown else ''} of steel"

    def proof(self) -> Iterator[str]:
        """How good that is."""
        found = self.found
        if found.cost is None or (not found.cost and not found.proof.lower_bound):
            return
        counting = ", counting what leftovers are worth" if self.remains.job.keep_value is not None else ""
        if found.proof.lower_bound >= found.cost:
            yield (
                "Nothing cheaper exists, however the rest is cut from all steel at hand and what the yards offer"
                f"{counting}: this is proven."
            )
        else:
            yield f"At most {self._gap(found.cost - found.proof.lower_bound)} of it could still be saved{counting}."

    def _gap(self, gap: Fraction) -> str:
        currency = self.remains.job.currency
        if self.found.objective is Objective.MONEY and currency is not None:
            return f"{currency} {exact_text(gap)}"
        return self._value(gap)

    def begun(self) -> Iterator[str]:
        """Parts that go on being cut from a substitute because the first of them were."""
        asked = {part.mark: part.section for part in self.remains.job.parts}
        for part in self.remains.wanted:
            if part.section.key != asked[part.mark].key:
                yield f"{part.mark} goes on being cut from {part.section.label}, as those of it that are made were."

    def replaced(self) -> Iterator[str]:
        """What becomes of the layouts that can't stay as they are printed, and why."""
        kept, together, pinned = (
            {pin.slot.id for pin in pins} for pins in (self.found.kept, self.found.together, self.remains.pins)
        )
        reasons: dict[str, list[Judged]] = {}
        for each in self.remains.open:
            if each.slot.id in kept:
                continue
            why = "cut otherwise, so that less has to be bought"
            if each.standing is Standing.FALLS:
                why = each.why
            elif each.slot.id in together:
                why = f"{each.why}; the same parts stay on the same sticks, printed anew"
            elif each.slot.id not in pinned:
                why = "more of their parts would be cut than are needed"
            reasons.setdefault(why, []).append(each)
        for why, some in reasons.items():
            yield f"Throw away {self._several(some)}: {why}."

    def kept(self) -> Iterator[str]:
        """Which layouts stay as they are printed."""
        if self.found.kept:
            yield f"Stay as printed: {self._several(self.found.kept)}."

    def _several(self, some: Sequence[Judged]) -> str:
        """Name layouts by number, each with its sticks where not all that are open are meant."""
        meant = {each.slot.id for each in some}
        named = []
        for number in dict.fromkeys(each.slot.number for each in some):
            alike = [each.slot for each in self.remains.open if each.slot.number == number]
            sticks = [bar_name(slot.bar) for slot in alike if slot.id in meant]
            named.append(f"{number} (only {', '.join(sticks)})" if len(sticks) < len(alike) else f"{number}")
        return f"{plural(len(named), 'layout')} {listed(named)}"

    def taken(self, used: Sequence[int]) -> Iterator[str]:
        """Which pieces are cut from that no layout was on, and which have yet to come."""
        bars = [bar for bar in self.remains.bars if bar.number in used]
        rack = [bar for bar in bars if bar.state is BarState.FREE]
        if rack:
            yield f"Take from the rack: {listed([_placed(bar) for bar in rack])}."
        planned = {each.slot.bar for each in self.remains.open}
        idle = [bar.name for bar in bars if bar.state is BarState.RESERVED and bar.number not in planned]
        if idle:
            yield f"Held for this work, and cut from now: {listed(idle)}."
        yield from _waiting(bars, "counted on and not come yet")

    def back(self, bars: Sequence[Bar]) -> Iterator[str]:
        """Which pieces aren't needed any more."""
        reserved = [bar for bar in bars if bar.state is BarState.RESERVED]
        for worth, where in ((True, "back on the rack"), (False, "too short for a label, to the scrap")):
            names = [_placed(bar) for bar in reserved if (bar.counted_on >= self.keep_from) is worth]
            if names:
                yield f"Not needed any more, {where}: {listed(names)}."
        yield from _waiting(bars, "not needed any more and not come yet, call off what can be called off")


def _waiting(bars: Iterable[Bar], what: str) -> Iterator[str]:
    names = [bar.name for bar in bars if bar.state is BarState.EXPECTED]
    if names:
        yield f"Bought, {what}: {listed(names)}."


def _placed(bar: Bar) -> str:
    return f"{bar.name} ({bar.place})" if bar.place else bar.name
