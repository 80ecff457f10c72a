"""The buying model against enumeration of every set of sticks."""

from itertools import product

import pytest

from cutting.buying.sticks import Buying, NoGood
from cutting.fit.instance import Instance
from cutting.packing.inequality import Inequality

INSTANCE = Instance(sizes=(7, 4), demands=(3, 5), capacities=(20, 12, 9), costs=(30, 17, 5), limits=(3, 4, 2))
HOLDS = Inequality(values=(7, 4), holds=(19, 12, 8), worth=41)


def allowed(counts):
    return HOLDS.allows(counts)


def cheapest(keep):
    sets = product(*(range(limit + 1) for limit in INSTANCE.limits))
    return min(sum(c * n for c, n in zip(INSTANCE.costs, counts, strict=True)) for counts in sets if keep(counts))


def taught():
    buying = Buying(INSTANCE)
    buying.require(HOLDS)
    return buying


def test_the_proposal_is_the_cheapest_set_the_inequality_allows():
    assert taught().propose(seconds=5).cost == cheapest(allowed)


def test_a_nogood_rules_out_the_set_and_everything_it_contains():
    buying = taught()
    first = buying.propose(seconds=5)
    buying.exclude(NoGood(counts=first.counts))

    def longer_somewhere(counts):
        return any(sum(counts[: k + 1]) > sum(first.counts[: k + 1]) for k in range(3))

    assert buying.propose(seconds=5).cost == cheapest(lambda counts: allowed(counts) and longer_somewhere(counts))


def test_cost_bounds_and_weights_are_kept():
    buying = taught()
    least = buying.propose(seconds=5, at_least=51)
    assert least.cost == cheapest(
        lambda c: allowed(c) and sum(a * n for a, n in zip(INSTANCE.costs, c, strict=True)) > 50
    )
    light = buying.propose(seconds=5, at_most=80, weights=(1, 1, 9), below=4)
    assert light.cost <= 80
    assert light.counts[0] + light.counts[1] + 9 * light.counts[2] < 4


def test_no_set_is_a_proof_and_no_time_is_not():
    buying = Buying(INSTANCE)
    buying.require(Inequality(values=(1, 1), holds=(1, 1, 1), worth=10))
    assert buying.propose(seconds=5) is None


def test_the_whole_shelf_as_nogood_leaves_nothing():
    buying = Buying(INSTANCE)
    buying.exclude(NoGood(counts=INSTANCE.limits))
    assert buying.propose(seconds=5) is None


@pytest.mark.parametrize("seed", [0, 1, 7])
def test_seeds_change_no_cost(seed):
    buying = Buying(INSTANCE, seed)
    buying.require(HOLDS)
    assert buying.propose(seconds=5).cost == cheapest(allowed)
