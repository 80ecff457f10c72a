"""The workbook of a plan with yards: what its formulas say is what the engine says, also after a change."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

import pytest

from cutting.answer.plan import Transport
from cutting.checking.prices import charges_of
from cutting.question.job import Source
from cutting.question.prices import price_steps
from cutting.question.yards import Tax, Yard, YardCuts
from shared.writers.xlsx.frame import BUY_LIST
from shared.writers.xlsx.terms import STEPS, TERMS
from tests.golden.questions import files, job_of, solved
from tests.shared.writers.xlsx.made import office, opened, recalculated, rows, summary, workbook_bytes

pytestmark = pytest.mark.skipif(
    office() is None,
    reason="LibreOffice is not installed: whether a spreadsheet program gets the yards' sums was NOT tested",
)

ORDERED = sorted(
    name
    for name in files()
    if (plan := solved(name).plan) is not None and plan.orders and job_of(name).currency is not None
)
ALL = ("two_yards.toml", "firewood_racks.toml", *(name for name in ORDERED if "breaks" in name or "carried" in name))
CHANGES = 20


@dataclass
class Changed:
    """A workbook somebody has changed, and what the yards then charge by the engine's own arithmetic."""

    name: str
    data: bytes = b""
    due: dict[str, Any] = field(default_factory=dict)
    materials: dict[str, Decimal] = field(default_factory=dict)


def changed(number: int) -> Changed:
    chance = random.Random(f"live {number}")
    name = ORDERED[number % len(ORDERED)]
    job, plan = job_of(name), solved(name).plan
    book = opened(workbook_bytes(job, plan))
    steps = price_steps(job)
    prices = {}
    at_step = 2
    for at, line in enumerate(plan.buy, start=2):
        if line.source is Source.OWN:
            continue
        own = list(steps[line.stick])
        if len(own) > 1 and line.source is Source.STICKS:
            least, price = own[1]
            own[1] = (max(2, least + chance.choice([-1, 0, 1])), price + chance.choice([Decimal("-0.37"), Decimal(1)]))
            own[2:] = []
            at_step = next(
                row for row in range(2, book[STEPS].max_row + 1) if book[STEPS].cell(row, 1).value == line.stick
            )
            book[STEPS].cell(at_step + 1, 2).value, book[STEPS].cell(at_step + 1, 3).value = own[1][0], float(own[1][1])
            for row in range(at_step + 2, at_step + len(steps[line.stick])):
                book[STEPS].cell(row, 2).value = 10_000
            prices[line.stick] = next(each for least, each in reversed(own) if line.quantity >= least)
        else:
            prices[line.stick] = (line.price or Decimal(0)) + Decimal(chance.randint(0, 900)) / 100
            book[BUY_LIST].cell(at, 9).value = float(prices[line.stick])
    found = Changed(name=name)
    yards = {yard.name: yard for yard in job.yards}
    stands = {stick.id: stick.yard for stick in job.sticks}
    for at, order in enumerate(plan.orders, start=2):
        yard = yards.get(order.yard) or Yard(name=order.yard)
        free_from = chance.choice([None, Decimal(chance.randint(1, 2000))])
        rate = Decimal(chance.choice(["0", "0.07", "0.19", "0.0825"]))
        yard = replace(
            yard,
            delivery=None if yard.delivery is None else Decimal(chance.randint(0, 9000)) / 100,
            delivery_free_from=None if yard.delivery is None else free_from,
            collecting=None if yard.collecting is None else Decimal(chance.randint(0, 50)),
            minimum=Decimal(chance.randint(0, 3000)),
            tax=replace(yard.tax or Tax(rate=Decimal(0)), rate=rate),
            cuts=None
            if yard.cuts is None
            else YardCuts(charge=Decimal("3.30"), free=chance.randint(0, 3), allowance=yard.cuts.allowance),
        )
        on = [int(charge in yard.tax.on) for charge in ("material", "cuts", "delivery")]
        cells = [yard.delivery, yard.delivery_free_from, yard.collecting, yard.minimum, rate, *on]
        cells += [yard.cuts.charge, yard.cuts.free] if yard.cuts else [0, 0]
        for column, value in enumerate(cells, start=2):
            book[TERMS].cell(at, column).value = None if value is None else float(value)
        material = sum(
            (
                line.quantity * prices[line.stick]
                for line in plan.buy
                if line.stick in prices and stands[line.stick] == order.yard
            ),
            Decimal(0),
        )
        trips = order.trips if order.transport is Transport.COLLECTED else None
        found.due[order.yard] = (charges_of(job.currency, yard, material, order.cuts, trips), yard.minimum)
        found.materials[order.yard] = material
    out = io.BytesIO()
    book.save(out)
    found.data = out.getvalue()
    return found


@pytest.fixture(scope="module")
def changes() -> list[Changed]:
    return [changed(number) for number in range(CHANGES)]


@pytest.fixture(scope="module")
def books(changes: list[Changed], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """All that is recalculated here, at once: starting LibreOffice takes seconds."""
    as_written = {_file(name): workbook_bytes(job_of(name), solved(name).plan) for name in ALL}
    more = {f"changed-{number}": one.data for number, one in enumerate(changes)}
    return recalculated({**as_written, **more}, tmp_path_factory.mktemp("books"))


def _file(name: str) -> str:
    return name.replace("/", "-").replace(".", "-")


@pytest.mark.parametrize("name", ALL)
def test_every_formula_carries_what_a_spreadsheet_program_makes_of_it(name: str, books: dict[str, Any]) -> None:
    data = workbook_bytes(job_of(name), solved(name).plan)
    formulas = 0
    for sheet in opened(data):
        known, made = opened(data, values=True)[sheet.title], books[_file(name)][sheet.title]
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                formulas += 1
                carried, right = known[cell.coordinate].value, made[cell.coordinate].value
                if isinstance(carried, (int, float)):
                    assert carried == pytest.approx(right, abs=1e-6), (sheet.title, cell.coordinate)
                else:
                    assert (carried or "") == (right or ""), (sheet.title, cell.coordinate)
    assert formulas > 20


@pytest.mark.parametrize("number", range(CHANGES))
def test_a_change_is_followed_to_what_is_to_be_paid(number: int, changes: list[Changed], books: dict[str, Any]) -> None:
    one, book = changes[number], books[f"changed-{number}"]
    currency = job_of(one.name).currency
    paid = Decimal(0)
    found = rows(book, "Orders")
    assert len(found) == len(one.due)
    for row, (yard, (due, minimum)) in zip(found, one.due.items(), strict=True):
        right = [one.materials[yard], due.cutting, due.delivery, due.collecting, due.tax]
        right.append(one.materials[yard] + due.total)
        heads = ("sticks", "cutting", "delivery", "trips", "tax", "together")
        for head, amount in zip(heads, right, strict=True):
            shown = row[f"{head} {currency}"]
            assert shown == pytest.approx(float(amount or 0), abs=1e-6), (yard, head)
        assert bool(row["remark"]) is (one.materials[yard] < minimum)
        paid += right[-1]
    assert summary(book)[f"Cost {currency}"] == pytest.approx(float(paid), abs=1e-6)
    assert summary(book)["Prices"].startswith("changed")
