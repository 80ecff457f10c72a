"""Rule: what each further layout costs, a set-up at the saw: no yard is paid for it.

Sticks of one section that yield the same parts share a layout, whatever their length. The buying model knows only how
few layouts there can be; which there are is chosen in `cutting.search.market.closing`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Any, Self

from cutting.buying.costs import Costs, whole_units
from cutting.buying.market import Market, Rows, Rule, Taken
from cutting.question.job import Job

__all__ = ["Layouts"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Layouts(Rule):
    """Charges every layout after the first of the job, which counts with its first section."""

    each: int = 0
    free: int = 1

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether a further layout costs anything."""
        return job.layout_cost > 0

    @classmethod
    def of(cls, job: Job, costs: Costs) -> Self:
        """Take over the job's."""
        return cls(each=whole_units(job.layout_cost, job.currency) * costs.money)

    def within(self, sections: Sequence[int]) -> Rule:
        """Let the first layout be free where the first section is."""
        return replace(self, free=int(0 in sections))

    def binds(self, market: Market) -> bool:
        """Whether sticks that are taken for their price alone may be the wrong ones."""
        del market
        return self.each > 0

    def lists(self) -> bool:
        """Whether layouts must be listed to know what they cost."""
        return self.each > 0

    def rows(self, master: Rows) -> Any:
        """Count the fewest layouts of each section."""
        if not self.each:
            return 0
        for number, rooms in enumerate(master.market.sections):
            pieces = [each for room in rooms for each in master.demands[room]]
            most = sum(wish.part.quantity for wish in master.market.wishes)
            layouts = master.model.new_int_var(_fewest(master.market, number), most, "")
            master.model.add(most * layouts >= sum(pieces))
            master.layouts[number] = layouts
        return self.each * (sum(master.layouts.values()) - self.free)

    def cost(self, taken: Taken) -> int:
        """Return the same of what is taken."""
        return self.each * (len(set(_layouts(taken))) - self.free) if self.each else 0


def _layouts(taken: Taken) -> Iterator[tuple[int, tuple[int, ...]]]:
    for number, rooms in enumerate(taken.market.sections):
        for room in rooms:
            yield from ((number, load.pattern) for load in taken.loads[room])


def _fewest(market: Market, section: int) -> int:
    """Return how many layouts hold all sizes that are cut from this section whatever is chosen."""
    sizes = {at for wish in market.wishes if len(wish.places) == 1 for number, at in wish.places if number == section}
    rooms = [market.rooms[room] for room in market.sections[section]]
    if rooms[0].instance.rows is not None:  # angled parts nest: how many sorts a stick holds isn't a matter of sums
        return int(bool(sizes))
    longest = max(capacity for room in rooms for capacity in room.instance.capacities)
    together = [total for total in accumulate(sorted(rooms[0].instance.sizes[at] for at in sizes)) if total <= longest]
    return -(-len(sizes) // max(1, len(together)))
