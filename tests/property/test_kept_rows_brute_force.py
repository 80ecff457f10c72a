"""What drops behind angled parts are worth, against brute force over orders and poses of small random rows."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Plan, Status
from cutting.question.job import Job
from cutting.question.yards import KeepValue
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.test_angled_yards import random_job as angled_job
from tests.property.yards_agreement import engine_agrees

JOBS, BATCHES = 120, 12
MOST_PIECES = 5


def random_job(number: int) -> Job:
    """Make a job of up to five pieces, some with angled ends, whose drops are worth something."""
    chance = random.Random(f"kept rows {number}")
    base = angled_job(chance.randrange(10**9))
    parts, pieces = [], 0
    for part in base.parts:
        quantity = min(part.quantity, MOST_PIECES - pieces)
        if quantity:
            parts.append(replace(part, quantity=quantity))
            pieces += quantity
    shortest = Fraction(chance.choice([3, 100, 250, 400, 800]))
    worth = KeepValue(amount=Decimal(chance.choice(["0.80", "3", "7.50", "20"])), per=Fraction(1000), shortest=shortest)
    cost = Decimal(chance.choice(["0", "0", "0", "2"]))
    return replace(base, parts=tuple(parts), keep_value=worth, layout_cost=cost, idle=chance.random() < 0.5)


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        engine_agrees(random_job(number), number)


def test_the_random_jobs_keep_drops_behind_angled_ends_and_leave_short_ones() -> None:
    kept = short = 0
    for number in range(24):
        result = solve(random_job(number), cores=1, limit=PATIENCE)
        assert result.status in {Status.OPTIMAL, Status.INFEASIBLE}
        for credit, angled in [] if result.plan is None else _drops(result.plan):
            kept += angled and credit > 0
            short += angled and credit == 0
    assert kept
    assert short


def _drops(plan: Plan) -> list[tuple[Fraction, bool]]:
    """For each layout what its drop is worth, and whether it lies behind an angled end."""
    return [(cut.credit or Fraction(0), bool(cut.strokes and cut.strokes[-1].angle)) for cut in plan.cuts]
