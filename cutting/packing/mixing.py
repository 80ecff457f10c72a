"""Packing a bag with fractions of patterns: column generation with exact verdicts.

The master minimises the length of the sticks used plus a large price on every piece left out.
Its columns are found by the exact pricing of whole-number part values (rounded duals), so each
pricing also yields an exact inequality; where that inequality is violated the bag cannot be packed
even in fractions, and the search ends with a certificate in whole numbers.

References
----------
Gilmore, P. C. & Gomory, R. E. (1961, 1963). A linear programming approach to the cutting stock
problem, parts I and II. Operations Research 9 and 11.
Farley, A. A. (1990). A note on bounding a class of linear programming problems, including cutting
stock problems. Operations Research 38 (the bound from duals that are not yet feasible).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from cutting.fit.fit import Fit, Pattern, Pricer
from cutting.packing.bag import Bag
from cutting.packing.columns import LEFT_OUT, Columns
from cutting.packing.work import Work

__all__ = ["Mixing", "Mixture"]

_SCALE = 1 << 28  # whole-number value of the longest stick
_ROW_SCALE = 1 << 24  # where ends are angled: their pricing is quicker with small numbers
_NOISE = 1 << 19  # reduced costs below this part of the scale are rounding
_PENALTY = 2.0  # of a piece left out; the longest stick costs 1
_MORE_COLUMNS = 30  # a pricing may add for each kind of stick
_MORE_ROWS = 3  # the same where ends are angled
_MANY_ROWS = 30  # and where that finds none though pieces stay out: what is left to find is hidden well
_SMOOTHING = 0.6
_ENOUGH = 0.25


@dataclass(frozen=True, kw_only=True, slots=True)
class Mixture:
    """A fractional packing.

    Attributes
    ----------
    columns
        (kind, pattern, how many sticks) with a positive number of sticks.
    left
        Pieces left out in total; above 0 the bag may still be packable (see `Mixing.solve`).
    values
        Whole-number part values of the last pricing.
    violated
        Whether the inequality of these part values proves that the bag cannot be packed.
    finished
        False where the search was stopped early.
    """

    columns: tuple[tuple[int, Pattern, float], ...]
    left: float
    values: tuple[int, ...]
    violated: bool
    finished: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class _Duals:
    """Whole-number part values, and for each kind of stick the value not exceeded or to beat."""

    values: tuple[int, ...]
    floors: tuple[int, ...]


class Mixing:
    """Column generation over one bag and everything that can remain of it.

    Parameters
    ----------
    bag : Bag
        The whole bag; later residuals must be parts of it.
    fit : Fit
        What the bag's parts do on its sticks.
    work : Work
        Counters to add to.
    """

    def __init__(self, bag: Bag, fit: Fit, work: Work) -> None:
        self.bag = bag
        self.fit = fit
        self.work = work
        self.angled = fit.rows is not None
        self._scale = _ROW_SCALE if self.angled else _SCALE
        self._top = max(bag.capacities)
        self._costs = tuple(c * self._scale // self._top for c in bag.capacities)
        self._centre: _Duals | None = None
        self._master = Columns(bag.demands, bag.counts, [_PENALTY] * len(bag.demands))

    def add(self, kind: int, pattern: Pattern) -> bool:
        """Add a column unless it is there already; return whether it was new."""
        return self._master.add(kind, pattern, self.bag.capacities[kind] / self._top)

    def narrowed(self, bag: Bag) -> tuple[Mixing, Bag, tuple[int, ...]]:
        """Return a smaller one for what remains: only the parts still wanted.

        Returns
        -------
        tuple
            It, its bag, and for each of its parts the number it has in this one.
        """
        parts = tuple(i for i, demand in enumerate(bag.demands) if demand)
        rest = Bag(
            sizes=tuple(bag.sizes[i] for i in parts),
            demands=tuple(bag.demands[i] for i in parts),
            capacities=bag.capacities,
            counts=bag.counts,
        )
        narrow = Mixing(rest, self.fit.among(parts, rest.demands), self.work)
        for (kind, pattern), fits in zip(
            self._master.columns, self._master.within(bag.demands, bag.counts), strict=True
        ):
            if fits:
                narrow.add(kind, tuple(pattern[i] for i in parts))
        if self._centre is not None:
            values = tuple(self._centre.values[i] for i in parts)
            narrow._centre = _Duals(values=values, floors=self._centre.floors)
        return narrow, rest, parts

    def solve(self, bag: Bag, should_stop: Callable[[], bool], *, enough: float = _ENOUGH) -> Mixture:
        """Pack `bag` with as little left out as fractions of patterns allow.

        Parameters
        ----------
        bag : Bag
            The bag as a whole or what remains of it.
        should_stop : callable
            Asked before each pricing.
        enough : float
            Share of what the bag could spare that need not be spared (0: generate to the end).

        Notes
        -----
        Rows of angled parts are priced exactly only where something stays out or a list is to be made: that takes long.
        """
        self._begin(bag)
        smoothing = _SMOOTHING
        while True:
            self._master.solve()
            self.work.lp_solves += 1
            if should_stop():
                return self._mixture((), violated=False, finished=False)
            if self._centre is not None and self._good_enough(bag, self._centre, enough):
                return self._mixture(self._centre.values, violated=False, finished=True)
            duals = self._whole_duals(bag)
            trial = self._smoothed(duals, smoothing)
            added = self._roughly(trial, bag)
            if not added:
                whole = None  # read before a new column changes the program
                if self.angled and max(self._master.left) <= LEFT_OUT:
                    whole = self._mixture(trial.values, violated=False, finished=True)
                    if enough:
                        return whole
                added, bound = self._price(trial, bag)
                if bound > self._room(bag):
                    return Mixture(columns=(), left=1.0, values=trial.values, violated=True, finished=True)
                if trial is duals and (whole is not None or not added):
                    return whole or self._mixture(trial.values, violated=False, finished=True)
            smoothing = _SMOOTHING if added else 0.0

    def _begin(self, bag: Bag) -> None:
        """Settle on a bag, and price by size where nothing was priced before."""
        self._master.settle(bag.demands, bag.counts)
        if self._centre is None and not self.angled:
            by_size = self._by_size()
            if not self._roughly(by_size, bag):
                self._price(by_size, bag)

    def _room(self, bag: Bag) -> int:
        """Return the cost of all sticks of the bag in whole units."""
        return sum(c * n for c, n in zip(self._costs, bag.counts, strict=True))

    def _good_enough(self, bag: Bag, centre: _Duals, enough: float) -> bool:
        """Whether nothing is left out and most of what can be spared is spared."""
        if enough == 0 or max(self._master.left) > LEFT_OUT:
            return False
        bound = self._bound(centre, bag)
        used = self._master.cost * self._scale
        return bool(used - bound <= enough * (self._room(bag) - bound))

    def _whole_duals(self, bag: Bag) -> _Duals:
        values = tuple(
            round(value * self._scale) if d else 0 for value, d in zip(self._master.values, bag.demands, strict=True)
        )
        floors = tuple(
            cost + round(rent * self._scale) for rent, cost in zip(self._master.rents, self._costs, strict=True)
        )
        return _Duals(values=values, floors=floors)

    def _by_size(self) -> _Duals:
        """Value every part by its size: no stick holds more than its own."""
        return _Duals(values=tuple(w * self._scale // self._top for w in self.bag.sizes), floors=self._costs)

    def _smoothed(self, duals: _Duals, share: float) -> _Duals:
        """Move the duals towards the best ones so far (Wentges 1997); exact by construction.

        What beats the mixed floors at the mixed values also beats them at the duals, because
        nothing beats the floors of the centre.
        """
        centre = self._centre
        if centre is None or share == 0.0:
            return duals
        return _Duals(
            values=tuple(round(share * a + (1 - share) * b) for a, b in zip(centre.values, duals.values, strict=True)),
            floors=tuple(round(share * a + (1 - share) * b) for a, b in zip(centre.floors, duals.floors, strict=True)),
        )

    def _roughly(self, duals: _Duals, bag: Bag) -> int:
        """Add improving columns that are found quickly; return how many."""
        if not self.angled:
            return self._by_rough(duals, bag, _MORE_COLUMNS)
        added = self._by_rough(duals, bag, _MORE_ROWS)
        if not added and max(self._master.left) > LEFT_OUT:
            added = self._by_rough(duals, bag, _MANY_ROWS)
        return added

    def _by_rough(self, duals: _Duals, bag: Bag, most: int) -> int:
        for pricer in self.fit.rough:
            added, _ = self._priced(pricer, duals, bag, most)
            if added:
                return added
        return 0

    def _price(self, duals: _Duals, bag: Bag) -> tuple[int, int]:
        """Add improving columns; return how many, and a lower bound on the bag's cost."""
        added, held = self._priced(self.fit, duals, bag, _MORE_ROWS if self.angled else _MORE_COLUMNS)
        floors = tuple(max(v, c) for v, c in zip(held, self._costs, strict=True))
        exact = _Duals(values=duals.values, floors=floors)
        bound = self._bound(exact, bag)
        if self._centre is None or bound > self._bound(self._centre, bag):
            self._centre = exact
        return added, bound

    def _priced(self, pricer: Pricer, duals: _Duals, bag: Bag, most: int) -> tuple[int, Sequence[int]]:
        floors = [floor + self._scale // _NOISE for floor in duals.floors]
        best, more = pricer.several(duals.values, demands=bag.demands, floors=floors, most=most)
        self.work.pricings += 1
        found = [(kind, pattern) for kind, pattern in enumerate(best.patterns) if pattern is not None]
        return sum(self.add(kind, pattern) for kind, pattern in [*found, *more] if bag.counts[kind]), best.values

    def _bound(self, duals: _Duals, bag: Bag) -> int:
        """Return the bound sum(values * demands) - sum((floors - costs) * counts)."""
        worth = sum(v * d for v, d in zip(duals.values, bag.demands, strict=True))
        return worth - sum((f - c) * n for f, c, n in zip(duals.floors, self._costs, bag.counts, strict=True))

    def _mixture(self, values: tuple[int, ...], *, violated: bool, finished: bool) -> Mixture:
        return Mixture(
            columns=tuple(self._master.used()),
            left=sum(self._master.left),
            values=values,
            violated=violated,
            finished=finished,
        )
