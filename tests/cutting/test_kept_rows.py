"""What a drop behind angled parts is worth, worked out by hand: its shorter side, and the order that leaves most."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Plan, Status
from cutting.checking.check import check
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.yards import KeepValue
from cutting.solve import solve
from tests.builders import PATIENCE

TUBE = Section(name="SHS 50x50x3", family="shs", sides=(Fraction(50), Fraction(50)))
ZERO = Fraction(0)


def job_of(lengths: list[tuple[int, tuple[int, int]]], *, shortest: str = "500", worth: str = "5") -> Job:
    """Parts of a tube by their length between long points and both angles, from 3 m sticks at 30.00."""
    parts = tuple(
        Part(
            mark=f"P{number}",
            section=TUBE,
            length=Fraction(length),
            quantity=1,
            ends=Ends(angles=(Fraction(angles[0]), Fraction(angles[1])), lean=Lean.OPPOSED, measure=Measure.LONG_POINT),
        )
        for number, (length, angles) in enumerate(lengths, start=1)
    )
    stick = Stick(
        id="S1",
        section=TUBE,
        length=Fraction(3000),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(30)),
        available=None,
        trims=(ZERO, ZERO),
    )
    keep = KeepValue(amount=Decimal(worth), per=Fraction(1000), shortest=Fraction(shortest))
    return Job(parts=parts, sticks=(stick,), saw=Saw(kerf=Fraction(2)), unit=Unit.MM, currency="EUR", keep_value=keep)


def planned(job: Job) -> Plan:
    result = solve(job, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert check(job, result.plan) == ()
    return result.plan


def test_the_square_end_comes_last() -> None:
    # 3000 - 1000 - 2 = 1998 behind the square end; 3000 - 1000 - 2.83 behind the mitre.
    plan = planned(job_of([(1000, (45, 0))]))
    assert [cut.drop for cut in plan.cuts] == [1998]
    assert plan.cost == Fraction("20.01")  # 30 - 1.998 x 5


def test_a_drop_counts_from_the_shortest_length_on_and_not_below() -> None:
    assert planned(job_of([(1000, (45, 0))], shortest="1998")).cost == Fraction("20.01")
    assert planned(job_of([(1000, (45, 0))], shortest="1998.01")).cost == 30


def test_behind_a_mitre_the_cut_is_longer_and_the_shorter_side_counts() -> None:
    # One part with two mitres: 3000 - 1000 - 2 x sqrt(2), rounded up to 2.83.
    plan = planned(job_of([(1000, (45, 45))]))
    assert [cut.drop for cut in plan.cuts] == [Fraction("1997.17")]
    assert plan.cost == 30 - 5 * Fraction("1.99717")


def test_shared_cuts_make_drops_longer() -> None:
    # Turned end for end the second nests: 2 x 1000 - 50 + 2.83 for the cut they share, and 2.83 behind.
    plan = planned(job_of([(1000, (45, 45)), (1000, (45, 45))]))
    assert [cut.drop for cut in plan.cuts] == [3000 - 2000 + 50 - Fraction("2.83") - Fraction("2.83")]


def test_what_drops_are_worth_decides_between_one_stick_and_two() -> None:
    # Nested at their mitres they leave 3000 - (1500 + 1400 - 50 + 2.83) - 2 = 145.17 of one stick. Of two sticks
    # 1498 and 1598 are left: 60 - 3.096 x 9.50 = 30.588, and 60 - 3.096 x 9.90 = 29.3496.
    parts = [(1500, (45, 0)), (1400, (45, 0))]
    assert planned(job_of(parts, worth="9.50")).cost == 30
    assert planned(job_of(parts, worth="9.50", shortest="145.18")).cost == 30
    assert planned(job_of(parts, worth="9.50", shortest="145.17")).cost == 30 - Fraction("9.50") * Fraction("0.14517")
    assert planned(job_of(parts, worth="9.90")).cost == Fraction("29.3496")
    assert planned(job_of(parts, worth="9.90", shortest="145.17")).cost == 30 - Fraction("9.90") * Fraction("0.14517")


def test_the_checker_judges_what_a_drop_behind_a_mitre_is_worth() -> None:
    job = job_of([(1000, (45, 45))])
    plan = planned(job)
    more = replace(plan.cuts[0], credit=(plan.cuts[0].credit or ZERO) + Fraction(1, 100))
    assert any("leaves drops worth" in fault for fault in check(job, replace(plan, cuts=(more,))))
    longer = replace(plan.cuts[0], drop=Fraction(1998), credit=Fraction("9.99"))
    faults = check(job, replace(plan, cuts=(longer,), credit=Fraction("9.99"), cost=Fraction("20.01")))
    assert any("leaves a drop of 1997.1" in fault for fault in faults), faults
