"""Each field of the plan file is declared once: what is declared is written from the plan and read back."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, get_args

import pytest
from pydantic import Field

from cutting.answer.plan import Objective, Piece, Plan, Proof, Rests, Result, Status
from cutting.question.lengths import Unit, parse_length
from shared.files.plan import PlanFile, plan_schema, read_plan, write_plan
from shared.files.plan.orders import MoneyFields
from shared.files.plan.table import Back, LengthText, MoneyText, Table
from shared.files.plan.wire import PieceFields
from tests.golden.kept import plan_path
from tests.golden.questions import files, job_of

NAMES = sorted(files())
TOGETHER = {
    "BuyFields": {"material", "yard"},
    "CutFields": {"material"},
    "LieFields": {"long", "centre", "short"},
    "StrokeFields": {"shared"},
    "SharingFields": {"material"},
    "TotalFields": {"used_share", "weight"},
    "ChangeFields": {"wanted_material", "taken_material", "confirm"},
}
"""Fields that state no attribute alone, by table."""


def tables(annotation: Any = PlanFile) -> Iterator[type[Table]]:
    """Every table within the plan file, itself aside."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        if annotation is not PlanFile:
            yield annotation
        for info in annotation.model_fields.values():
            yield from tables(info.annotation)
    for inner in get_args(annotation):
        yield from tables(inner)


@pytest.mark.parametrize("name", NAMES)
def test_a_kept_plan_is_read_and_written_byte_for_byte(name: str) -> None:
    job, data = job_of(name), plan_path(name).read_bytes()
    stated, problems = read_plan(data, job)
    assert stated is not None, problems
    file, plan = stated.file, stated.plan
    bound = Fraction(0)
    if plan is not None and Status(file.status) is Status.OPTIMAL:
        bound = plan.cost
    elif file.lower_bound is not None:
        is_length = file.objective == "length"
        bound = parse_length(file.lower_bound, job.unit) if is_length else Fraction(Decimal(file.lower_bound))
    report: Any = None
    proof = Proof(lower_bound=bound, rests=Rests(file.rests), infeasible=file.why)
    assert write_plan(job, Result(plan=plan, proof=proof, report=report)) == data


@pytest.mark.parametrize("table", sorted(set(tables()), key=str), ids=lambda table: table.__name__)
def test_every_field_states_an_attribute_or_is_named(table: type[Table]) -> None:
    alone = set(table.attributes()) if hasattr(table, "makes") else set(table.model_fields)
    assert set(table.model_fields) - alone == TOGETHER.get(table.__name__, set())
    assert set(plan_schema()["$defs"][table.__name__]["properties"]) == {
        info.alias or field for field, info in table.model_fields.items()
    }


def test_the_kept_plans_say_every_field() -> None:
    said: set[str] = set()

    def collect(value: Any) -> None:
        for each in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            collect(each)
        said.update(value if isinstance(value, dict) else ())

    for name in NAMES:
        collect(json.loads(plan_path(name).read_bytes()))
    declared = {info.alias or name for table in {PlanFile, *tables()} for name, info in table.model_fields.items()}
    assert declared - said == {"idle", "reasons", "layouts"}  # test_yards.py and below


def test_money_apart_is_read_back_exactly() -> None:
    money = {
        "paid": Decimal("61.40"),
        "kinds": Decimal(5),
        "own_value": Fraction(10, 3),
        "credit": Fraction(41, 8),
        "layouts": Decimal("8.50"),
    }
    plan = Plan(objective=Objective.MONEY, cost=Fraction(70), buy=(), cuts=(), **money)  # type: ignore[arg-type]
    fields = MoneyFields.of(plan, Unit.IN)
    assert (fields.own_value, fields.credit, fields.layouts) == ("10/3", "5.125", "8.50")
    assert fields.told(Back(Unit.IN, ()), "money") == money


@dataclass(frozen=True, kw_only=True)
class PaintedPiece(Piece):
    """A piece with two things that no piece of ours has."""

    paint: Decimal = Decimal(0)
    bare: Fraction | None = None


class PaintedPieceFields(PieceFields):
    """Its table, with nothing but the two declarations."""

    makes = PaintedPiece

    paint: MoneyText = Field(default="0", description="What its paint costs.")
    bare: LengthText | None = Field(default=None, description="What stays bare of it.")


def test_a_new_field_needs_one_declaration() -> None:
    inch = Unit.IN.mm
    piece = PaintedPiece(
        mark="A", length=40 * inch, start=Fraction(0), end=40 * inch, paint=Decimal("2.50"), bare=inch / 2
    )
    table = PaintedPieceFields.of(piece, Unit.IN)
    assert (table.paint, table.bare, table.length) == ("2.50", "1/2", "40")
    back = Back(Unit.IN, ())
    assert table.value(back, "cuts[0].parts[0]") == piece
    assert back.problems == []
    wrong = PaintedPieceFields.model_validate(table.model_dump() | {"bare": "half"})
    wrong.value(back, "cuts[0].parts[0]")
    (problem,) = back.problems
    assert (problem.where, problem.text) == ("cuts[0].parts[0].bare", "half")
