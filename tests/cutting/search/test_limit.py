"""When the time is over, work ends: nothing is begun any more, and a plan and a bound are there all the same."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Status
from cutting.buying.material import least_by_material
from cutting.fit.clock import Clock
from cutting.packing.columns import Columns
from cutting.question.job import Job, Source, Substitute
from cutting.question.yards import KeepValue
from cutting.solve import Progress, solve
from tests.benchmarks.limits import angled, sections, square, yards
from tests.builders import PATIENCE, inch, job, part, stick

LIMIT = 1  # by the clock of these tests, which isn't the wall's
SOLVE = sys.modules["cutting.solve"]
KINDS: dict[str, Callable[[], Job]] = {
    "square": lambda: square(300, 60),
    "angled": lambda: angled(60, 12),
    "yards": lambda: yards(60, 12),
    "sections": lambda: sections(3, 30, 6),
}


class _Over(Clock):
    """A clock that ran out before anything began."""

    def left(self) -> float:
        return 0.0


class _Patient(Clock):
    """A clock that is asked so often before it runs out, whatever the time."""

    asks = 0

    def left(self) -> float:
        type(self).asks += 1
        return 1.0 if type(self).asks < 40 else 0.0


@pytest.fixture
def solves(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Count linear programs."""
    counted: list[int] = []
    solve_once = Columns.solve

    def counting(self: Columns):  # type: ignore[no-untyped-def]
        counted.append(1)
        return solve_once(self)

    monkeypatch.setattr(Columns, "solve", counting)
    return counted


@pytest.mark.parametrize("kind", KINDS)
def test_a_clock_that_has_run_out_still_gives_a_plan_and_a_bound(
    kind: str, monkeypatch: pytest.MonkeyPatch, solves: list[int]
) -> None:
    monkeypatch.setattr(SOLVE, "Clock", _Over)
    question = KINDS[kind]()
    result = solve(question, limit=LIMIT, cores=1)
    assert result.plan is not None
    assert result.proof.lower_bound == least_by_material(question) > 0
    assert len(solves) <= len(question.sections)  # the one of each section that was begun with


@pytest.mark.parametrize("kind", ["square", "yards"])
def test_work_ends_where_the_clock_runs_out_in_the_midst_of_it(
    kind: str, monkeypatch: pytest.MonkeyPatch, solves: list[int]
) -> None:
    monkeypatch.setattr(SOLVE, "Clock", _Patient)
    monkeypatch.setattr(_Patient, "asks", 0)
    result = solve(KINDS[kind](), limit=LIMIT, cores=1)
    assert result.plan is not None
    assert result.proof.lower_bound > 0
    assert len(solves) <= 40
    assert _Patient.asks < 400


def test_the_bound_by_material_is_the_first_thing_that_is_heard() -> None:
    question = square(300, 60)
    heard: list[Progress] = []
    solve(question, limit=PATIENCE, cores=1, progress=lambda news: heard.append(news) or len(heard) > 3)
    assert (heard[0].incumbent, heard[0].lower_bound) == (None, least_by_material(question))
    assert min(news.lower_bound for news in heard) == heard[0].lower_bound > 0


def test_material_is_bought_where_it_is_cheapest_as_far_as_there_is_any() -> None:
    # 10 x (20 + 1/8) in. Own 50 1/8 in for nothing, then 5 cents an inch up to 100 1/8, the rest at 10 cents.
    parts = [part("A", 20, 10)]
    sticks = [
        stick("O", 50, None, 1, source=Source.OWN, trims=(0, 0)),
        stick("R", 100, "5.00625", 1, source=Source.RACK, trims=(0, 0)),
        stick("S", 200, "20.0125", trims=(0, 0)),
    ]
    question = job(parts, sticks)
    exact = replace(question, currency=None)
    assert least_by_material(exact) == inch(100) * inch("100 1/8") / inch("100 1/8") + (
        inch("201 1/4") - inch("50 1/8") - inch("100 1/8")
    ) * inch(200) / inch("200 1/8")


def test_parts_that_may_be_of_either_section_are_bought_from_the_cheaper() -> None:
    one, other = square(10, 2, "A"), square(10, 2, "B")
    cheap = tuple(replace(each, price=replace(each.price, amount=Decimal(3))) for each in other.sticks)  # type: ignore[type-var,arg-type]
    accepted = (Substitute(section=other.parts[0].section),)
    parts = tuple(replace(each, substitutes=accepted) for each in one.parts)
    alone = replace(other, parts=tuple(replace(each, section=other.parts[0].section) for each in one.parts))
    mixed = replace(one, parts=parts, sticks=(*one.sticks, *cheap))
    assert least_by_material(mixed) == least_by_material(replace(alone, sticks=cheap))


def test_leftovers_never_make_it_more_than_a_plan_costs() -> None:
    keep = KeepValue(amount=Decimal(1000), per=Fraction(1000), shortest=Fraction(10))
    question = replace(square(6, 2), keep_value=keep)
    result = solve(question, limit=PATIENCE, cores=1)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert 0 < least_by_material(question) <= result.plan.cost
