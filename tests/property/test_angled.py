"""The engine against brute force over all orders and poses, on small random jobs with angled ends."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutting.answer.plan import Status
from cutting.solve import solve
from tests.angled_oracle import Oracle, random_job
from tests.builders import PATIENCE
from tests.kinds import further


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("first", further(range(0, 200, 20), "a further batch of random jobs"))
def test_cost_agrees_with_brute_force(first: int) -> None:
    for seed in range(first, first + 20):
        job = random_job(seed)
        result = solve(job, cores=1, limit=PATIENCE)
        expected = Oracle(job).cheapest()
        assert expected is not None
        assert result.plan is not None, seed
        assert result.plan.cost == Fraction(expected), seed
        assert result.status is Status.OPTIMAL, seed
