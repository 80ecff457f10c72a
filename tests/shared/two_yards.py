"""The demo that is bought from two yards, and its plan, solved once."""

from functools import cache
from pathlib import Path

from cutting.answer.plan import Plan, Result
from cutting.question.job import Job
from cutting.solve import solve
from shared.files.job import read_job
from tests.builders import PATIENCE

PATH = Path(__file__).parents[2] / "fixtures" / "two_yards.toml"


@cache
def demo() -> tuple[Job, Result]:
    job, problems = read_job(PATH.read_bytes(), name=PATH.name)
    assert job is not None, problems
    return job, solve(job, limit=PATIENCE)


def demo_plan() -> tuple[Job, Plan]:
    job, result = demo()
    assert result.plan is not None
    return job, result.plan
