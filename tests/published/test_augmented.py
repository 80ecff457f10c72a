"""Sets that need one stick more than they measure, by a construction whose proof is checked here part by part."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from cutting.answer.plan import Rests
from tests.bare import solved
from tests.benchmarks.augmented import EDGES, augmented, needs_four
from tests.builders import PATIENCE


def test_the_graph_is_cubic_and_its_matchings_meet() -> None:
    """As the Petersen graph's six: every two of them share exactly one edge."""
    assert all(sum(end in edge for edge in EDGES) == 3 for end in range(10))
    perfect = [set(some) for some in combinations(range(15), 5) if len({end for at in some for end in EDGES[at]}) == 10]
    assert len(perfect) == 6
    assert all(len(one & other) == 1 for one, other in combinations(perfect, 2))


def test_what_needs_four_sticks_is_told_from_what_does_not() -> None:
    assert not needs_four([5, 5, 5], 5)
    assert needs_four([3, 3, 3, 3, 3], 5) is False  # five sticks
    assert needs_four([4, 4, 4, 3], 5)


@pytest.mark.parametrize("number", range(5))
def test_no_exact_filling_mixes_other_than_three_of_the_triplets_parts(number: int) -> None:
    case = augmented(1, seed=number)[0]
    stick = case.instance.capacities[0]
    lengths = [s for s, d in zip(case.instance.sizes, case.instance.demands, strict=True) for _ in range(d)]
    small = [length for length in lengths if length % 7 == 0]
    large = [length for length in lengths if length % 7]
    assert (len(small), len(large), sum(small)) == (15, 186, 3 * stick)
    assert needs_four(small, stick)
    assert all(Fraction(7, 4) < length % 7 < Fraction(7, 2) and 5 * length > stick for length in large)
    assert sum(length % 7 for length in large) == 7 * 62
    assert sum(lengths) == 65 * stick
    assert case.optimum == 66


@pytest.mark.parametrize("seed", [0])
def test_they_are_proven_to_need_it(seed: int) -> None:
    case = augmented(1, pieces=60, seed=seed)[0]
    found = solved(case.instance, limit=PATIENCE).found
    assert found.choice is not None
    assert (found.choice.cost, found.bound, found.rests) == (case.optimum, case.optimum, Rests.EXACT)


def test_what_cannot_be_made_is_refused() -> None:
    with pytest.raises(ValueError, match="triplets"):
        augmented(1, pieces=200)
