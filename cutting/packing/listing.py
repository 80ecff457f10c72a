"""Settling a bag by listing every pattern that can matter and choosing among them.

The fractional packing's duals and the sizes themselves are inequalities in whole numbers; what
survives both is usually a short list where a bag is tight, and a bag that resists is tight.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from cutting.answer.plan import Rests
from cutting.packing.bag import Bag
from cutting.packing.relaxation import Relaxation, Work
from cutting.packing.selecting import Choice, choose, refute
from cutting.packing.survivors import Pool, Test, survivors

__all__ = ["Effort", "Listing", "among", "settle"]

_QUICK = 0.3  # deterministic time for what a proof settles at once
_LONGEST = 20.0  # seconds that a solver which cannot be interrupted may take


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """How far to go.

    Attributes
    ----------
    patterns
        Longest list.
    nodes
        Most nodes of the search over it.
    proof
        Most deterministic time for a proof in whole numbers that the list holds no packing, tried
        briefly before the search and fully after it failed; 0 where only a packing is of interest.
    """

    patterns: int
    nodes: int
    proof: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Listing:
    """What listing the patterns of a bag led to.

    Attributes
    ----------
    choice
        The search over the list; empty-handed where there was none.
    pool
        The list; None where it grew too long or the search was stopped.
    violated
        Part values whose inequality the bag violates, if it came to that.
    """

    choice: Choice
    pool: Pool | None = None
    violated: tuple[int, ...] | None = None


def settle(
    relaxation: Relaxation,
    bag: Bag,
    effort: Effort,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> Listing:
    """List the patterns that any packing of the bag may use, and choose from them.

    Parameters
    ----------
    relaxation
        Column generation over the bag or a larger one.
    bag
        The bag to settle.
    effort
        Longest list and most nodes.
    should_stop
        Ends the search early.
    seconds_left
        Limit for the solver that cannot be interrupted.
    """
    root = relaxation.solve(bag, should_stop, enough=0.0)
    if root.violated:
        return Listing(choice=Choice(), violated=root.values)
    if not root.finished:
        return Listing(choice=Choice())
    tests = [
        Test(values=values, best=relaxation.knapsack.best(values, demands=bag.demands).values)
        for values in (root.values, bag.sizes)
    ]
    return among(bag, tests, work=relaxation.work, effort=effort, should_stop=should_stop, seconds_left=seconds_left)


def among(
    bag: Bag,
    tests: Sequence[Test],
    *,
    work: Work,
    effort: Effort,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> Listing:
    """List the patterns that survive these tests, and choose from them.

    Parameters are those of `settle`, with counters to add to in place of the relaxation.
    """
    pool = survivors(bag, tests, effort.patterns, should_stop)
    if pool is None:
        return Listing(choice=Choice())
    work.patterns += len(pool)
    if not _covers(pool, bag):
        return Listing(choice=Choice(none=True), pool=pool)
    if effort.proof > 0:
        quick = refute(bag, pool, seed=0, effort=min(_QUICK, effort.proof), should_stop=should_stop)
        work.nodes += quick.nodes
        if quick.none or quick.sticks is not None:
            return Listing(choice=quick, pool=pool)
    choice = choose(bag, pool, nodes=effort.nodes, seconds=min(seconds_left(), _LONGEST))
    work.nodes += choice.nodes
    if choice.none and effort.proof > 0:
        choice = _verified(bag, pool, work, effort, should_stop)
    return Listing(choice=choice, pool=pool)


def _verified(bag: Bag, pool: Pool, work: Work, effort: Effort, should_stop: Callable[[], bool]) -> Choice:
    """Ask again, in whole numbers, what was said to be infeasible."""
    again = refute(bag, pool, seed=0, effort=effort.proof, should_stop=should_stop)
    work.nodes += again.nodes
    if again.none or again.sticks is not None:
        return again
    return Choice(none=True, rests=Rests.FLOATING)


def _covers(pool: Pool, bag: Bag) -> bool:
    """Whether every part still wanted is in some pattern; where not, nothing more need be asked."""
    held = pool.patterns.sum(axis=0, dtype=np.int64)
    return bool((held[np.array(bag.demands) > 0] > 0).all())
