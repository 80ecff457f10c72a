"""The engine's answer to a job with yards against that of brute force."""

from cutting.answer.plan import Status
from cutting.buying.material import least_by_material
from cutting.buying.rules import uses_rules
from cutting.checking.check import check
from cutting.question.job import Job
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.property.yards_brute_force import cheapest


def engine_agrees(job: Job, number: int) -> None:
    """Assert that the engine proves what brute force finds, by a plan that the checker passes."""
    wanted = cheapest(job)
    result = solve(job, cores=1, limit=PATIENCE)
    told = f"random job {number}, {result.status}, brute force {wanted}, {result.proof.infeasible}"
    assert uses_rules(job)
    if wanted is None:
        assert result.status is Status.INFEASIBLE, told
        assert result.proof.infeasible, told
    else:
        assert result.status is Status.OPTIMAL, told
        assert result.plan is not None, told
        assert result.plan.cost == wanted, f"{told}, engine {result.plan.cost}"
        assert result.proof.lower_bound == wanted, f"{told}, bound {result.proof.lower_bound}"
        assert check(job, result.plan) == (), told
        assert least_by_material(job) <= wanted, told
