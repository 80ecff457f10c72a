"""Who carries what a plan costs: nothing is lost in rounding, and steel decides."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cutting.answer.plan import Objective
from shared.view.assemblies import Share, by_assembly, steel_lengths
from tests.builders import cut, job, part, plan, stick
from tests.shared.writers.pdf import scenes


def test_cost_follows_the_length_of_steel() -> None:
    question, answer = scenes.mixed()
    frame, rest = by_assembly(question, answer)
    # Frame: 6 x 23 7/16 in = 3571.875 mm; rest: 9 x 415.5 = 3739.5 mm; 108.40 in all.
    assert frame.share == Fraction("3571.875") / (Fraction("3571.875") + Fraction("3739.5"))
    assert (frame.cost, rest.cost) == (Decimal("52.96"), Decimal("55.44"))
    assert frame.parts == (Share(mark="A1", pieces=6),)
    # 4.539 kg/m and 0.192 m2/m.
    assert frame.weight.known == Fraction("3.571875") * Fraction("4.539")
    assert frame.surface.known == Fraction("3.571875") * Fraction("0.192")


def test_each_section_is_shared_among_its_own_parts() -> None:
    question, answer = scenes.watched()
    parts = tuple(replace(each, assembly=each.section.family or "flat") for each in question.parts)
    flat, tube = sorted(by_assembly(replace(question, parts=parts), answer), key=lambda entry: entry.name)
    assert (tube.name, tube.cost, tube.pieces) == ("shs", Decimal("80.00"), 6)
    assert (flat.name, flat.cost, flat.weight.known, flat.surface.known) == ("flat", Decimal("20.00"), None, None)


def test_what_is_bought_of_no_parts_section_is_everybodys() -> None:
    question, answer = scenes.mixed()
    flat = replace(answer.buy[0], section=scenes.FLAT, quantity=1, price=Decimal(20), cost=Decimal(20))
    frame, rest = by_assembly(question, replace(answer, buy=(*answer.buy, flat), cost=answer.cost + 20))
    assert frame.share == by_assembly(question, answer)[0].share
    assert (frame.cost or 0) + (rest.cost or 0) == Decimal("128.40")


@given(st.lists(st.integers(1, 40), min_size=1, max_size=8), st.integers(1, 10**6))
def test_shares_add_up_to_the_cost_to_the_cent(lengths: list[int], cents: int) -> None:
    question = job(
        [replace(part(f"P{n}", length, 1), assembly=f"A{n}") for n, length in enumerate(lengths)],
        [stick("S", 480, "1")],
    )
    price = str(Decimal(cents).scaleb(-2))
    answer = plan(question, [cut(question, "S", [each.mark for each in question.parts])], {"S": price})
    found = by_assembly(question, answer)
    assert sum(entry.cost or 0 for entry in found) == Decimal(price)
    for entry, length in zip(found, lengths, strict=True):
        assert abs(Fraction(entry.cost or 0) - Fraction(price) * length / sum(lengths)) < Fraction(1, 100)


def test_an_angled_part_takes_its_centre_line() -> None:
    # 40 mm deep at 45 degrees: 500 mm between long points are 460 mm of steel; 700 at one such end are 680.
    question, answer = scenes.mitred()
    steel = steel_lengths(question, answer)
    assert {mark: float(length) for mark, length in steel.items() if mark in "M1 M2 Q N1"} == {
        "M1": 460,
        "M2": 680,
        "Q": 300,
        "N1": 650,
    }
    (only,) = by_assembly(question, answer)
    mass = {part.mark: part.section.mass for part in question.parts}
    assert only.weight.known == sum(
        (mass[part.mark] or 0) * steel[part.mark] * part.quantity / 1000 for part in question.parts
    )


def test_without_prices_steel_itself_is_shared() -> None:
    question, answer = scenes.mixed()
    lines = tuple(replace(line, price=None, cost=None) for line in answer.buy)
    free = replace(answer, objective=Objective.LENGTH, buy=lines)
    found = by_assembly(replace(question, currency=None), free)
    assert [entry.cost for entry in found] == [None, None]
    assert sum(entry.share for entry in found) == 1


def test_own_drops_alone_cost_nothing_and_are_shared_all_the_same() -> None:
    question, answer = scenes.one_part()
    free = replace(answer, buy=(replace(answer.buy[0], price=Decimal(0), cost=Decimal(0)),))
    (only,) = by_assembly(question, free)
    assert (only.cost, only.share) == (Decimal("0.00"), 0)
