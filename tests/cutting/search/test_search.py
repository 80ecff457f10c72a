"""The search on instances small enough to enumerate, and how it ends."""

import random
from functools import cache

import pytest

from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from tests.bare import searched


def search(instance, *, limit=20.0, seed=0, cancelled=None):
    heard = []
    found = searched(instance, Clock(limit, cancelled), seed=seed, report=lambda c, b: heard.append((c, b)))
    return found, heard


def fills(sizes, left, room):
    """Every way to fill a stick, the empty one included."""
    if not left:
        yield ()
        return
    for count in range(min(left[0], room // sizes[0]) + 1):
        for rest in fills(sizes[1:], left[1:], room - count * sizes[0]):
            yield (count, *rest)


def cheapest(instance):
    """Least cost by filling one stick after the other in every way; None where the parts can't be cut."""

    @cache
    def best(left, sticks):
        if not any(left):
            return 0
        costs = []
        for kind in (kind for kind, count in enumerate(sticks) if count):
            rest = tuple(n - (k == kind) for k, n in enumerate(sticks))
            for pattern in filter(any, fills(instance.sizes, left, instance.capacities[kind])):
                below = best(tuple(a - b for a, b in zip(left, pattern, strict=True)), rest)
                if below is not None:
                    costs.append(below + instance.costs[kind])
        return min(costs, default=None)

    return best(instance.demands, instance.limits)


def random_instance(rng):
    sizes = tuple(sorted(rng.sample(range(5, 40), rng.randint(2, 4)), reverse=True))
    kinds = rng.randint(1, 3)
    return Instance(
        sizes=sizes,
        demands=tuple(rng.randint(1, 3) for _ in sizes),
        capacities=tuple(rng.randint(sizes[0], 90) for _ in range(kinds)),
        costs=tuple(rng.randint(0, 60) for _ in range(kinds)),
        limits=tuple(rng.randint(1, 4) for _ in range(kinds)),
    )


@pytest.mark.parametrize("number", range(60))
def test_cost_agrees_with_enumeration(number):
    instance = random_instance(random.Random(number))
    answer, _ = search(instance)
    expected = cheapest(instance)
    if expected is None:
        assert answer.bound is None
        assert answer.choice is None
    else:
        assert (answer.choice.cost, answer.bound) == (expected, expected)


def test_news_only_ever_improves():
    instance = Instance(
        sizes=(45, 36, 31, 14), demands=(97, 610, 395, 211), capacities=(100,), costs=(1,), limits=(1313,)
    )
    answer, heard = search(instance)
    assert answer.choice.cost == answer.bound == 453
    costs = [cost for cost, _ in heard if cost is not None]
    bounds = [bound for _, bound in heard]
    assert costs == sorted(costs, reverse=True)
    assert bounds == sorted(bounds)


def test_whole_numbers_fail_where_fractions_fit():
    """Fieldhouse+: 30: 15x3 10x5 6x9 needs 6 sticks though its relaxation is 4.967."""
    instance = Instance(sizes=(15, 10, 6), demands=(3, 5, 9), capacities=(30,), costs=(1,), limits=(17,))
    answer, _ = search(instance)
    assert (answer.choice.cost, answer.bound) == (6, 6)


def test_limited_sticks_that_just_suffice_and_one_fewer():
    """Kantor's course notes (limited stock): two of 15 and three of 10 hold everything without waste."""
    enough = Instance(sizes=(7, 6, 4, 3), demands=(3, 2, 6, 1), capacities=(15, 10), costs=(15, 10), limits=(2, 3))
    answer, _ = search(enough)
    assert answer.choice.cost == answer.bound == 60
    short = Instance(sizes=(7, 6, 4, 3), demands=(3, 2, 6, 1), capacities=(15, 10), costs=(15, 10), limits=(2, 2))
    assert search(short)[0].bound is None


def test_a_cancelled_search_keeps_the_plan_it_had():
    instance = Instance(
        sizes=(45, 36, 31, 14), demands=(97, 610, 395, 211), capacities=(100,), costs=(1,), limits=(1313,)
    )
    answer, _ = search(instance, cancelled=lambda: True)
    assert answer.choice is not None
    assert answer.bound is not None
    assert answer.bound <= 453 <= answer.choice.cost
