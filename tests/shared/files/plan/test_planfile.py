import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from cutting.answer.plan import Objective, Plan, Proof, Result
from cutting.question.job import Job, Section, Source
from cutting.solve import solve
from shared.files.job import read_job
from shared.files.plan import check_file, plan_schema, read_plan, write_plan
from shared.files.plan.name import plan_id
from tests.builders import PATIENCE, cut, inch, job, part, plan, stick
from tests.golden.kept import plan_path
from tests.golden.questions import job_of

FIXTURES = Path(__file__).parents[4] / "fixtures"


def fixture(name: str) -> Job:
    found, problems = read_job((FIXTURES / name).read_bytes(), name=name)
    assert found is not None, problems
    return found


@pytest.fixture(scope="module")
def stalls() -> tuple[Job, Result]:
    question = fixture("market_stalls.toml")
    return question, solve(question, limit=PATIENCE)


def result_of(answer: Plan | None, bound: Fraction, infeasible: tuple[str, ...] = ()) -> Result:
    report: Any = None
    return Result(plan=answer, proof=Proof(lower_bound=bound, infeasible=infeasible), report=report)


def test_it_says_what_the_issue_asks_for(stalls: tuple[Job, Result]) -> None:
    question, result = stalls
    table = json.loads(write_plan(question, result))
    jsonschema.Draft202012Validator.check_schema(plan_schema())
    jsonschema.validate(table, plan_schema())
    assert result.plan is not None
    assert (table["status"], table["gap"]) == ("optimal", "0.00")
    assert table["cost"] == table["lower_bound"] == f"{result.plan.cost.numerator / result.plan.cost.denominator:.2f}"
    assert [line["id"] for line in table["buy"]] == [line.stick for line in result.plan.buy]
    assert set(table["buy"][0]) == {"id", "section", "material", "length", "from", "quantity", "price", "cost"}
    assert {line["from"] for line in table["buy"]} == {"sticks", "rack", "own"}
    assert sum(c["quantity"] * len(c["parts"]) for c in table["cuts"]) == table["totals"]["parts"]
    assert table["totals"]["parts"] == sum(each.quantity for each in question.parts)
    assert table["cuts"][0]["parts"][0]["start"] == "0"


def test_it_is_read_back_exactly(stalls: tuple[Job, Result]) -> None:
    question, result = stalls
    stated, problems = read_plan(write_plan(question, result), question)
    assert problems == ()
    assert stated is not None
    assert stated.plan == result.plan
    assert check_file(question, stated) == ()


@pytest.mark.parametrize("name", ["kayak_racks.toml", "published/paper_rolls.toml", "published/gilmore_gomory.toml"])
def test_other_units_and_objectives_are_read_back_exactly(name: str) -> None:
    question = fixture(name)
    result = solve(question, limit=PATIENCE)
    stated, problems = read_plan(write_plan(question, result), question)
    assert stated is not None, problems
    assert stated.plan == result.plan
    assert check_file(question, stated) == ()


def test_weight_is_stated_to_the_gram_and_still_read_back_exactly() -> None:
    heavy, light = Section(name="heavy", mass=Fraction(10, 3)), Section(name="light", mass=Fraction(1, 7))
    question = job(
        [part("A", 12, 1, heavy), part("B", 12, 1, light)],
        [stick("S1", 24, None, section=heavy), stick("S2", 24, None, section=light)],
        currency=None,
    )
    result = solve(question, limit=PATIENCE)
    assert result.plan is not None
    assert result.plan.objective is Objective.WEIGHT
    data = write_plan(question, result)
    assert json.loads(data)["cost"] == "2.119"  # 0.6096 m x (10/3 + 1/7) kg/m = 2.11908...
    stated, _ = read_plan(data, question)
    assert stated is not None
    assert stated.plan == result.plan
    assert check_file(question, stated) == ()
    other, _ = read_plan(data.replace(b'"cost": "2.119"', b'"cost": "2.118"'), question)
    assert other is not None
    assert any("add up to" in fault for fault in check_file(question, other))


QUESTION = job([part("A", 40, 4), part("B", 20, 2)], [stick("S1", 120, "10.00", 3)])
ANSWER = plan(QUESTION, [cut(QUESTION, "S1", ["A", "A"], 2), cut(QUESTION, "S1", ["B", "B"])], {"S1": "10.00"})


def test_feasible_says_what_could_still_be_saved() -> None:
    table = json.loads(write_plan(QUESTION, result_of(ANSWER, Fraction("28.395"))))
    # Every price is whole cents, so no plan costs less than 28.40.
    stated = tuple(table[field] for field in ("status", "cost", "lower_bound", "gap"))
    assert stated == ("feasible", "30.00", "28.40", "1.60")


def test_gap_and_bound_agree() -> None:
    data = write_plan(QUESTION, result_of(ANSWER, Fraction("28.4")))
    assert json.loads(data)["gap"] == "1.60"
    stated, _ = read_plan(data, QUESTION)
    assert stated is not None
    assert check_file(QUESTION, stated) == ()


def test_no_plan() -> None:
    data = write_plan(QUESTION, result_of(None, Fraction(0), ("A is too long.",)))
    table = json.loads(data)
    jsonschema.validate(table, plan_schema())
    assert (table["status"], table["why"], table["cost"], table["lower_bound"]) == (
        "infeasible",
        ["A is too long."],
        None,
        None,
    )
    stated, problems = read_plan(data, QUESTION)
    assert problems == ()
    assert stated is not None
    assert stated.plan is None
    assert check_file(QUESTION, stated) == ()
    table = json.loads(write_plan(QUESTION, result_of(None, Fraction(20))))
    assert (table["status"], table["cost"], table["lower_bound"], table["totals"]) == ("unknown", None, "20.00", None)


def changed(path: str, value: Any) -> bytes:
    table = json.loads(write_plan(QUESTION, result_of(ANSWER, Fraction(30))))
    *steps, last = (int(step) if step.isdigit() else step for step in path.split("."))
    inner = table
    for step in steps:
        inner = inner[step]
    inner[last] = value
    return json.dumps(table).encode()


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("status", "feasible", "a plan is not feasible"),
        ("status", "infeasible", "said to be infeasible, and here it is"),
        ("lower_bound", "29.00", "The gap between 30.00 and 29.00 is 1.00, not 0.00"),
        ("lower_bound", "31.00", "The lower bound of 31.00 is above the plan's own cost of 30.00"),
        ("lower_bound", None, "must all be stated"),
        ("gap", "0.01", "is 0.00, not 0.01"),
        ("gap", "-0.00", "is 0.00, not -0.00"),
        ("why", ["The yard is closed."], "says why none can exist, and here it is"),
        ("cuts.0.edge", "heel", "names an edge, the heel"),
        ("cost", "29.99", "costs 29.99; its lines add up to 30.00"),
        ("unit", "mm", "The plan is in mm and USD, the job in in and USD"),
        ("currency", "EUR", "in and EUR"),
        ("objective", "length", "minimises length"),
        ("totals.parts", 5, "totals.parts is 6, not 5"),
        ("totals.sticks", 4, "totals.sticks is 3, not 4"),
        ("totals.length", "361", "totals.length is 360, not 361"),
        ("totals.weight", "1.000", "totals.weight is None, not 1.000"),
        ("totals.used_share", "0.9999", "totals.used_share is"),
        ("totals", None, "The totals are missing"),
        ("cuts.0.quantity", 1, "A: 2 planned, 4 asked for"),
        ("cuts.0.parts.1.start", "40", "has A from 40 in"),
        ("cuts.0.section", "flat", "says something else of S1"),
        ("buy.0.price", "9.00", "has a price of 9.00"),
    ],
)
def test_each_false_claim_is_caught(path: str, value: Any, words: str) -> None:
    stated, problems = read_plan(changed(path, value), QUESTION)
    assert stated is not None, problems
    assert any(words in fault for fault in check_file(QUESTION, stated)), check_file(QUESTION, stated)


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("objective", "length", "minimises length; for this job it is money"),
        ("why", [], "says nothing of why none can exist is not infeasible"),
        ("status", "unknown", "says why none can exist is not unknown"),
        ("lower_bound", "20.00", "said to be infeasible, with a lower bound of 20.00"),
        ("gap", "0.00", "a gap, totals"),
        ("orders", [], ""),
        ("money", {"paid": "1", "kinds": "0", "own_value": "0", "credit": "0"}, "idle sticks or money"),
        ("idle", [{"yard": "", "sticks": [], "reasons": [], "saved": None}], "idle sticks or money"),
    ],
)
def test_each_false_claim_beside_no_plan_is_caught(path: str, value: Any, words: str) -> None:
    table = json.loads(write_plan(QUESTION, result_of(None, Fraction(0), ("A is too long.",)))) | {path: value}
    stated, problems = read_plan(json.dumps(table).encode(), QUESTION)
    assert stated is not None, problems
    faults = check_file(QUESTION, stated)
    assert any(words in fault for fault in faults) if words else faults == (), faults


@pytest.mark.parametrize("bound", ["2.1188", "2.1190", "2.119079"])
def test_a_bound_just_below_a_weight_is_not_written_as_reaching_it(bound: str) -> None:
    heavy, light = Section(name="heavy", mass=Fraction(10, 3)), Section(name="light", mass=Fraction(1, 7))
    question = job(
        [part("A", 12, 1, heavy), part("B", 12, 1, light)],
        [stick("S1", 24, None, section=heavy), stick("S2", 24, None, section=light)],
        currency=None,
    )
    answer = solve(question, limit=PATIENCE)
    data = write_plan(question, replace(answer, proof=Proof(lower_bound=Fraction(bound))))
    table = json.loads(data)
    assert (table["status"], table["cost"], table["lower_bound"], table["gap"]) == (
        "feasible",
        "2.119",
        "2.118",
        "0.001",
    )
    stated, _ = read_plan(data, question)
    assert stated is not None
    assert check_file(question, stated) == ()


def test_a_gap_in_lengths_is_judged() -> None:
    question = job([part("A", 40, 4)], [stick("S1", 120, None, 3)], currency=None)
    answer = solve(question, limit=PATIENCE)
    table = json.loads(write_plan(question, answer))
    assert (table["objective"], table["gap"]) == ("length", "0")
    stated, _ = read_plan(json.dumps(table | {"gap": "1"}).encode(), question)
    assert stated is not None
    assert any("The gap between 240 and 240 is 0, not 1" in fault for fault in check_file(question, stated))


def test_an_order_with_own_steel_beside_it_weighs_only_what_is_bought() -> None:
    """Sticks of a nameless yard and one's own have no yard's name both, and only those of the yard are its order."""
    name = "random/keep_1.json"
    stated, problems = read_plan(plan_path(name).read_bytes(), job_of(name))
    assert stated is not None, problems
    assert stated.plan is not None
    assert {line.source for line in stated.plan.buy} > {Source.OWN}
    assert check_file(job_of(name), stated) == ()


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        ("cuts.0.length", "x", "cuts[0].length"),
        ("cuts.0.parts.0.end", "4 0 0", "cuts[0].parts[0].end"),
        ("buy.0.quantity", 0, "buy[0].quantity"),
        ("buy.0.quantity", "3", "buy[0].quantity"),
        ("buy.0.price", "NaN", "buy[0].price"),
        ("cost", "NaN0", "cost"),
        ("status", "great", "status"),
        ("colour", "red", "colour"),
        ("cuts.0.parts.0.pose", 1, "cuts[0].parts[0].pose"),
    ],
)
def test_a_file_that_cannot_be_read_says_where(path: str, value: Any, where: str) -> None:
    stated, problems = read_plan(changed(path, value), QUESTION)
    assert stated is None
    assert [problem.where for problem in problems] == [where]


def test_a_file_that_is_no_plan() -> None:
    for data in (b"", b"{", b"[]", b"{}", b"\xff\xff", b'{"cost": NaN}'):
        stated, problems = read_plan(data, QUESTION)
        assert stated is None
        assert problems


def test_the_same_plan_gives_the_same_bytes(stalls: tuple[Job, Result]) -> None:
    question, result = stalls
    later = replace(result, report=replace(result.report, seconds=result.report.seconds + 1))
    assert write_plan(question, result) == write_plan(question, later)
    assert inch(1) == Fraction(127, 5)


@pytest.mark.parametrize("name", ["kayak_stands.toml", "market_stalls.toml", "two_yards.toml"])
def test_a_plan_that_was_kept_comes_back_under_its_name(name: str) -> None:
    question, data = fixture(name), plan_path(name).read_bytes()
    stated, problems = read_plan(data, question)
    assert stated is not None, problems
    assert stated.plan is not None
    assert plan_id(question, stated.plan) == stated.file.name != ""
    assert plan_id(replace(question, title="another"), stated.plan) != stated.file.name
