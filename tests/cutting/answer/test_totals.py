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


def test_one_unknown_weight_leaves_the_sum_of_the_others_standing() -> None:
    question = job(
        [part("A", 50, 1, KNOWN), part("B", 50, 1)], [stick("S1", 60, "1", section=KNOWN), stick("S2", 60, "1")]
    )
    sums = add_up(plan(question, [cut(question, "S1", ["A"]), cut(question, "S2", ["B"])], {"S1": "1", "S2": "1"}))
    for sum_, rate, length in ((sums.weights, 2, 60), (sums.surfaces, Fraction(1, 10), 50)):  # of sticks; of parts
        assert sum_.known == rate * inch(length) / 1000
        assert sum_.without == (question.parts[1].section.label,)
        assert sum_.partial
    assert (sums.weight, sums.surface) == (None, None)  # never a part of it under the name of the whole


def test_where_nothing_is_known_there_is_no_sum() -> None:
    question = job([part("B", 50, 1)], [stick("S2", 60, "1")])
    sums = add_up(plan(question, [cut(question, "S2", ["B"])], {"S2": "1"}))
    assert (sums.weights.known, sums.surfaces.known, sums.weights.partial) == (None, None, False)
