"""Rule: the cuts that a yard makes so that sticks can be carried; some of an order are free, delivered ones not cut."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutting.buying.lines import Line
from cutting.buying.market import Market, Rows, Taken
from cutting.buying.terms import Terms

__all__ = ["cutting_of", "cutting_rows", "made", "most_cuts"]


def made(taken: Taken, yard: int) -> int:
    """Count the cuts that a yard makes."""
    lines = (line for line in taken.market.lines if line.yard == yard)
    kinds = [entry for line in lines for entry in line.kinds]
    return sum(taken.market.rooms[room].ways[kind].cuts * taken.orders[room].counts[kind] for room, kind in kinds)


def cutting_of(terms: Terms, cuts: int) -> int:
    """Return what so many cuts cost."""
    return terms.charge * max(0, cuts - terms.free)


def most_cuts(market: Market, lines: Sequence[Line]) -> int:
    """Return the most cuts that these lines can need."""
    return sum(line.most * market.rooms[room].ways[kind].cuts for line in lines for room, kind in line.kinds)


def cutting_rows(master: Rows, terms: Terms, lines: Sequence[Line], collect: Any) -> Any:
    """Cut collected sticks alone; return what that costs."""
    cuts: Any = 0
    for line in lines:
        for room, kind in line.kinds:
            way, count = master.market.rooms[room].ways[kind], master.counts[room][kind]
            if way.cuts:
                master.model.add(count <= line.most * collect)
                cuts += way.cuts * count
    most = most_cuts(master.market, lines) - terms.free
    if not terms.charge or most <= 0:
        return 0
    charged = master.model.new_int_var(0, most, "")
    master.model.add(charged >= cuts - terms.free)
    return terms.charge * charged
