"""One job stated in four ways has one answer: as it is, from a yard, from one with terms of zero, at no kind cost.

Status, cost, bound, layouts and the report on shared cuts agree for every job.
"""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest

from cutting.answer.plan import Result
from cutting.question.job import Job, Source
from cutting.question.yards import Tax, Yard
from cutting.solve import solve
from tests.golden.questions import LIMIT, files, job_of, solved

NOUGHT = Decimal("0.00")


def from_a_yard(job: Job) -> Job:
    """Everything for sale is bought from one yard that states no terms."""
    return _bought(job, Yard(name="Corner yard"))


def from_a_yard_with_terms_of_zero(job: Job) -> Job:
    """The same yard delivers and lets fetch for nothing, takes any order and, where there are prices, adds no tax."""
    tax = Tax(rate=NOUGHT) if job.priced else None
    free = NOUGHT if job.priced else None
    return _bought(
        job,
        Yard(name="Corner yard", delivery=NOUGHT, delivery_free_from=free, collecting=NOUGHT, minimum=NOUGHT, tax=tax),
    )


def _bought(job: Job, yard: Yard) -> Job:
    sticks = tuple(s if s.source is Source.OWN else replace(s, yard=yard.name) for s in job.sticks)
    return replace(job, yards=(yard,), sticks=sticks)


def at_a_kind_cost_of_zero(job: Job) -> Job:
    """Another kind of section costs 0.00 more."""
    return replace(job, kind_cost=NOUGHT)


WAYS: dict[str, Callable[[Job], Job]] = {
    way.__name__: way for way in (from_a_yard, from_a_yard_with_terms_of_zero, at_a_kind_cost_of_zero)
}
JOBS = [name for name in files() if not job_of(name).yards and not job_of(name).kind_cost]


@cache
def stated(name: str, way: str) -> Result:
    return solve(WAYS[way](job_of(name)), limit=LIMIT, cores=1)


CASES = [(name, way) for name in JOBS for way in WAYS]


@pytest.mark.parametrize(("name", "way"), CASES)
def test_status_cost_and_bound_are_the_same(name: str, way: str) -> None:
    plain, other = solved(name), stated(name, way)
    assert (other.status, other.proof.lower_bound) == (plain.status, plain.proof.lower_bound)
    assert other.proof.rests is plain.proof.rests
    assert (other.plan and other.plan.cost) == (plain.plan and plain.plan.cost)


@pytest.mark.parametrize(("name", "way"), CASES)
def test_there_are_as_many_layouts(name: str, way: str) -> None:
    plain, other = solved(name).plan, stated(name, way).plan
    assert (other and len(other.cuts)) == (plain and len(plain.cuts))


@pytest.mark.parametrize(("name", "way"), CASES)
def test_shared_cuts_save_the_same(name: str, way: str) -> None:
    plain, other = solved(name).plan, stated(name, way).plan
    assert (other and other.sharing) == (plain and plain.sharing)


def test_there_are_many_such_jobs_and_some_share_cuts() -> None:
    assert len(JOBS) >= 60
    assert any(plan.sharing for name in JOBS if (plan := solved(name).plan) is not None)
