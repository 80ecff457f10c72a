"""LibreOffice opens the workbook and works every formula out; its sums are the plan's."""

from __future__ import annotations

import io
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from openpyxl import Workbook, load_workbook

from cutting.answer.totals import add_up
from shared.view.assemblies import by_assembly
from tests.builders import cut, job, part, plan, stick
from tests.shared.writers.pdf import scenes
from tests.shared.writers.xlsx.made import office, opened, recalculated, rows, summary, workbook_bytes

pytestmark = pytest.mark.skipif(
    office() is None,
    reason="LibreOffice is not installed: whether a spreadsheet program gets the plan's sums was NOT tested",
)


SCENES = ("mixed", "marks", "mitred")
CONDITIONS = ["a1", "A1", "*", "?1", ">0", "=1", "~"]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Workbook]:
    """All that is recalculated here, at once: starting LibreOffice takes seconds."""
    made = {name: workbook_bytes(*scenes.ALL[name]()) for name in SCENES}
    more = {"dearer": dearer(), "short": short(), "conditions": conditions()}
    return recalculated({**made, **more}, tmp_path_factory.mktemp("books"))


def dearer() -> bytes:
    """A workbook in which somebody wrote another price."""
    book = load_workbook(io.BytesIO(workbook_bytes(*scenes.mixed())))
    book["Buy list"]["I2"] = 60
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def short() -> bytes:
    """A workbook of a plan that lacks a part."""
    question, answer = scenes.mixed()
    first = answer.cuts[0]
    return workbook_bytes(question, replace(answer, cuts=(replace(first, pieces=first.pieces[1:]), *answer.cuts[1:])))


def conditions() -> bytes:
    """A workbook whose marks look like conditions, each of another number of parts."""
    question = job([part(mark, 10 + n, n + 1) for n, mark in enumerate(CONDITIONS)], [stick("S", 600, "1")])
    marks = [mark for n, mark in enumerate(CONDITIONS) for _ in range(n + 1)]
    return workbook_bytes(question, plan(question, [cut(question, "S", marks)], {"S": "1"}))


@pytest.mark.parametrize("name", SCENES)
def test_its_sums_are_the_plans(name: str, books: dict[str, Workbook]) -> None:
    job, answer = scenes.ALL[name]()
    book = books[name]
    found = summary(book)
    totals = add_up(answer)
    assert Decimal(str(round(found[f"Cost {job.currency}"], 6))) == Decimal(str(float(answer.cost)))
    assert found["Prices"] == "as planned"
    assert (found["Sticks"], found["Parts"]) == (totals.sticks, totals.parts)
    assert found["Used share"] == pytest.approx(float(totals.share))
    pound = Fraction("0.45359237")
    weight = found.get("Weight lb", found.get("Weight kg"))
    assert weight == pytest.approx(float(totals.weight / pound if "Weight lb" in found else totals.weight))
    for row, asked in zip(rows(book, "Parts"), job.parts, strict=True):
        assert (row["planned"], row["missing"]) == (asked.quantity, 0)
    _no_errors(book)


def _no_errors(book: Workbook) -> None:
    wrong = ("#N", "#R", "#V", "#D", "Err:")
    for leaf in book:
        for row in leaf.iter_rows(values_only=True):
            assert not any(isinstance(value, str) and value.startswith(wrong) for value in row)


def test_a_changed_price_recalculates(books: dict[str, Workbook]) -> None:
    done = books["dearer"]
    # 2 sticks at 60 instead of 51.20, and the rack piece for 6.
    assert summary(done)["Cost USD"] == pytest.approx(126)
    assert summary(done)["As planned USD"] == pytest.approx(108.4)
    assert summary(done)["Prices"].startswith("changed since the plan was made")
    costs = [row["cost USD"] for row in rows(done, "Assemblies")]
    assert sum(costs) == pytest.approx(126)


def test_shares_of_the_assemblies(books: dict[str, Workbook]) -> None:
    question, answer = scenes.mixed()
    done = books["mixed"]
    wanted = by_assembly(question, answer)
    found = rows(done, "Assemblies")
    for row, assembly in zip(found, wanted, strict=True):
        assert row["cost USD"] == pytest.approx(float(assembly.cost or 0), abs=0.005)


def test_marks_that_look_like_conditions_are_counted_one_by_one(books: dict[str, Workbook]) -> None:
    """A criterion such as ">0" or "*" would count everything; a1 is not A1."""
    found = {row["mark"]: row["planned"] for row in rows(books["conditions"], "Parts")}
    assert found == {mark: n + 1 for n, mark in enumerate(CONDITIONS)}


def test_a_missing_part_shows(books: dict[str, Workbook]) -> None:
    assert [row["missing"] for row in rows(books["short"], "Parts")] == [2, 0]


def test_texts_stay_texts(books: dict[str, Workbook]) -> None:
    question, answer = scenes.marks()
    done = books["marks"]
    assert {row["mark"] for row in rows(done, "Parts")} == set(scenes.MARKS)
    assert [row["mark"] for row in rows(done, "Cut sheet")] == [
        row["mark"] for row in rows(opened(workbook_bytes(question, answer)), "Cut sheet")
    ]
