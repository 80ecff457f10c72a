"""The cutting of some parts of one section: whether given sticks hold them, how, and what buying learns where not.

Which sticks to take is the loop's to propose (`cutting.search.loop`). The fractional test answers first: where
not even a fractional layout exists, its dual values become one more inequality. Otherwise the packing room tries to lay
every part out, or proves that it can't.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from cutting.answer.load import Load
from cutting.fit.clock import Clock
from cutting.fit.fit import Fit, Pattern, fit_of
from cutting.fit.instance import Instance
from cutting.fit.marked.windows import Windows
from cutting.packing.by_hand import fill_by_hand
from cutting.packing.inequality import Inequality, price_out
from cutting.packing.pack import Outcome, pack
from cutting.packing.relaxation import Relaxation
from cutting.packing.work import Work
from cutting.search.rooms.tidy import tidy

if TYPE_CHECKING:
    from cutting.packing.cover import Cover

__all__ = ["Priced", "ShareCutter"]

WHOLE = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Priced:
    """What the linear relaxation at some prices and limits says.

    Attributes
    ----------
    inequality : Inequality
        Of its dual values.
    scale : float
        Units of part value to one unit of cost.
    rounded : tuple of Load or None
        A plan: the whole parts of the columns used, what is left by hand's rule; None where that finds none.
    """

    inequality: Inequality
    scale: float
    rounded: tuple[Load, ...] | None


class ShareCutter:
    """The cutting of given parts from given kinds of stick.

    Parameters
    ----------
    instance : Instance
        The parts, all of which are to be cut, and the kinds of stick.
    windows : sequence of Windows or None
        For each kind that a yard cuts.
    seed : int
        For every random choice.
    clock : Clock
        Ends it.

    Attributes
    ----------
    fit : Fit
        What the parts do on the sticks.
    """

    def __init__(self, instance: Instance, windows: Sequence[Windows | None] = (), *, seed: int, clock: Clock) -> None:
        self.instance = instance
        self.seed = seed
        self.clock = clock
        self.fit: Fit = fit_of(instance, windows)
        self._work = Work()
        self._by_hand: dict[tuple[tuple[int, ...], tuple[int, ...]], tuple[Load, ...] | None] = {}
        self._relaxations: list[Relaxation] = []
        self._possible: Relaxation | None = None

    @property
    def work(self) -> Work:
        """All work done here."""
        relaxations = [*self._relaxations, *([] if self._possible is None else [self._possible])]
        return Work.total([self._work, *(Work(lp_solves=each.master.lp_solves) for each in relaxations)])

    def at(self, costs: Sequence[int], limits: Sequence[int]) -> Instance:
        """Return the instance at other prices and limits."""
        return replace(self.instance, costs=tuple(costs), limits=tuple(limits))

    def relaxed(self, costs: Sequence[int], limits: Sequence[int]) -> Priced | None:
        """Solve the linear relaxation at these prices and limits; None where time is over before."""
        instance = self.at(costs, limits)
        plan = self.by_hand(costs, limits)
        if self.clock.over():
            return None
        relaxation = Relaxation(instance, self.fit, plan=plan, should_stop=self.clock.over)
        self._relaxations.append(relaxation)
        if self.clock.over():
            return None
        point = relaxation.generate(self.clock.over)
        if self.clock.over():
            return None
        return Priced(
            inequality=price_out(instance, self.fit, point.values),
            scale=point.scale,
            rounded=self._rounded(instance, relaxation),
        )

    def by_hand(self, costs: Sequence[int], limits: Sequence[int]) -> tuple[Load, ...] | None:
        """Return a plan made by hand's rule at these prices and limits; None where that doesn't find one."""
        asked = tuple(costs), tuple(limits)
        if asked not in self._by_hand:
            self._by_hand[asked] = fill_by_hand(self.at(costs, limits), self.fit)
        return self._by_hand[asked]

    def explain(self, counts: tuple[int, ...]) -> Inequality | None:
        """Return an inequality that these sticks violate; None where a fractional layout exists."""
        if self._possible is None:
            self._possible = Relaxation(self.instance, self.fit, only_fit=True)
            for kind, pattern in (column for each in self._relaxations for column in each.master.columns):
                self._possible.add(kind, pattern)
        self._possible.master.limit(counts)
        point = self._possible.generate(self.clock.over)
        if not point.missing:
            return None
        inequality = price_out(self.instance, self.fit, point.values)
        return None if inequality.allows(counts) else inequality

    def cut(self, counts: tuple[int, ...], effort: int) -> Outcome:
        """Cut all parts from these sticks with so much effort, or say what became of it."""
        outcome = pack(
            self.fit,
            counts,
            seed=self.seed,
            should_stop=self.clock.over,
            seconds_left=self.clock.left,
            effort=effort,
            columns=self._columns(),
        )
        self._work.add(outcome.work)
        return outcome

    def cover(self, priced: Priced, cost: int | None, most: int, work: float) -> Cover | None:
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
        Cover or None
            None where there are more, as there are of square parts.
        """
        if self.fit.rows is None:
            return None
        from cutting.packing.cover import cheapest_cover, list_rows, thresholds  # noqa: PLC0415 - only for angled ends

        columns: list[tuple[int, Pattern]] = []
        least = thresholds(self.instance, priced.inequality, priced.scale, cost)
        for kind, capacity in enumerate(self.fit.capacities):
            room, values = most - len(columns), priced.inequality.values
            found = list_rows(self.fit.rows, self.instance.demands, capacity, values, least=least[kind], most=room)
            if found is None:
                return None
            columns += [(kind, row) for row in found if self.fit.holds(kind, row)]
        return cheapest_cover(self.instance, columns, cost, work=work, seconds=self.clock.left(), seed=self.seed)

    def tidied(self, loads: Sequence[Load]) -> tuple[Load, ...]:
        """Lay the same parts on no other sticks so that it is easier on the shop."""
        return tidy(self.fit, loads, self.clock.over)

    def _columns(self) -> list[tuple[int, Pattern]]:
        """Patterns that are known to be good."""
        known = self._possible or (self._relaxations[-1] if self._relaxations else None)
        return [] if known is None else known.master.columns

    def _rounded(self, instance: Instance, relaxation: Relaxation) -> tuple[Load, ...] | None:
        """The whole parts of the relaxation's columns, what is left by hand's rule."""
        left = list(instance.demands)
        loads: list[Load] = []
        for kind, pattern, weight in relaxation.master.used():
            times = int(weight + WHOLE)
            if times:
                times = min(times, *(have // need for have, need in zip(left, pattern, strict=True) if need))
            if times:
                left = [have - need * times for have, need in zip(left, pattern, strict=True)]
                loads.append(Load(kind=kind, pattern=pattern, times=times))
        return fill_by_hand(instance, self.fit, loads)
