"""The list of surviving patterns must be complete, and shorter where tests are sharper."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from cutting.fit.knapsack import Knapsack
from cutting.packing import survivors as module
from cutting.packing.bag import Bag
from cutting.packing.survivors import Test as Inequality
from cutting.packing.survivors import survivors


def random_case(rng: Random) -> tuple[Bag, list[Inequality]]:
    sizes = tuple(sorted({rng.randint(2, 20) for _ in range(rng.randint(1, 5))}, reverse=True))
    demands = tuple(rng.randint(0, 3) for _ in sizes)
    capacities = tuple(sorted({rng.randint(10, 40) for _ in range(2)}, reverse=True))
    bag = Bag(sizes=sizes, demands=demands, capacities=capacities, counts=tuple(rng.randint(0, 2) for _ in capacities))
    tests = []
    for _ in range(rng.randint(1, 3)):
        values = tuple(rng.randint(0, 9) for _ in sizes)
        test = Inequality(values=values, best=Knapsack(sizes, demands, capacities).best(values).values)
        if test.slack(bag) >= 0:
            tests.append(test)
    return bag, tests


@pytest.mark.parametrize("units", [32_768, 7])  # the short table rounds sizes down
def test_lists_exactly_what_survives(units: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_TABLE_UNITS", units)
    rng = Random(units)
    for _ in range(150):
        bag, tests = random_case(rng)
        if not tests:
            continue
        pool = survivors(bag, tests, 100_000, lambda: False)
        assert pool is not None
        found = {(int(k), tuple(p.tolist())) for k, p in zip(pool.kinds, pool.patterns, strict=True)}
        assert len(found) == len(pool)
        expected = set()
        for kind, capacity in enumerate(bag.capacities):
            for pattern in product(*(range(demand + 1) for demand in bag.demands)):
                size = sum(a * b for a, b in zip(bag.sizes, pattern, strict=True))
                waste = [t.best[kind] - sum(a * b for a, b in zip(t.values, pattern, strict=True)) for t in tests]
                within = all(w <= t.slack(bag) for w, t in zip(waste, tests, strict=True))
                if any(pattern) and size <= capacity and bag.counts[kind] and within:
                    expected.add((kind, pattern))
        assert found == expected


def test_gives_up_where_there_are_too_many() -> None:
    bag = Bag(sizes=(3, 2), demands=(5, 5), capacities=(20,), counts=(3,))
    test = Inequality(values=(3, 2), best=(20,))
    assert survivors(bag, [test], 3, lambda: False) is None
    assert survivors(bag, [test], 10_000, lambda: True) is None
