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
from cutting.buying.model import model_market
from cutting.fit.clock import Clock
from cutting.fit.fit import fit_of
from cutting.packing.by_hand import fill_by_hand
from cutting.packing.columns import Columns
from cutting.packing.relaxation import Relaxation
from cutting.question.job import Job, Source, Substitute
from cutting.question.yards import KeepValue
from cutting.solve import Progress, solve
from tests.benchmarks.limits import LEFTOVERS, angled, sections, square, yards
from tests.builders import PATIENCE, inch, job, part, stick

LIMIT = 1  # by the clock of these tests, which isn't the wall's
SOLVE = sys.modules["cutting.solve"]
KINDS: dict[str, Callable[[], Job]] = {
    "square": lambda: square(300, 60),
    "angled": lambda: angled(60, 12),
    "yards": lambda: yards(60, 12),
    "sections": lambda: sections(3, 30, 6),
    "angled yards": lambda: replace(yards(60, 12), parts=angled(60, 12).parts),
    "leftovers": lambda: replace(square(60, 12), keep_value=LEFTOVERS),
    "leftovers of yards": lambda: replace(yards(60, 12), keep_value=LEFTOVERS),
    "layouts": lambda: replace(square(60, 12), layout_cost=Decimal(5)),
    "layouts of yards": lambda: replace(yards(60, 12), layout_cost=Decimal(5)),
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


def test_columns_to_begin_with_are_made_as_long_as_there_is_time_to_use_them() -> None:
    instance = model_market(square(300, 60)).rooms[0].instance
    fit = fit_of(instance)
    asked: list[int] = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 5

    plan = fill_by_hand(instance, fit)
    assert plan is not None
    every = Relaxation(instance, fit, plan=plan)
    assert Relaxation(instance, fit).master.columns == every.master.columns  # it makes the same plan by itself
    few = Relaxation(instance, fit, plan=plan, should_stop=stop)
    assert few.master.columns == every.master.columns[: len(few.master.columns)]
    assert len(few.master.columns) <= len(plan) + 5 < len(every.master.columns)


@pytest.mark.parametrize("question", [square(300, 60), angled(60, 12)])
def test_what_comes_behind_the_search_is_kept_back_by_what_preparing_it_took(question: Job) -> None:
    quick, busy, frozen = (SOLVE._margin(question, seconds) for seconds in (0.0, 0.001, 1e9))
    assert quick == SOLVE.MARGIN
    assert busy == pytest.approx(SOLVE.MARGIN + 0.001 * SOLVE.FINISHING)
    assert frozen < 0.3  # importing, and whatever else doesn't go by the lines, takes no search's time away


def test_what_is_kept_back_is_taken_off_the_search_but_no_more_than_half(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[float] = []
    monkeypatch.setattr(Clock, "keep_back", lambda _, seconds: kept.append(seconds))
    monkeypatch.setattr(SOLVE, "_margin", lambda _, prepared: 7.0 if prepared > 0 else 0.0)
    for limit in (4.0, 40.0):
        solve(square(10, 2), limit=limit, cores=1)
    assert kept == [2.0, 7.0]


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
