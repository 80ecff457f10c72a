"""Sticks that stay whole: what they are bought for, and every fault in what a plan says of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from cutting.answer.plan import Idle, IdleReason, Plan, Status, Transport
from cutting.checking.check import check
from cutting.question.job import Break, Job, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, KeepValue, Yard
from cutting.solve import solve
from tests.builders import PATIENCE, inch, job, part, stick

SHS = Section(name="SHS", mass=Fraction(4))
OTHER = Section(name="flat bar", mass=Fraction(1))
ZERO = Fraction(0)


def line(name: str, length: int, price: str, section: Section = SHS, **more: object) -> Stick:
    return Stick(
        id=name,
        section=section,
        length=Fraction(length),
        source=more.pop("source", Source.STICKS),  # type: ignore[arg-type]
        price=PerStick(amount=Decimal(price)),
        available=more.pop("available", None),  # type: ignore[arg-type]
        trims=(ZERO, ZERO),
        **more,  # type: ignore[arg-type]
    )


def metric(length: int, quantity: int, *sticks: Stick, **more: object) -> Job:
    wanted = (Part(mark="P", section=SHS, length=Fraction(length), quantity=quantity),)
    return Job(parts=wanted, sticks=sticks, saw=Saw(kerf=Fraction(2)), unit=Unit.MM, currency="EUR", **more)  # type: ignore[arg-type]


def posts() -> Job:
    """Ten 14 ft posts of 20 ft sticks, delivered for 95.00, from 650.00 on for nothing."""
    question = job([part("POST", "14 ft", 10)], [stick("S", "20 ft", "61.40")])
    yard = Yard(name="Y", delivery=Decimal(95), delivery_free_from=Decimal(650), collecting=None)
    return replace(question, yards=(yard,), sticks=tuple(replace(each, yard="Y") for each in question.sticks))


def small_order() -> Job:
    return metric(5000, 1, line("S", 6000, "30.00", yard="Y"), yards=(Yard(name="Y", minimum=Decimal(50)),))


def by_quantity() -> Job:
    cheaper = Break(least=5, price=PerStick(amount=Decimal(7)))
    return metric(5000, 4, line("S", 6000, "10.00", breaks=(cheaper,)))


@cache
def planned(question: Job) -> Plan:
    result = solve(question, cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    return result.plan


@pytest.mark.parametrize(
    ("question", "cost", "sticks", "reason", "saved", "forbidden"),
    [
        (posts(), "675.40", 11, IdleReason.DELIVERY, "33.60", "709.00"),
        (small_order(), "60.00", 2, IdleReason.MINIMUM, None, None),
        (by_quantity(), "35.00", 5, IdleReason.PRICE, "5.00", "40.00"),
    ],
)
def test_one_more_stick_is_bought_where_that_is_cheaper_or_the_only_way(
    question: Job, cost: str, sticks: int, reason: IdleReason, saved: str | None, forbidden: str | None
) -> None:
    found = planned(question)
    assert found.cost == Fraction(cost)
    assert [bought.quantity for bought in found.buy] == [sticks]
    assert sum(each.quantity for each in found.cuts) == sticks - 1
    (idle,) = found.idle
    assert (idle.sticks, idle.reasons) == ((("S", 1),), (reason,))
    assert idle.saved == (None if saved is None else Fraction(saved))
    without = solve(replace(question, idle=False), cores=1, limit=PATIENCE)
    if forbidden is None:
        assert without.status is Status.INFEASIBLE
        assert "minimum orders and a part on every stick" in without.proof.infeasible[0]
    else:
        assert without.plan is not None
        assert (without.status, without.plan.cost, without.plan.idle) == (Status.OPTIMAL, Fraction(forbidden), ())


def test_the_cheapest_stick_to_reach_a_yards_terms_may_be_of_another_section() -> None:
    question = metric(
        5000,
        1,
        line("S", 6000, "45.00", yard="Y"),
        line("F", 6000, "6.00", OTHER, yard="Y"),
        yards=(Yard(name="Y", minimum=Decimal(50)),),
    )
    assert planned(question).cost == 51
    assert planned(question).idle[0].sticks == (("F", 1),)
    dear = replace(question, kind_cost=Decimal(40))
    assert planned(dear).cost == 90
    assert planned(dear).idle[0].sticks == (("S", 1),)


def test_what_another_section_costs_in_trouble_is_taken_off_the_saving() -> None:
    yard = Yard(name="Y", delivery=Decimal(20), delivery_free_from=Decimal(50), collecting=None)
    sticks = (line("S", 6000, "45.00", yard="Y"), line("F", 6000, "6.00", OTHER, yard="Y"))
    found = planned(metric(5000, 1, *sticks, yards=(yard,), kind_cost=Decimal(2)))
    assert (found.cost, found.kinds) == (53, Decimal(2))
    assert [(each.sticks, each.saved) for each in found.idle] == [((("F", 1),), 12)]


def test_neither_own_nor_rack_pieces_stay_whole() -> None:
    yard = Yard(name="Y", minimum=Decimal(50))
    rack = line("R", 6000, "25.00", source=Source.RACK, available=2, yard="Y")
    own = replace(line("O", 6000, "0", source=Source.OWN, available=3), price=None)
    assert solve(metric(5000, 1, rack, yards=(yard,)), cores=1, limit=PATIENCE).status is Status.INFEASIBLE
    assert planned(metric(5000, 1, rack, own, yards=(yard,))).idle == ()


def test_no_more_stay_whole_than_there_are() -> None:
    yard = Yard(name="Y", minimum=Decimal(50))
    few = metric(5000, 1, line("S", 6000, "20.00", available=2, yard="Y"), yards=(yard,))
    assert solve(few, cores=1, limit=PATIENCE).status is Status.INFEASIBLE
    enough = metric(5000, 1, line("S", 6000, "20.00", available=3, yard="Y"), yards=(yard,))
    assert planned(enough).idle[0].sticks == (("S", 2),)


def test_what_is_too_long_to_carry_stays_whole_only_where_it_is_delivered() -> None:
    def asked(delivery: Decimal | None) -> Job:
        yard = Yard(name="Y", minimum=Decimal(50), delivery=delivery)
        sticks = (line("S", 3000, "45.00", yard="Y"), line("L", 6000, "6.00", OTHER, yard="Y"))
        return metric(2500, 1, *sticks, yards=(yard,), carry=Carry(longest=Fraction(4000)))

    assert planned(asked(None)).idle[0].sticks == (("S", 1),)
    assert planned(asked(Decimal(10))).idle[0].sticks == (("L", 1),)
    assert planned(asked(Decimal(10))).orders[0].transport is Transport.DELIVERED


def test_what_stays_whole_counts_as_a_leftover() -> None:
    keep = KeepValue(amount=Decimal(1), per=Fraction(1000), shortest=Fraction(500))
    found = planned(replace(small_order(), keep_value=keep))
    # 6 m of one stick whole, and 998 mm behind the part and its cut of the other.
    assert found.credit == 6 + Fraction("0.998")
    assert found.cost == 60 - 6 - Fraction("0.998")


def idle(**changes: object) -> Callable[[Plan], Plan]:
    return lambda answer: replace(answer, idle=(replace(answer.idle[0], **changes),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda plan: replace(plan, idle=()), "S: 10 cut, and 11 on the buy list"),
        (idle(sticks=(("S", 2),)), "S: 10 cut, 2 whole, and 11 on the buy list"),
        (idle(sticks=(("S", 0), ("S", 1))), "isn't listed once"),
        (idle(sticks=(("X", 1),)), "leaves X whole, which the job doesn't have"),
        (idle(yard="Z"), "nothing is ordered there"),
        (idle(reasons=(IdleReason.PRICE,)), "is there for"),
        (idle(reasons=()), "is there for"),
        (idle(saved=Fraction("33.59")), "saves 168/5, not"),
        (idle(saved=None), "saves 168/5, not None"),
        (lambda plan: replace(plan, idle=plan.idle * 2), "more than once"),
    ],
)
def test_a_fault_in_what_is_said_of_them_is_noticed(spoil: Callable[[Plan], Plan], words: str) -> None:
    question = posts()
    assert check(question, planned(question)) == ()
    faults = check(question, spoil(planned(question)))
    assert any(words in fault for fault in faults), faults


def test_the_checker_knows_when_they_are_forbidden_or_of_no_use() -> None:
    question = posts()
    assert "The plan leaves sticks whole, and the job forbids that." in check(
        replace(question, idle=False), planned(question)
    )
    always_free = replace(question, yards=(replace(question.yards[0], delivery_free_from=Decimal(100)),))
    faults = check(always_free, planned(question))
    assert "The sticks of Y that stay whole are good for nothing." in faults
    assert any("costs 307/5 more than it saves" in fault or "saves -307/5, not" in fault for fault in faults)


def test_the_checker_carries_them_home() -> None:
    yard = Yard(name="Y", minimum=Decimal(50), delivery=Decimal(10))
    sticks = (line("S", 3000, "45.00", yard="Y"), line("L", 6000, "6.00", OTHER, yard="Y"))
    question = metric(2500, 1, *sticks, yards=(yard,), carry=Carry(longest=Fraction(7000)))
    found = planned(question)
    assert (found.orders[0].transport, found.idle[0].sticks) == (Transport.COLLECTED, (("L", 1),))
    shorter = replace(question, carry=Carry(longest=Fraction(4000)))
    assert "L stays whole, and is too long or too heavy to be carried." in check(shorter, found)


def test_only_full_bars_of_that_yard_may_stay_whole() -> None:
    question = posts()
    rack = replace(stick("S", "20 ft", "61.40", 20, source=Source.RACK), yard="Y")
    faults = check(replace(question, sticks=(rack,)), planned(question))
    assert "S stays whole, and it is no full bar of Y." in faults


def test_a_job_without_prices_leaves_nothing_whole() -> None:
    question = job([part("A", 20, 1)], [stick("S", "20 ft", None)], currency=None)
    question = replace(question, carry=Carry(longest=inch("30 ft")))
    found = planned(question)
    whole = Idle(yard="", sticks=(("S", 1),), reasons=(), saved=None)
    assert any("without prices" in fault for fault in check(question, replace(found, idle=(whole,))))


def test_unneeded_sticks_never_stay_whole_for_nothing() -> None:
    keep = KeepValue(amount=Decimal(100), per=inch("1 m"), shortest=inch(1))
    question = replace(posts(), keep_value=keep)
    assert [sum(n for _, n in each.sticks) for each in planned(question).idle] == [1]


def test_what_stays_whole_may_be_worth_more_than_layouts_cost() -> None:
    """Two sticks of 12.00 and 35.00 for delivery are 59.00; with five whole sticks, worth what they cost, 24.00.

    No drop is worth keeping, but the bound of the money to pay, 59.00, holds no more; two layouts cost 1.00 beside.
    """
    yard = Yard(name="Y", delivery=Decimal(35), delivery_free_from=Decimal(80), collecting=None)
    sticks = (line("S", 1000, "12.00", yard="Y"), line("L", 1300, "13.00", yard="Y"))
    first = metric(830, 1, *sticks, yards=(yard,))
    keep = KeepValue(amount=Decimal(20), per=Fraction(1000), shortest=Fraction(800))
    parts = (*first.parts, replace(first.parts[0], mark="Q", length=Fraction(700)))
    question = replace(first, parts=parts, layout_cost=Decimal(1), keep_value=keep)
    result = solve(question, cores=1, limit=PATIENCE)
    assert result.plan is not None
    assert (result.plan.cost, result.proof.lower_bound) == (25, 25)
    assert check(question, result.plan) == ()


def test_a_price_that_rises_with_quantity_holds_for_all_of_its_sticks() -> None:
    dearer = (Break(least=3, price=PerStick(amount=Decimal(15))),)
    long, short = line("L", 6000, "10.00", breaks=dearer), line("S", 3000, "6.00")
    assert planned(metric(2900, 4, long, short)).cost == 20
    # Three long ones would be 45.00: two of them and two short ones are 32.00.
    found = planned(metric(2900, 6, long, short))
    assert (found.cost, [(each.stick, each.quantity) for each in found.buy]) == (32, [("L", 2), ("S", 2)])
    assert planned(metric(2900, 6, long)).cost == 45
