"""Rule: what buying each further section costs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Self

from cutting.buying.costs import Costs, whole_units
from cutting.buying.market import Market, Rows, Rule, Taken
from cutting.question.job import Job

__all__ = ["Kinds"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Kinds(Rule):
    """Charges every section bought after the first; own pieces aren't bought."""

    each: int = 0

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether a further section costs anything."""
        return job.kind_cost > 0

    @classmethod
    def of(cls, job: Job, costs: Costs) -> Self:
        """Take over the job's."""
        return cls(each=whole_units(job.kind_cost, job.currency) * costs.money)

    def joins(self, market: Market) -> Iterator[list[int]]:
        """Yield all sections."""
        if self.each:
            yield sorted({*range(len(market.sections)), *(line.section for line in market.lines)})

    def rows(self, master: Rows) -> Any:
        """Count the sections bought."""
        lines = master.market.lines
        sections = sorted({line.section for line in lines})
        if not self.each or len(sections) == 1:
            return 0
        bought = []
        for section in sections:
            here = master.bool()
            for number, line in enumerate(lines):
                if line.section == section and line.yard is not None:
                    master.model.add(master.taken(number) <= line.most * here)
            bought.append(here)
        extra = master.model.new_int_var(0, len(bought) - 1, "")
        master.model.add(extra >= sum(bought) - 1)
        return self.each * extra

    def cost(self, taken: Taken) -> int:
        """Return the same of what is taken."""
        bought = {line.section for line, count in taken.lines() if line.yard is not None and count}
        return self.each * max(0, len(bought) - 1)
