"""The cutting of parts with angled ends: rows in place of plain patterns."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.answer.load import Load
from cutting.fit.angled.order import Orders
from cutting.fit.angled.pricing import Pattern, RowPricer, Rows
from cutting.fit.angled.rows import RowModel
from cutting.fit.angled.signature import build_automaton
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.packing.angled.by_hand import fill_rows, filled
from cutting.packing.angled.cover import cheapest_cover, list_rows, thresholds
from cutting.packing.angled.pack import pack_rows
from cutting.packing.columns import Columns, RelaxedPoint
from cutting.search.angled.ties import tidy_rows
from cutting.search.loop import Covered, Outcome, Priced, Search

__all__ = ["RowSearch"]

_MORE_ROWS = 3
_COST_SLACK = 1e-9


class RowRelaxation(Columns):
    """The linear relaxation over rows."""

    def __init__(self, instance: Instance, pricer: RowPricer, *, fit: bool = False) -> None:
        self.pricer = pricer
        super().__init__(instance, pricer, fit=fit)

    def _seed_columns(self) -> None:
        """Start from the plan made by hand's rule, and for every part one row that begins with it."""
        orders = self.pricer.rows.orders
        assert orders.model is self.instance.rows
        for kind, pattern, _ in fill_rows(self.instance, orders) or ():
            self.add(kind, pattern)
        capacities = orders.model.capacities
        rates = sorted(range(len(capacities)), key=lambda kind: (self._costs[kind] / capacities[kind], kind))
        for part in range(len(self.instance.sizes)):
            alone = [int(part == other) for other in range(len(self.instance.sizes))]
            holding = [kind for kind in rates if orders.span(alone) <= capacities[kind]]
            plenty = [kind for kind in holding if self.instance.limits[kind] >= self.instance.demands[part]]
            for kind in (*holding[:1], *plenty[:1]):
                self.add(kind, filled(orders, alone, self.instance.demands, capacities[kind]))

    def price(self, point: RelaxedPoint) -> bool:
        """Add the rows that improve on `point`; say whether there was one."""
        floors = [
            int((cost + rent) * point.scale * (1 + _COST_SLACK)) + 1
            for cost, rent in zip(self._costs, point.rents, strict=True)
        ]
        for pricer in (*self.pricer.rough, self.pricer):
            best, more = pricer.several(point.values, floors=floors, most=_MORE_ROWS)
            added = [self.add(kind, pattern) for kind, pattern in enumerate(best.patterns) if pattern is not None]
            added += [self.add(kind, pattern) for kind, pattern in more]
            if any(added):
                return True
        return False


class RowSearch(Search):
    """The cutting of given parts, some with angled ends.

    Parameters
    ----------
    instance : Instance
        The parts and the kinds of stick, with its rows.
    seed : int
        For every random choice.
    clock : Clock
        Ends it.
    """

    def __init__(self, instance: Instance, *, seed: int, clock: Clock) -> None:
        assert instance.rows is not None
        self.rows = self._known_rows(instance.rows)
        super().__init__(instance, seed=seed, clock=clock)

    def _known_rows(self, model: RowModel) -> Rows:
        return Rows(automaton=build_automaton(model), orders=Orders(model))

    def _pricer(self) -> RowPricer:
        return RowPricer(self.rows, self.instance.demands, self.rows.automaton.capacities)

    def _relaxed(self, instance: Instance, *, fit: bool) -> Columns:
        return RowRelaxation(instance, self._pricer(), fit=fit)

    def _by_hand(self, instance: Instance, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        kept = [(load.kind, load.pattern, load.times) for load in begun]
        loads = fill_rows(instance, self.rows.orders, kept)
        return None if loads is None else tuple(Load(kind=k, pattern=p, times=t) for k, p, t in loads)

    def cover(self, priced: Priced, cost: int | None, most: int, work: float) -> Covered | None:
        """List all rows that a plan cheaper than `cost` could use and choose among them.

        Parameters
        ----------
        priced : Priced
            The relaxation at the instance's prices and limits.
        cost : int or None
            Of the plan at hand.
        most : int
            Rows listed at most.
        work : float
            Deterministic time for the choice.

        Returns
        -------
        Covered or None
            None where there are more rows.
        """
        columns: list[tuple[int, Pattern]] = []
        least = thresholds(self.instance, priced.inequality, priced.scale, cost)
        for kind, capacity in enumerate(self.rows.automaton.capacities):
            room, values = most - len(columns), priced.inequality.values
            found = list_rows(self.rows, self.instance.demands, capacity, values, least=least[kind], most=room)
            if found is None:
                return None
            columns += [(kind, row) for row in found]
        cover = cheapest_cover(self.instance, columns, cost, work=work, seconds=self.clock.left(), seed=self.seed)
        return Covered(loads=tuple(Load(kind=k, pattern=p, times=t) for k, p, t in cover.loads), proven=cover.proven)

    def rows_worth(self, kind: int, values: Sequence[int], least: int, most: int) -> list[Pattern] | None:
        """List every row worth so much that a stick of a kind holds; None where they are too many."""
        capacity = self.rows.automaton.capacities[kind]
        return list_rows(self.rows, self.instance.demands, capacity, values, least=least, most=most)

    def tidied(self, loads: Sequence[Load]) -> tuple[Load, ...]:
        """Lay the same parts on the same sticks so that it is easier on the shop; no stick is cut by a yard."""
        return tidy_rows(self.rows.orders, loads, self.clock.over)

    def cut(self, counts: tuple[int, ...], effort: int) -> Outcome:
        """Cut all parts from these sticks with so much effort, or say what became of it."""
        answer = pack_rows(
            self.instance,
            counts,
            rows=self.rows,
            seed=self.seed,
            stop=self.clock.over,
            seconds=self.clock.left,
            effort=effort,
            columns=self._columns(),
        )
        self._count(lp_solves=answer.solves, dives=answer.dives, nodes=answer.nodes)
        if answer.layouts is not None:
            return Outcome(loads=tuple(Load(kind=k, pattern=p, times=t) for k, p, t in answer.layouts))
        return Outcome(impossible=answer.impossible)
