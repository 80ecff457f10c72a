"""Settling a bag by listing every pattern that can matter and choosing among them.

The fractional packing's duals and the sizes themselves are inequalities in whole numbers; what
survives both is usually a short list where a bag is tight, and a bag that resists is tight.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from cutting.bag import Bag
from cutting.relaxation import Relaxation
from cutting.selecting import Choice, choose
from cutting.survivors import Pool, Test, survivors

__all__ = ["Effort", "Listing", "settle"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """How far to go.

    Attributes
    ----------
    patterns
        Longest list.
    nodes
        Most nodes of the search over it.
    """

    patterns: int
    nodes: int


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
    pool = survivors(bag, tests, effort.patterns, should_stop)
    if pool is None:
        return Listing(choice=Choice())
    relaxation.work.patterns += len(pool)
    if not _covers(pool, bag):
        return Listing(choice=Choice(none=True), pool=pool)
    choice = choose(bag, pool, nodes=effort.nodes, seconds=seconds_left())
    relaxation.work.nodes += choice.nodes
    return Listing(choice=choice, pool=pool)


def _covers(pool: Pool, bag: Bag) -> bool:
    """Whether every part still wanted is in some pattern; where not, nothing more need be asked."""
    held = pool.patterns.any(axis=0)
    return all(held[part] for part, demand in enumerate(bag.demands) if demand)
