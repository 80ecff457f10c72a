"""A solve hands out its plans as it goes, goes on where it stopped, and begins with what is known."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.answer.plan import Proof, Result, Status
from cutting.buying.model import model_market
from cutting.buying.portions import portions
from cutting.checking.check import check
from cutting.search.beginning import Beginning
from cutting.search.known import offer_of
from cutting.search.loop import JobSearch
from cutting.solve import Progress, Solving, solve
from shared.files.job import read_job
from tests.bare import bare_market, searched
from tests.builders import PATIENCE
from tests.golden.questions import files, job_of, solved
from tests.served import long_job

LONG, _ = read_job(json.dumps(long_job()).encode(), name="job.json")
KINDS = ("firewood_racks.toml", "two_yards.toml", "random/keep_4.json", "random/substitutes_3.json")


@pytest.mark.parametrize("name", [*KINDS, "random/yards_angled_3.json", "random/rack_3.json"])
def test_every_better_plan_is_handed_out_checked_and_with_its_bound(name: str) -> None:
    job = job_of(name)
    heard: list[tuple[Progress, Result | None]] = []
    result = solve(job, PATIENCE, progress=lambda progress: heard.append((progress, progress.result())), cores=1)
    assert result.plan is not None
    plans = [(progress, found) for progress, found in heard if found is not None]
    assert plans
    for progress, found in plans:
        assert found.plan is not None
        assert check(job, found.plan) == ()
        assert (found.plan.cost, found.proof.lower_bound) == (progress.incumbent, progress.lower_bound)
    assert plans[-1][1].plan.cost == result.plan.cost
    assert all((found is None) is (progress.incumbent is None) for progress, found in heard)


def test_a_run_goes_on_with_what_the_one_before_found_and_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped at its first proposal, the next run makes no relaxation again and ends where one long run ends."""
    job = job_of("two_yards.toml")
    begun = []
    real = Beginning.run
    monkeypatch.setattr(Beginning, "run", lambda self: begun.append(self.search) or real(self))
    solving = Solving(job, cores=1)
    first = solving.run(
        PATIENCE, lambda progress: progress.incumbent is not None and progress.lower_bound > solving.least
    )
    assert first.status is Status.FEASIBLE
    again = solving.run(PATIENCE)
    assert [sum(search.market is part.market for search in begun) for part in solving.parts] == [1]
    assert again.status is Status.OPTIMAL
    assert again.plan.cost == solved("two_yards.toml").plan.cost
    assert again.proof.lower_bound >= first.proof.lower_bound
    assert again.report.seconds >= first.report.seconds
    proposals = [sum(each.proposals for each in result.report.sections) for result in (first, again)]
    assert proposals[0] <= proposals[1]
    assert solving.run(PATIENCE).plan == again.plan


def test_what_was_proven_is_not_proven_again() -> None:
    """Fieldhouse+: one proposal needs a no-good, which a later search begins with."""
    from cutting.fit.clock import Clock
    from cutting.fit.instance import Instance

    instance = Instance(sizes=(15, 10, 6), demands=(3, 5, 9), capacities=(30,), costs=(1,), limits=(17,))
    first = searched(instance, Clock(PATIENCE))
    assert first.learned.rows
    assert first.learned.nogoods
    half = replace(first, choice=None, bound=0)
    search = JobSearch(bare_market(instance), seed=0, clock=Clock(PATIENCE), report=lambda *_: None, before=half)
    again = search.run()
    assert again.choice.cost == again.bound == 6
    assert again.proposals - first.proposals == 1


@pytest.mark.parametrize("name", [name for name in files() if solved(name).plan is not None])
def test_a_plan_is_offered_as_what_it_is(name: str) -> None:
    job, plan = job_of(name), solved(name).plan
    market = model_market(job)
    cost = Fraction(0)
    for portion in portions(market, priced=job.currency is not None):
        offer = offer_of(market, portion, plan)
        search = JobSearch(portion.market, seed=0, clock=None, report=lambda *_: None)
        search.offer(offer.places, offer.loads, offer.idle)
        cost += portion.market.unit * search.best.cost
    assert cost == plan.cost


def test_an_answer_that_is_known_is_never_undercut_by_a_short_run() -> None:
    known = solve(LONG, PATIENCE, progress=lambda progress: progress.incumbent is not None, cores=1)
    raised = replace(known, proof=Proof(lower_bound=known.plan.cost))
    result = solve(LONG, PATIENCE, progress=lambda _: True, cores=1, known=raised)
    assert result.plan.cost <= known.plan.cost
    assert result.proof.lower_bound == known.plan.cost
    assert result.status is Status.OPTIMAL


def test_a_plan_of_another_job_is_not_offered() -> None:
    job = job_of("two_yards.toml")
    market = model_market(job)
    (portion,) = portions(market, priced=True)
    plan = solved("two_yards.toml").plan
    renamed = replace(plan, cuts=tuple(replace(cut, stick="another") for cut in plan.cuts))
    assert offer_of(market, portion, renamed) is None
    lacking = replace(plan, cuts=plan.cuts[1:2])
    assert offer_of(market, portion, lacking) is None
