"""What further layouts cost, against brute force: small random jobs, square, with angled ends, and with yards."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Status
from cutting.question.job import Job
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.test_angled_yards import random_job as angled_job
from tests.property.test_yards_brute_force import random_job as yards_job
from tests.property.yards_agreement import engine_agrees
from tests.property.yards_brute_force import cheapest

JOBS, BATCHES = 120, 12


def random_job(number: int) -> Job:
    """Every third job has plain square parts, every third angled ends, every third yards."""
    chance = random.Random(f"layout cost {number}")
    cost = Decimal(chance.choice(["0.50", "2", "7.25", "30"]))
    if number % 3 == 0:
        return replace(yards_job(number), layout_cost=cost)
    if number % 3 == 1:
        return replace(angled_job(number), layout_cost=cost)
    plain = yards_job(number)
    sticks = tuple(replace(stick, yard="", breaks=()) for stick in plain.sticks)
    parts = tuple(replace(part, substitutes=()) for part in plain.parts)
    bare = Job(parts=parts, sticks=sticks, saw=plain.saw, unit=plain.unit, currency=plain.currency, layout_cost=cost)
    return replace(bare, idle=False)


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        engine_agrees(random_job(number), number)


def test_a_dearer_purchase_with_fewer_layouts_is_taken() -> None:
    dearer = 0
    for number in range(24):
        job = random_job(number)
        with_cost, without = (solve(each, limit=PATIENCE) for each in (job, replace(job, layout_cost=Decimal(0))))
        if with_cost.plan is None or without.plan is None:
            continue
        assert with_cost.status is Status.OPTIMAL
        assert with_cost.plan.layouts is not None
        money = with_cost.plan.cost - Fraction(with_cost.plan.layouts)
        assert money >= without.plan.cost
        dearer += money > without.plan.cost
        assert cheapest(job) == with_cost.plan.cost
    assert dearer
