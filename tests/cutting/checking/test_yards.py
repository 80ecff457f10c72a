"""The checker against faults planted in plans for jobs with yards: every one must be noticed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from cutting.answer.plan import Cut, Order, Plan, Status, Transport
from cutting.checking.check import check
from cutting.question.job import (
    Break,
    Ends,
    Job,
    Lean,
    Measure,
    Part,
    PerStick,
    Saw,
    Section,
    Source,
    Stick,
    Substitute,
)
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, KeepValue, Tax, Yard, YardCuts
from cutting.solve import solve
from tests.builders import PATIENCE

A = Section(name="A", mass=Fraction(4))
B = Section(name="B", mass=Fraction(3))
C = Section(name="C", mass=Fraction(3))
ZERO = Fraction(0)


def stick(name: str, section: Section, length: int, price: str, yard: str, **more: object) -> Stick:
    return Stick(
        id=name,
        section=section,
        length=Fraction(length),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(price)),
        available=None,
        trims=(Fraction(5), ZERO),
        yard=yard,
        **more,  # type: ignore[arg-type]
    )


@cache
def job() -> Job:
    """Make a job whose plan collects cut sticks from one yard, has others delivered, uses a substitute and a break."""
    parts = (
        Part(mark="P", section=A, length=Fraction(1800), quantity=6),
        Part(mark="Q", section=B, length=Fraction(900), quantity=4),
        Part(
            mark="R", section=C, length=Fraction(1100), quantity=2, substitutes=(Substitute(section=B, remark="ask"),)
        ),
    )
    own = Stick(
        id="O1",
        section=B,
        length=Fraction(950),
        source=Source.OWN,
        price=None,
        available=1,
        trims=(ZERO, ZERO),
    )
    return Job(
        parts=parts,
        sticks=(
            stick("X6", A, 6000, "40", "X", breaks=(Break(least=2, price=PerStick(amount=Decimal(36))),)),
            stick("Y3", B, 3000, "15", "Y"),
            stick("YC", C, 3000, "60", "Y"),
            own,
        ),
        saw=Saw(kerf=Fraction(3), hold=Fraction(200)),
        unit=Unit.MM,
        currency="EUR",
        yards=(
            Yard(
                name="X",
                collecting=Decimal(4),
                minimum=Decimal(70),
                tax=Tax(rate=Decimal("0.07")),
                cuts=YardCuts(charge=Decimal("1.5"), free=1, allowance=Fraction(10)),
            ),
            Yard(name="Y", delivery=Decimal(9), delivery_free_from=Decimal(500), collecting=None),
        ),
        carry=Carry(longest=Fraction(4200), load=Fraction(40)),
        kind_cost=Decimal(2),
        keep_value=KeepValue(amount=Decimal(1), per=Fraction(1000), shortest=Fraction(500)),
    )


@cache
def plan() -> Plan:
    found = solve(job(), cores=1, limit=PATIENCE).plan
    assert found is not None
    return found


def test_the_plan_has_something_of_every_rule_and_passes() -> None:
    orders = {order.yard: order for order in plan().orders}
    assert orders["X"].transport is Transport.COLLECTED
    assert orders["X"].cuts > 1
    assert orders["X"].trips > 1
    assert orders["X"].tax
    assert orders["Y"].transport is Transport.DELIVERED
    assert plan().changes
    assert plan().kinds == 2
    assert any(line.price == 36 for line in plan().buy)
    assert plan().own_value
    assert plan().credit
    assert check(job(), plan()) == ()


def at(number: int, **changes: object) -> Plan:
    """Change one cut, the number-th that the yard cuts."""
    cuts = list(plan().cuts)
    place = [n for n, cut in enumerate(cuts) if cut.marks][number]
    cuts[place] = replace(cuts[place], **changes)  # type: ignore[arg-type]
    return replace(plan(), cuts=tuple(cuts))


def marked() -> Cut:
    return next(cut for cut in plan().cuts if cut.marks)


def carried(**changes: object) -> Plan:
    first, *rest = marked().carried
    return at(0, carried=(replace(first, **changes), *rest))  # type: ignore[arg-type]


def order(yard: str, **changes: object) -> Plan:
    orders = [replace(each, **changes) if each.yard == yard else each for each in plan().orders]  # type: ignore[arg-type]
    return replace(plan(), orders=tuple(orders))


def the(yard: str) -> Order:
    return next(each for each in plan().orders if each.yard == yard)


def unchanged() -> Plan:
    return replace(plan(), changes=())


def _moved_piece() -> Plan:
    first, *rest = marked().pieces
    return at(0, pieces=(replace(first, start=first.start + 1, end=first.end + 1), *rest))


FAULTS: dict[str, Callable[[], Plan]] = {
    "a mark elsewhere": lambda: at(0, marks=tuple(mark + 1 for mark in marked().marks)),
    "no mark at all": lambda: at(0, marks=()),
    "marks that fall": lambda: at(0, marks=(*marked().marks, Fraction(1))),
    "a longer carried piece": lambda: carried(length=marked().carried[0].length + 1),
    "a lighter carried piece": lambda: carried(weight=Fraction(1)),
    "a carried piece that begins elsewhere": lambda: carried(begin=Fraction(7)),
    "a carried piece with more parts": lambda: carried(parts=marked().carried[0].parts + 1),
    "another drop on a carried piece": lambda: carried(drop=marked().carried[0].drop + 1),
    "a skim cut on a carried piece": lambda: carried(skim=not marked().carried[0].skim),
    "a part across a mark": _moved_piece,
    "nothing carried": lambda: at(0, carried=()),
    "a drop worth more": lambda: at(0, credit=Fraction(1)),
    "an order delivered that isn't": lambda: order("X", transport=Transport.DELIVERED, trips=0),
    "an order fetched where nothing can be": lambda: order("Y", transport=Transport.COLLECTED, trips=1),
    "a trip too few": lambda: order("X", trips=the("X").trips - 1),
    "a cut too few": lambda: order("X", cuts=the("X").cuts - 1),
    "another weight": lambda: order("X", weight=Fraction(1)),
    "dearer material": lambda: order("X", material=Decimal(1)),
    "no charge for cuts": lambda: order("X", cutting=Decimal(0)),
    "free delivery": lambda: order("Y", delivery=Decimal(0)),
    "free trips": lambda: order("X", collecting=Decimal(0)),
    "no tax": lambda: order("X", tax=Decimal(0)),
    "another total": lambda: order("X", total=Decimal(1)),
    "an order missing": lambda: replace(plan(), orders=plan().orders[:1]),
    "an order twice": lambda: replace(plan(), orders=(*plan().orders, plan().orders[0])),
    "an untold change": unchanged,
    "a change told twice": lambda: replace(plan(), changes=plan().changes * 2),
    "a change of another part": lambda: replace(plan(), changes=(replace(plan().changes[0], mark="Q"),)),
    "another remark": lambda: replace(plan(), changes=(replace(plan().changes[0], remark="fine"),)),
    "extra kinds for nothing": lambda: replace(plan(), kinds=Decimal(0)),
    "less paid": lambda: replace(plan(), paid=Decimal(1)),
    "kinds as paid": lambda: replace(plan(), paid=(plan().paid or Decimal(0)) + (plan().kinds or Decimal(0))),
    "own pieces for nothing": lambda: replace(plan(), own_value=ZERO),
    "drops worth more": lambda: replace(plan(), credit=Fraction(100)),
    "a lower cost": lambda: replace(plan(), cost=plan().cost - 1),
    "the price before the break": lambda: replace(
        plan(),
        buy=tuple(
            replace(each, price=Decimal(40), cost=40 * each.quantity) if each.stick == "X6" else each
            for each in plan().buy
        ),
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_noticed(fault: str) -> None:
    assert check(job(), FAULTS[fault]()) != ()


def with_yard(name: str, **changes: object) -> Job:
    yards = tuple(replace(yard, **changes) if yard.name == name else yard for yard in job().yards)  # type: ignore[arg-type]
    return replace(job(), yards=yards)


OTHER_JOBS: dict[str, Callable[[], Job]] = {
    "a higher minimum": lambda: with_yard("X", minimum=Decimal(10_000)),
    "a yard that doesn't cut": lambda: with_yard("X", cuts=None),
    "a rougher cut": lambda: with_yard("X", cuts=YardCuts(charge=Decimal("1.5"), free=1, allowance=Fraction(40))),
    "a yard that doesn't deliver": lambda: with_yard("Y", delivery=None),
    "a shorter van": lambda: replace(job(), carry=Carry(longest=Fraction(2000), load=Fraction(40))),
    "a weaker van": lambda: replace(job(), carry=Carry(longest=Fraction(4200), load=Fraction(10))),
    "no substitutes": lambda: replace(job(), parts=tuple(replace(part, substitutes=()) for part in job().parts)),
    "leftovers worth nothing": lambda: replace(job(), keep_value=None),
    "another break": lambda: replace(
        job(), sticks=tuple(replace(each, breaks=()) if each.id == "X6" else each for each in job().sticks)
    ),
}


@pytest.mark.parametrize("change", OTHER_JOBS)
def test_the_plan_does_not_pass_for_a_job_with_other_terms(change: str) -> None:
    assert check(OTHER_JOBS[change](), plan()) != ()


def test_orders_in_a_job_without_terms_are_a_fault() -> None:
    plain = replace(
        job(),
        yards=(),
        carry=Carry(),
        kind_cost=Decimal(0),
        keep_value=None,
        parts=(replace(job().parts[0], substitutes=()),),
        sticks=(replace(job().sticks[0], yard="", breaks=()),),
    )
    found = solve(plain, cores=1, limit=PATIENCE).plan
    assert found is not None
    assert check(plain, found) == ()
    assert check(plain, replace(found, paid=Decimal(1))) != ()
    assert check(plain, replace(found, orders=plan().orders)) != ()


def test_leftovers_are_worth_something_beside_angled_ends_and_yards() -> None:
    ends = Ends(
        angles=(Fraction(45), Fraction(0)),
        lean=Lean.OPPOSED,
        measure=Measure.LONG_POINT,
        depths=(Fraction(40), Fraction(40)),
    )
    parts = (replace(job().parts[0], ends=ends), *job().parts[1:])
    mitred = replace(job(), parts=parts)
    result = solve(mitred, cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert check(mitred, result.plan) == ()
    valued = next(cut for cut in result.plan.cuts if cut.strokes)
    worth = tuple(replace(cut, credit=Fraction(1)) if cut is valued else cut for cut in result.plan.cuts)
    assert any("leaves drops worth" in fault for fault in check(mitred, replace(result.plan, cuts=worth)))


def test_what_a_substitute_saves_is_what_the_plan_without_it_costs_more() -> None:
    (change,) = plan().changes
    drawn = replace(job(), parts=tuple(replace(part, substitutes=()) for part in job().parts))
    without = solve(drawn, cores=1, limit=PATIENCE)
    assert without.plan is not None
    assert change.certain
    assert change.saved == without.plan.cost - plan().cost > 0
