"""Plans from yards as files: written, read back exactly, checked; faults in what they say are found."""

import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import jsonschema
import pytest

from cutting.answer.plan import Plan, Proof, Report, Result
from cutting.question.yards import KeepValue
from cutting.solve import solve
from shared.files.plan import check_file, plan_schema, read_plan, write_plan
from shared.wording.amounts import bound_text, exact_text, gap_of, plan_cost_text
from tests.builders import PATIENCE, inch, job, part, stick
from tests.shared.two_yards import demo, demo_plan
from tests.shared.writers.pdf import scenes


def table() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(write_plan(*demo()))
    return found


def test_it_says_orders_marks_pieces_changes_and_money() -> None:
    _, plan = demo_plan()
    found = table()
    jsonschema.validate(found, plan_schema())
    assert [order["yard"] for order in found["orders"]] == ["North yard", "River yard"]
    assert [order["transport"] for order in found["orders"]] == ["delivered", "collected"]
    for order in found["orders"]:
        parts = [Decimal(order[field]) for field in ("material", "cutting", "delivery", "collecting", "tax")]
        assert sum(parts) == Decimal(order["total"])
    assert found["money"] == {"paid": f"{plan.paid}", "kinds": "24.00", "own_value": "0", "credit": "0"}
    cut = next(each for each in found["cuts"] if "marks" in each)
    assert len(cut["carried"]) == len(cut["marks"]) + 1
    assert sum(piece["parts"] for piece in cut["carried"]) == len(cut["parts"])
    (change,) = found["changes"]
    assert change["confirm"] == "The designer must confirm: it affects strength and fit-up."
    assert {line["yard"] for line in found["buy"] if line["from"] != "own"} == {"North yard", "River yard"}
    assert all("yard" not in line for line in found["buy"] if line["from"] == "own")


def test_it_is_read_back_exactly_and_passes_its_check() -> None:
    question, result = demo()
    stated, problems = read_plan(write_plan(question, result), question)
    assert problems == ()
    assert stated is not None
    assert stated.plan == result.plan
    assert check_file(question, stated) == ()


def test_what_stays_whole_is_written_and_read_back_exactly() -> None:
    question, plan = scenes.whole()
    result = Result(plan=plan, proof=Proof(lower_bound=plan.cost), report=Report(seconds=0.0, sections=(), seed=0))
    found = json.loads(write_plan(question, result))
    jsonschema.validate(found, plan_schema())
    assert found["idle"] == [
        {
            "yard": "Harbour yard",
            "sticks": [{"id": "S20", "quantity": 1}],
            "reasons": ["delivery"],
            "saved": "33.6",
        }
    ]
    stated, problems = read_plan(write_plan(question, result), question)
    assert problems == ()
    assert stated is not None
    assert stated.plan == plan
    assert check_file(question, stated) == ()


def test_a_job_without_yards_is_written_as_ever() -> None:
    question = job([part("A", 50, 2)], [stick("S", "20 ft", "60")])
    found = json.loads(write_plan(question, solve(question, limit=PATIENCE)))
    assert set(found).isdisjoint({"orders", "changes", "idle", "money"})
    assert set(found["cuts"][0]).isdisjoint({"marks", "carried", "credit"})
    assert "yard" not in found["buy"][0]


def faulty(change: Callable[[dict[str, Any]], None]) -> tuple[str, ...]:
    question, _ = demo()
    found = table()
    change(found)
    stated, problems = read_plan(json.dumps(found).encode(), question)
    assert problems == ()
    assert stated is not None
    return check_file(question, stated)


def first_cut(found: dict[str, Any]) -> dict[str, Any]:
    cut: dict[str, Any] = next(each for each in found["cuts"] if "marks" in each)
    return cut


@pytest.mark.parametrize(
    "change",
    [
        lambda found: found["orders"][0].update(delivery="0.00"),
        lambda found: found["orders"][0].update(tax="1.00"),
        lambda found: found["orders"][0].update(transport="collected"),
        lambda found: found["orders"][1].update(trips=2),
        lambda found: found["orders"][1].update(cuts=0),
        lambda found: found["orders"][1].update(weight="1.000"),
        lambda found: found["orders"].pop(),
        lambda found: found["money"].update(paid="1.00"),
        lambda found: found["money"].update(kinds="12.00"),
        lambda found: found["money"].update(credit="3"),
        lambda found: found.pop("money"),
        lambda found: found.pop("changes"),
        lambda found: first_cut(found).update(marks=["120"]),
        lambda found: first_cut(found)["carried"][0].update(length="120"),
        lambda found: first_cut(found)["carried"][0].update(weight="1.000"),
        lambda found: first_cut(found)["carried"][1].update(begin="120"),
        lambda found: first_cut(found)["carried"][1].update(drop="120"),
        lambda found: first_cut(found)["carried"][1].update(parts=9),
        lambda found: found["buy"][0].update(yard="River yard"),
        lambda found: found["buy"][0].pop("yard"),
    ],
)
def test_what_is_changed_is_found(change: Callable[[dict[str, Any]], None]) -> None:
    assert faulty(change)


def test_a_wrong_yard_is_named() -> None:
    (fault,) = faulty(lambda found: found["buy"][0].update(yard="River yard"))
    assert fault == "N-T20 comes from North yard, not from River yard."


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (lambda found: first_cut(found)["carried"][0].update(length="ten"), ".carried[0].length"),
        (lambda found: first_cut(found).update(marks=["x"]), ".marks[0]"),
        (lambda found: found["orders"][0].update(transport="flown"), "orders[0].transport"),
        (lambda found: found["money"].update(credit="1/0"), "money.credit"),
        (lambda found: found["changes"][0].update(saved="much"), "changes[0].saved"),
        (lambda found: found["changes"][0].update(confirm="fine"), "changes[0].confirm"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_place(change: Callable[[dict[str, Any]], None], where: str) -> None:
    question, _ = demo()
    found = table()
    change(found)
    stated, problems = read_plan(json.dumps(found).encode(), question)
    assert stated is None
    assert any(problem.where.endswith(where) for problem in problems)


def leftovers(cost: Fraction, bound: Fraction) -> tuple[Any, Result]:
    question = replace(
        job([part("A", 50, 2)], [stick("S", "20 ft", "60")]),
        keep_value=KeepValue(amount=Decimal(1), per=inch(12), shortest=inch(24)),
    )
    found = solve(question, limit=PATIENCE).plan
    assert found is not None
    answer: Plan = replace(found, cost=cost)
    report: Report = solve(question, limit=PATIENCE).report
    return question, Result(plan=answer, proof=Proof(lower_bound=bound), report=report)


def test_with_leftovers_a_cost_has_no_end_of_decimals() -> None:
    third = Fraction(154, 3)
    question, proven = leftovers(third, third)
    assert proven.plan is not None
    assert plan_cost_text(question, proven.plan) == "51.333334"
    assert bound_text(question, proven.plan.objective, third, proven.plan) == "51.333334"
    assert gap_of(question, proven) == 0
    question, near = leftovers(third, third - Fraction(1, 10**9))
    assert near.plan is not None
    assert bound_text(question, near.plan.objective, near.proof.lower_bound, near.plan) == "51.333333"
    assert gap_of(question, near) == Fraction(1, 10**6)


def test_a_plan_with_leftovers_is_read_back_exactly() -> None:
    question = replace(
        job([part("A", 50, 5), part("B", 33, 3)], [stick("S", "20 ft", "60"), stick("T", "24 ft", "71.99")]),
        keep_value=KeepValue(amount=Decimal("1.13"), per=inch(12), shortest=inch(13)),
    )
    result = solve(question, limit=PATIENCE)
    assert result.plan is not None
    assert result.plan.credit
    stated, problems = read_plan(write_plan(question, result), question)
    assert problems == ()
    assert stated is not None
    assert stated.plan == result.plan
    assert check_file(question, stated) == ()


def test_exact_texts() -> None:
    assert [exact_text(Fraction(n, d)) for n, d in ((10, 1), (41, 8), (10, 3))] == ["10", "5.125", "10/3"]
