"""The engine against brute force on small random jobs with angled ends, two yards, fees and what can be carried."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from cutting.answer.plan import Plan, Status
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
from cutting.question.yards import Carry, Tax, Yard, YardCuts
from cutting.solve import solve
from shared.work.carried import as_carried
from tests.angled_oracle import ANGLES, SECTIONS
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.yards_agreement import engine_agrees
from tests.property.yards_brute_force import cheapest

JOBS = 120
BATCHES = 12
ZERO = Fraction(0)


def random_job(number: int) -> Job:
    """Make a job of up to 6 pieces in two sections of one size, some of them with angled ends."""
    chance = random.Random(f"angled yards {number}")
    family, first, second = chance.choice(SECTIONS)
    light, heavy = (
        Section(
            name=f"{family or 'profile'} {word}", family=family, sides=(Fraction(first), Fraction(second)), mass=mass
        )
        for word, mass in (("light", Fraction(4)), ("heavy", Fraction(5)))
    )
    few = chance.sample(ANGLES[1:], 2)
    sections = [light, heavy] if chance.random() < 0.6 else [light]
    parts = tuple(_part(chance, n, sections, (light, heavy), few) for n in range(chance.randint(2, 3)))
    needed = {key for part in parts for key in (part.section.key, *(s.section.key for s in part.substitutes))}
    sticks = [stick for section in (light, heavy) if section.key in needed for stick in _sticks(chance, section)]
    yards = tuple(_yard(chance, name) for name in ("X", "Y"))
    return Job(
        parts=parts,
        sticks=tuple(sticks),
        saw=Saw(kerf=Fraction(chance.choice([4, 5, 6]), 2)),
        unit=chance.choice([Unit.MM, Unit.IN]),
        currency="EUR",
        yards=yards,
        carry=Carry(
            longest=chance.choice([None, Fraction(1100), Fraction(1300), Fraction(1600)]),
            load=chance.choice([None, None, Fraction(12)]),
        ),
        kind_cost=Decimal(chance.choice([0, 0, 3])),
    )


def _part(
    chance: random.Random, n: int, sections: list[Section], both: tuple[Section, Section], few: list[Fraction]
) -> Part:
    section = sections[n % len(sections)]
    other = both[1] if section == both[0] else both[0]
    angles = (chance.choice([ZERO, few[0], few[1]]), chance.choice([ZERO, few[0], few[0]]))
    plane = chance.choice([0, 0, 0, 1])
    ends = Ends(
        angles=angles,
        lean=chance.choice([Lean.OPPOSED, Lean.OPPOSED, Lean.PARALLEL]),
        measure=chance.choice([Measure.LONG_POINT, Measure.LONG_POINT, Measure.CENTRE_LINE, Measure.SHORT_POINT]),
        planes=(plane, plane if chance.random() < 0.8 else 1 - plane),
        toward=(chance.choice([1, -1]), chance.choice([1, -1])),
    )
    return Part(
        mark=f"P{n}",
        section=section,
        length=Fraction(chance.randint(500, 1800), 2),
        quantity=chance.randint(1, 3 if n == 0 else 2),
        ends=ends if any(angles) else None,
        substitutes=(Substitute(section=other, remark="ask"),) if chance.random() < 0.25 else (),
    )


def _sticks(chance: random.Random, section: Section) -> list[Stick]:
    sticks = []
    for n in range(chance.randint(1, 3)):
        source = chance.choice([Source.STICKS, Source.STICKS, Source.RACK, Source.OWN]) if n else Source.STICKS
        own = source is Source.OWN
        price = Decimal(chance.randint(5, 40))
        breaks: tuple[Break, ...] = ()
        if source is Source.STICKS and chance.random() < 0.3:
            breaks = (Break(least=2, price=PerStick(amount=price * 3 / 4)),)
        sticks.append(
            Stick(
                id=f"{section.name[-5:]}{n}",
                section=section,
                length=Fraction(chance.randint(900, 3000)) if n else Fraction(chance.randint(1400, 3200)),
                source=source,
                price=None if own else PerStick(amount=price),
                available=None if source is Source.STICKS else chance.randint(1, 2),
                trims=chance.choice([(Fraction(3), ZERO), (ZERO, ZERO), (Fraction(6), Fraction(3))]),
                yard="" if own else chance.choice(["X", "Y"]),
                breaks=breaks,
            )
        )
    return sticks


def _yard(chance: random.Random, name: str) -> Yard:
    delivery = chance.choice([None, Decimal(9), Decimal(30)])
    return Yard(
        name=name,
        delivery=delivery,
        delivery_free_from=None if delivery is None else chance.choice([None, Decimal(60)]),
        collecting=chance.choice([None, Decimal(4)]) if delivery is not None else Decimal(0),
        minimum=Decimal(chance.choice([0, 0, 30])),
        tax=chance.choice([None, Tax(rate=Decimal("0.0725"))]),
        cuts=chance.choice([None, YardCuts(charge=Decimal("1.5"), free=chance.choice([0, 1]), allowance=Fraction(10))]),
    )


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, JOBS, BATCHES):
        engine_agrees(random_job(number), number)


def test_an_order_that_is_delivered_takes_no_trips_in_the_buying_model() -> None:
    """CP-SAT 9.15 dropped the condition of that row while its coefficients were 2^32: 51.50 was called optimal."""
    result = solve(random_job(237), cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert result.plan.cost == 51 == cheapest(random_job(237))


@cache
def _plan(number: int) -> tuple[Job, Plan | None]:
    job = random_job(number)
    return job, solve(job, cores=1, limit=PATIENCE).plan


def _plans(first: int, end: int) -> list[tuple[Job, Plan]]:
    return [(job, plan) for job, plan in map(_plan, range(first, end)) if plan is not None]


@pytest.mark.slow("looks at many batches together")
def test_the_random_jobs_are_of_every_sort() -> None:
    plans = [plan for _, plan in _plans(0, 60)]
    cuts = [cut for plan in plans for cut in plan.cuts]
    assert any(cut.marks and cut.strokes for cut in cuts)
    assert any(stroke.shared for cut in cuts if cut.marks for stroke in cut.strokes)
    assert any(len(plan.orders) > 1 for plan in plans)
    assert any(change for plan in plans for change in plan.changes)


@pytest.mark.parametrize("first", further(range(0, 60, 15), "a further batch of random jobs"))
def test_each_carried_piece_is_a_sound_layout_of_its_own(first: int) -> None:
    """What the saw gets (`as_carried`) passes the checker's geometry as sticks without any yard."""
    for job, plan in _plans(first, first + 15):
        pieces, at_saw = as_carried(job, plan)
        bare = replace(
            pieces,
            yards=(),
            carry=Carry(),
            kind_cost=Decimal(0),
            parts=tuple(replace(part, substitutes=()) for part in pieces.parts),
        )
        faults = [fault for fault in check(bare, replace(at_saw, orders=())) if fault.startswith("Layout")]
        assert faults == []
