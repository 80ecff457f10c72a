"""Rule: of every line no more sticks than there are."""

from __future__ import annotations

from cutting.buying.market import Rows, Rule, Taken

__all__ = ["Stock"]


class Stock(Rule):
    """Keeps to the number of sticks of each line."""

    __slots__ = ()

    def rows(self, master: Rows) -> int:
        """Limit lines that are taken in several ways; a single way has its own limit."""
        for number, line in enumerate(master.market.lines):
            if len(line.kinds) > 1 or line.idle:
                master.model.add(master.taken(number) <= line.most)
        return 0

    def cost(self, taken: Taken) -> int | None:
        """Nothing, unless more is taken than there is."""
        return None if any(count > line.most for line, count in taken.lines()) else 0
