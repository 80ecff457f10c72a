"""Settling a bag by listing every pattern that can matter and choosing among them.

The fractional packing's duals and the sizes themselves are inequalities in whole numbers; what
survives both is usually a short list where a bag is tight, and a bag that resists is tight.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from cutting.answer.plan import Rests
from cutting.fit.fit import Fit, Pattern
from cutting.packing.bag import Bag
from cutting.packing.branching import branch
from cutting.packing.mixing import Mixing
from cutting.packing.selecting import Selection, choose, refute
from cutting.packing.survivors import Pool, Test, survivors
from cutting.packing.work import Work

if TYPE_CHECKING:
    from cutting.fit.angled.chunks import RowLengths

__all__ = ["Listing", "Reach", "among", "settle"]

_QUICK = 0.3  # deterministic time for what a proof settles at once
_LONGEST = 20.0  # seconds that a solver which cannot be interrupted may take
_FEW_NODES, _MODEST = (
    50,
    2.0,
)  # nodes, and deterministic time, that each of two proofs gets before either gets all of it


@dataclass(frozen=True, kw_only=True, slots=True)
class Reach:
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

    choice: Selection
    pool: Pool | None = None
    violated: tuple[int, ...] | None = None


def settle(
    mixing: Mixing,
    bag: Bag,
    reach: Reach,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> Listing:
    """List the patterns that any packing of the bag may use, and choose from them.

    Parameters
    ----------
    mixing
        Column generation over the bag or a larger one.
    bag
        The bag to settle.
    reach
        Longest list and most nodes.
    should_stop
        Ends the search early.
    seconds_left
        Limit for the solver that cannot be interrupted.
    """
    root = mixing.solve(bag, should_stop, enough=0.0)
    if root.violated:
        return Listing(choice=Selection(), violated=root.values)
    if not root.finished:
        return Listing(choice=Selection())
    tests = [
        Test(values=values, best=mixing.fit.best(values, demands=bag.demands).values)
        for values in ((root.values,) if mixing.angled else (root.values, bag.sizes))
    ]
    return among(
        bag, mixing.fit, tests, work=mixing.work, reach=reach, should_stop=should_stop, seconds_left=seconds_left
    )


def among(
    bag: Bag,
    fit: Fit,
    tests: Sequence[Test],
    *,
    work: Work,
    reach: Reach,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> Listing:
    """List the patterns that survive these tests, and choose from them.

    Parameters are those of `settle`, with counters to add to in place of the mixing.
    """
    pool = _listed(bag, fit, tests, reach.patterns, should_stop)
    if pool is None:
        return Listing(choice=Selection())
    work.patterns += len(pool)
    if not _covers(pool, bag):
        return Listing(choice=Selection(none=True), pool=pool)
    if reach.proof > 0:
        quick = refute(bag, pool, seed=0, effort=min(_QUICK, reach.proof), should_stop=should_stop)
        work.nodes += quick.nodes
        if quick.none or quick.sticks is not None:
            return Listing(choice=quick, pool=pool)
    choice = choose(bag, pool, nodes=reach.nodes, seconds=min(seconds_left(), _LONGEST))
    work.nodes += choice.nodes
    if choice.sticks is None and reach.proof > 0:
        choice = _verified(bag, pool, choice, work=work, reach=reach, should_stop=should_stop)
    return Listing(choice=choice, pool=pool)


def _listed(bag: Bag, fit: Fit, tests: Sequence[Test], most: int, should_stop: Callable[[], bool]) -> Pool | None:
    """List the patterns of every kind that survive these tests; None where they are too many."""
    if any(test.slack(bag) < 0 for test in tests):
        return Pool(kinds=np.zeros(0, dtype=np.int32), patterns=np.zeros((0, len(bag.sizes)), dtype=np.int16))
    pool = survivors(bag, tests, most, should_stop) if fit.rows is None else _rows(bag, fit.rows, tests[0], most)
    if pool is None:
        return None
    rows = zip(pool.kinds.tolist(), pool.patterns.tolist(), strict=True)
    return pool.only(np.array([fit.holds(kind, tuple(pattern)) for kind, pattern in rows], dtype=np.bool_))


def _rows(bag: Bag, rows: RowLengths, test: Test, most: int) -> Pool | None:
    from cutting.packing.cover import list_rows  # noqa: PLC0415 - only where ends are angled

    slack = test.slack(bag)
    kinds: list[int] = []
    patterns: list[Pattern] = []
    for kind, capacity in enumerate(bag.capacities):
        if bag.counts[kind]:
            least = test.best[kind] - slack
            found = list_rows(rows, bag.demands, capacity, test.values, least=least, most=most - len(kinds))
            if found is None:
                return None
            kinds += [kind] * len(found)
            patterns += found
    table = np.array(patterns, dtype=np.int16).reshape(len(patterns), len(bag.sizes))
    return Pool(kinds=np.array(kinds, dtype=np.int32), patterns=table)


def _verified(
    bag: Bag, pool: Pool, said: Selection, *, work: Work, reach: Reach, should_stop: Callable[[], bool]
) -> Selection:
    """Ask in whole numbers what floating point said to be infeasible or left open."""
    few, modest = min(_FEW_NODES, reach.nodes), min(_MODEST, reach.proof)
    efforts = [(few, modest), (reach.nodes, reach.proof)] if said.none else [(reach.nodes, 0.0)]
    for nodes, effort in efforts:
        answer = branch(bag, pool, nodes=nodes, should_stop=should_stop)
        work.nodes += answer.nodes
        if not (answer.none or answer.sticks is not None) and effort:
            answer = refute(bag, pool, seed=0, effort=effort, should_stop=should_stop)
            work.nodes += answer.nodes
        if answer.none or answer.sticks is not None:
            return answer
    return Selection(none=True, rests=Rests.FLOATING) if said.none else answer


def _covers(pool: Pool, bag: Bag) -> bool:
    """Whether every part still wanted is in some pattern; where not, nothing more need be asked."""
    held = pool.patterns.sum(axis=0, dtype=np.int64)
    return bool((held[np.array(bag.demands) > 0] > 0).all())
