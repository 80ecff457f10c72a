"""The front door: whole jobs, proven; limits, cancels and bad input."""

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.answer.plan import Objective, Rests, Status
from cutting.question.errors import JobError
from cutting.question.job import Section, Source
from cutting.solve import solve
from tests.builders import PATIENCE, inch, job, part, stick

BOX = Section(name="box")
FLAT = Section(name="flat")


def sixteenths(rng, low, high):
    return f"{rng.randrange(low * 16, high * 16)}/16"


def test_a_kerf_off_the_grid_of_the_parts_is_ordinary():
    rng = random.Random(4)
    parts = [part(f"P{n}", sixteenths(rng, 14, 120), rng.randint(2, 9)) for n in range(14)]
    question = job(
        parts, [stick("long", 480, "118.20"), stick("short", 240, "61.40"), stick("rack", "77 5/16", "7", 2)]
    )
    question = replace(question, saw=replace(question.saw, kerf=Fraction(12, 5)))
    question = replace(question, sticks=tuple(replace(s, trims=(Fraction(6), Fraction(0))) for s in question.sticks))
    result = solve(question, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.proof.rests is Rests.EXACT
    assert result.gap == 0


def test_tenths_of_a_millimetre_on_twelve_metres():
    rng = random.Random(8)
    parts = [
        replace(part(f"P{n}", 1, rng.randint(2, 8)), length=Fraction(rng.randrange(4000, 35000), 10)) for n in range(18)
    ]
    bars = [
        replace(stick(f"S{n}", 1, "20"), length=Fraction(mm), trims=(Fraction(10), Fraction(0)))
        for n, mm in enumerate((6000, 12000))
    ]
    bars[1] = replace(bars[1], price=replace(bars[1].price, amount=bars[1].price.amount * 2 - 1))
    question = replace(job(parts, bars), saw=replace(job(parts, bars).saw, kerf=Fraction(25, 10)))
    assert solve(question, limit=PATIENCE).status is Status.OPTIMAL


def limited(short):
    """Kantor's course notes (limited stock), in feet: 7x3 6x2 4x6 3x1 from two 15s and `short` 10s."""
    parts = [part("A", 84, 3), part("B", 72, 2), part("C", 48, 6), part("D", 36, 1)]
    return job(
        parts, [stick("long", 180, "15", 2, trims=(0, 0)), stick("short", 120, "10", short, trims=(0, 0))], kerf=0
    )


def test_limited_sticks_that_just_suffice_are_planned_and_one_fewer_is_proven_impossible():
    enough = solve(limited(3), limit=PATIENCE)
    assert (enough.status, enough.plan.cost) == (Status.OPTIMAL, 60)
    assert all(cut.drop == 0 for cut in enough.plan.cuts)
    short = solve(limited(2), limit=PATIENCE)
    assert short.status is Status.INFEASIBLE
    assert short.plan is None
    assert short.proof.infeasible


def test_impossible_by_arrangement_only_is_proven_too():
    """Three 60s and three 40s need 300 of 300, but no stick of 150 holds 60+60+40."""
    parts = [part("A", 60, 3), part("B", 40, 3)]
    result = solve(job(parts, [stick("bar", 150, "9", 2, trims=(0, 0))], kerf=0), limit=PATIENCE)
    assert result.status is Status.INFEASIBLE
    assert "6 pieces" in result.proof.infeasible[0]


def test_free_pieces_are_used_as_the_ties_say():
    """A free rack piece before one's own; of one's own the shorter."""
    own = [stick("long", 100, None, 1, source=Source.OWN), stick("short", 60, None, 1, source=Source.OWN)]
    result = solve(job([part("A", 50, 1)], [stick("bar", 240, "9"), *own]), limit=PATIENCE)
    assert [line.stick for line in result.plan.buy] == ["short"]
    free = stick("free", 100, "0", 1, source=Source.RACK)
    result = solve(job([part("A", 50, 1)], [stick("bar", 240, "9"), *own, free]), limit=PATIENCE)
    assert [line.stick for line in result.plan.buy] == ["free"]


def many_sections():
    rng = random.Random(3)
    sections = [Section(name=f"S{n}", mass=Fraction(n + 2)) for n in range(5)]
    parts = [
        part(f"{section.name}-{n}", sixteenths(rng, 14, 110), rng.randint(3, 9), section)
        for section in sections
        for n in range(6)
    ]
    return job(parts, [stick(s.name, 240, "40", section=s) for s in sections])


def test_sections_add_up_whatever_the_number_of_processes():
    question = many_sections()
    alone = solve(question, cores=1, limit=PATIENCE)
    assert alone.status is Status.OPTIMAL
    assert solve(question, cores=2, limit=PATIENCE).plan == alone.plan
    assert alone.plan.cost == sum(report.cost for report in alone.report.sections)


def test_without_prices_weight_decides_across_sections_and_length_within_one():
    question = many_sections()
    question = replace(question, currency=None, sticks=tuple(replace(s, price=None) for s in question.sticks))
    result = solve(question, limit=PATIENCE)
    assert result.plan.objective is Objective.WEIGHT
    bought = sum(line.quantity * line.length / 1000 * line.section.mass for line in result.plan.buy)
    assert result.plan.cost == result.proof.lower_bound == bought
    single = job([part("A", 50, 3)], [stick("x", 240, None), stick("y", 170, None)], currency=None)
    result = solve(single, limit=PATIENCE)
    assert (result.plan.objective, result.plan.cost) == (Objective.LENGTH, inch(170))


def test_progress_hears_of_plan_and_bound_and_may_cancel():
    heard = []
    result = solve(many_sections(), progress=heard.append, limit=PATIENCE)
    assert heard[-1].incumbent == heard[-1].lower_bound == result.plan.cost
    assert [news.lower_bound for news in heard] == sorted(news.lower_bound for news in heard)
    cancelled = solve(many_sections(), progress=lambda _: True, limit=PATIENCE)
    assert cancelled.plan is not None
    assert cancelled.proof.lower_bound <= result.plan.cost <= cancelled.plan.cost


def test_same_seed_same_plan():
    assert solve(many_sections(), seed=5, limit=PATIENCE).plan == solve(many_sections(), seed=5, limit=PATIENCE).plan


def test_all_problems_at_once():
    with pytest.raises(JobError) as caught:
        solve(job([part("A", "1/16", 1), part("A", 40, 0)], [stick("bar", 240, "9")]), limit=PATIENCE)
    assert len(caught.value.problems) >= 3


@pytest.mark.parametrize("limit", [0, -1, float("nan")])
def test_a_limit_is_a_positive_number_of_seconds(limit):
    with pytest.raises(ValueError, match="time limit"):
        solve(limited(3), limit=limit)
