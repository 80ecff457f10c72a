"""The workbook of a plan in hand has a sheet that traces every piece."""

from shared.work.saw.trace import trace_rows
from shared.writers.xlsx import workbook_of, write_workbook
from tests.shared.writers.pdf import scenes, works
from tests.shared.writers.xlsx.made import ISSUE, opened, result_of, rows


def test_every_piece_is_read_back_with_its_heat_number() -> None:
    book = works.with_bars(works.traced(), [19], heat="")
    job, plan = scenes.mixed()
    written = opened(write_workbook(workbook_of(job, result_of(plan), ISSUE, book)))
    assert written.sheetnames[-1] == "Trace"
    found = [
        (row["mark"], row["piece"], row["length mm"], row["layout"], row["stick"], row["place"], row["bar"])
        for row in rows(written, "Trace")
    ]
    assert found == [
        (row.mark, row.piece, float(row.length), row.layout, row.copy, row.position, f"D{row.bar}")
        for row in trace_rows(book)
    ]
    heats = {row["bar"]: row["heat number"] for row in rows(written, "Trace")}
    assert heats == {"D17": "48213", "D18": "48214", "D19": "not recorded", "D20": "48213", "D21": "48999"}
    assert {row["what became of it"] for row in rows(written, "Trace")} == {
        "sawn",
        "spoilt",
        "not asked for any more",
        "on the rack as a bar",
    }


def test_a_heat_number_that_looks_like_a_formula_stays_a_text() -> None:
    book = works.with_bars(works.finished(), [17], heat="=1+1")
    written = opened(write_workbook(workbook_of(*_plan(), ISSUE, book)))
    cell = next(row[11] for row in written["Trace"].iter_rows(min_row=2) if row[9].value == "D17")
    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=1+1", "s", True)


def test_without_a_work_there_is_no_such_sheet() -> None:
    assert "Trace" not in opened(write_workbook(workbook_of(*_plan(), ISSUE))).sheetnames


def _plan() -> tuple[object, object]:
    job, plan = scenes.watched()
    return job, result_of(plan)
