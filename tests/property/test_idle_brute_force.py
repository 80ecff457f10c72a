"""The engine against brute force over small random jobs whose yards' terms make sticks worth buying that stay whole."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import IdleReason
from cutting.question.job import Break, Job, PerStick, Source, Stick
from cutting.question.yards import Yard
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.test_yards_brute_force import random_job
from tests.property.yards_agreement import engine_agrees

JOBS = 2_000
BATCHES = 100
QUICK = 1  # batches that every run makes
USUAL = 24  # batches of `make test-all`; `python -m tests.property.test_idle_brute_force` goes through all of them
MOST_PIECES = 6


def idle_job(number: int) -> Job:
    """Make a job of up to six pieces with minimum orders, free deliveries and breaks that are often out of reach."""
    chance = random.Random(f"idle sticks {number}")
    base = random_job(chance.randrange(1_000_000))
    pieces = 0
    parts = []
    for part in base.parts:
        quantity = min(part.quantity, MOST_PIECES - pieces)
        if quantity:
            parts.append(replace(part, quantity=quantity))
            pieces += quantity
    return replace(
        base,
        parts=tuple(parts),
        sticks=tuple(_dearer(chance, stick) for stick in base.sticks),
        yards=tuple(_hard(chance, yard) for yard in base.yards),
        idle=chance.random() < 0.9,
    )


def _dearer(chance: random.Random, stick: Stick) -> Stick:
    """Give a line of full bars a price that takes more of them than are needed, or few to be had."""
    if stick.source is not Source.STICKS:
        return stick
    price = Decimal(chance.randint(9, 30))
    breaks: tuple[Break, ...] = ()
    if chance.random() < 0.4:
        lower = (price * chance.choice([1, 2, 3]) / 4).quantize(Decimal("0.01"))
        breaks = (Break(least=chance.choice([2, 3, 4, 5]), price=PerStick(amount=lower)),)
    available = None if breaks else chance.choice([None, None, 1, 2, 3])
    return replace(stick, price=PerStick(amount=price), breaks=breaks, available=available)


def _hard(chance: random.Random, yard: Yard) -> Yard:
    delivery = yard.delivery if chance.random() < 0.3 else Decimal(chance.choice([20, 35, 60]))
    return replace(
        yard,
        delivery=delivery,
        delivery_free_from=None if delivery is None else chance.choice([None, Decimal(50), Decimal(80)]),
        minimum=Decimal(chance.choice([0, 0, 40, 75])),
    )


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(USUAL), "a further batch of random jobs", fast=QUICK))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        engine_agrees(idle_job(number), number)


def test_the_random_jobs_leave_sticks_whole_for_every_reason() -> None:
    jobs = [idle_job(number) for number in range(60)]
    assert max(sum(part.quantity for part in job.parts) for job in jobs) == MOST_PIECES
    found = [each for job in jobs if (plan := solve(job, cores=1, limit=PATIENCE).plan) for each in plan.idle]
    assert {reason for each in found for reason in each.reasons} == set(IdleReason)
    assert any(each.saved is None for each in found)
    assert any(each.saved for each in found)
    assert any(not job.idle for job in jobs)
    assert any(sum((n for _, n in each.sticks), 0) > 1 for each in found)
    assert all(each.saved is None or each.saved > Fraction(0) for each in found)


if __name__ == "__main__":
    for every in range(JOBS):
        engine_agrees(idle_job(every), every)
