"""Rows of parts with angled ends: least length, best value, order and poses, against trying everything."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise, permutations, product
from random import Random

import pytest

from cutting.fit.angled.chunks import RowLengths
from cutting.fit.angled.gaps import Gaps, is_shared
from cutting.fit.angled.model import gaps_of, group_parts, model_rows, safe_sizes
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.poses import poses_of
from cutting.fit.angled.pricing import RowPricer
from cutting.fit.angled.rows import Faces, RowModel
from cutting.fit.angled.signature import build_automaton
from cutting.laying.angled.sequence import Sequencer
from cutting.packing.cover import list_rows
from cutting.question.job import Job
from tests.angled_oracle import Oracle, random_job


def modelled(seed: int, clear: tuple[Fraction, ...] = (Fraction(2000),)) -> tuple[Job, RowModel]:
    job = random_job(seed)
    section = job.sections[0]
    return job, model_rows(job, section, group_parts(section, job.parts), clear)


@pytest.mark.parametrize("first", range(0, 30, 10))
def test_least_length_over_all_orders_and_poses(first: int) -> None:
    for seed in range(first, first + 10):
        job, rows = modelled(seed)
        orders = RowOrders(rows)
        groups = group_parts(job.sections[0], job.parts)
        group_of = {part.mark: number for number, group in enumerate(groups) for part in group.parts}
        oracle = Oracle(job)
        for mask, need in oracle.shortest().items():
            pattern = [0] * len(groups)
            for place, piece in enumerate(oracle.pieces):
                pattern[group_of[piece.mark]] += mask >> place & 1
            assert orders.span(pattern) * rows.unit == need, (seed, pattern)


def test_many_alike_are_as_short_as_one_by_one() -> None:
    # beyond four of a kind pairs are not looked at one by one: the same as looking
    for seed in range(40):
        _, rows = modelled(seed)
        orders = RowOrders(rows)
        for kind in range(len(rows.items)):
            pattern = [0] * len(rows.items)
            pattern[kind] = 7
            assert orders.beyond(pattern) == orders.rest(orders.counts(pattern), -1)


@pytest.mark.parametrize("first", range(0, 30, 10))
def test_the_automaton_never_makes_a_row_longer_than_it_is(first: int) -> None:
    for seed in range(first, first + 10):
        _, rows = modelled(seed)
        orders, automaton = RowOrders(rows), build_automaton(rows)
        shift = automaton.capacities[0] - 2 * rows.capacities[0]
        sizes, capacities = safe_sizes(rows)
        for pattern in product(range(3), repeat=len(rows.items)):
            if not any(pattern):
                continue
            state = 0
            for item, pieces in enumerate(pattern):
                for _ in range(pieces):
                    state = automaton.steps[item][state]
            size = sum(n * s for n, s in zip(pattern, automaton.sizes, strict=True))
            span = 2 * orders.span(pattern)
            assert size + automaton.losses[state] - shift <= span, (seed, pattern)
            safe = sum(n * s for n, s in zip(pattern, sizes, strict=True))
            assert safe - (capacities[0] - 2 * rows.capacities[0]) >= span, (seed, pattern)


@pytest.mark.parametrize("first", range(0, 30, 10))
def test_best_rows_with_bounded_counts(first: int) -> None:
    exact = 0
    for seed in range(first, first + 10):
        rng = Random(seed)
        clear = tuple(Fraction(rng.randint(900, 3500)) for _ in range(3))
        job, rows = modelled(seed, clear)
        orders = RowOrders(rows)
        demands = [rng.randint(1, 3) for _ in rows.items]
        values = [max(1, item.length * rng.randint(90, 110) // 100) for item in rows.items]
        automaton = build_automaton(rows)
        pricer = RowPricer(RowLengths(automaton=automaton, orders=orders), demands, automaton.capacities)
        best = pricer.best(values)
        everything = [
            (sum(v * n for v, n in zip(values, row, strict=True)), orders.span(row))
            for row in product(*(range(d + 1) for d in demands))
            if any(row)
        ]
        for kind, capacity in enumerate(rows.capacities):
            true = max((value for value, span in everything if span <= capacity), default=-1)
            row = best.patterns[kind]
            found = -1 if row is None else sum(v * n for v, n in zip(values, row, strict=True))
            assert found <= true <= best.values[kind] or true == found == -1, seed
            assert row is None or all(n <= d for n, d in zip(row, demands, strict=True))
            exact += found == true == best.values[kind]
            rough = pricer.rough[0].best(values)
            assert rough.values[kind] <= true or rough.patterns[kind] is None
        assert job.parts
    assert exact > 20  # of 30: nearly always the bound is reached


def test_floors_silence_what_does_not_beat_them() -> None:
    for seed in range(20):
        _, rows = modelled(seed)
        automaton = build_automaton(rows)
        pricer = RowPricer(
            RowLengths(automaton=automaton, orders=RowOrders(rows)), [2] * len(rows.items), automaton.capacities
        )
        values = [item.length for item in rows.items]
        best = pricer.best(values)
        again = pricer.best(values, floors=best.values)
        assert again.values == best.values
        assert again.patterns == (None,)


def test_listed_rows_are_all_rows_of_that_value() -> None:
    for seed in range(30):
        _, rows = modelled(seed, (Fraction(1800),))
        orders, automaton = RowOrders(rows), build_automaton(rows)
        demands = [2] * len(rows.items)
        values = [item.length for item in rows.items]
        least = rows.capacities[0] // 2
        listed = list_rows(
            RowLengths(automaton=automaton, orders=orders),
            demands,
            automaton.capacities[0],
            values,
            least=least,
            most=10_000,
        )
        every = [
            row
            for row in product(range(3), repeat=len(rows.items))
            if any(row)
            and orders.span(row) <= rows.capacities[0]
            and sum(v * n for v, n in zip(values, row, strict=True)) >= least
        ]
        assert listed is not None
        assert sorted(listed) == sorted(every), seed


def test_a_list_that_grows_too_long_is_none() -> None:
    _, rows = modelled(3, (Fraction(4000),))
    automaton = build_automaton(rows)
    some = RowLengths(automaton=automaton, orders=RowOrders(rows))
    assert (
        list_rows(some, [3] * len(rows.items), automaton.capacities[0], [1] * len(rows.items), least=1, most=2) is None
    )


def effort_of(row: tuple[Faces, ...], *, one_way: bool) -> tuple[int, int]:
    """Fewest swings, then rolls, for parts lying so, over every way to hold the stick; counted by rules of its own."""
    cuts = [] if row[0][0].square else [row[0][0]]
    for one, two in pairwise(row):
        cuts += [one[1]] if is_shared(one[1], two[0]) else [one[1], two[0]]
    cuts.append(row[-1][1])
    # what is at the back (-1: never mattered yet) and how far the saw is swung, with the least effort to get there
    ways: dict[tuple[int, Fraction], tuple[int, int]] = {(-1, Fraction(0)): (0, 0)}
    for face in cuts:
        after: dict[tuple[int, Fraction], tuple[int, int]] = {}
        for (back, swung), (swings, rolls) in ways.items():
            stands = [(face.plane, face.lean), (face.plane + 2, -face.lean)]
            choice = [(back, Fraction(0))] if face.square else [s for s in stands if s[1] > 0 or not one_way]
            for stand in choice:
                more = (swings + (stand[1] != swung), rolls + (back not in (-1, stand[0])))
                after[stand] = min(more, after.get(stand, more))
        ways = after
    return min(ways.values())


def loss(row: tuple[Faces, ...], gaps: Gaps) -> Fraction:
    ends = gaps.outer(row[0][0]) + gaps.outer(row[-1][1])
    return ends + sum((gaps.between(a[1], b[0]) for a, b in pairwise(row)), Fraction(0))


@pytest.mark.parametrize("one_way", [False, True])
def test_order_and_poses_lose_least_then_swing_and_roll_least(*, one_way: bool) -> None:
    tried = 0
    for seed in range(24):
        job, rows = modelled(seed)
        section = job.sections[0]
        groups = group_parts(section, job.parts)
        poses, gaps, orders = poses_of(section), gaps_of(job, section), RowOrders(rows)
        pattern = [0] * len(groups)
        rng = Random(seed)
        for _ in range(3):
            pattern[rng.randrange(len(groups))] += 1
        faces = [group.faces for group in groups]
        laid = Sequencer(orders, faces, poses, gaps, one_way=one_way).sequence(pattern)
        assert Counter(each.item for each in laid) == Counter({i: n for i, n in enumerate(pattern) if n})
        row = tuple(each.pose.faces(faces[each.item]) for each in laid)

        items = [item for item, n in enumerate(pattern) for _ in range(n)]
        images = [sorted({pose.faces(own) for pose in poses}, key=repr) for own in faces]
        every = {lying for order in set(permutations(items)) for lying in product(*(images[item] for item in order))}
        least = min(loss(lying, gaps) for lying in every)
        assert loss(row, gaps) == least, seed
        best = min(effort_of(lying, one_way=one_way) for lying in every if loss(lying, gaps) == least)
        assert effort_of(row, one_way=one_way) == best, seed
        tried += len(every)
    assert tried > 1000
