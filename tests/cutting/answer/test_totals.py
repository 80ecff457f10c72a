from fractions import Fraction

from cutting.answer.totals import add_up
from cutting.question.job import Section
from tests.builders import cut, inch, job, part, plan, stick

KNOWN = Section(name="known", mass=Fraction(2), surface=Fraction(1, 10))


def test_sums_over_a_plan() -> None:
    question = job([part("A", 50, 4, KNOWN)], [stick("S1", 120, "10.00", section=KNOWN)])
    sums = add_up(plan(question, [cut(question, "S1", ["A", "A"], 2)], {"S1": "10.00"}))
    assert (sums.parts, sums.sticks, sums.length, sums.used) == (4, 2, inch(240), inch(200))
    assert sums.share == Fraction(5, 6)
    assert sums.weight == Fraction("6.096") * 2  # 20 ft are 6.096 m by definition
    assert sums.surface == inch(200) / 1000 / 10


def test_one_unknown_weight_makes_the_sum_unknown() -> None:
    question = job(
        [part("A", 50, 1, KNOWN), part("B", 50, 1)], [stick("S1", 60, "1", section=KNOWN), stick("S2", 60, "1")]
    )
    sums = add_up(plan(question, [cut(question, "S1", ["A"]), cut(question, "S2", ["B"])], {"S1": "1", "S2": "1"}))
    assert sums.weight is None
    assert sums.surface is None
