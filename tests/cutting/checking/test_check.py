"""The checker catches each planted fault, one by one, and nothing else."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Objective, Plan
from cutting.checking.check import check
from cutting.question.job import Discount, Ends, Job, Lean, Measure, PerLength, PerWeight, Section, Source
from cutting.question.lengths import Unit
from tests.builders import TUBE, cut, inch, job, part, plan, stick, swap

FOOT = inch(12)
HEAVY = Section(name="heavy", mass=Fraction(3))

# Two posts and a rail fill a 10 ft stick but for 1/8 in: 2 x 40 + 39 1/2 + 2 x 1/8 = 119 3/4 = 120 - 1/4.
JOB = job(
    [part("A", 40, 4), part("B", "39 1/2", 2), part("C", 20, 1)],
    [
        stick("S1", 120, "10.00", available=2),
        stick("R1", 60, "2.50", available=1, source=Source.RACK),
        stick("O1", 21, None, available=1, source=Source.OWN, trims=(0, 0)),
    ],
)
PLAN = plan(JOB, [cut(JOB, "S1", ["A", "A", "B"], 2), cut(JOB, "O1", ["C"])], {"S1": "10.00", "R1": "2.50", "O1": "0"})


def only(faults: tuple[str, ...], *words: str) -> None:
    assert len(faults) == 1, faults
    for word in words:
        assert word in faults[0]


def test_a_right_plan_has_no_fault() -> None:
    assert check(JOB, PLAN) == ()


def test_a_part_missing() -> None:
    faults = check(JOB, swap(PLAN, 0, pieces=PLAN.cuts[0].pieces[:2], drop=inch("39 1/2")))
    only(faults, "B: 0 planned, 2 asked for, 2 missing")


def test_a_part_too_many() -> None:
    fewer = replace(JOB, parts=(*JOB.parts[:2], replace(JOB.parts[2], quantity=2)))
    only(check(fewer, PLAN), "C: 1 planned, 2 asked for, 1 missing")
    more = replace(JOB, parts=(replace(JOB.parts[0], quantity=3), *JOB.parts[1:]))
    only(check(more, PLAN), "A: 4 planned, 3 asked for, 1 too many")


def test_a_stick_a_sixty_fourth_too_full() -> None:
    shorter = replace(JOB, sticks=(replace(JOB.sticks[0], usable=inch("119 63/64")), *JOB.sticks[1:]))
    only(check(shorter, PLAN), "Layout 1 is 1/64 in too full", "S1", "119 47/64 in")


def test_a_stick_filled_to_the_last_bit_is_right() -> None:
    exact = replace(JOB, sticks=(replace(JOB.sticks[0], usable=inch(120)), *JOB.sticks[1:]))
    assert check(exact, PLAN) == ()


def test_kerf_forgotten_in_the_running_dimensions() -> None:
    first, second, third = PLAN.cuts[0].pieces
    tight = (first, replace(second, start=first.end, end=first.end + second.length), third)
    only(check(JOB, swap(PLAN, 0, pieces=tight)), "has A from 40 in to 80 in", "from 40 1/8 in to 80 1/8 in")


def test_kerf_forgotten_altogether() -> None:
    without = replace(
        JOB, saw=replace(JOB.saw, kerf=Fraction(0)), parts=(JOB.parts[0], part("B", "39 3/4", 2), JOB.parts[2])
    )
    tight = plan(
        without, [cut(without, "S1", ["A", "A", "B"], 2), cut(without, "O1", ["C"])], {"S1": "10.00", "O1": "0"}
    )
    assert check(without, tight) == ()
    faults = check(replace(without, saw=JOB.saw), tight)
    assert any("Layout 1 is 1/4 in too full" in fault for fault in faults)


def test_trim_forgotten() -> None:
    trimmed = replace(JOB, sticks=(replace(JOB.sticks[0], trims=(inch("1/4"), inch("1/4"))), *JOB.sticks[1:]))
    only(check(trimmed, PLAN), "Layout 1 is 1/4 in too full")


def test_more_sticks_than_there_are() -> None:
    scarce = replace(JOB, sticks=(replace(JOB.sticks[0], available=1), *JOB.sticks[1:]))
    only(check(scarce, PLAN), "S1: 2 cut, and only 1 available")


def test_a_stick_cut_and_not_bought() -> None:
    short = replace(PLAN, buy=(replace(PLAN.buy[0], quantity=1, cost=Decimal("10.00")), PLAN.buy[1]), cost=Fraction(10))
    only(check(JOB, short), "S1: 2 cut, and 1 on the buy list")


def test_a_stick_bought_and_not_cut() -> None:
    line = replace(PLAN.buy[0], stick="R1", length=inch(60), source=Source.RACK, quantity=1)
    line = replace(line, price=Decimal("2.50"), cost=Decimal("2.50"))
    more = replace(PLAN, buy=(PLAN.buy[0], line, *PLAN.buy[1:]), cost=Fraction("22.5"))
    only(check(JOB, more), "R1: 0 cut, and 1 on the buy list")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"price": Decimal("9.99")}, "S1 has a price of 9.99; worked out again it is 10.00"),
        ({"cost": Decimal("19.99")}, "2 of S1 cost 20.00, not 19.99"),
        ({"length": inch(119)}, "The buy list says something else of S1"),
        ({"section": HEAVY}, "The buy list says something else of S1"),
        ({"source": Source.RACK}, "The buy list says something else of S1"),
        ({"stick": "S9"}, "The buy list has S9, which the job doesn't"),
    ],
)
def test_a_wrong_line_of_the_buy_list(change: dict[str, object], words: str) -> None:
    wrong = replace(PLAN, buy=(replace(PLAN.buy[0], **change), *PLAN.buy[1:]))  # type: ignore[arg-type]
    assert any(words in fault for fault in check(JOB, wrong))


def test_a_wrong_sum_of_money() -> None:
    only(check(JOB, replace(PLAN, cost=Fraction("20.01"))), "costs 20.01", "add up to 20.00")


def test_the_same_line_twice() -> None:
    half = replace(PLAN.buy[0], quantity=1, cost=Decimal("10.00"))
    only(check(JOB, replace(PLAN, buy=(half, half, PLAN.buy[1]))), "has S1 twice")


def test_another_objective() -> None:
    only(check(JOB, replace(PLAN, objective=Objective.LENGTH)), "minimises length; for this job it is money")


def test_a_part_of_another_length() -> None:
    pieces = PLAN.cuts[1].pieces
    shorter = (replace(pieces[0], length=inch("19 15/16")),)
    only(check(JOB, swap(PLAN, 1, pieces=shorter)), "cuts C 19 15/16 in long instead of 20 in")


def test_a_part_from_another_section_or_material() -> None:
    galvanised = Section(name="tube", material="galvanised")
    mixed = replace(JOB, parts=(*JOB.parts[:2], replace(JOB.parts[2], section=galvanised)))
    only(check(mixed, PLAN), "cuts C (tube (galvanised)) from tube")


def test_an_unknown_part_and_an_unknown_stick() -> None:
    renamed = (replace(PLAN.cuts[1].pieces[0], mark="Z"),)
    faults = check(JOB, swap(PLAN, 1, pieces=renamed))
    assert faults == ("Layout 2 cuts Z, which the job doesn't ask for.", "C: 0 planned, 1 asked for, 1 missing.")
    faults = check(JOB, swap(PLAN, 1, stick="S7"))
    assert "Layout 2 is cut from S7, which the job doesn't have." in faults


def test_a_wrong_drop() -> None:
    right = inch(21) - inch(20) - inch("1/8")
    assert PLAN.cuts[1].drop == right
    only(check(JOB, swap(PLAN, 1, drop=right + inch("1/8"))), "leaves a drop of 7/8 in, not 1 in")


def test_a_skim_cut_must_be_marked() -> None:
    # 1/16 in of steel is left, less than the kerf of 1/8: the last cut only skims it.
    skimming = replace(JOB, sticks=(replace(JOB.sticks[0], length=inch("120 1/16")), *JOB.sticks[1:]))
    right = plan(
        skimming, [cut(skimming, "S1", ["A", "A", "B"], 2), cut(skimming, "O1", ["C"])], {"S1": "10.00", "O1": "0"}
    )
    assert right.cuts[0].skim
    assert check(skimming, right) == ()
    only(check(skimming, swap(right, 0, skim=False)), "ends in a skim cut")
    only(check(JOB, swap(PLAN, 0, skim=True)), "does not end in a skim cut")


def test_a_raw_end_that_is_not_used_gives_the_last_cut_its_full_width() -> None:
    bars = (replace(JOB.sticks[0], length=inch("120 5/16"), trims=(inch("1/4"), inch("1/4"))), *JOB.sticks[1:])
    both = replace(JOB, sticks=bars)
    right = plan(both, [cut(both, "S1", ["A", "A", "B"], 2), cut(both, "O1", ["C"])], {"S1": "10.00", "O1": "0"})
    assert not right.cuts[0].skim
    assert check(both, right) == ()


def test_pieces_too_short_to_hold_must_be_marked() -> None:
    small = job(
        [part("A", 3, 2)], [stick("O1", "6 5/8", None, 1, source=Source.OWN, trims=(0, 0))], hold="4", currency="USD"
    )
    right = plan(small, [cut(small, "O1", ["A", "A"], unheld=(1, 2))], {"O1": "0"})
    # Cut 1: 3 in before it and 3 1/2 in behind; cut 2: 3 in before it and 3/8 in behind.
    assert check(small, right) == ()
    only(check(small, swap(right, 0, unheld=())), "cuts 1, 2 that the saw cannot hold")
    looser = replace(small, saw=replace(small.saw, hold=inch("3 1/2")))
    assert check(looser, swap(right, 0, unheld=(2,))) == ()


def test_an_empty_layout_and_one_cut_no_times() -> None:
    assert any("cuts no part" in fault for fault in check(JOB, swap(PLAN, 1, pieces=())))
    assert any("is cut 0 times" in fault for fault in check(JOB, swap(PLAN, 1, quantity=0)))


def test_angled_parts_are_not_waved_through() -> None:
    ends = Ends(angles=(Fraction(45), Fraction(0)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)
    angled = replace(JOB, parts=(*JOB.parts[:2], replace(JOB.parts[2], ends=ends)))
    assert check(angled, PLAN) != ()


def priced(*bars: object, currency: str | None = "USD") -> Job:
    return job([part("A", 12, 1, HEAVY)], bars, currency=currency)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("price", "right"),
    [
        (PerLength(amount=Decimal("1.0025"), per=FOOT), "2.01"),  # 2.005, a half, goes up
        (PerLength(amount=Decimal("1.0024"), per=FOOT), "2.00"),
        (PerWeight(amount=Decimal(10), per=Fraction(1)), "18.29"),  # 0.6096 m of 3 kg/m at 10 a kg
        (Discount(share=Decimal("0.25")), "7.50"),  # off 60.00 for 12 ft: 5.00 a foot
    ],
)
def test_prices_are_worked_out_anew(price: PerLength | PerWeight | Discount, right: str) -> None:
    base = stick("S9", 144, "60.00", section=HEAVY)
    question = priced(stick("S1", 24, price, section=HEAVY), base)
    if isinstance(price, Discount):
        question = priced(stick("S1", 24, price, 1, section=HEAVY, source=Source.RACK), base)
    answer = plan(question, [cut(question, "S1", ["A"])], {"S1": right})
    assert question.currency
    assert [fault for fault in check(question, answer) if "price" in fault] == []
    cent = plan(question, [cut(question, "S1", ["A"])], {"S1": str(Decimal(right) + Decimal("0.01"))})
    assert any(f"worked out again it is {right}" in fault for fault in check(question, cent))


def unpriced(answer: Plan, objective: Objective, cost: Fraction) -> Plan:
    lines = tuple(replace(line, price=None, cost=None) for line in answer.buy)
    return replace(answer, buy=lines, objective=objective, cost=cost)


def test_without_prices_bought_length_counts_and_own_pieces_do_not() -> None:
    bars = [replace(bar, price=None) for bar in JOB.sticks]
    question = replace(JOB, sticks=tuple(bars), currency=None)
    assert check(question, unpriced(PLAN, Objective.LENGTH, inch(240))) == ()
    assert check(question, unpriced(PLAN, Objective.LENGTH, inch(261))) != ()


def test_without_prices_weight_counts_across_sections() -> None:
    light = Section(name="light", mass=Fraction(1))
    question = job(
        [part("A", 12, 1, HEAVY), part("B", 12, 1, light)],
        [stick("S1", 24, None, section=HEAVY), stick("S2", 24, None, section=light)],
        currency=None,
    )
    answer = plan(question, [cut(question, "S1", ["A"]), cut(question, "S2", ["B"])], {"S1": "0", "S2": "0"})
    assert check(question, unpriced(answer, Objective.WEIGHT, Fraction("0.6096") * 4)) == ()
    only(check(question, unpriced(answer, Objective.WEIGHT, Fraction("0.6096") * 3)), "add up to")
    assert question.unit is Unit.IN
    assert TUBE.mass is None


def test_an_edge_that_nothing_is_measured_along() -> None:
    edged = replace(PLAN, cuts=(replace(PLAN.cuts[0], edge="corner"), *PLAN.cuts[1:]))
    only(check(JOB, edged), "names an edge, the corner")


def test_a_drop_worth_something_where_leftovers_are_worth_nothing() -> None:
    valued = replace(PLAN, cuts=(replace(PLAN.cuts[0], credit=Fraction(1)), *PLAN.cuts[1:]))
    only(check(JOB, valued), "without yards' terms")


def test_a_buy_list_in_another_order() -> None:
    only(check(JOB, replace(PLAN, buy=PLAN.buy[::-1])), "in the order of the job's sticks")
