"""Orders, yard cuts, changes and the money apart, as people read them."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from typing import Any

import pytest

from cutting.answer.plan import Idle, IdleReason, Proof, Report, Result
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, KeepValue
from shared.view import View, present
from shared.view.terms import idle_words
from shared.wording.held import held_to
from shared.wording.sentences import proof, proven_text
from tests.shared.two_yards import demo, demo_plan
from tests.shared.writers.pdf import scenes
from tests.shared.writers.xlsx.made import result_of


def view() -> View:
    return present(*demo())


def test_the_answer_names_the_yards_and_what_is_paid() -> None:
    _, plan = demo_plan()
    found = view()
    assert found.answer.startswith("From North yard and River yard buy ")
    assert found.answer.endswith(f": USD {plan.paid:,}.")
    counting = "counting what each further section costs you"
    assert found.proof == f"Nothing cheaper exists at these prices and terms with this saw, {counting}."
    assert found.proven == f"nothing cheaper exists, {counting}"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"kind_cost": Decimal(0)}, ""),
        ({"kind_cost": Decimal(0), "layout_cost": Decimal(2)}, ", counting what each further layout costs you"),
        (
            {"keep_value": KeepValue(amount=Decimal(1), per=Fraction(1000), shortest=Fraction(500))},
            ", counting what leftovers are worth and what each further section costs you",
        ),
    ],
)
def test_what_counts_beside_the_money_to_pay_is_said_with_the_proof(changes: dict[str, Any], words: str) -> None:
    """The sum beside it is what is paid, and less might be paid where leftovers or trouble didn't count."""
    job = replace(demo()[0], **changes)
    result = demo()[1]
    assert proof(job, result) == f"Nothing cheaper exists at these prices and terms with this saw{words}."
    assert proven_text(job, result) == f"nothing cheaper exists{words}"
    assert result.plan is not None
    open_ = replace(result, proof=replace(result.proof, lower_bound=result.plan.cost - 1))
    assert proof(job, open_).endswith(f" more could be saved{words}.")


def test_every_line_is_on_the_order_of_its_yard() -> None:
    found = view()
    yards = {stick.id: stick.yard for stick in demo()[0].sticks}
    assert [order.yard for order in found.orders] == ["North yard", "River yard"]
    for order in found.orders:
        assert all(yards[row.id] == order.yard for row in order.rows)
    own = [row for row in found.buy if row.source == "own"]
    assert sum(len(order.rows) for order in found.orders) + len(own) == len(found.buy)


def test_a_bill_adds_up() -> None:
    found = view()
    for order in found.orders:
        assert order.total is not None
        assert sum(charge.amount.value for charge in order.charges) == order.total.value
        assert order.charges[0].amount.value == sum((row.cost.value for row in order.rows if row.cost), Decimal(0))
    assert found.money is not None
    totals = [order.total.value for order in found.orders if order.total]
    assert sum(totals) == found.money.paid.value
    assert found.money.kinds.value == found.money.counted.value - found.money.paid.value == 24


def test_a_bill_says_what_it_charges_for() -> None:
    north, river = view().orders
    assert (north.transport, river.transport) == ("delivered", "collected in one trip")
    assert river.heading == "River yard, collected in one trip"
    assert [charge.what for charge in north.charges] == [
        "sticks and rack pieces",
        "delivery, free from USD 1,500.00",
        "tax 6.25 %",
    ]
    whats = [charge.what for charge in river.charges]
    assert whats[1].endswith(" cuts, 4 of them free")
    assert whats[2:] == ["1 trip", "tax 6.25 % on material and cuts"]
    assert any(note.startswith("N-T20 costs USD 55.40 each from 12 on") for note in north.notes)
    assert any(note.startswith("Have the rack pieces reserved") for note in river.notes)


def test_a_rack_that_reserves_nothing_is_said() -> None:
    job, result = demo()
    yards = tuple(replace(yard, reserves=False) for yard in job.yards)
    river = present(replace(job, yards=yards), result).orders[1]
    assert any(note.startswith("Rack pieces can't be reserved here; plan anew") for note in river.notes)


def test_yard_cuts_say_where_to_mark_and_what_comes_home() -> None:
    _, plan = demo_plan()
    for shown, cut in zip(view().yard_cuts, [each for each in plan.cuts if each.marks], strict=True):
        assert shown.yard == "River yard"
        assert shown.what.startswith(f"{cut.quantity} stick")
        assert shown.words == f"mark {shown.marks[0]} from one end, cut on the mark"
        assert [piece.length.mm for piece in shown.pieces] == [each.length for each in cut.carried]
        for piece, each in zip(shown.pieces, cut.carried, strict=True):
            assert piece.weight is not None
            assert each.weight is not None
            # the pound avoirdupois is 0.45359237 kg (International Yard and Pound Agreement, 1959)
            assert abs(piece.weight.number * 0.45359237 - float(each.weight)) < 1e-9
            assert piece.words.startswith(f"{piece.name}: ")
            assert piece.words.endswith(" lb")


def test_layouts_are_what_comes_to_the_saw() -> None:
    found = view()
    names = {piece.name for cut in found.yard_cuts for piece in cut.pieces}
    assert names <= {layout.id for layout in found.layouts}
    first = next(layout for layout in found.layouts if layout.id.endswith("a") and layout.id in names)
    last = next(layout for layout in found.layouts if layout.id.endswith("b") and layout.id in names)
    assert "carried piece" in first.heading
    assert first.notes[0] == "Start at the raw end: trim 1/4 in off it; the last 1/8 in at the yard's cut are not used."
    assert last.notes[0] == "Start at the yard's cut: trim 1/8 in off it."
    assert all(layout.pieces[0].start.mm == 0 for layout in found.layouts if layout.pieces)
    assert found.totals is not None
    assert found.totals.layouts == len(found.layouts)


def test_a_change_says_that_the_designer_must_confirm() -> None:
    (change,) = view().changes
    assert change.mark == "F2"
    assert change.words.startswith("F2 is cut from L 1-1/2x1-1/2x3/16 instead of FLAT 2x1/4 (one leg up); ")
    assert change.words.endswith("The designer must confirm: it affects strength and fit-up.")
    row = next(row for row in view().parts if row.mark == "F2")
    assert row.section == "L 1-1/2x1-1/2x3/16"


def changed(saved: Fraction | None, *, certain: bool, possible: bool = True) -> str:
    job, result = demo()
    assert result.plan is not None
    change = replace(result.plan.changes[0], saved=saved, certain=certain, possible=possible)
    answer = Result(plan=replace(result.plan, changes=(change,)), proof=result.proof, report=result.report)
    return present(job, answer).changes[0].saved


def test_what_a_change_saved_is_said_as_far_as_it_is_known() -> None:
    assert changed(Fraction("6.46"), certain=True) == "that saves USD 6.46"
    assert changed(Fraction("6.46"), certain=False) == "that saves at least USD 6.46"
    assert changed(Fraction(0), certain=False) == changed(None, certain=False) == "what that saves isn't known"
    assert changed(Fraction(0), certain=True) == "that saves nothing, and costs nothing"
    assert changed(None, certain=True, possible=False) == "without that no plan exists"


def test_money_is_shown_apart_from_leftovers() -> None:
    job, result = demo()
    plan = result.plan
    assert plan is not None
    worth = replace(plan, own_value=Fraction(10, 3), credit=Fraction(16, 3), cost=plan.cost - 2)
    job = replace(job, keep_value=KeepValue(amount=Decimal(1), per=Fraction(300), shortest=Fraction(900)))
    money = present(job, Result(plan=worth, proof=result.proof, report=result.report)).money
    assert money is not None
    assert (money.own_value.text, money.credit.text) == ("3.33", "5.33")
    assert money.counted.value == Decimal(str(plan.paid)) + 24 - 2
    assert money.words[0] == f"To pay: {money.paid.full}."
    assert money.words[1] == "Not paid, but counted: USD 24.00 for the trouble of buying more than one section."
    assert money.words[2].startswith("Not paid, but counted: USD 3.33 of own pieces used up, USD 5.33 of drops")


def test_what_layouts_cost_is_shown_apart_from_what_is_paid() -> None:
    job, result = demo()
    plan = result.plan
    assert plan is not None
    counted = replace(plan, layouts=Decimal("7.50"), cost=plan.cost + Fraction("7.50"))
    job = replace(job, layout_cost=Decimal("2.50"))
    money = present(job, Result(plan=counted, proof=result.proof, report=result.report)).money
    assert money is not None
    assert money.words[0] == f"To pay: {money.paid.full}."
    assert money.words[2:] == (
        "Not paid, but counted: USD 7.50 for setting the saw up for 3 layouts beyond the first.",
        f"Minimised was {money.counted.full}.",
    )
    assert money.counted.value == Decimal(str(plan.paid)) + 24 + Decimal("7.50")


def test_layouts_of_one_section_stay_together() -> None:
    sections = [section for section, _ in groupby(layout.section for layout in view().layouts if layout.pieces)]
    assert len(sections) == len(set(sections))


def test_a_stick_that_stays_whole_says_what_it_is_good_for() -> None:
    question, plan = scenes.whole()
    found = present(question, result_of(plan))
    assert found.answer == "From Harbour yard buy 11 sticks: USD 675.40."
    assert found.orders[0].notes == ("1 stick stays whole: it makes delivery free and saves USD 33.60.",)
    assert found.totals is not None
    assert found.totals.sentence.startswith("10 parts on 10 sticks in 1 layout, 1 stick stays whole; 63.6 % of ")
    assert [layout.quantity for layout in found.layouts] == [10]
    forbidden = replace(question, idle=False)
    words = "Nothing cheaper exists at these prices and terms with this saw, with a part on every stick that is bought."
    assert present(forbidden, result_of(plan)).proof == words


def test_several_that_stay_whole_are_named_where_that_is_not_plain() -> None:
    question, _ = scenes.whole()
    other = replace(question.sticks[0], id="S24")
    both = replace(question, sticks=(*question.sticks, other))
    reasons = (IdleReason.MINIMUM, IdleReason.PRICE)
    idle = Idle(yard="Harbour yard", sticks=(("S20", 2), ("S24", 1)), reasons=reasons, saved=None)
    words = "3 sticks (2 of S20 and S24) stay whole: they reach the minimum order and bring the price by quantity."
    assert idle_words(both, idle) == words


def test_one_line_beside_the_proof_says_what_the_plan_was_held_to() -> None:
    question, result = demo()
    (held,) = (each for each in present(question, result).remarks if each.startswith("The plan was held to this: "))
    assert held == (
        "The plan was held to this: a yard cuts only sticks that are fetched, as often as carrying needs and at most "
        "once more, and none that stays whole; each yard's order comes home in one way, delivered or fetched; all "
        "pieces of a parts line are cut from one section."
    )


def test_each_rule_is_said_where_it_matters_and_only_there() -> None:
    plain, _ = scenes.one_part()
    mitred, _ = scenes.mitred()
    keep = KeepValue(amount=Decimal(1), per=Fraction(1000), shortest=Fraction(100))
    assert held_to(plain) == ""
    assert held_to(mitred) == "The plan was held to this: room between angled cuts is rounded up to 0.01 mm."
    assert "1/1024 in" in held_to(replace(mitred, unit=Unit.IN))
    assert "no stick is bought that no part is cut from" in held_to(replace(plain, idle=False))
    assert "a leftover is worth so much for its length" in held_to(replace(plain, keep_value=keep))
    question, _ = demo()
    assert "a yard cuts" not in held_to(replace(question, carry=Carry()))
    impossible = Result(
        plan=None,
        proof=Proof(lower_bound=Fraction(0), infeasible=("So.",)),
        report=Report(seconds=0, sections=(), seed=0),
    )
    assert present(mitred, impossible).remarks[0] == held_to(mitred)
