"""Compare, worth, margins and spares: what each says is held against solving the job it speaks of."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Status
from cutting.asking.compare import Case, compare
from cutting.asking.margins import margins
from cutting.asking.spares import spares
from cutting.asking.worth import worth
from cutting.question.job import Job, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.variants import with_part, with_piece
from cutting.question.yards import Tax, Yard
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.property.test_yards_brute_force import random_job
from tests.property.yards_brute_force import cheapest

A = Section(name="A", mass=Fraction(4))
ZERO = Fraction(0)
CENT = Decimal("0.01")


def stick(name: str, length: int, price: str | None, **more: object) -> Stick:
    stated: dict[str, object] = {"source": Source.STICKS, "available": None, "yard": "", **more}
    return Stick(
        id=name,
        section=A,
        length=Fraction(length),
        price=None if price is None else PerStick(amount=Decimal(price)),
        trims=(ZERO, ZERO),
        **stated,  # type: ignore[arg-type]
    )


def plain(number: int, *, fees: bool) -> Job:
    """Make a job of one section, with a yard's fees or without."""
    chance = random.Random(f"questions {number}")
    parts = tuple(
        Part(mark=f"P{n}", section=A, length=Fraction(chance.randint(30, 140) * 10), quantity=chance.randint(1, 4))
        for n in range(chance.randint(2, 3))
    )
    yard = Yard(name="X", delivery=Decimal(9), collecting=None, minimum=Decimal(30), tax=Tax(rate=Decimal("0.07")))
    name = "X" if fees else ""
    return Job(
        parts=parts,
        sticks=(stick("S3", 3000, "20.50", yard=name), stick("S2", 2000, "14.20", yard=name)),
        saw=Saw(kerf=Fraction(3)),
        unit=Unit.MM,
        currency="EUR",
        yards=(yard,) if fees else (),
    )


def cost(job: Job) -> Fraction:
    result = solve(job, cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    return result.plan.cost


def offered(job: Job, length: Fraction, price: Decimal) -> Job:
    """Offer one piece at a price outside all yards' terms."""
    free = with_piece(job, A, length)
    piece = replace(free.sticks[-1], source=Source.RACK, price=PerStick(amount=price), yard="")
    return replace(free, sticks=(*free.sticks[:-1], piece))


@pytest.mark.parametrize("number", range(6))
def test_a_piece_one_cent_under_its_worth_is_used_and_one_cent_over_is_not(number: int) -> None:
    job = plain(number, fees=False)
    (found,) = worth(job, cores=1, limit=PATIENCE)
    assert found.steps
    assert found.shortest == found.steps[0].length
    for step in found.steps:
        amount = Decimal(step.worth.numerator) / step.worth.denominator
        for price, used in ((amount - CENT, True), (amount + CENT, False)):
            plan = solve(offered(job, step.length, price), cores=1, limit=PATIENCE).plan
            assert plan is not None
            assert any(line.stick == "offcut" for line in plan.buy) is used, (step, price)


@pytest.mark.parametrize("number", range(6))
def test_with_fees_a_piece_at_its_worth_makes_no_difference(number: int) -> None:
    job = plain(number, fees=True)
    without = cost(job)
    (found,) = worth(job, cores=1, limit=PATIENCE)
    # A minimum order may make any piece worthless: then one twice as long as any stick saves nothing either.
    assert bool(found.steps) is (cost(with_piece(job, A, Fraction(6000))) < without)
    for step in found.steps:
        assert step.certain
        assert cost(with_piece(job, A, step.length)) + step.worth == without


@pytest.mark.parametrize("number", range(6))
def test_a_shorter_piece_than_a_step_is_worth_less(number: int) -> None:
    job = plain(number, fees=number % 2 == 0)
    without = cost(job)
    (found,) = worth(job, cores=1, limit=PATIENCE)
    before = ZERO
    for step in found.steps:
        assert without - cost(with_piece(job, A, step.length - 1)) <= before
        before = step.worth


def test_few_solves_leave_steps_uncertain_but_true() -> None:
    job = plain(1, fees=False)
    without = cost(job)
    (found,) = worth(job, cores=1, most_solves=2, limit=PATIENCE)
    assert any(not step.certain for step in found.steps)
    for step in found.steps:
        assert without - cost(with_piece(job, A, step.length)) >= step.worth


@pytest.mark.parametrize("number", [0, 3, 9, 21, 33])
def test_every_row_of_a_comparison_is_what_brute_force_says_of_it(number: int) -> None:
    job = replace(random_job(number), keep_value=None)
    table = compare(job, cores=1, limit=PATIENCE)
    assert table.rows[0].case is Case.ALL
    for row in table.rows:
        asked = job
        match row.case:
            case Case.YARD:
                asked = _only(job, lambda each, row=row: each.source is Source.OWN or each.yard == row.name)
            case Case.NO_RACK:
                asked = _only(job, lambda each: each.source is not Source.RACK)
            case Case.NO_CUTS:
                asked = replace(job, yards=tuple(replace(yard, cuts=None) for yard in job.yards))
            case Case.NO_SUBSTITUTES:
                asked = replace(job, parts=tuple(replace(part, substitutes=()) for part in job.parts))
            case Case.MILL_LENGTH:
                asked = _only(job, lambda each, row=row: each.source is not Source.STICKS or each.length == row.length)
        assert row.cost == cheapest(asked), row
        assert (row.status is Status.INFEASIBLE) == (row.cost is None)
        assert bool(row.reasons) == (row.cost is None)
        if row.delta is not None:
            assert row.delta >= 0


def _only(job: Job, keep: object) -> Job:
    return replace(job, sticks=tuple(filter(keep, job.sticks)))  # type: ignore[arg-type]


@pytest.mark.parametrize("number", range(4))
def test_margins_are_the_least_that_saves_and_the_most_that_is_free(number: int) -> None:
    job = plain(number, fees=number % 2 == 0)
    most = Fraction(150)
    base = cost(job)
    found = margins(job, most, step=Fraction(10), cores=1, limit=PATIENCE)
    assert found is not None
    shorter = {each.mark: each for each in found.shorter}
    for part, longer in zip(job.parts, found.longer, strict=True):

        def change(by: Fraction, part: Part = part) -> Fraction:
            return cost(with_part(job, replace(part, length=part.length + by)))

        assert longer.mark == part.mark
        assert longer.certain
        assert change(longer.by) == base
        if longer.by + 10 <= most:
            assert change(longer.by + 10) > base
        if part.mark in shorter:
            near = shorter[part.mark]
            assert near.certain
            assert base - change(-near.by) == near.saves > 0
            assert near.by == 10 or change(10 - near.by) == base
        else:
            assert change(-min(most, part.length - 10)) == base


@pytest.mark.parametrize("number", range(4))
def test_a_saving_that_is_asked_for_is_the_least_that_counts(number: int) -> None:
    job = plain(number, fees=False)
    most, least = Fraction(400), Fraction(8)
    base = cost(job)
    found = margins(job, most, saving=least, step=Fraction(10), cores=1, limit=PATIENCE)
    assert found is not None
    shorter = {each.mark: each for each in found.shorter}
    for part in job.parts:

        def saved(by: Fraction, part: Part = part) -> Fraction:
            return base - cost(with_part(job, replace(part, length=part.length - by)))

        if part.mark in shorter:
            near = shorter[part.mark]
            assert saved(near.by) == near.saves >= least
            assert near.by == 10 or saved(near.by - 10) < least
        else:
            assert saved(min(most, part.length - 10)) < least


def test_small_savings_are_passed_over_for_the_sum_that_was_asked_for() -> None:
    job = Job(
        # Two on a 3000: a little shorter and a 2000 will do, shorter still and a 1000 will.
        parts=(Part(mark="P", section=A, length=Fraction(1050), quantity=2),),
        sticks=(stick("S3", 3000, "30"), stick("S2", 2000, "21"), stick("S1", 1000, "11")),
        saw=Saw(kerf=Fraction(0)),
        unit=Unit.MM,
        currency="EUR",
    )
    for saving, by, saves in (("0", 50, 9), ("9", 50, 9), ("9.01", 550, 19), ("19", 550, 19)):
        found = margins(job, Fraction(600), saving=Fraction(saving), step=Fraction(10), cores=1, limit=PATIENCE)
        assert found is not None
        assert [(each.by, each.saves, each.sticks) for each in found.shorter] == [(by, saves, 0)]
    nothing = margins(job, Fraction(600), saving=Fraction(20), step=Fraction(10), cores=1, limit=PATIENCE)
    assert nothing is not None
    assert not nothing.shorter
    with pytest.raises(ValueError, match="0 or more"):
        margins(job, Fraction(600), saving=Fraction(-1), cores=1, limit=PATIENCE)


def test_the_widest_kerf_still_fits_and_a_wider_one_does_not() -> None:
    job = Job(
        parts=(Part(mark="P", section=A, length=Fraction(990), quantity=3),),
        sticks=(stick("S3", 3000, "20"),),
        saw=Saw(kerf=Fraction(3)),
        unit=Unit.MM,
        currency="EUR",
    )
    found = margins(job, Fraction(50), cores=1, limit=PATIENCE)
    assert found is not None
    # Three of 990 leave 30 for two cuts.
    assert found.kerf == 15
    assert cost(replace(job, saw=Saw(kerf=Fraction(15)))) == 20
    assert cost(replace(job, saw=Saw(kerf=Fraction(31, 2)))) == 40


def test_margins_refuse_a_change_of_nothing() -> None:
    with pytest.raises(ValueError, match="above 0"):
        margins(plain(0, fees=False), ZERO, limit=PATIENCE)


def test_spares_know_what_a_drop_covers_and_what_the_rest_costs() -> None:
    job = Job(
        parts=(
            Part(mark="long", section=A, length=Fraction(1400), quantity=2),
            Part(mark="short", section=A, length=Fraction(190), quantity=1),
        ),
        sticks=(stick("S3", 3200, "20"), stick("S1", 1500, "11")),
        saw=Saw(kerf=Fraction(2)),
        unit=Unit.MM,
        currency="EUR",
    )
    plan = solve(job, cores=1, limit=PATIENCE).plan
    assert plan is not None
    long, short = spares(job, plan, cores=1, limit=PATIENCE)
    # 3200 - 2 x 1400 - 190 - 3 kerfs leaves 204: enough for another short one.
    assert (short.covered, short.stick, short.cost, short.certain) == (True, "S3", 0, True)
    assert (long.covered, long.stick, long.cost, long.certain) == (False, None, 11, True)


def test_a_piece_longer_than_any_stick_may_serve_two_parts() -> None:
    parts = (Part(mark="P", section=A, length=Fraction(2400), quantity=2),)
    stick = Stick(
        id="S",
        section=A,
        length=Fraction(2500),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(20)),
        available=None,
        trims=(ZERO, ZERO),
    )
    job = Job(parts=parts, sticks=(stick,), saw=Saw(kerf=Fraction(3)), unit=Unit.MM, currency="EUR")
    (found,) = worth(job, cores=1, limit=PATIENCE)
    assert [(step.length, step.worth) for step in found.steps] == [(2400, 20), (4803, 40)]


def test_a_part_may_be_shortened_to_the_width_of_the_cut_and_no_further() -> None:
    # Two of 4 mm and the cut between them are 11 mm, two of 3 mm, as wide as that cut, are the 9 that a stick has.
    parts = (Part(mark="P", section=A, length=Fraction(4), quantity=2),)
    stick = Stick(
        id="S",
        section=A,
        length=Fraction(9),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(20)),
        available=None,
        trims=(ZERO, ZERO),
    )
    job = Job(parts=parts, sticks=(stick,), saw=Saw(kerf=Fraction(3)), unit=Unit.MM, currency="EUR")
    found = margins(job, most=Fraction(3), step=Fraction(1), cores=1, limit=PATIENCE)
    assert found is not None
    assert [(each.mark, each.by, each.saves) for each in found.shorter] == [("P", 1, 20)]
