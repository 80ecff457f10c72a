"""The buying model against enumeration of every set of sticks."""

from itertools import product

import pytest

from cutting.buying.market import RoomOrder
from cutting.buying.master import Master, RoomRow
from cutting.fit.instance import Instance
from cutting.packing.inequality import Inequality
from tests.bare import bare_market

INSTANCE = Instance(sizes=(7, 4), demands=(3, 5), capacities=(20, 12, 9), costs=(30, 17, 5), limits=(3, 4, 2))
HOLDS = Inequality(values=(7, 4), holds=(19, 12, 8), worth=41)


def allowed(counts):
    return HOLDS.allows(counts)


def cheapest(keep):
    sets = product(*(range(limit + 1) for limit in INSTANCE.limits))
    return min(sum(c * n for c, n in zip(INSTANCE.costs, counts, strict=True)) for counts in sets if keep(counts))


ROW = RoomRow(room=0, holds=HOLDS.holds, values=HOLDS.values)


def buying(seed=0):
    return Master(bare_market(INSTANCE), seed)


def order(counts):
    return RoomOrder(counts=counts, demands=INSTANCE.demands)


def taught(seed=0):
    model = buying(seed)
    model.require(ROW)
    return model


def test_the_proposal_is_the_cheapest_set_the_inequality_allows():
    assert taught().propose(seconds=5).cost == cheapest(allowed)


def test_a_nogood_rules_out_the_set_and_everything_it_contains():
    model = taught()
    first = model.propose(seconds=5).rooms[0]
    model.exclude([(0, first)])

    def longer_somewhere(counts):
        return any(sum(counts[: k + 1]) > sum(first.counts[: k + 1]) for k in range(3))

    assert model.propose(seconds=5).cost == cheapest(lambda counts: allowed(counts) and longer_somewhere(counts))


def test_cost_bounds_and_weights_are_kept():
    model = taught()
    least = model.propose(seconds=5, at_least=51)
    assert least.cost == cheapest(
        lambda c: allowed(c) and sum(a * n for a, n in zip(INSTANCE.costs, c, strict=True)) > 50
    )
    light = model.propose(seconds=5, at_most=80, weights=[(1, 1, 9)], below=4)
    assert light.cost <= 80
    assert sum(w * n for w, n in zip((1, 1, 9), light.rooms[0].counts, strict=True)) < 4


def test_no_set_is_a_proof_and_no_time_is_not():
    model = buying()
    model.require(RoomRow(room=0, holds=(1, 1, 1), values=(2, 1)))
    assert model.propose(seconds=5) is None
    with pytest.raises(TimeoutError):
        buying().propose(seconds=0, effort=0.0)


def test_the_whole_shelf_as_nogood_leaves_nothing():
    model = buying()
    model.exclude([(0, order(INSTANCE.limits))])
    assert model.propose(seconds=5) is None


@pytest.mark.parametrize("seed", [0, 1, 7])
def test_seeds_change_no_cost(seed):
    assert taught(seed).propose(seconds=5).cost == cheapest(allowed)
