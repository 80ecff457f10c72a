"""The search of a section with angled ends: the same loop, with rows in place of plain patterns."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.answer.load import Load
from cutting.buying.sticks import Proposal
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
from cutting.search.loop import FIRST_EFFORT, Outcome, Report, Search

__all__ = ["RowSearch"]

_MORE_ROWS = 3
_LITTLE_WORK = 0.1
_FEW_COLUMNS = 400
_MOST_COLUMNS = 20_000
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
    """The search of one section that has parts with angled ends.

    Parameters
    ----------
    instance : Instance
        The section, with its rows.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    report : callable
        Hears (cost of the best plan, bound) whenever one of them improves.
    """

    def __init__(self, instance: Instance, *, seed: int, clock: Clock, report: Report) -> None:
        assert instance.rows is not None
        self.rows = self._known_rows(instance.rows)
        super().__init__(instance, seed=seed, clock=clock, report=report)

    def _known_rows(self, model: RowModel) -> Rows:
        return Rows(automaton=build_automaton(model), orders=Orders(model))

    def _pricer(self) -> RowPricer:
        return RowPricer(self.rows, self.instance.demands, self.rows.automaton.capacities)

    def _relaxed(self, *, fit: bool) -> Columns:
        return RowRelaxation(self.instance, self._pricer(), fit=fit)

    def _by_hand(self, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        kept = [(load.kind, load.pattern, load.times) for load in begun]
        loads = fill_rows(self.instance, self.rows.orders, kept)
        return None if loads is None else tuple(Load(kind=k, pattern=p, times=t) for k, p, t in loads)

    def _pass(self, effort: int) -> None:
        if effort == FIRST_EFFORT:
            self._cover(_FEW_COLUMNS, work=_LITTLE_WORK)
        if self._open():
            super()._pass(effort)
        if self._open():
            self._cover(_MOST_COLUMNS, work=_LITTLE_WORK * effort)

    def _cover(self, most: int, *, work: float) -> None:
        """List all rows that a cheaper plan could use and choose among them, where they are at most so many."""
        columns: list[tuple[int, Pattern]] = []
        assert self.first is not None
        inequality, scale = self.first
        least = thresholds(self.instance, inequality, scale, self.cost)
        for kind, capacity in enumerate(self.rows.automaton.capacities):
            room = most - len(columns)
            found = list_rows(
                self.rows, self.instance.demands, capacity, inequality.values, least=least[kind], most=room
            )
            if found is None:
                return
            columns += [(kind, row) for row in found]
        cover = cheapest_cover(self.instance, columns, self.cost, work=work, seconds=self.clock.left(), seed=self.seed)
        if cover.loads:
            self._take(tuple(Load(kind=k, pattern=p, times=t) for k, p, t in cover.loads))
        if cover.proven:
            self._undecided = []
            self.bound = self.cost
            self.report(self.cost, self.bound)

    def _cut(self, proposal: Proposal, effort: int) -> Outcome:
        answer = pack_rows(
            self.instance,
            proposal.counts,
            rows=self.rows,
            seed=self.seed,
            stop=self.clock.over,
            seconds=self.clock.left,
            effort=effort,
            columns=(self._fit or self._relaxation).columns,
        )
        self.work.lp_solves += answer.solves
        self.work.dives += answer.dives
        self.work.nodes += answer.nodes
        if answer.layouts is not None:
            return Outcome(loads=tuple(Load(kind=k, pattern=p, times=t) for k, p, t in answer.layouts))
        return Outcome(impossible=answer.impossible)
