"""The engine against brute force over small random jobs: kerf, trims, finite and priced sticks.

The brute force below knows nothing of the engine: it tries every way to fill stick after stick, in exact fractions.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import product

import pytest

from cutting.answer.plan import Status
from cutting.checking.check import check
from cutting.question.job import Job, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve
from shared.files.job import write_job
from tests.builders import PATIENCE
from tests.kinds import further

JOBS = 400
BATCHES = 20
INCH = Fraction(127, 5)


def random_job(number: int) -> Job:
    """Make a job of up to 9 pieces in up to 4 sizes, up to 4 kinds of stick; one in three has limited sticks only."""
    chance = random.Random(f"brute force {number}")
    metric = chance.random() < 0.5
    grid = Fraction(1, 10) if metric else INCH / 16
    scale = 1000 if metric else 40 * INCH
    kerf = chance.choice([Fraction(0), Fraction("2.4"), INCH * 3 / 32, INCH / 8])
    sections = [Section(name="A"), Section(name="B")][: chance.choice([1, 1, 1, 2])]

    def some_length(low: float, high: float) -> Fraction:
        return grid * round(chance.uniform(low, high) * scale / grid)

    parts = tuple(
        Part(
            mark=f"P{n}",
            section=sections[n % len(sections)],
            length=some_length(0.15, 0.9),
            quantity=chance.randint(1, 3),
        )
        for n in range(chance.randint(len(sections), 4))
    )
    limited = chance.random() < 1 / 3
    sticks = []
    for section in sections:
        for n in range(chance.randint(1, 4)):
            source = chance.choice([Source.STICKS, Source.STICKS, Source.RACK, Source.OWN]) if n else Source.STICKS
            finite = limited or source is not Source.STICKS or chance.random() < 0.3
            length = some_length(0.3, 2.2) + 3 * kerf
            price = Decimal(chance.randint(0, 60)) / chance.choice([1, 2, 4])
            sticks.append(
                Stick(
                    id=f"{section.name}{n}",
                    section=section,
                    length=length,
                    source=source,
                    price=None if source is Source.OWN else PerStick(amount=price),
                    available=chance.randint(1, 3) if finite else None,
                    trims=chance.choice([(kerf, Fraction(0)), (Fraction(0), Fraction(0)), (2 * kerf, kerf)]),
                    usable=chance.choice([None, None, length - grid]),
                )
            )
    return Job(parts=parts, sticks=tuple(sticks), saw=Saw(kerf=kerf), unit=Unit.MM, currency="EUR")


def cheapest(job: Job) -> Fraction | None:
    """Cost of the cheapest plan, by trying everything; None where no plan exists."""
    costs = [_cheapest_section(job, section) for section in job.sections]
    return None if None in costs else sum((cost for cost in costs if cost is not None), Fraction(0))


def _fillings(
    left: tuple[int, ...], lengths: list[Fraction], kerf: Fraction, room: Fraction
) -> Iterator[tuple[int, ...]]:
    """Every non-empty set of pieces that holds the first one left and fits on a stick."""
    first = next(n for n, count in enumerate(left) if count)
    for chosen in product(*(range(count + 1) for count in left)):
        if not chosen[first]:
            continue
        steel = sum((n * length for n, length in zip(chosen, lengths, strict=True)), Fraction(0))
        if steel + (sum(chosen) - 1) * kerf <= room:
            yield chosen


def _cheapest_section(job: Job, section: Section) -> Fraction | None:
    parts = [part for part in job.parts if part.section == section]
    sticks = [stick for stick in job.sticks if stick.section == section]
    prices = [Fraction(stick.price.amount) if isinstance(stick.price, PerStick) else Fraction(0) for stick in sticks]
    room = [(s.length if s.usable is None else s.usable) - s.trims[0] - s.trims[1] for s in sticks]

    @cache
    def best(left: tuple[int, ...], stock: tuple[int, ...]) -> Fraction | None:
        if not any(left):
            return Fraction(0)
        found = None
        for kind, count in enumerate(stock):
            if not count:
                continue
            rest = (*stock[:kind], count - 1, *stock[kind + 1 :])
            for chosen in _fillings(left, [part.length for part in parts], job.saw.kerf, room[kind]):
                after = best(tuple(a - b for a, b in zip(left, chosen, strict=True)), rest)
                if after is not None and (found is None or prices[kind] + after < found):
                    found = prices[kind] + after
        return found

    demand = tuple(part.quantity for part in parts)
    enough = sum(demand)
    return best(demand, tuple(enough if s.available is None else min(enough, s.available) for s in sticks))


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        job = random_job(number)
        wanted = cheapest(job)
        result = solve(job, cores=1, limit=PATIENCE)
        told = f"random job {number}, {result.status}, brute force {wanted}:\n{write_job(job).decode()}"
        if wanted is None:
            assert result.status is Status.INFEASIBLE, told
            assert result.proof.infeasible, told
        else:
            assert result.status is Status.OPTIMAL, told
            assert result.plan is not None, told
            assert result.plan.cost == wanted, told
            assert check(job, result.plan) == (), told


def test_the_random_jobs_are_of_every_sort() -> None:
    jobs = [random_job(number) for number in range(JOBS)]
    answers = [cheapest(job) for job in jobs[:120]]
    assert any(answer is None for answer in answers)
    assert sum(answer is not None for answer in answers) > 60
    assert any(len(job.sections) > 1 for job in jobs)
    assert any(all(stick.available is not None for stick in job.sticks) for job in jobs)
    assert {stick.source for job in jobs for stick in job.sticks} == set(Source)


def test_brute_force_knows_a_case_worked_by_hand() -> None:
    tube = Section(name="A")
    part = Part(mark="P", section=tube, length=Fraction(100), quantity=3)
    zero = (Fraction(0), Fraction(0))

    def stick(name: str, length: str, price: int, available: int | None) -> Stick:
        amount = PerStick(amount=Decimal(price))
        return Stick(
            id=name,
            section=tube,
            length=Fraction(length),
            source=Source.STICKS,
            price=amount,
            available=available,
            trims=zero,
        )

    def ask(*sticks: Stick) -> Fraction | None:
        return cheapest(Job(parts=(part,), sticks=sticks, saw=Saw(kerf=Fraction(2)), unit=Unit.MM, currency="EUR"))

    # Three of 100 with two kerfs of 2 need 304.
    assert ask(stick("S", "304", 7, 1)) == 7
    assert ask(stick("S", "303.9", 7, 1)) is None
    assert ask(stick("S", "303.9", 7, None), stick("T", "100", 3, None)) == 9
