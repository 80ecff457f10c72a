"""Comparisons, worth, margins and spares as people read them."""

import xml.etree.ElementTree as ET
from datetime import date
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Proof, Report, Rests, Result, Status
from cutting.asking.compare import Case, Comparison, Row
from cutting.asking.margins import Longer, Margins, Shorter
from cutting.asking.spares import Spare
from cutting.asking.worth import Step, Worth
from cutting.question.job import Job
from cutting.question.lengths import Unit
from shared.view.advice import comparison_advice, margins_advice, spares_advice, worth_advice, worth_plot
from shared.writers.xlsx import Text, comparison_book, comparison_leaf, write_workbook
from tests.builders import TUBE, inch, job, part, stick

JOB = job([part("A", 50, 2), part("B", 33, 3)], [stick("S", "20 ft", "60")])
FREE = job([part("A", 1000, 2)], [stick("S", 3000, None)], currency=None, unit=Unit.MM)


def row(case: Case, cost: str | None, bound: str, delta: str | None, status: Status, **more: object) -> Row:
    return Row(
        case=case,
        status=status,
        cost=None if cost is None else Fraction(cost),
        lower_bound=Fraction(bound),
        delta=None if delta is None else Fraction(delta),
        plan=None,
        **more,  # type: ignore[arg-type]
    )


UNSOLVED = Result(
    plan=None,
    proof=Proof(lower_bound=Fraction(0), rests=Rests.EXACT, infeasible=()),
    report=Report(seconds=0.0, sections=(), seed=0),
)
COMPARED = Comparison(
    result=UNSOLVED,
    rows=(
        row(Case.ALL, "100", "100", "0", Status.OPTIMAL),
        row(Case.YARD, "120", "118.50", "20", Status.FEASIBLE, name="North yard"),
        row(Case.NO_RACK, "99", "99", "-1", Status.OPTIMAL),
        row(Case.NO_CUTS, None, "0", None, Status.INFEASIBLE, reasons=("A is too long to carry.",)),
        row(Case.NO_SUBSTITUTES, None, "90", None, Status.UNKNOWN),
        row(Case.MILL_LENGTH, "130", "130", "30", Status.OPTIMAL, length=inch("20 ft")),
    ),
)


def test_a_comparison_says_what_each_way_costs_more_and_how_good_it_is() -> None:
    advice = comparison_advice(JOB, COMPARED)
    assert advice.rows == (
        ("everything offered", "USD 100.00", "", "nothing cheaper exists"),
        ("North yard alone", "USD 120.00", "USD 20.00", "at most USD 1.50 more could be saved"),
        ("without the rack", "USD 99.00", "-USD 1.00", "nothing cheaper exists"),
        ("without cuts by the yard", "", "", "no plan exists"),
        ("without substitutes", "", "", "no plan found; any costs at least USD 90.00"),
        ("only 20 ft of the sticks", "USD 130.00", "USD 30.00", "nothing cheaper exists"),
    )
    assert advice.notes[1] == "without cuts by the yard: A is too long to carry."
    data = advice.data["rows"]
    assert [each["more"] for each in data] == ["0.00", "20.00", "-1.00", None, None, "30.00"]
    assert [each["lower_bound"] for each in data][2:4] == ["99.00", None]
    assert data[5]["length"] == "240"


def test_the_sheet_of_a_comparison_holds_numbers() -> None:
    leaf = comparison_leaf(JOB, COMPARED)
    assert [column.head for column in leaf.columns][1:5] == ["to pay USD", "counted USD", "more USD", "at least USD"]
    assert leaf.rows[1] == (
        Text("North yard alone"),
        Decimal(120),
        Decimal(120),
        Decimal(20),
        Decimal("118.5"),
        Text("at most USD 1.50 more could be saved"),
        Text(""),
    )
    assert leaf.rows[3][1:5] == (None, None, None, None)
    assert leaf.rows[3][6] == Text("A is too long to carry.")
    assert leaf.rows[0][3] is None
    book = comparison_book(JOB, COMPARED, date(2026, 5, 4))
    assert write_workbook(book) == write_workbook(book)


def test_without_prices_lengths_are_compared() -> None:
    found = Comparison(result=UNSOLVED, rows=(row(Case.ALL, "3000", "3000", "0", Status.OPTIMAL),))
    assert comparison_advice(FREE, found).rows[0][1] == "3000 mm"
    leaf = comparison_leaf(FREE, found)
    assert leaf.columns[1].head == "to pay mm"
    assert leaf.rows[0][1] == 3000.0


WORTH = Worth(
    section=TUBE,
    steps=(
        Step(length=inch("33 7/8"), worth=Fraction("6.37"), certain=True),
        Step(length=inch(80), worth=Fraction("12.74"), certain=False),
    ),
    shortest=inch("33 7/8"),
)


def test_worth_says_what_to_pay_from_which_length_on() -> None:
    advice = worth_advice(JOB, WORTH)
    assert advice.lead == ("Nothing shorter than 33 7/8 in is worth looking at.",)
    assert [cells[:2] for cells in advice.rows] == [("33 7/8 in", "USD 6.37"), ("80 in", "at least USD 12.74")]
    assert [len(cells[2]) for cells in advice.rows] == [16, 32]
    assert "trim 1/4 in off one end" in advice.notes[1]
    assert advice.data["steps"][0] == {"length": "33 7/8", "worth": "6.37", "certain": True}


def test_worth_of_nothing_is_said() -> None:
    advice = worth_advice(JOB, Worth(section=TUBE, steps=(), shortest=None))
    assert advice.rows == advice.notes == ()
    assert advice.lead[0].startswith("No single piece of this section would save anything")


def test_the_plot_is_a_staircase() -> None:
    svg = ET.fromstring(worth_plot(JOB, [WORTH, Worth(section=TUBE, steps=(), shortest=None)]))
    names = {each.tag.rpartition("}")[2] for each in svg.iter()}
    assert names == {"svg", "title", "rect", "g", "text", "path"}
    assert len([each for each in svg.iter() if each.tag.endswith("}g")]) == 1
    texts = {each.text for each in svg.iter() if each.tag.endswith("}text")}
    assert texts == {"tube", "33 7/8 in", "80 in", "USD 6.37", "USD 12.74"}
    steps = next(each.get("d", "") for each in svg.iter() if each.get("stroke-width") == "2")
    assert (steps.count("V"), steps.count("H")) == (2, 3)
    # 640 wide with 96 and 24 beside it, the axis reaching 5 % beyond the longest: 80 in stand at 96 + 520 / 1.05
    assert f"H{96 + 520 / 1.05:.1f}" in steps


def test_margins_say_what_shortening_saves_and_what_is_free() -> None:
    found = Margins(
        shorter=(Shorter(mark="B", by=inch("1/16"), saves=Fraction("6.5"), sticks=1, certain=False),),
        longer=(
            Longer(mark="A", by=inch("1/4"), certain=True),
            Longer(mark="B", by=Fraction(0), certain=True),
        ),
        kerf=inch("3/16"),
    )
    advice = margins_advice(JOB, found, inch("1/4"))
    assert advice.rows == (
        ("A", "50 in", "", "", "", "1/4 in and maybe more"),
        ("B", "33 in", "1/16 in", "at least USD 6.50", "1", "nothing"),
    )
    assert advice.lead == ("This plan still fits with a saw cut of up to 3/16 in.",)
    assert advice.data["shorter"][0]["saves"] == "6.50"
    none = margins_advice(JOB, Margins(shorter=(), longer=found.longer, kerf=None), inch("1/4"))
    assert none.lead == ("No part shortened by up to 1/4 in saves anything.",)


def spared(question: Job, *found: Spare) -> tuple[tuple[str, ...], ...]:
    return spares_advice(question, found).rows


def test_spares_say_what_a_spoilt_piece_costs() -> None:
    covered = Spare(mark="A", covered=True, stick="S", cost=Fraction(0), certain=True)
    assert spared(JOB, covered) == (("A", "50 in", "S", "nothing"),)
    for cost, certain, words in (
        (Fraction("9.7"), True, "USD 9.70"),
        (Fraction("9.7"), False, "at most USD 9.70"),
        (Fraction(0), True, "nothing"),
        (None, True, "no plan with one more exists"),
        (None, False, "not known"),
    ):
        bare = Spare(mark="B", covered=False, stick=None, cost=cost, certain=certain)
        assert spared(JOB, bare) == (("B", "33 in", "", words),)
        assert spares_advice(JOB, [bare]).lead[0].startswith("One spoilt piece of B can't be cut again")
    assert spares_advice(JOB, [covered]).lead[0].startswith("Any one spoilt piece can be cut again")
