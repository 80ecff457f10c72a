"""Dives, best fit, listing and choosing on small bags."""

from __future__ import annotations

from random import Random

from cutting.answer.load import Load
from cutting.answer.plan import Rests
from cutting.fit.square import Square
from cutting.packing.bag import Bag
from cutting.packing.best_fit import best_fit
from cutting.packing.dive import dive
from cutting.packing.listing import Reach, settle
from cutting.packing.mixing import Mixing
from cutting.packing.selecting import choose, refute
from cutting.packing.survivors import Pool, survivors
from cutting.packing.survivors import Test as Inequality
from cutting.packing.work import Work

FIELDHOUSE = Bag(sizes=(15, 10, 6), demands=(3, 5, 9), capacities=(30,), counts=(5,))


def mixing(bag: Bag) -> Mixing:
    return Mixing(bag, Square(bag.sizes, bag.demands, bag.capacities), Work())


def never() -> bool:
    return False


def minute() -> float:
    return 60.0


def packs(bag: Bag, sticks: tuple[Load, ...] | None) -> bool:
    assert sticks is not None
    for stick in sticks:
        bag = bag.without(stick.kind, stick.pattern, stick.times)
        held = sum(s * p for s, p in zip(bag.sizes, stick.pattern, strict=True))
        assert held <= bag.capacities[stick.kind]
    return bag.done and min(bag.counts) >= 0


def everything(bag: Bag) -> Pool:
    values = bag.sizes
    best = Square(bag.sizes, bag.demands, bag.capacities).best(values).values
    pool = survivors(bag, [Inequality(values=values, best=best)], 100_000, never)
    assert pool is not None
    return pool


def triples() -> Bag:
    """Twelve sticks of 1,000 that three parts each fill exactly."""
    rng = Random(5)
    pieces = []
    for _ in range(12):
        a, b = rng.randint(251, 374), rng.randint(251, 374)
        pieces += [a, b, 1000 - a - b]
    sizes = tuple(sorted(set(pieces), reverse=True))
    return Bag(sizes=sizes, demands=tuple(map(pieces.count, sizes)), capacities=(1000,), counts=(12,))


def test_dive_packs_without_waste() -> None:
    bag = triples()
    assert packs(bag, dive(mixing(bag), bag, Random(0), never, minute))


def test_dive_comes_back_empty_handed() -> None:
    assert dive(mixing(FIELDHOUSE), FIELDHOUSE, Random(0), never, minute) is None


def test_best_fit() -> None:
    bag = Bag(sizes=(7, 4, 3), demands=(1, 2, 2), capacities=(10, 8), counts=(1, 2))
    assert packs(bag, best_fit(bag))
    assert best_fit(FIELDHOUSE) is None


def test_choosing_finds_and_refutes() -> None:
    bag = triples()
    assert packs(bag, choose(bag, everything(bag), nodes=1_000, seconds=60.0).sticks)
    assert packs(bag, refute(bag, everything(bag), seed=0, effort=10.0, should_stop=never).sticks)
    none = choose(FIELDHOUSE, everything(FIELDHOUSE), nodes=1_000, seconds=60.0)
    assert none.none
    assert none.rests is Rests.FLOATING
    proof = refute(FIELDHOUSE, everything(FIELDHOUSE), seed=0, effort=10.0, should_stop=never)
    assert proof.none
    assert proof.rests is Rests.EXACT


def test_listing_settles() -> None:
    reach = Reach(patterns=1_000, nodes=1_000)
    bag = triples()
    assert packs(bag, settle(mixing(bag), bag, reach, never, minute).choice.sticks)
    listing = settle(mixing(FIELDHOUSE), FIELDHOUSE, reach, never, minute)
    assert listing.choice.none
    assert listing.pool is not None


def test_listing_keeps_what_just_fits() -> None:
    bag = Bag(sizes=(9, 7, 1), demands=(1, 1, 3), capacities=(10,), counts=(2,))
    assert packs(bag, settle(mixing(bag), bag, Reach(patterns=100, nodes=10), never, minute).choice.sticks)
