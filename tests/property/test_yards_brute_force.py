"""The engine against brute force over small random jobs with two yards, fees, breaks, carrying and substitutes."""

from __future__ import annotations

import random
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Transport
from cutting.question.job import Break, Job, Part, PerStick, Saw, Section, Source, Stick, Substitute
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.yards_agreement import engine_agrees
from tests.property.yards_brute_force import cheapest

JOBS = 160
BATCHES = 16
ZERO = Fraction(0)
A = Section(name="A", mass=Fraction(4))
B = Section(name="B", mass=Fraction(5))


def random_job(number: int) -> Job:
    """Make a job of up to 7 pieces in two sections, up to three lines a section over two yards."""
    chance = random.Random(f"yards brute force {number}")
    kerf = chance.choice([ZERO, Fraction("2.4"), Fraction(3)])
    sections = [A, B] if chance.random() < 0.75 else [A]
    parts = tuple(_part(chance, n, sections) for n in range(chance.randint(len(sections), 3)))
    sticks = [
        stick
        for section in (A, B)
        if section in sections or any(part.substitutes for part in parts)
        for stick in _sticks(chance, section, kerf)
    ]
    longest = chance.choice([None, None, Fraction(1300), Fraction(2000)])
    return Job(
        parts=parts,
        sticks=tuple(sticks),
        saw=Saw(kerf=kerf),
        unit=Unit.MM,
        currency="EUR",
        yards=tuple(_yard(chance, name) for name in ("X", "Y")),
        carry=Carry(longest=longest, load=chance.choice([None, Fraction(10), Fraction(25)])),
        kind_cost=Decimal(chance.choice([0, 0, 3])),
        keep_value=_kept(chance),
    )


def _kept(chance: random.Random) -> KeepValue | None:
    if chance.random() < 0.6:
        return None
    amount = Decimal(chance.choice(["0.80", "3", "20"]))
    return KeepValue(amount=amount, per=Fraction(1000), shortest=Fraction(chance.choice([100, 400, 800])))


def _part(chance: random.Random, n: int, sections: list[Section]) -> Part:
    section = sections[n % len(sections)]
    other = B if section == A else A
    accepted = (Substitute(section=other, remark="check"),) if chance.random() < 0.3 else ()
    return Part(
        mark=f"P{n}",
        section=section,
        length=Fraction(chance.randint(20, 120) * 10),
        quantity=chance.randint(1, 3 if n < 2 else 1),
        substitutes=accepted,
    )


def _sticks(chance: random.Random, section: Section, kerf: Fraction) -> list[Stick]:
    sticks = []
    for n in range(chance.randint(1, 3)):
        source = (
            chance.choice([Source.STICKS, Source.STICKS, Source.STICKS, Source.RACK, Source.OWN])
            if n
            else Source.STICKS
        )
        own = source is Source.OWN
        price = Decimal(chance.randint(5, 40))
        breaks: tuple[Break, ...] = ()
        available = None if source is Source.STICKS else chance.randint(1, 2)
        if source is Source.STICKS and chance.random() < 0.4:
            breaks = (Break(least=chance.choice([2, 3]), price=PerStick(amount=price * chance.choice([1, 3]) / 4)),)
        sticks.append(
            Stick(
                id=f"{section.name}{n}",
                section=section,
                length=Fraction(chance.randint(8, 30) * 100),
                source=source,
                price=None if own else PerStick(amount=price),
                available=available,
                trims=chance.choice([(kerf, ZERO), (ZERO, ZERO), (2 * kerf, kerf)]),
                yard="" if own else chance.choice(["X", "Y"]),
                breaks=breaks,
            )
        )
    return sticks


def _yard(chance: random.Random, name: str) -> Yard:
    collecting = chance.choice([None, Decimal(0), Decimal(4)])
    delivery = None if collecting is not None and chance.random() < 0.4 else Decimal(chance.choice([3, 9, 15]))
    tax = Tax(
        rate=Decimal("0.0725"), on=chance.choice([tuple(Charge), (Charge.MATERIAL,), (Charge.DELIVERY, Charge.CUTS)])
    )
    return Yard(
        name=name,
        delivery=delivery,
        delivery_free_from=None if delivery is None else chance.choice([None, Decimal(60)]),
        collecting=collecting,
        minimum=Decimal(chance.choice([0, 0, 30, 60])),
        tax=chance.choice([None, tax]),
        cuts=chance.choice([None, YardCuts(charge=Decimal("1.5"), free=chance.choice([0, 1]), allowance=Fraction(10))]),
    )


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        engine_agrees(random_job(number), number)


@pytest.mark.slow("looks at many batches together")
def test_the_random_jobs_are_of_every_sort() -> None:
    jobs = [random_job(number) for number in range(JOBS)]
    plans = [plan for job in jobs[:80] if (plan := solve(job, cores=1, limit=PATIENCE).plan) is not None]
    orders = [order for plan in plans for order in plan.orders]
    assert {order.transport for order in orders} == set(Transport)
    assert any(order.trips > 1 for order in orders)
    assert any(len(plan.orders) > 1 for plan in plans)
    assert any(plan.changes for plan in plans)
    assert any(plan.kinds for plan in plans)
    assert any(order.tax for order in orders)
    assert any(order.cuts for order in orders)
    assert any(plan.credit and plan.own_value for plan in plans)
    assert any(cheapest(job) is None for job in jobs[:80])
