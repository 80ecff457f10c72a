"""The knapsack against a plain table, by every one of its ways."""

from __future__ import annotations

from random import Random

import pytest

from cutting.fit import knapsack as module
from cutting.fit.knapsack import Best, Knapsack


def table(sizes: list[int], demands: list[int], capacity: int, values: list[int]) -> int:
    """Return the best value, piece by piece: slow and plain."""
    best = [0] * (capacity + 1)
    for size, demand, value in zip(sizes, demands, values, strict=True):
        for _ in range(demand):
            for room in range(capacity, size - 1, -1):
                best[room] = max(best[room], best[room - size] + value)
    return best[capacity]


def question(rng: Random) -> tuple[list[int], list[int], list[int], list[int]]:
    parts = rng.randint(1, 7)
    sizes = [rng.randint(1, 30) for _ in range(parts)]
    demands = [rng.randint(0, 5) for _ in range(parts)]
    capacities = [rng.randint(0, 80) for _ in range(rng.randint(1, 4))]
    near = rng.random() < 0.5  # values nearly in proportion, as dual values are
    values = [size * 10 + rng.randint(-1, 1) if near else rng.randint(0, 40) for size in sizes]
    return sizes, demands, capacities, values


def check(found: Best, asked: tuple[list[int], ...], floors: list[int] | None) -> None:
    sizes, demands, capacities, values = asked
    for kind, (capacity, value, pattern) in enumerate(zip(capacities, found.values, found.patterns, strict=True)):
        best = table(sizes, demands, capacity, values)
        floor = -1 if floors is None else floors[kind]
        assert value == max(best, floor)
        if pattern is None:
            assert best <= floor
            continue
        assert all(pieces <= demand for pieces, demand in zip(pattern, demands, strict=True))
        assert sum(s * p for s, p in zip(sizes, pattern, strict=True)) <= capacity
        assert sum(v * p for v, p in zip(values, pattern, strict=True)) == value


@pytest.mark.parametrize("states", [None, 0, 3, 10, 40_000])
def test_agrees_with_the_table(states: int | None, monkeypatch: pytest.MonkeyPatch) -> None:
    if states is not None:  # make every grid a long one, and so many states too many
        monkeypatch.setattr(module, "_DENSE_UNITS", 0)
        monkeypatch.setattr(module, "_FEW_STATES", states)
        monkeypatch.setattr(module, "_MOST_STATES", states)
    rng = Random(str(states))
    for _ in range(150):
        asked = question(rng)
        sizes, demands, capacities, values = asked
        floors = [rng.randint(0, 100) for _ in capacities] if rng.random() < 0.5 else None
        check(Knapsack(sizes, demands, capacities).best(values, floors=floors), asked, floors)


def test_several_patterns_beat_the_floor_and_keep_the_demands() -> None:
    rng = Random(1)
    for _ in range(100):
        asked = question(rng)
        sizes, demands, capacities, values = asked
        floors = [rng.randint(0, 60) for _ in capacities]
        best, more = Knapsack(sizes, demands, capacities).several(values, floors=floors, most=5)
        check(best, asked, floors)
        for kind, pattern in more:
            assert sum(s * p for s, p in zip(sizes, pattern, strict=True)) <= capacities[kind]
            assert sum(v * p for v, p in zip(values, pattern, strict=True)) > floors[kind]
            assert all(pieces <= demand for pieces, demand in zip(pattern, demands, strict=True))


def test_tighter_demands() -> None:
    knapsack = Knapsack([5, 3], [2, 9], [16])
    assert knapsack.best([6, 3]).values == (18,)
    assert knapsack.best([6, 3], demands=[1, 2]).values == (12,)


def test_rounded_knapsacks_give_patterns_that_fit() -> None:
    rng = Random(4)
    sizes = [rng.randint(2_000, 60_000) for _ in range(25)]
    demands = [rng.randint(1, 6) for _ in sizes]
    knapsack = Knapsack(sizes, demands, [120_000, 77_777])
    exact = knapsack.best(sizes)
    assert len(knapsack.rough) == 1
    for rough in knapsack.rough:
        found = rough.best(sizes)
        for kind, pattern in enumerate(found.patterns):
            assert pattern is not None
            held = sum(s * p for s, p in zip(sizes, pattern, strict=True))
            assert held == found.values[kind] <= exact.values[kind] <= knapsack.capacities[kind]


@pytest.mark.parametrize(
    ("sizes", "demands", "capacities"),
    [([0], [1], [5]), ([3], [-1], [5]), ([3], [1], [-5]), ([3, 2], [1], [5])],
)
def test_refuses_what_makes_no_sense(sizes: list[int], demands: list[int], capacities: list[int]) -> None:
    with pytest.raises(ValueError, match="s"):
        Knapsack(sizes, demands, capacities)


def test_refuses_values_too_large_to_be_exact() -> None:
    with pytest.raises(OverflowError):
        Knapsack([5], [1], [1 << 30]).best([1 << 40])


def test_nothing_of_value() -> None:
    assert Knapsack([5], [3], [12, 2]).best([0]) == Best(values=(0, 0), patterns=((0,), (0,)))
