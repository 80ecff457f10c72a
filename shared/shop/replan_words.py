"""What a replan proposes, in sentences for the people in the shop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from cutting.job import Source
from cutting.plan import Buy, Objective, Plan
from shared.planfile.amounts import exact_text
from shared.shop.bars import Bar, BarState, bar_name
from shared.shop.remains import Remains
from shared.shop.replan_search import Found
from shared.shop.replan_sums import paid, spent
from shared.shop.standing import Judged, Standing
from shared.tape import tape_of
from shared.view.values import amount, weight
from shared.view.words import counted, listed

__all__ = ["words_of"]


def words_of(remains: Remains, found: Found, *, used: Sequence[int], freed: Sequence[int]) -> tuple[str, ...]:
    """Say what is to be bought, how good that is, and what becomes of every layout and bar.

    Parameters
    ----------
    remains : Remains
        What was left to do.
    found : Found
        What the search ended with.
    used, freed : sequence of int
        Numbers of the bars that are cut from, and of those that aren't needed any more.
    """
    if found.reasons:
        return ("What is left can't be planned as things are.", *found.reasons)
    telling = _Telling(remains, found)
    return (
        *telling.buying(),
        *telling.proof(),
        *telling.begun(),
        *telling.replaced(),
        *telling.kept(),
        *telling.taken(used),
        *telling.back(freed),
    )


class _Telling:
    """One replan being told."""

    def __init__(self, remains: Remains, found: Found) -> None:
        self.remains = remains
        self.found = found
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
        elif not self.remains.wanted:
            yield "Every part is made: nothing is left to plan."
        elif not self.remains.missing(self.found.kept):
            yield "Every part that is still to be made is on a layout that stays as it is: there is nothing to buy."
        else:
            yield "What is left can be cut from steel at hand: there is nothing to buy."

    def _line(self, line: Buy) -> str:
        each = f", {amount(line.price, self.remains.job.currency or '').full} each" if line.price is not None else ""
        return f"{line.quantity} x {line.stick}: {line.section.label}, {self.tape.stick(line.length)}{each}."

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
        kept = {pin.slot.id for pin in self.found.kept}
        together = {pin.slot.id for pin in self.found.together}
        pinned = {pin.slot.id for pin in self.remains.pins}
        gone = [each for each in self.remains.open if each.slot.id not in kept]
        for each in gone:
            if each.standing is Standing.FALLS:
                yield f"Throw away {_one(each)}: {each.why}."
        moved = [each for each in gone if each.slot.id in together]
        for why in dict.fromkeys(each.why for each in moved):
            some = [each for each in moved if each.why == why]
            yield f"Throw away {_several(some)}: {why}; the same parts stay on the same sticks, printed anew."
        rest = [each for each in gone if each.standing is not Standing.FALLS and each.slot.id not in together]
        unwanted = [each for each in rest if each.slot.id not in pinned]
        given_up = [each for each in rest if each.slot.id in pinned]
        if unwanted:
            yield f"Throw away {_several(unwanted)}: more of their parts would be cut than are needed."
        if given_up:
            yield f"Throw away {_several(given_up)}: cut otherwise, so that less has to be bought."

    def kept(self) -> Iterator[str]:
        """Which layouts stay as they are printed."""
        if self.found.kept:
            yield f"Stay as printed: {_several(self.found.kept)}."

    def taken(self, used: Sequence[int]) -> Iterator[str]:
        """Which pieces come from the rack, and which have yet to come."""
        bars = [bar for bar in self.remains.bars if bar.number in used]
        rack = [bar for bar in bars if bar.state is BarState.FREE]
        if rack:
            yield f"Take from the rack: {listed([_placed(bar) for bar in rack])}."
        yield from _waiting(bars, "counted on and not come yet")

    def back(self, freed: Sequence[int]) -> Iterator[str]:
        """Which pieces aren't needed any more."""
        bars = [bar for bar in self.remains.bars if bar.number in freed]
        reserved = [bar.name for bar in bars if bar.state is BarState.RESERVED]
        if reserved:
            yield f"Not needed any more, back on the rack: {listed(reserved)}."
        yield from _waiting(bars, "not needed any more and not come yet, call off what can be called off")


def _waiting(bars: Iterable[Bar], what: str) -> Iterator[str]:
    names = [bar.name for bar in bars if bar.state is BarState.EXPECTED]
    if names:
        yield f"Bought, {what}: {listed(names)}."


def _placed(bar: Bar) -> str:
    return f"{bar.name} ({bar.place})" if bar.place else bar.name


def _one(each: Judged) -> str:
    return f"layout {each.slot.number}, stick {each.slot.copy} ({bar_name(each.slot.bar)})"


def _several(some: Sequence[Judged]) -> str:
    """Name layouts by number, each with its sticks where it has several."""
    numbers = list(dict.fromkeys(each.slot.number for each in some))
    named = []
    for number in numbers:
        sticks = [bar_name(each.slot.bar) for each in some if each.slot.number == number]
        named.append(f"{number} ({', '.join(sticks)})")
    return f"layout{'s' if len(numbers) > 1 else ''} {listed(named)}"
