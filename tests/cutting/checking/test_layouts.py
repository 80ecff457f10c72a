"""The checker on what further layouts cost: a plan that says otherwise is refused, in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting import make_job, solve
from cutting.checking.check import check
from tests.builders import PATIENCE

JOB = replace(
    make_job(
        unit="mm",
        kerf="2",
        currency="EUR",
        parts=[("A", "1000", 6), ("A", "700", 7), ("A", "450", 5)],
        sticks=[("A", "3000", "30"), ("A", "2400", "24.50")],
    ),
    layout_cost=Decimal(2),
)
PLAN = solve(JOB, limit=PATIENCE).plan


def test_the_plan_itself_is_sound() -> None:
    assert PLAN is not None
    assert len(PLAN.cuts) == 3
    assert PLAN.layouts == Decimal(4)
    assert check(JOB, PLAN) == ()


@pytest.mark.parametrize("said", [None, Decimal(0), Decimal(2), Decimal(6)])
def test_another_cost_of_layouts_is_a_fault(said: Decimal | None) -> None:
    assert PLAN is not None
    assert f"Further layouts cost 4.00, not {said}." in check(JOB, replace(PLAN, layouts=said))


def test_layouts_left_out_of_what_was_minimised_are_a_fault() -> None:
    assert PLAN is not None
    faults = check(JOB, replace(PLAN, cost=PLAN.cost - 4))
    assert any("+ 4.00 for further layouts" in fault for fault in faults)


def test_a_cost_of_layouts_that_no_job_states_is_a_fault() -> None:
    job = replace(JOB, layout_cost=Decimal(0))
    plan = solve(job, limit=PATIENCE).plan
    assert plan is not None
    assert check(job, replace(plan, layouts=Decimal(4))) != ()


def test_one_more_layout_costs_more() -> None:
    """A stick of the first layout is cut otherwise: its parts in two, the plan's amounts as before."""
    assert PLAN is not None
    first = next(cut for cut in PLAN.cuts if cut.quantity > 1)
    fewer = replace(first, quantity=first.quantity - 1)
    shorter = replace(first, quantity=1, pieces=first.pieces[:-1])
    others = tuple(cut for cut in PLAN.cuts if cut is not first)
    faults = check(JOB, replace(PLAN, cuts=(fewer, shorter, *others)))
    assert "Further layouts cost 6.00, not 4.00." in faults


def test_the_same_parts_from_a_longer_stick_are_no_other_layout() -> None:
    job = replace(
        make_job(
            unit="mm",
            kerf="2",
            currency="EUR",
            parts=[("A", "1000", 4)],
            sticks=[("A", "2100", "20", 1), ("A", "2500", "25", 1)],
        ),
        layout_cost=Decimal(3),
    )
    plan = solve(job, limit=PATIENCE).plan
    assert plan is not None
    assert (len(plan.cuts), plan.layouts, plan.cost) == (2, Decimal(0), Fraction(45))
