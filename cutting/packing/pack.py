"""Whether all parts of a section can be cut from exactly these sticks: the cutting room.

`pack` answers with a packing, with a proof that there is none, or that it could not tell.  The
stages, each dearer than the one before: best fit by hand's rule; the fractional test, which may
end in an inequality in whole numbers; dives; and the choice among all patterns that survive
several inequalities (`cutting.packing.listing`), which finds a packing or proves that there is none.

A failed heuristic is never a proof.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from random import Random

from cutting.answer.load import Load, merged
from cutting.answer.plan import Rests
from cutting.fit.fit import Fit, Pattern
from cutting.packing.bag import Bag, without_surplus
from cutting.packing.best_fit import best_fit
from cutting.packing.columns import LEFT_OUT
from cutting.packing.dive import dive
from cutting.packing.listing import Reach, among, settle
from cutting.packing.mixing import Mixing
from cutting.packing.selecting import Selection
from cutting.packing.survivors import Test
from cutting.packing.work import Work

__all__ = ["Outcome", "pack"]

_EFFORT = 1_000_000
_WIDE = 250  # so many parts make the linear programs slow
_EXACT = Reach(patterns=15_000, nodes=1, proof=5.0)
_ROUNDS = (  # dives, then a listing
    (1, Reach(patterns=3_000, nodes=500, proof=10.0)),
    (2, Reach(patterns=30_000, nodes=5_000, proof=60.0)),
    (10, Reach(patterns=50_000, nodes=50_000, proof=600.0)),
    (1_000, Reach(patterns=50_000, nodes=1_000_000, proof=6_000.0)),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What became of one set of sticks: loads, or proven impossible, or neither.

    Attributes
    ----------
    loads : tuple of Load or None
        A packing: every part exactly as often as wanted.
    impossible : bool
        Proven that the parts cannot be cut from these sticks, nor from fewer of them.
    rests : Rests
        On what that rests: whole numbers, or a floating-point solver's word.
    values : tuple of int or None
        Part values whose inequality sum_s V_s y_s >= sum_i v_i d_i these sticks violate; None where only the
        whole-number packing fails.
    work : Work
        What it took.
    """

    loads: tuple[Load, ...] | None = None
    impossible: bool = False
    rests: Rests = Rests.EXACT
    values: tuple[int, ...] | None = None
    work: Work = field(default_factory=Work)


def pack(
    fit: Fit,
    counts: Sequence[int],
    *,
    seed: int = 0,
    should_stop: Callable[[], bool] = lambda: False,
    seconds_left: Callable[[], float] = lambda: 5.0,
    effort: int = _EFFORT,
    columns: Iterable[tuple[int, Pattern]] = (),
) -> Outcome:
    """Cut all parts of a section from exactly these sticks, or prove that it cannot be done.

    Parameters
    ----------
    fit : Fit
        What the parts, all of which are to be cut, do on its sticks.
    counts : sequence of int
        Sticks of each kind.
    seed : int
        For the random choices of the dives.
    should_stop : callable
        Ends the search early (the clock of the caller).
    seconds_left : callable
        How long a solver that cannot be interrupted may take at most.
    effort : int
        Most linear programs solved, over all stages.
    columns : iterable of (int, Pattern)
        (kind of stick, pattern) already known to be useful, to start column generation from.

    Raises
    ------
    ValueError
        Where there are not as many counts as kinds of stick, or one is negative.
    """
    if len(counts) != len(fit.capacities) or min(counts, default=0) < 0:
        msg = "a count of at least 0 is needed for each kind of stick"
        raise ValueError(msg)
    return _Packing(fit, counts, seed=seed, should_stop=should_stop, seconds_left=seconds_left, effort=effort).run(
        columns
    )


class _Packing:
    """One call of `pack`."""

    def __init__(
        self,
        fit: Fit,
        counts: Sequence[int],
        *,
        seed: int,
        should_stop: Callable[[], bool],
        seconds_left: Callable[[], float],
        effort: int,
    ) -> None:
        self.fit = fit
        self.counts = tuple(counts)
        self.rng = Random(seed)
        self.clock = should_stop
        self.seconds_left = seconds_left
        self.effort = effort
        self.work = Work()
        self.kinds = _alike(fit, counts)
        self.bag = Bag(
            sizes=fit.sizes,
            demands=fit.demands,
            capacities=tuple(fit.capacities[kinds[0]] for kinds in self.kinds),
            counts=tuple(sum(counts[kind] for kind in kinds) for kinds in self.kinds),
        )

    def should_stop(self) -> bool:
        return self.work.lp_solves >= self.effort or self.clock()

    def run(self, columns: Iterable[tuple[int, Pattern]]) -> Outcome:
        if self.bag.slack < 0 or not self.kinds or self.bag.capacities[0] < max(self.bag.sizes):
            return self._violated(self._simple_values())
        self.here = self.fit.on([kinds[0] for kinds in self.kinds])
        packed = best_fit(self.bag)
        if packed is not None and all(self.here.holds(load.kind, load.pattern) for load in packed):
            return self._packed(packed)
        outcome = self._by_size() if self.bag.slack == 0 and len(self.bag.sizes) >= _WIDE else None
        if outcome is not None:
            return outcome
        self.mixing = Mixing(self.bag, self.here, self.work)
        self._know(columns)
        root = self.mixing.solve(self.bag, self.should_stop)
        if root.violated:
            return self._violated(root.values)
        return self._rounds(diving=root.left <= LEFT_OUT) or Outcome(work=self.work)

    def _rounds(self, *, diving: bool) -> Outcome | None:
        """Dive and list by turns, each round with more effort; where fractions leave something out no dive can help."""
        for dives, reach in _ROUNDS:
            outcome = (self._dives(dives) if diving else None) or self._prove(reach)
            if outcome is not None:
                return outcome
        return None

    def _by_size(self) -> Outcome | None:
        """Where nothing may be wasted, list what fills a stick exactly, with no linear program."""
        test = Test(values=self.bag.sizes, best=self.bag.capacities)
        return self._told(
            among(
                self.bag,
                self.here,
                [test],
                work=self.work,
                reach=_EXACT,
                should_stop=self.should_stop,
                seconds_left=self.seconds_left,
            ).choice
        )

    def _know(self, columns: Iterable[tuple[int, Pattern]]) -> None:
        """Start column generation from what the caller knows, where it is within this bag."""
        places = {self.fit.alike(kinds[0]): number for number, kinds in enumerate(self.kinds)}
        for kind, pattern in columns:
            own = places.get(self.fit.alike(kind))
            if own is not None and all(a <= d for a, d in zip(pattern, self.bag.demands, strict=True)):
                self.mixing.add(own, tuple(pattern))

    def _dives(self, most: int) -> Outcome | None:
        for _ in range(most):
            if self.should_stop():
                return None
            packed = dive(self.mixing, self.bag, self.rng, self.should_stop, self.seconds_left)
            if packed is not None:
                return self._packed(packed)
        return None

    def _prove(self, reach: Reach) -> Outcome | None:
        """List the patterns that can matter and choose from them."""
        listing = settle(self.mixing, self.bag, reach, self.should_stop, self.seconds_left)
        if listing.violated is not None:
            outcome = self._violated(listing.violated)
            return outcome if outcome.impossible else None
        return self._told(listing.choice)

    def _told(self, choice: Selection) -> Outcome | None:
        if choice.sticks is not None:
            return self._packed(choice.sticks)
        return Outcome(impossible=True, rests=choice.rests, work=self.work) if choice.none else None

    def _simple_values(self) -> tuple[int, ...]:
        """Values that show a shortage at a glance: the sizes, or 1 for a part that fits nowhere."""
        longest = max(self.bag.capacities, default=0)
        if max(self.bag.sizes) > longest:
            return tuple(int(size > longest) for size in self.bag.sizes)
        return self.bag.sizes

    def _violated(self, values: tuple[int, ...]) -> Outcome:
        """Check the inequality once more, in whole numbers, on all the sticks themselves."""
        best = self.fit.best(values)
        held = sum(v * n for v, n in zip(best.values, self.counts, strict=True))
        worth = sum(v * d for v, d in zip(values, self.fit.demands, strict=True))
        return Outcome(work=self.work) if held >= worth else Outcome(impossible=True, values=values, work=self.work)

    def _packed(self, sticks: Iterable[Load]) -> Outcome:
        """Drop surplus pieces and give each stick a kind of its own."""
        kinds = [iter([kind for kind in kinds for _ in range(self.counts[kind])]) for kinds in self.kinds]
        loads = merged(
            Load(kind=next(kinds[load.kind]), pattern=load.pattern, times=1)
            for load in without_surplus(sticks, self.bag.demands)
        )
        return Outcome(loads=loads, work=self.work)


def _alike(fit: Fit, counts: Sequence[int]) -> list[list[int]]:
    """Group the kinds that hold the same, those that hold no part left out, the longest first."""
    groups: dict[object, list[int]] = {}
    for kind, count in enumerate(counts):
        if count and fit.capacities[kind] >= min(fit.sizes):
            groups.setdefault(fit.alike(kind), []).append(kind)
    return sorted(groups.values(), key=lambda kinds: -fit.capacities[kinds[0]])
