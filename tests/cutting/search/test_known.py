"""A search that begins with what jobs like it have shown ends where one that knows nothing ends."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.answer.plan import Proof, Rests, Result, Status
from cutting.asking.compare import compare, ways_of
from cutting.asking.margins import margins
from cutting.asking.worth import worth
from cutting.buying.model import model_market
from cutting.buying.portions import portions
from cutting.fit.fit import fit_of
from cutting.question.job import Job
from cutting.question.variants import with_part
from cutting.search.beginning import Beginning
from cutting.search.known import Hints, Offer, holds, offer_of
from cutting.solve import Solving, solve
from tests.builders import PATIENCE
from tests.golden.questions import files, job_of, solved
from tests.property.test_yards_brute_force import random_job

MOSTLY = [name for name in files() if solved(name).plan is not None]
SEVERAL = ("kayak_racks.toml", "random/keep_4.json", "random/sections_2.json")


def offers(job: Job, result: Result) -> list[tuple[Offer, bool]]:
    """Make offers of a plan to another job; say of each whether it holds."""
    market = model_market(job)
    found = []
    for portion in portions(market, priced=job.currency is not None):
        assert result.plan is not None
        offer = offer_of(market, portion, result.plan)
        assert offer is not None
        rooms = portion.market.rooms
        fits = [fit_of(room.instance, [way.windows for way in room.ways]) for room in rooms]
        found.append((offer, holds(portion.market, offer, fits)))
    return found


@pytest.mark.parametrize("name", MOSTLY)
def test_a_plan_holds_in_its_own_job(name: str) -> None:
    assert all(ok for _, ok in offers(job_of(name), solved(name)))


@pytest.mark.parametrize("name", ["two_yards.toml", "kayak_stands.toml", "random/square_1.json"])
def test_a_plan_is_believed_only_where_every_part_is_cut_and_fits(name: str) -> None:
    job, result = job_of(name), solved(name)
    part = job.parts[0]
    for change in (replace(part, quantity=part.quantity + 1), replace(part, quantity=part.quantity + 7)):
        assert not all(ok for _, ok in offers(with_part(job, change), result))
    thicker = replace(job, saw=replace(job.saw, kerf=job.saw.kerf + 150))
    assert not all(ok for _, ok in offers(thicker, result))


def test_a_plan_of_other_parts_is_no_offer() -> None:
    job, plan = job_of("two_yards.toml"), solved("two_yards.toml").plan
    market = model_market(replace(job, parts=job.parts[1:]))
    assert [offer_of(market, portion, plan) for portion in portions(market, priced=True)] == [None]


@pytest.mark.parametrize("name", ["two_yards.toml", "kayak_stands.toml", "random/substitutes_3.json"])
def test_a_plan_and_its_bound_settle_the_job_they_are_of(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    job, result = job_of(name), solved(name)
    begun: list[Beginning] = []
    real = Beginning.run
    monkeypatch.setattr(Beginning, "run", lambda self: begun.append(self) or real(self))
    solving = Solving(job, cores=1, known=Hints.of(result, least=result))
    again = solving.run(PATIENCE, savings=False)
    assert (again.status, again.plan.cost) == (Status.OPTIMAL, result.plan.cost)
    assert sum(each.proposals for each in again.report.sections) == 0
    assert not begun


def test_a_bound_that_rests_on_floating_point_says_so_again() -> None:
    result = solved("two_yards.toml")
    proof = Proof(lower_bound=result.plan.cost, rests=Rests.FLOATING)
    again = solve(job_of("two_yards.toml"), PATIENCE, cores=1, known=replace(Hints.of(result), proof=proof))
    assert again.proof.rests is Rests.FLOATING


def test_a_false_hint_of_a_plan_changes_nothing() -> None:
    job = job_of("two_yards.toml")
    longer = with_part(job, replace(job.parts[0], length=job.parts[0].length + 400))
    known = solve(longer, PATIENCE, cores=1, known=Hints.of(solved("two_yards.toml")))
    alone = solve(longer, PATIENCE, cores=1)
    assert (known.status, known.plan.cost) == (alone.status, alone.plan.cost)
    assert known.status is Status.OPTIMAL


@pytest.mark.parametrize("number", range(12))
def test_every_row_of_a_comparison_costs_what_its_job_costs_alone(number: int) -> None:
    job = random_job(9000 + number)
    rows = compare(job, limit=PATIENCE, cores=1).rows
    for way, row in zip(ways_of(job), rows, strict=True):
        alone = solve(way.job, PATIENCE, cores=1)
        assert (row.status, row.cost) == (alone.status, None if alone.plan is None else alone.plan.cost)


@pytest.mark.parametrize("name", SEVERAL)
def test_worth_and_margins_are_the_same_without_hints(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_of(name)
    asked = {"limit": PATIENCE, "cores": 1}
    known = worth(job, most_solves=6, **asked), margins(job, Fraction(15), **asked)
    monkeypatch.setattr(Hints, "of", classmethod(lambda cls, *_, least=None: cls()))  # noqa: ARG005  the name is asked
    assert (worth(job, most_solves=6, **asked), margins(job, Fraction(15), **asked)) == known
