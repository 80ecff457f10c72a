"""Branch and bound over listed patterns against an oracle that tries every choice."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from itertools import product
from random import Random

import numpy as np
import pytest
from ortools.linear_solver import pywraplp

from cutting.answer.plan import Rests
from cutting.packing import branching, listing
from cutting.packing.bag import Bag
from cutting.packing.branching import branch
from cutting.packing.selecting import Selection
from cutting.packing.survivors import Pool
from cutting.packing.work import Work

MANY = 100_000


def pool_of(rows: list[tuple[int, tuple[int, ...]]]) -> Pool:
    return Pool(
        kinds=np.array([kind for kind, _ in rows], dtype=np.int32),
        patterns=np.array([pattern for _, pattern in rows], dtype=np.int16),
    )


def ask(bag: Bag, rows: list[tuple[int, tuple[int, ...]]], *, nodes: int = MANY) -> Selection:
    return branch(bag, pool_of(rows), nodes=nodes, should_stop=lambda: False)


def every_pattern(bag: Bag) -> Iterator[tuple[int, tuple[int, ...]]]:
    for kind, capacity in enumerate(bag.capacities):
        for pattern in product(*(range(demand + 1) for demand in bag.demands)):
            if any(pattern) and sum(s * p for s, p in zip(bag.sizes, pattern, strict=True)) <= capacity:
                yield kind, pattern


def possible(bag: Bag, rows: list[tuple[int, tuple[int, ...]]]) -> bool:
    """Take every number of the first pattern, then of the next: slow, and independent of the solver."""

    @cache
    def rest(at: int, left: tuple[int, ...], counts: tuple[int, ...]) -> bool:
        if not any(left):
            return True
        if at == len(rows):
            return False
        kind, pattern = rows[at]
        times = 0
        while True:
            after = tuple(d - times * p for d, p in zip(left, pattern, strict=True))
            if min(after) < 0 or times > counts[kind]:
                return False
            if rest(at + 1, after, (*counts[:kind], counts[kind] - times, *counts[kind + 1 :])):
                return True
            times += 1

    return rest(0, bag.demands, bag.counts)


def some_bag(chance: Random) -> Bag:
    """A bag that hardly holds its parts, of one or two kinds of stick."""
    kinds = chance.randint(1, 2)
    capacities = tuple(sorted(chance.sample(range(8, 16), kinds), reverse=True))
    sizes = tuple(sorted(chance.sample(range(2, 9), chance.randint(2, 4)), reverse=True))
    demands = tuple(chance.randint(1, 3) for _ in sizes)
    counts = [0] * kinds
    while sum(c * n for c, n in zip(capacities, counts, strict=True)) < sum(
        s * d for s, d in zip(sizes, demands, strict=True)
    ):
        counts[chance.randrange(kinds)] += 1
    return Bag(sizes=sizes, demands=demands, capacities=capacities, counts=tuple(counts))


def some_cover(chance: Random) -> tuple[Bag, list[tuple[int, tuple[int, ...]]]]:
    """Random patterns that need not fit a length: more fractions, deeper searches."""
    parts = chance.randint(4, 7)
    demands = tuple(chance.randint(1, 2) for _ in range(parts))
    rows = {
        (0, tuple(chance.randint(0, d) if chance.random() < 0.45 else 0 for d in demands))
        for _ in range(chance.randint(8, 16))
    }
    bag = Bag(sizes=(1,) * parts, demands=demands, capacities=(parts,), counts=(chance.randint(2, 4),))
    return bag, sorted(row for row in rows if any(row[1]))


def check(bag: Bag, rows: list[tuple[int, tuple[int, ...]]], found: Selection) -> None:
    """Whatever was found, it must be what the oracle says."""
    assert found.none is not (found.sticks is not None)
    assert found.none is not possible(bag, rows)
    assert found.rests is Rests.EXACT
    if found.sticks is not None:
        assert all((load.kind, load.pattern) in rows and load.times > 0 for load in found.sticks)
        cut = [sum(load.pattern[at] * load.times for load in found.sticks) for at in range(len(bag.sizes))]
        assert tuple(cut) == bag.demands
        for kind, count in enumerate(bag.counts):
            assert sum(load.times for load in found.sticks if load.kind == kind) <= count


@pytest.mark.kind(name="brute force")
def test_it_finds_what_trying_everything_finds() -> None:
    chance = Random("bags")
    said = []
    for _ in range(150):
        bag = some_bag(chance)
        rows = list(every_pattern(bag))
        found = ask(bag, rows)
        check(bag, rows, found)
        said.append(found.none)
    assert 10 < sum(said) < 140


@pytest.mark.kind(name="brute force")
def test_any_list_of_patterns_is_searched_to_the_end() -> None:
    chance = Random("covers")
    deepest, impossible = 0, 0
    for _ in range(150):
        bag, rows = some_cover(chance)
        found = ask(bag, rows)
        check(bag, rows, found)
        deepest, impossible = max(deepest, found.nodes), impossible + found.none
    assert deepest > 1
    assert 10 < impossible < 140


def test_a_graph_whose_edges_need_a_fourth_colour_is_proven_to_need_it() -> None:
    """The Petersen graph (1898) has no three disjoint perfect matchings, though halves of its six make three."""
    edges = [(i, (i + 1) % 5) for i in range(5)] + [(i, i + 5) for i in range(5)]
    edges += [(5 + i, 5 + (i + 2) % 5) for i in range(5)]
    rows = [
        (0, pattern)
        for pattern in product((0, 1), repeat=15)
        if sum(pattern) == 5 and len({end for e, taken in zip(edges, pattern, strict=True) if taken for end in e}) == 10
    ]
    assert len(rows) == 6
    bag = Bag(sizes=(1,) * 15, demands=(1,) * 15, capacities=(5,), counts=(3,))
    found = ask(bag, rows)
    assert found.none
    assert found.nodes > 1


def test_it_gives_up_in_time() -> None:
    bag = Bag(sizes=(3, 2), demands=(2, 2), capacities=(5,), counts=(2,))
    rows = list(every_pattern(bag))
    assert ask(bag, rows, nodes=0) == Selection(nodes=0)
    stopped = branch(bag, pool_of(rows), nodes=MANY, should_stop=lambda: True)
    assert (stopped.sticks, stopped.none) == (None, False)


def test_where_the_solver_fails_nothing_is_claimed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(branching._Search, "_solved", lambda _self: False)
    bag = Bag(sizes=(3,), demands=(3,), capacities=(5,), counts=(2,))
    assert ask(bag, list(every_pattern(bag))) == Selection(nodes=1)


@pytest.mark.parametrize("size", [0.1, 1.0, 1e12])
def test_wrong_dual_values_prove_nothing_wrong(monkeypatch: pytest.MonkeyPatch, size: float) -> None:
    """The solver's word is not believed: with nonsense for dual values what can be packed isn't ruled out."""
    chance = Random("nonsense")
    true = pywraplp.Constraint.dual_value
    monkeypatch.setattr(
        pywraplp.Constraint, "dual_value", lambda row: true(row) + size * chance.choice((-1, 0, 1)) * chance.random()
    )
    claimed = 0
    for number in range(300):
        bag, rows = some_cover(chance)
        if number % 3 == 0:
            bag = some_bag(chance)
            rows = list(every_pattern(bag))
        found = ask(bag, rows, nodes=200)
        claimed += found.none
        assert not (found.none and possible(bag, rows))
    assert claimed


@pytest.mark.parametrize(("sense", "right", "dual"), [(-1, 5, 1.0), (1, 0, -1.0), (-1, 5, -1.0)])
def test_a_row_of_branching_only_counts_in_its_own_direction(
    monkeypatch: pytest.MonkeyPatch, sense: int, right: int, dual: float
) -> None:
    bag = Bag(sizes=(3,), demands=(2,), capacities=(3,), counts=(2,))
    search = branching._Search(bag, pool_of([(0, (1,))]), lambda: False)
    row = branching._Row(coefficients=np.array([1]), right=right, sense=sense)
    added = search._constraints[search._add(row)]
    search._lp.Solve()
    monkeypatch.setattr(pywraplp.Constraint, "dual_value", lambda asked: dual if asked is added else 0.0)
    impossible, _ = search._verdict(np.array([True]))
    assert not impossible


NOTHING = Selection(nodes=1)
PROVEN = Selection(none=True, nodes=1)
INFEASIBLE = Selection(none=True, rests=Rests.FLOATING, nodes=1)


@pytest.mark.parametrize(
    ("said", "answers", "asked", "verdict"),
    [
        # Each proof gets a little before either gets all of it, since which of them is quick can't be foreseen.
        (INFEASIBLE, [PROVEN], [("branch", 50)], PROVEN),
        (INFEASIBLE, [NOTHING, PROVEN], [("branch", 50), ("refute", 2.0)], PROVEN),
        (INFEASIBLE, [NOTHING] * 2 + [PROVEN], [("branch", 50), ("refute", 2.0), ("branch", 900)], PROVEN),
        (
            INFEASIBLE,
            [NOTHING] * 4,
            [("branch", 50), ("refute", 2.0), ("branch", 900), ("refute", 8.0)],
            Selection(none=True, rests=Rests.FLOATING),
        ),
        (NOTHING, [NOTHING], [("branch", 900)], NOTHING),
    ],
)
def test_what_floating_point_says_is_asked_of_both_proofs_in_turns(
    said: Selection,
    answers: list[Selection],
    asked: list[tuple[str, float]],
    verdict: Selection,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    left, heard = iter(answers), []

    def asking(name: str, by: str) -> Callable[..., Selection]:
        return lambda _bag, _pool, **given: heard.append((name, given[by])) or next(left)

    monkeypatch.setattr(listing, "branch", asking("branch", "nodes"))
    monkeypatch.setattr(listing, "refute", asking("refute", "effort"))
    work = Work()
    reach = listing.Reach(patterns=9, nodes=900, proof=8.0)
    bag = Bag(sizes=(3,), demands=(1,), capacities=(4,), counts=(1,))
    found = listing._verified(bag, pool_of([]), said, work=work, reach=reach, should_stop=lambda: False)
    assert (found, heard, work.nodes) == (verdict, asked, len(asked))
