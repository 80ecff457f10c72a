"""The workbook read back: every cut, real numbers, live formulas, no text that became one, set up for printing."""

import io
import re
import zipfile
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from cutting.answer.plan import Objective, Plan, Proof, Report, Result
from cutting.question.lengths import Unit
from shared.files.plan.name import plan_id
from shared.view.issue import Issue, Paper
from shared.wording.cautions import at_the_saw, on_the_summary
from shared.writers.xlsx import workbook_of
from tests.shared.writers.pdf import scenes
from tests.shared.writers.xlsx.made import ISSUE, opened, result_of, rows, summary, workbook_bytes

LEAVES = ["Summary", "Buy list", "Cut sheet", "Parts", "Drops", "Rack pieces used"]


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_cut_is_read_back(name: str) -> None:
    job, plan = scenes.ALL[name]()
    found = rows(opened(workbook_bytes(job, plan)), "Cut sheet")
    unit = job.unit
    wanted = [
        (
            *(number, cut.quantity, cut.stick, cut.section.label, place, piece.mark),
            *(float(mm / unit.mm) for mm in (piece.length, piece.start, piece.end)),
        )
        for number, cut in enumerate(plan.cuts, start=1)
        for place, piece in enumerate(cut.pieces, start=1)
    ]
    heads = ("layout", "alike", "line", "section", "piece", "mark", f"length {unit}", f"from {unit}", f"to {unit}")
    assert [tuple(row[head] for head in heads) for row in found] == wanted


def test_the_sheets() -> None:
    assert opened(workbook_bytes(*scenes.watched())).sheetnames == LEAVES
    assert opened(workbook_bytes(*scenes.mixed())).sheetnames == [*LEAVES, "Assemblies"]
    assert opened(workbook_bytes(*scenes.mitred())).sheetnames == [*LEAVES[:3], "Strokes", *LEAVES[3:]]


def test_every_stroke_is_read_back() -> None:
    job, plan = scenes.mitred()
    found = rows(opened(workbook_bytes(job, plan)), "Strokes")
    wanted = [
        (layout, number, float(stroke.at))
        for layout, cut in enumerate(plan.cuts, start=1)
        for number, stroke in enumerate(cut.strokes, start=1)
    ]
    assert [(row["layout"], row["stroke"], row["at mm"]) for row in found] == wanted
    assert {row["along"] for row in found} == {"corner"}


def test_the_buy_list_is_live() -> None:
    first, rack = rows(opened(workbook_bytes(*scenes.mixed())), "Buy list")
    assert (first["quantity"], first["price each USD"], first["cost USD"]) == (2, 51.2, "=H2*I2")
    assert (first["length mm"], first["length mm [in]"]) == (6000, "6000 [≈236 7/32]")
    assert (rack["from"], rack["weight kg"]) == ("yard's rack", "=H3*K3")
    # 4.539 kg/m over 6 m.
    assert first["weight each kg"] == pytest.approx(27.234)


def test_the_shop_sees_fractions_beside_the_numbers() -> None:
    row = rows(opened(workbook_bytes(*scenes.watched())), "Parts")[1]
    assert (row["length in"], row["length as fraction"]) == (2.5, "2 1/2")


def test_the_summary_says_it_all() -> None:
    job, plan = scenes.watched()
    found = summary(opened(workbook_bytes(job, plan)))
    assert found["Job"] == "Watch out"
    assert found["Plan"] == plan_id(job, plan)
    assert (found["Revision"], found["Date"]) == ("B", "2026-11-25")
    assert found["In short"] == "Buy 3 sticks and take 1 piece of your own: USD 100.00."
    assert found["How good it is"] == "Nothing cheaper exists at these prices with this saw."
    assert found["As planned USD"] == 100
    assert str(found["Weight lb, without 1 section"]).startswith("=SUM(")
    texts = [value for _, value in opened(workbook_bytes(job, plan))["Summary"].iter_rows(values_only=True)]
    assert set(texts) >= {*at_the_saw(job), *on_the_summary(job)}
    flat = job.parts[2].section.label
    assert f"Weight without 1 section of unknown weight: {flat}." in texts
    assert not any("no total weight" in str(text) for text in texts)


def test_drops_and_rack_pieces() -> None:
    book = opened(workbook_bytes(*scenes.mixed()))
    long, short = rows(book, "Drops")
    assert (long["quantity"], long["from sticks"], long["what to do"]) == (2, "1–2", "label and keep")
    assert short["length mm"] == 346.5
    (piece,) = rows(book, "Rack pieces used")
    assert (piece["line"], piece["quantity"], piece["sticks"]) == ("R", 1, "3")


def test_parts_say_where_they_are() -> None:
    parts = rows(opened(workbook_bytes(*scenes.mixed())), "Parts")
    assert [row["where"] for row in parts] == ["3 on each of sticks 1–2", "3 on each of sticks 1–2, 3 on stick 3"]
    assert [row["asked"] for row in parts] == [6, 9]


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(1)", '=HYPERLINK("http://x")', "'=1", "\t=1", "=cmd|' /C calc'!A0"]
)
def test_no_text_becomes_a_formula(text: str) -> None:
    job, plan = scenes.one_part()
    section = replace(job.parts[0].section, name=text, material=text)
    part = replace(job.parts[0], mark=text, note=text, assembly=text, section=section)
    job = replace(job, title=text, parts=(part,), sticks=(replace(job.sticks[0], id=text, section=section),))
    piece = replace(plan.cuts[0].pieces[0], mark=text)
    cuts = (replace(plan.cuts[0], stick=text, section=section, pieces=(piece,)),)
    plan = replace(plan, cuts=cuts, buy=(replace(plan.buy[0], stick=text, section=section),))
    book = opened(workbook_bytes(job, plan))
    seen = 0
    for leaf in book:
        for row in leaf.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert re.match(r"=(SUM|SUMPRODUCT|IF|[A-Z]\d)", cell.value), cell.value
                    assert text not in cell.value
                elif isinstance(cell.value, str) and cell.value == text:
                    seen += 1
                    assert cell.data_type == "s"
                    assert bool(cell.quotePrefix) == (text[0] in "=+-@")
    assert seen == 10


def test_letters_that_a_workbook_may_not_hold_are_replaced_visibly() -> None:
    job, plan = scenes.one_part()
    job = replace(job, title="A\x00B\x1f\ud800", parts=(replace(job.parts[0], note="x" * 40_000),))
    book = opened(workbook_bytes(job, plan))
    assert summary(book)["Job"] == "A\ufffdB\ufffd?"
    note = rows(book, "Parts")[0]["note"]
    assert (len(note), note[-1]) == (32_767, "…")


@pytest.mark.parametrize("leaf", LEAVES)
def test_sheets_print_well(leaf: str) -> None:
    sheet = opened(workbook_bytes(*scenes.mixed()))[leaf]
    last = sheet.dimensions.split(":")[-1]
    assert sheet.freeze_panes == "A2"
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.print_area.replace("$", "").endswith(f"A1:{last}")
    # ISO/IEC 29500-1, 18.3.1.63: one page wide unless said otherwise.
    assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.page_setup.orientation == (
        "landscape" if leaf in {"Buy list", "Cut sheet", "Parts", "Rack pieces used"} else "portrait"
    )
    assert sheet.oddHeader.left.text == f"Inch parts on a metric saw: {leaf}"
    assert "revision B, 2026-11-25" in sheet.oddFooter.left.text


def test_paper_and_headings_with_ampersands() -> None:
    job, plan = scenes.one_part()
    issue = Issue(date=date(2026, 11, 25), paper=Paper.A4)
    sheet = opened(workbook_bytes(replace(job, title="Nuts & bolts"), plan, issue))["Parts"]
    assert int(sheet.page_setup.paperSize) == 9
    assert "Nuts && bolts" in sheet.oddHeader.left.text.replace("&&", "&&")
    assert int(opened(workbook_bytes(job, plan))["Parts"].page_setup.paperSize) == 1


@pytest.mark.parametrize(
    ("lengths", "form"),
    [((1, 2), "0"), (("1 1/2",), "0.0"), (("1/4",), "0.00"), (("1/8",), "0.000"), (("1/16", "2000 mm"), "0.0000")],
)
def test_numbers_have_as_many_decimals_as_they_need(lengths: tuple[str, ...], form: str) -> None:
    from tests.builders import cut, job, part, plan, stick

    marks = [f"P{number}" for number, _ in enumerate(lengths)]
    question = job([part(mark, length, 1) for mark, length in zip(marks, lengths, strict=True)], [stick("S", 240, "1")])
    book = opened(workbook_bytes(question, plan(question, [cut(question, "S", marks)], {"S": "1"})))
    assert book["Parts"]["D2"].number_format == form


def test_a_job_without_prices_has_no_money_in_it() -> None:
    job, plan = scenes.one_part()
    job = replace(job, currency=None)
    lines = tuple(replace(line, price=None, cost=None) for line in plan.buy)
    plan = replace(plan, objective=Objective.LENGTH, cost=plan.buy[0].length, buy=lines)
    book = opened(workbook_bytes(job, plan))
    assert not any(str(label).startswith("Cost") for label in summary(book))
    assert rows(book, "Buy list")[0]["cost"] is None


@pytest.mark.parametrize("unit", list(Unit))
def test_every_unit_has_its_headings(unit: Unit) -> None:
    job, plan = scenes.one_part()
    head = [cell.value for cell in opened(workbook_bytes(replace(job, unit=unit), plan))["Parts"][1]]
    assert f"length {unit}" in head
    assert ("weight lb" if unit in {Unit.IN, Unit.FT} else "weight kg") in head


def test_the_same_plan_gives_the_same_bytes_whatever_the_clock_says() -> None:
    job, plan = scenes.mixed()
    data = workbook_bytes(job, plan)
    assert data == workbook_bytes(*scenes.mixed())
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        assert {entry.date_time for entry in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = parts.read("docProps/core.xml").decode()
    assert re.findall(r">(\d{4}-\d\d-\d\dT[^<]+)<", core) == ["2026-11-25T00:00:00Z"] * 2


@pytest.mark.parametrize(("day", "dated"), [("0001-01-01", 1980), ("1979-12-31", 1980), ("9999-12-31", 9999)])
def test_any_date_that_exists_can_be_printed(day: str, dated: int) -> None:
    book = opened(workbook_bytes(*scenes.one_part(), Issue(date=date.fromisoformat(day))))
    assert summary(book)["Date"] == day
    assert book.properties.created.year == dated


def test_without_a_plan_there_is_no_workbook() -> None:
    job, _ = scenes.one_part()
    none = Result(plan=None, proof=Proof(lower_bound=Fraction(0)), report=Report(seconds=0.0, sections=(), seed=0))
    with pytest.raises(ValueError, match="no plan"):
        workbook_of(job, none, ISSUE)


def test_the_issue_is_on_every_page_and_the_result_is_the_plan() -> None:
    job, plan = scenes.mixed()
    book = workbook_of(job, result_of(plan), ISSUE)
    assert isinstance(result_of(plan).plan, Plan)
    assert book.foot == f"Plan {plan_id(job, plan)}, revision B, 2026-11-25"
