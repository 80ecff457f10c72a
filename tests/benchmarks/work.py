"""How much work the engine does on a fixed set: counts that repeat on every machine."""

from __future__ import annotations

from dataclasses import dataclass

from tests.bare import solved
from tests.benchmarks.instances import Case, cutgen1, shop_jobs


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """Counts over a whole set, and whether everything in it was proven."""

    proposals: int
    lp_solves: int
    dives: int
    nodes: int
    proven: bool


SETS = {
    "small shop jobs": lambda: shop_jobs(20, pieces=20, kinds=7, stock=8, seed=21),
    "medium shop jobs": lambda: shop_jobs(6, pieces=120, kinds=20, stock=12, seed=7),
    "every stick limited": lambda: shop_jobs(10, pieces=40, kinds=10, stock=8, seed=11, limited=True),
    "one kind of stick": lambda: cutgen1(6, kinds=20, stick=10_000, low=0.01, high=0.6, mean=10),
}


def effort(cases: list[Case]) -> Effort:
    """Solve a set and add up what it took."""
    found = [solved(case.instance).found for case in cases]
    work = [done for each in found for done in each.work]
    return Effort(
        proposals=sum(each.proposals for each in found),
        lp_solves=sum(each.lp_solves for each in work),
        dives=sum(each.dives for each in work),
        nodes=sum(each.nodes for each in work),
        proven=all(each.closed for each in found),
    )
