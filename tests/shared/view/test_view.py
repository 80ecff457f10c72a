"""The view: every string ready and right."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import shared.view
from cutting.answer.plan import Objective, Plan, Proof, Rests, Result
from cutting.question.job import Job, Section, Source
from cutting.question.lengths import Unit
from cutting.solve import solve
from shared.files.job import read_job
from shared.view import View, present
from shared.wording.tape import Tape
from shared.wording.values import amount, length, surface, weight
from shared.writers.text import plan_text
from tests.builders import PATIENCE, cut, inch, job, part, plan, stick

FIXTURES = Path(__file__).parents[3] / "fixtures"
KNOWN = Section(name="tube", material="galvanised", mass=Fraction(3), surface=Fraction(1, 10))

QUESTION = replace(
    job(
        [part("A", 40, 4, KNOWN, "posts"), replace(part("B", "19 7/8", 3, KNOWN), assembly="stall")],
        [
            stick("S1", 120, "1000.00", section=KNOWN),
            stick("R1", 60, "2.50", 1, source=Source.RACK, section=KNOWN, usable="59 1/2"),
            stick("O1", 40, None, 1, source=Source.OWN, section=KNOWN, trims=(0, 0)),
        ],
        hold="4",
    ),
    title="Stall",
    keep_from=inch(12),
)
ANSWER = plan(
    QUESTION,
    [
        cut(QUESTION, "S1", ["A", "B", "B"]),
        cut(QUESTION, "S1", ["A", "A"]),
        cut(QUESTION, "R1", ["B"]),
        cut(QUESTION, "O1", ["A"]),
    ],
    {"S1": "1000.00", "R1": "2.50", "O1": "0"},
)


def view(bound: str = "2002.50", answer: Plan | None = ANSWER, question: Job = QUESTION, **proof: Any) -> View:
    report: Any = None
    return present(question, Result(plan=answer, proof=Proof(lower_bound=Fraction(bound), **proof), report=report))


def test_the_answer_and_how_good_it_is() -> None:
    best = view()
    assert best.answer == ("Buy 2 sticks and take 1 piece from the rack and 1 piece of your own: USD 2,002.50.")
    assert best.proof == "Nothing cheaper exists at these prices with this saw."
    assert (best.gap, best.remarks) == ("USD 0.00", ())
    good = view("2000.899")
    assert good.proof == "At most USD 1.60 more could be saved."
    floating = view(rests=Rests.FLOATING)
    assert "floating-point" in floating.remarks[0]


def test_no_plan() -> None:
    none = view("0", None, infeasible=("A is too long.",))
    assert (none.answer, none.proof, none.why) == ("No plan can exist for this job.", "", ("A is too long.",))
    assert (none.totals, none.buy, none.layouts, none.drops) == (None, (), (), ())
    late = view("20", None)
    assert late.answer == "No plan was found within the time limit, and none is ruled out."
    assert late.proof == "Any plan costs at least USD 20.00."


def test_only_rack_or_own_pieces() -> None:
    own = plan(QUESTION, [cut(QUESTION, "O1", ["A"])], {"O1": "0"})
    assert view("0", own).answer == "Take 1 piece of your own: USD 0.00."


def test_the_buy_list() -> None:
    first, rack, own = view().buy
    assert first.what == "2 sticks of tube (galvanised), 10 ft"
    assert (first.price.full, first.cost.text) == ("USD 1,000.00", "2,000.00")  # type: ignore[union-attr]
    assert first.length.full == "10 ft"
    assert (first.length.text, first.length.number) == ("120", 120.0)
    # 20 ft are 6.096 m: 18.288 kg are 40.3 lb; parts of 159 3/4 in are 4.05765 m and 0.405765 m2, 4.4 sq ft.
    assert first.weight is not None
    assert first.weight.full == "40.3 lb"
    assert first.surface is not None
    assert first.surface.full == "4.4 sq ft"
    assert rack.what == "1 rack piece of tube (galvanised), 60 in"
    assert own.what == "1 own piece of tube (galvanised), 40 in"


def test_the_layouts() -> None:
    best = view()
    first, second, third, fourth = best.layouts
    assert first.heading == "1 stick of tube (galvanised), 10 ft (S1)"
    assert [(piece.mark, piece.start.text, piece.end.text) for piece in first.pieces] == [
        ("A", "0", "40"),
        ("B", "40 1/8", "60"),
        ("B", "60 1/8", "80"),
    ]
    assert (first.pieces[0].note, first.pieces[1].assembly) == ("posts", "stall")
    assert [(stop.length.text, stop.count, stop.marks) for stop in first.stops] == [("40", 1, "A"), ("19 7/8", 2, "B")]
    assert first.drop_words == "drop 39 5/8 in, label and keep"
    assert first.keep
    assert second.drop_words == "drop 39 1/2 in, label and keep"
    assert third.notes == ("Planned for 59 1/2 in: it may come that short.",)
    assert fourth.notes == ("No end is trimmed.",)
    assert fourth.drop_words == "nothing is left"
    assert not fourth.keep
    assert best.saw.sentence == (
        "The saw takes 1/8 in a cut; trim 1/4 in off one end, before anything else, unless a stick says otherwise."
    )


def test_alike_sticks_are_said_to_be_cut_alike() -> None:
    question = job([part("A", 40, 4)], [stick("S1", 120, "1.00")])
    both = view("2", plan(question, [cut(question, "S1", ["A", "A"], 2)], {"S1": "1.00"}), question)
    assert both.layouts[0].heading == "2 sticks of tube, 10 ft (S1), cut alike"
    assert both.saw.sentence == "The saw takes 1/8 in a cut; trim 1/4 in off one end, before anything else."


def test_the_drop_of_a_stick_with_a_raw_tail_is_labelled_whole() -> None:
    question = job([part("A", 40, 1)], [stick("S1", 60, "1.00", trims=("1/4", "1/2"))])
    only = view("1", plan(question, [cut(question, "S1", ["A"])], {"S1": "1.00"}), question).layouts[0]
    assert (only.drop.text, only.drop_whole.text) == ("19 1/8", "19 5/8")
    assert only.drop_words == "drop 19 5/8 in"


def test_skims_and_pieces_too_short_to_hold_are_noted() -> None:
    question = job(
        [part("A", 3, 2)], [stick("O1", "6 1/4", None, 1, source=Source.OWN, trims=(0, 0))], hold="4", kerf="3/16"
    )
    answer = plan(question, [cut(question, "O1", ["A", "A"], unheld=(1, 2))], {"O1": "0"})
    notes = view("0", answer, question).layouts[0].notes
    assert "skims" in notes[0]
    assert notes[1] == "At part 1 and 2 both sides of the cut are shorter than 4 in: clamp with a packer."


def test_parts_drops_and_totals() -> None:
    best = view()
    first, second = best.parts
    assert (first.asked, first.planned) == (4, 4)
    assert first.layouts == "1 on layout 1, 2 on layout 2, 1 on layout 4"
    assert second.layouts == "2 on layout 1, 1 on layout 3"
    assert [(drop.length.full, drop.layout) for drop in best.drops] == [
        ("39 5/8 in", 1),
        ("39 1/2 in", 2),
        ("39 1/4 in", 3),
    ]
    totals = best.totals
    assert totals is not None
    assert (totals.parts, totals.sticks, totals.layouts, totals.used) == (7, 4, 4, "64.6 %")
    assert totals.cost is not None
    assert totals.cost.value == Decimal("2002.50")
    assert any("does not check strength" in caution for caution in best.cautions)


def test_a_job_without_prices_says_what_was_minimised() -> None:
    question = job([part("A", 40, 2)], [stick("S1", 120, None)], currency=None)
    answer = replace(
        plan(question, [cut(question, "S1", ["A", "A"])], {"S1": "0"}), objective=Objective.LENGTH, cost=inch(120)
    )
    answer = replace(answer, buy=tuple(replace(line, price=None, cost=None) for line in answer.buy))
    shown = view(str(inch(120)), answer, question)
    assert shown.answer == "Buy 1 stick: 120 in of steel."
    assert shown.proof == "No plan with this saw buys less length."
    assert shown.remarks == ("No prices were given, so the length of what is bought was minimised.",)
    assert shown.buy[0].price is None
    assert shown.currency == ""


def test_an_unknown_weight_is_said_and_not_guessed() -> None:
    question = job(
        [part("A", 40, 1, KNOWN), part("B", 40, 1)], [stick("S1", 60, "1", section=KNOWN), stick("S2", 60, "1")]
    )
    answer = plan(question, [cut(question, "S1", ["A"]), cut(question, "S2", ["B"])], {"S1": "1", "S2": "1"})
    shown = view("2", answer, question)
    assert shown.remarks == (
        "Weight without 1 section of unknown weight: tube.",
        "Paint area without 1 section of unknown surface: tube.",
    )
    assert shown.buy[1].weight is None
    assert shown.totals is not None
    assert shown.totals.weight is not None
    assert shown.buy[0].weight is not None
    assert shown.totals.weight.full == f"{shown.buy[0].weight.full} and more"
    said = plan_text(shown)
    assert f"{shown.buy[0].weight.full} and more" in said
    assert "without 1 section of unknown weight: tube" in " ".join(said.split())


@pytest.mark.parametrize(
    ("mm", "unit", "full", "other"),
    [
        (Fraction(20447, 10), Unit.IN, "80 1/2 in", "2044.7 mm"),
        (inch("80 1/32"), Unit.IN, "80 1/32 in", "about 2032.8 mm"),
        (Fraction(4085, 2), Unit.MM, "2042.5 mm", "about 80 13/32 in"),
        (inch(240), Unit.IN, "20 ft", "6096 mm"),
        (inch(60), Unit.IN, "60 in", "1524 mm"),
        (Fraction(6000), Unit.M, "6 m", "about 236 7/32 in"),
    ],
)
def test_lengths_in_both_unit_systems(mm: Fraction, unit: Unit, full: str, other: str) -> None:
    shown = length(mm, Tape(unit=unit))
    assert (shown.full, shown.other) == (full, other)


def test_amounts_and_quantities() -> None:
    assert amount(Decimal("1234.5"), "USD").full == "USD 1,234.50"
    assert amount(Decimal(1234), "JPY").full == "JPY 1,234"
    pounds = weight(Fraction("27.669"), Unit.IN)
    assert pounds is not None
    assert pounds.full == "61.0 lb"  # 20 ft of 2x2x1/8 weigh 61 lb
    metric = weight(Fraction("51.46"), Unit.MM)
    assert metric is not None
    assert metric.full == "51.5 kg"
    area = surface(Fraction("1234.56"), Unit.M)
    assert area is not None
    assert area.full == "1,234.6 m2"
    assert weight(None, Unit.MM) is None
    assert surface(None, Unit.MM) is None


@pytest.mark.parametrize("name", ["market_stalls.toml", "kayak_racks.toml"])
def test_the_view_of_each_fixture_adds_up(name: str) -> None:
    question, _ = read_job((FIXTURES / name).read_bytes(), name=name)
    assert question is not None
    shown = present(question, solve(question, limit=PATIENCE))
    assert shown.totals is not None
    assert shown.totals.cost is not None
    assert sum(row.cost.value for row in shown.buy if row.cost) == shown.totals.cost.value
    assert sum(row.planned for row in shown.parts) == shown.totals.parts
    assert all(row.asked == row.planned for row in shown.parts)
    assert sum(layout.quantity for layout in shown.layouts) == shown.totals.sticks
    assert sum(row.quantity for row in shown.buy) == shown.totals.sticks


def test_the_exported_members_are_these() -> None:
    assert sorted(shared.view.__all__) == shared.view.__all__
    for name in shared.view.__all__:
        assert hasattr(shared.view, name)
