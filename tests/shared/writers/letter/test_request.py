"""Buy list and request for quotation, as text and CSV."""

import csv
import io
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from cutting.question.job import Section
from shared.files.plan.name import plan_id
from shared.sections import understand
from shared.view.issue import Issue
from shared.view.letter.lines import letter_of
from shared.view.letter.wall import wall_text
from shared.writers.letter import buy_list_csv, buy_list_text, request_csv, request_text
from tests.shared.writers.pdf import scenes

ISSUE = Issue(date=date(2026, 11, 25), revision="B")
WATCHED = letter_of(*scenes.watched(), ISSUE)
MIXED = letter_of(*scenes.mixed(), ISSUE)


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_request_asks_for_all_that_a_yard_must_know() -> None:
    text = request_text(MIXED)
    for wanted in (
        "1. SHS 2x2x1/8",
        "Standard, grade and finish: ____",
        "Wall or thickness:          1/8 in",
        "Length:                     6000 mm [≈236 7/32 in], at least 6000 mm [≈236 7/32 in]",
        "Quantity:                   2",
        "Weight (nominal):           27.2 kg [60.0 lb] each, 54.5 kg [120.1 lb] together",
        "Price a piece:              ____________     a metre: ____________",
        "2. SHS 2x2x1/8 (from your rack of single pieces)",
        "Cuts wanted:    none",
        "Certificate:    [ ] none   [ ] EN 10204 type 3.1   [ ] mill test report",
        "Together:       3 pieces, weight 61.8 kg [136.2 lb] (nominal)",
        f"plan {plan_id(*scenes.mixed())}, revision B, 2026-11-25",
    ):
        assert wanted in text, wanted


def test_grade_is_stated_where_it_is_given_and_short_sticks_are_accepted() -> None:
    text = request_text(WATCHED)
    assert "Standard, grade and finish: galvanised" in text
    assert "Length:                     88 in, at least 87 1/2 in" in text
    assert "Length:                     10 ft, at least 10 ft" in text
    assert "a foot: " in text
    assert "Weight (nominal):           not known each, not known together" in text
    (unknown,) = (line.section for line in WATCHED.asked if line.weight == "not known")
    known = [line.weight for line in WATCHED.asked if line.weight != "not known"]
    assert f"weight {known[0]} and more, without 1 section of unknown weight: {unknown}" in text
    assert len(known) == 1


def test_own_drops_never_appear_on_a_request() -> None:
    assert [line.id for line in WATCHED.lines] == ["T", "F", "O"]
    assert [line.id for line in WATCHED.asked] == ["T", "F"]
    assert "own drops" not in request_text(WATCHED)
    assert len(table(request_csv(WATCHED))) == 2
    assert "117 1/8" not in request_csv(WATCHED)


def test_the_request_as_csv_leaves_the_answers_empty() -> None:
    first, second = table(request_csv(MIXED))
    assert first == {
        "item": "1",
        "section": "SHS 2x2x1/8",
        "standard, grade and finish": "",
        "wall": "1/8 in",
        "length": "6000 mm [≈236 7/32 in]",
        "length accepted": "at least 6000 mm [≈236 7/32 in]",
        "quantity": "2",
        "from": "yard",
        "weight each (nominal)": "27.2 kg [60.0 lb]",
        "weight (nominal)": "54.5 kg [120.1 lb]",
        "cuts wanted": "none",
        "certificate wanted": "",
        "price a piece": "",
        "price a m": "",
        "remark": "",
        "plan": MIXED.plan,
    }
    assert second["from"] == "yard's rack"


def test_the_buy_list_adds_up() -> None:
    rows = table(buy_list_csv(MIXED))
    for row in rows:
        assert Decimal(row["price USD"]) * int(row["quantity"]) == Decimal(row["cost USD"])
    assert sum(Decimal(row["cost USD"]) for row in rows) == Decimal(str(float(scenes.mixed()[1].cost)))
    text = buy_list_text(MIXED)
    assert "Together USD 108.40." in text
    assert re.search(r"^ ?2 +SHS 2x2x1/8 +6000 mm \[≈236 7/32 in\] +yard +S +USD 51.20 +USD 102.40", text, re.MULTILINE)


def test_no_quotation_gives_away_what_the_plan_reckons() -> None:
    assert "51.20" not in request_text(MIXED) + request_csv(MIXED)


def test_what_is_no_bar_stock_goes_to_the_buy_list_and_not_to_the_request() -> None:
    letter = letter_of(*scenes.mixed(), ISSUE, ["  24 x hinges", "castors,\n locking"])
    assert "Also needed:\n  24 x hinges\n  castors, locking\n" in buy_list_text(letter)
    assert [(row["section"], row["from"]) for row in table(buy_list_csv(letter))[2:]] == [
        ("24 x hinges", "also needed"),
        ("castors, locking", "also needed"),
    ]
    assert "hinges" not in request_text(letter) + request_csv(letter)


def test_nothing_to_buy_is_said() -> None:
    job, plan = scenes.watched()
    own = replace(plan, buy=tuple(line for line in plan.buy if line.stick == "O"))
    assert "Nothing is to be bought" in request_text(letter_of(job, own, ISSUE))


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@A1", "\t=1"])
def test_no_field_becomes_a_formula_in_a_spreadsheet(text: str) -> None:
    job, plan = scenes.one_part()
    section = replace(plan.buy[0].section, name=text)
    buy = (replace(plan.buy[0], stick="S", section=section),)
    letter = letter_of(job, replace(plan, buy=buy), ISSUE)
    for made in (request_csv(letter), buy_list_csv(letter)):
        assert table(made)[0]["section"] == f"'{text}"


def test_a_line_stays_one_line() -> None:
    job, plan = scenes.one_part()
    section = replace(plan.buy[0].section, name='A\nB;\r\n"C",D')
    letter = letter_of(
        replace(job, title="two\nlines"), replace(plan, buy=(replace(plan.buy[0], section=section),)), ISSUE
    )
    assert "two lines, plan" in request_text(letter)
    assert table(request_csv(letter))[0]["section"] == section.name
    assert len(table(buy_list_csv(letter))) == 1


@pytest.mark.parametrize(
    ("name", "wall"),
    [
        ("SHS 1-1/2x1-1/2x1/8", "1/8 in"),
        ("2x2 sq tube 11 ga", "0.12 in"),
        ("RHS 50x30x2.5", "2.5 mm"),
        ("CHS 48.3x3.2", "3.2 mm"),
        ("pipe 1-1/4 sch 40", "schedule 40"),
        ("L 50x50x5", "5 mm"),
        ("L2x2x3/16", "3/16 in"),
        ("FLAT 2x1/4", "1/4 in"),
        ("FLAT 50x5", "5 mm"),
        ("C3x4.1", ""),
        ("UPN 100", ""),
        ("ROUND 12 mm", ""),
        ("our old rail 3x2", ""),
    ],
)
def test_walls(name: str, wall: str) -> None:
    assert wall_text(understand(name)) == wall


def test_an_unknown_section_has_no_wall() -> None:
    assert wall_text(Section(name="SHS 40x40x3")) == ""
