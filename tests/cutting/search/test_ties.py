"""Ties: less own steel, fewer layouts, longer drops, and never another cost."""

import pytest

from cutting.answer.load import Load
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.square import fullest
from cutting.search.rooms.share import ShareCutter
from tests.bare import searched, solved


def tidied(instance, own_lengths):
    return solved(instance, own_lengths).found.choice


def used(choice, kind):
    return choice.orders[0].counts[kind]


def test_a_free_rack_piece_goes_before_ones_own():
    instance = Instance(sizes=(50,), demands=(1,), capacities=(60, 60), costs=(0, 0), limits=(1, 1))
    for own in ((60, 0), (0, 60)):
        choice = tidied(instance, own)
        assert used(choice, own.index(60)) == 0
        assert used(choice, own.index(0)) == 1


def test_the_shortest_own_piece_that_does_is_taken():
    instance = Instance(sizes=(50,), demands=(1,), capacities=(90, 70, 80), costs=(0, 0, 0), limits=(1, 1, 1))
    assert [load.kind for load in tidied(instance, (90, 70, 80)).loads[0]] == [1]


def test_leftovers_are_gathered_in_one_long_drop():
    """Two sticks, pieces 40 40 10 10: one drop of 20 and none on the other, or 40+10 twice with two of 10."""
    instance = Instance(sizes=(40, 10), demands=(3, 2), capacities=(100,), costs=(5,), limits=(2,))
    scattered = (Load(kind=0, pattern=(2, 0), times=1), Load(kind=0, pattern=(1, 2), times=1))
    waste = sorted(
        100 - 40 * a - 10 * b
        for load in ShareCutter(instance, seed=0, clock=Clock(20)).tidied(scattered)
        for a, b in [load.pattern]
    )
    assert waste == [0, 60]


def test_equal_sticks_are_cut_alike():
    instance = Instance(sizes=(30, 20), demands=(8, 8), capacities=(101,), costs=(7,), limits=(16,))
    found, choice = searched(instance, Clock(20)), tidied(instance, (0,))
    assert choice.cost == found.choice.cost == found.bound == 28
    assert [(load.pattern, load.times) for load in choice.loads[0]] == [((2, 2), 4)]


@pytest.mark.parametrize("capacity", [12, 13, 20, 31, 64])
def test_fullest_agrees_with_trying_everything(capacity):
    sizes, counts = (9, 7, 4), (2, 3, 2)
    best = max(
        total for a in range(3) for b in range(4) for c in range(3) if (total := 9 * a + 7 * b + 4 * c) <= capacity
    )
    pattern = fullest(sizes, counts, capacity)
    assert all(0 <= n <= m for n, m in zip(pattern, counts, strict=True))
    assert sum(s * n for s, n in zip(sizes, pattern, strict=True)) == best
