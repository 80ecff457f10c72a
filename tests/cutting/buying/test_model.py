"""A section becomes integers on which exactly the same things fit."""

from fractions import Fraction

from cutting.answer.load import Load
from cutting.answer.plan import Objective
from cutting.buying.model import model_market
from cutting.buying.objective import objective_of
from cutting.buying.portions import portions
from tests.builders import inch, job, part, stick


def portions_of(question):
    return portions(model_market(question), priced=question.currency is not None)


def modelled(question):
    (portion,) = portions_of(question)
    (room,) = portion.market.rooms
    return room


def test_kerf_goes_with_every_part_and_once_with_the_stick():
    for clear, fit in (("80 1/8", True), ("80 1/16", False)):
        question = job([part("A", 40, 2)], [stick("bar", clear, "60", trims=(0, 0))])
        instance = modelled(question).instance
        assert (2 * instance.sizes[0] <= instance.capacities[0]) is fit


def test_equal_lengths_are_one_size_with_all_their_parts():
    model = modelled(job([part("A", 40, 2), part("B", 30, 1), part("C", 40, 3)], [stick("bar", 240, "60")]))
    assert model.instance.demands == (5, 1)
    assert [[p.mark for p in parts] for parts in model.parts] == [["A", "C"], ["B"]]


def test_lines_that_are_the_same_to_the_solver_are_one_kind():
    model = modelled(
        job([part("A", 40, 9)], [stick("x", 240, "60", 2), stick("y", 240, "60", 1), stick("z", 240, "61")])
    )
    assert [way.stick.id for way in model.ways] == ["x", "z"]
    assert model.instance.limits == (3, 9)


def test_sticks_are_taken_line_by_line():
    question = job([part("A", 40, 3)], [stick("first", 50, "6", 1), stick("second", 50, "6", 4)])
    market = model_market(question)
    (portion,) = portions(market, priced=True)
    (loads,) = portion.spread(market, [(Load(kind=0, pattern=(1,), times=3),)])
    assert [(load.kind, load.times) for load in loads] == [(0, 1), (1, 2)]


def test_sticks_too_short_for_any_part_are_left_out():
    model = modelled(job([part("A", 40, 1)], [stick("stub", 40, "1"), stick("bar", 240, "60")]))
    assert [way.stick.id for way in model.ways] == ["bar"]
    assert portions_of(job([part("A", 40, 1)], [stick("stub", 40, "1")])) == ()


def test_money_is_whole_cents():
    (portion,) = portions_of(job([part("A", 40, 1)], [stick("bar", 240, "61.40")]))
    assert portion.market.rooms[0].instance.costs == (6140,)
    assert portion.market.unit == Fraction(1, 100)


def test_without_prices_length_decides_and_ones_own_costs_nothing():
    question = job([part("A", 40, 1)], [stick("bar", 240, None), stick("other", 252, None)], currency=None)
    assert objective_of(question) is Objective.LENGTH
    (portion,) = portions_of(question)
    assert [cost * portion.market.unit for cost in portion.market.rooms[0].instance.costs] == [inch(240), inch(252)]
