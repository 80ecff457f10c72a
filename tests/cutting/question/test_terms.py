"""Faults in what a job says of yards, of jobs that no job file went through."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.feasible import input_problems
from cutting.question.job import Break, Ends, Job, Lean, Measure, Part, PerStick, PerWeight, Section, Source, Substitute
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from tests.builders import TUBE, inch, job, part, stick

STICK = replace(stick("S", "20 ft", "60"), yard="A")
YARD = Yard(name="A", delivery=Decimal(40))
FINE = replace(job([part("P", 50, 3)], [STICK]), yards=(YARD,))


def with_yard(**changes: object) -> Job:
    return replace(FINE, yards=(replace(YARD, **changes),))  # type: ignore[arg-type]


def with_breaks(*breaks: Break) -> Job:
    return replace(FINE, sticks=(replace(STICK, breaks=breaks),))


def dearer(least: int, amount: str) -> Break:
    return Break(least=least, price=PerStick(amount=Decimal(amount)))


def test_a_job_that_is_right_has_no_problem() -> None:
    assert input_problems(FINE) == ()
    assert input_problems(with_breaks(dearer(5, "50"), dearer(9, "40"))) == ()


@pytest.mark.parametrize(
    ("wrong", "where", "words"),
    [
        (with_yard(delivery=Decimal(-1)), "yards[0].delivery", "0 or more"),
        (with_yard(collecting=Decimal(-1)), "yards[0].collecting", "0 or more"),
        (with_yard(minimum=Decimal(-1)), "yards[0].minimum", "0 or more"),
        (with_yard(delivery=None, delivery_free_from=Decimal(5)), "yards[0].delivery_free_from", "doesn't deliver"),
        (with_yard(delivery=None, collecting=None), "yards[0]", "neither"),
        (with_yard(tax=Tax(rate=Decimal(2))), "yards[0].tax.rate", "0 and 100 %"),
        (with_yard(tax=Tax(rate=Decimal("-0.1"))), "yards[0].tax.rate", "0 and 100 %"),
        (with_yard(tax=Tax(rate=Decimal("0.1"), on=())), "yards[0].tax.on", "once"),
        (with_yard(tax=Tax(rate=Decimal("0.1"), on=(Charge.CUTS, Charge.CUTS))), "yards[0].tax.on", "once"),
        (with_yard(cuts=YardCuts(charge=Decimal(-1), allowance=inch(1))), "yards[0].cuts.charge", "0 or more"),
        (with_yard(cuts=YardCuts(charge=Decimal(1), free=-1, allowance=inch(1))), "yards[0].cuts.free", "0 or more"),
        (with_yard(cuts=YardCuts(charge=Decimal(1), allowance=inch("1/16"))), "yards[0].cuts.allowance", "1/8 in"),
        (replace(FINE, yards=(YARD, YARD)), "yards[1].name", "yards[0]"),
        (replace(FINE, yards=(replace(YARD, name="B"),)), "sticks[0].yard", '"B"'),
        (replace(FINE, sticks=(replace(STICK, yard=""),)), "sticks[0].yard", "which yard"),
        (replace(FINE, carry=Carry(longest=Fraction(0))), "carry.longest", "longer than 0"),
        (replace(FINE, carry=Carry(load=Fraction(-1))), "carry.load", "more than 0"),
        (replace(FINE, carry=Carry(load=Fraction(400))), "carry.load", "isn't known"),
        (replace(FINE, kind_cost=Decimal(-1)), "kind_cost", "0 or more"),
        (replace(FINE, layout_cost=Decimal(-1)), "layout_cost", "0 or more"),
        (
            replace(FINE, keep_value=KeepValue(amount=Decimal(-1), per=Fraction(1), shortest=Fraction(1))),
            "keep_value.per_length",
            "0 or more",
        ),
        (
            replace(FINE, keep_value=KeepValue(amount=Decimal(1), per=Fraction(0), shortest=Fraction(1))),
            "keep_value.per_length",
            "the length",
        ),
        (
            replace(FINE, keep_value=KeepValue(amount=Decimal(1), per=Fraction(1), shortest=Fraction(0))),
            "keep_value.shortest",
            "longer than 0",
        ),
        (with_breaks(dearer(1, "50")), "sticks[0].breaks[0].from_quantity", "at least 2"),
        (with_breaks(dearer(5, "50"), dearer(5, "40")), "sticks[0].breaks[1].from_quantity", "at least 6"),
        (with_breaks(dearer(5, "60")), "sticks[0].breaks[0]", "don't get cheaper"),
        (with_breaks(dearer(5, "50"), dearer(9, "50")), "sticks[0].breaks[1]", "50.00 a stick after 50.00"),
        (
            with_breaks(Break(least=5, price=PerWeight(amount=Decimal(1), per=Fraction(1)))),
            "sticks[0].breaks[0]",
            "isn't known",
        ),
        (
            replace(FINE, sticks=(replace(STICK, available=4, breaks=(dearer(5, "50"),)),)),
            "sticks[0].breaks[0].from_quantity",
            "only 4",
        ),
        (
            replace(FINE, sticks=(STICK, replace(STICK, id="R", source=Source.RACK, breaks=(dearer(5, "50"),)))),
            "rack[0].breaks",
            "only sticks",
        ),
        (
            replace(FINE, sticks=(STICK, replace(STICK, id="O", source=Source.OWN, price=None))),
            "own[0].yard",
            "no yard",
        ),
    ],
)
def test_what_is_wrong_is_said(wrong: Job, where: str, words: str) -> None:
    found = {problem.where: problem for problem in input_problems(wrong)}
    assert words in f"{found[where].text}: {found[where].message}"


def angled(sides: tuple[Fraction, ...]) -> Part:
    square = Fraction(0)
    ends = Ends(angles=(Fraction(45), square), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)
    section = replace(TUBE, sides=sides)
    other = Substitute(section=Section(name="heavier tube", sides=(Fraction(50), Fraction(50))))
    return replace(part("P", 50, 3, section), ends=ends, substitutes=(other,))


def test_angled_ends_fit_a_substitute_of_the_same_size_only() -> None:
    same, other, unknown = (
        replace(FINE, parts=(angled(sides),)) for sides in ((Fraction(50),) * 2, (Fraction(60), Fraction(50)), ())
    )
    wanted = "parts[0].substitutes[0].section"
    assert not [each for each in input_problems(same) if each.where == wanted]
    for wrong in (other, unknown):
        (found,) = [each for each in input_problems(wrong) if each.where == wanted]
        assert "angled ends" in found.message
