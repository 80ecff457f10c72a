"""Rule: a line of parts may be cut from a substitute, all of its pieces from one section."""

from __future__ import annotations

from collections.abc import Iterator

from cutting.buying.market import Market, Rows, Rule
from cutting.question.job import Job

__all__ = ["Substitutes"]


class Substitutes(Rule):
    """Chooses a section for each line of parts."""

    __slots__ = ()

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether a part has any."""
        return any(part.substitutes for part in job.parts)

    def joins(self, market: Market) -> Iterator[list[int]]:
        """Yield the sections that each line may be cut from."""
        for wish in market.wishes:
            yield [section for section, _ in wish.places]

    def rows(self, master: Rows) -> int:
        """Give each line one section."""
        for place in master.places:
            if place[1:]:
                master.model.add_exactly_one(place)
        return 0
