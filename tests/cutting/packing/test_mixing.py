"""Fractional packings: known bounds, exact verdicts, residuals."""

from __future__ import annotations

import pytest

from cutting.fit.square import Square
from cutting.packing.bag import Bag
from cutting.packing.mixing import Mixing
from cutting.packing.work import Work
from tests.cutting.fit.test_fit import random_fit


def mixing(bag: Bag) -> Mixing:
    return Mixing(bag, Square(bag.sizes, bag.demands, bag.capacities), Work())


def fieldhouse(count: int) -> Bag:
    return Bag(sizes=(15, 10, 6), demands=(3, 5, 9), capacities=(30,), counts=(count,))


def never() -> bool:
    return False


def test_bound_of_fieldhouse() -> None:
    found = mixing(fieldhouse(6)).solve(fieldhouse(6), never, enough=0.0)
    assert found.finished
    assert not found.violated
    assert sum(amount for _, _, amount in found.columns) == pytest.approx(149 / 30, abs=1e-6)


def test_shortage_is_proven_in_whole_numbers() -> None:
    bag = fieldhouse(4)
    mix = mixing(bag)
    found = mix.solve(bag, never)
    assert found.violated
    held = mix.fit.best(found.values).values[0] * 4
    assert held < sum(v * d for v, d in zip(found.values, bag.demands, strict=True))


def test_residuals_and_narrowing_agree() -> None:
    bag = fieldhouse(6)
    mix = mixing(bag)
    mix.solve(bag, never)
    rest = bag.without(0, (2, 0, 0), 1).without(0, (1, 0, 2), 1)
    assert rest.demands == (0, 5, 7)
    wide = mix.solve(rest, never, enough=0.0)
    narrow, narrow_bag, parts = mix.narrowed(rest)
    assert parts == (1, 2)
    assert narrow_bag.sizes == (10, 6)
    found = narrow.solve(narrow_bag, never, enough=0.0)
    assert sum(a for _, _, a in found.columns) == pytest.approx(sum(a for _, _, a in wide.columns), abs=1e-6)


def test_stops_when_told() -> None:
    assert not mixing(fieldhouse(6)).solve(fieldhouse(6), lambda: True).finished


def test_columns_are_kept_once() -> None:
    mix = mixing(fieldhouse(6))
    assert mix.add(0, (2, 0, 0))
    assert not mix.add(0, (2, 0, 0))


@pytest.mark.parametrize("sort", ["rows", "rows marked"])
def test_what_is_mixed_for_a_list_is_read_before_the_last_columns_come(
    sort: str, capfd: pytest.CaptureFixture[str]
) -> None:
    """The linear program says nothing of a solution once a column was added; it complains on stderr instead."""
    for seed in range(12):
        fit = random_fit(sort, seed)
        bag = Bag(sizes=fit.sizes, demands=fit.demands, capacities=fit.capacities, counts=(len(fit.sizes),) * 2)
        found = Mixing(bag, fit, Work()).solve(bag, never, enough=0.0)
        for part, demand in enumerate(bag.demands):
            cut = sum(amount * pattern[part] for _, pattern, amount in found.columns)
            assert found.left > 0 or cut >= demand - 1e-6
    assert capfd.readouterr().err == ""
