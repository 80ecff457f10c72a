"""Each blank of the sheet is declared once: it fills in its field of the job file, is on the page, and in the API."""

from collections import Counter
from typing import Any

import pytest

from api.routes.reading import ListsBody, YardBody
from api.sheet.blanks import blanks_of, described
from api.sheet.form import SheetForm
from api.sheet.stated import field_at, stated_on
from api.sheet.yards import YardForm, field_of
from cutting.question.job import Job
from cutting.question.lengths import Unit
from shared.files.job.fields import Reading
from shared.files.job.read import job_of_table
from shared.files.job.write import job_table
from tests.served import Served

READING = Reading(unit=Unit.IN, currency="USD")
FELLOWS = {
    "leftover": {"leftover_from": "24"},
    "leftover_from": {"leftover": "0.60/ft"},
    "allowance": {"cut_charge": "2.50"},
    "cut_charge": {"allowance": "1/4"},
    "free_cuts": {"cut_charge": "2.50", "allowance": "1/4"},
    "on_material": {"tax": "8.25"},
    "on_cuts": {"tax": "8.25"},
    "on_delivery": {"tax": "8.25"},
}
"""What a blank says nothing without."""
OTHERWISE = {"free_cuts": "2", "on_material": "", "on_cuts": "", "on_delivery": ""}
"""What is written in a blank where the job file's example isn't."""
ELSEWHERE = {"currency"}
"""Blanks that are read together with the lists."""

SHEET = blanks_of(SheetForm)
YARD = blanks_of(YardForm)


def stated(form: SheetForm) -> tuple[Job, list[tuple[str, str]]]:
    faults: list[tuple[str, str]] = []
    said = stated_on(form, READING, lambda field, message: faults.append((field, message)), [])
    return said.job, faults


def filled(blank: str, examples: list[str], always: dict[str, str]) -> dict[str, Any]:
    text = OTHERWISE.get(blank, (examples or ["on"])[0])
    return always | FELLOWS.get(blank, {}) | {blank: text}


def at(table: Any, path: str) -> Any:
    for step in path.split("."):
        table = table.get(step, {})
    return table


@pytest.mark.parametrize("name", sorted(set(SHEET) - ELSEWHERE))
def test_a_blank_fills_in_its_field(name: str) -> None:
    _, examples = described(SheetForm)[name]
    job, faults = stated(SheetForm(**filled(name, examples, {"kerf": "3/32"})))
    assert faults == []
    empty, _ = stated(SheetForm(kerf="0"))
    field = SHEET[name].field
    if field != "saw.end_trim":  # stands with the sticks, which lists have
        assert at(job_table(job), field) not in ({}, at(job_table(empty), field))
    assert field_at(field) == name


@pytest.mark.parametrize("name", sorted(YARD))
def test_a_blank_of_a_yard_fills_in_its_field(name: str) -> None:
    _, examples = described(YardForm, "yards")[name]
    yard = YardForm(**filled(name, examples, {"name": "Harbour Steel"}))
    job, faults = stated(SheetForm(kerf="3/32", yards=(YardForm(), yard)))
    assert faults == []
    (table,) = job_table(job)["yards"]
    assert at(table, YARD[name].field) != {}
    blamed = field_at(f"yards[0].{YARD[name].field}", [2])
    assert blamed is not None
    assert YARD[blamed.rpartition("-")[2]].field == YARD[name].field


def test_a_field_has_one_blank() -> None:
    filled_by = Counter(each.field for each in (*SHEET.values(), *YARD.values()))
    assert {field for field, count in filled_by.items() if count > 1} == {"collecting", "tax.on"}  # with ticks


def test_the_page_has_every_blank(served: Served) -> None:
    page = served.client.get("/").text
    for name in (*SHEET, *(field_of(1, name) for name in YARD)):
        assert f'name="{name}"' in page, name


def test_the_api_takes_every_blank_and_describes_it() -> None:
    renamed = {"trim": "end_trim", "no_idle": "idle"}
    ticks = {f"on_{charge}": "tax_on" for charge in ("material", "cuts", "delivery")}
    for model, names in ((ListsBody, SHEET), (YardBody, YARD)):
        properties = model.model_json_schema()["properties"]
        for name in names:
            assert properties[(renamed | ticks).get(name, name)]["description"], name


def test_what_is_wrong_is_left_out_and_the_rest_is_read() -> None:
    yard = YardForm(name="Harbour Steel", delivery="45", cut_charge="x", allowance="1/4", free_cuts="two", minimum="-5")
    job, faults = stated(SheetForm(kerf="thin", hold="4", longest="long", load="900 lb", yards=(yard,)))
    assert {field for field, _ in faults} == {
        "kerf",
        "longest",
        "yard-1-cut_charge",
        "yard-1-free_cuts",
        "yard-1-minimum",
    }
    assert (job.saw.kerf, job.saw.hold) == (0, 4 * Unit.IN.mm)
    assert (job.carry.longest, job.carry.load is None) == (None, False)
    (left,) = job.yards
    assert (left.name, left.delivery, left.cuts, left.minimum) == ("Harbour Steel", 45, None, 0)


def test_a_job_of_blanks_is_what_a_file_says() -> None:
    form = SheetForm(kerf="3/32", hold="0", longest="13 ft", load="900 lbs", kind_cost="$5", leftover="$0.60/ft")
    job, faults = stated(form)
    ((field, message),) = faults
    assert (field, message.partition(":")[0]) == ("leftover_from", "shortest leftover")
    filed, problems = job_of_table(
        {
            "unit": "in",
            "currency": "USD",
            "saw": {"kerf": "3/32"},
            "carry": {"longest": "13 ft", "load": "900 lb"},
            "kind_cost": 5,
            "parts": [{"section": "SHS 2x2x1/8", "length": 9, "quantity": 1}],
            "sticks": [{"section": "SHS 2x2x1/8", "length": 20, "price": 1}],
        }
    )
    assert filed is not None, problems
    assert (job.saw, job.carry, job.kind_cost) == (filed.saw, filed.carry, filed.kind_cost)
