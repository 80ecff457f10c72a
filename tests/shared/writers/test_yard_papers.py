"""Papers of a plan with yards: what is bought where, and at the saw the pieces that come home."""

import csv
import io
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from cutting.question.job import Source
from cutting.solve import solve
from shared.files.job import read_job
from shared.view.assemblies import by_assembly
from shared.view.drawing import plan_bars
from shared.view.issue import Issue, Paper
from shared.view.labels.parts import labels_of
from shared.view.labels.sizes import LABEL_SHEETS
from shared.view.letter.lines import letter_of
from shared.view.sheet.cut_sheet import cut_sheet
from shared.work.carried import as_carried, origins
from shared.writers.letter import buy_list_csv, buy_list_text, request_csv, request_text
from shared.writers.xlsx import Leaf, Text, workbook_of
from shared.writers.xlsx.cells import value_of
from tests.builders import PATIENCE
from tests.shared.two_yards import demo, demo_plan

JOBS = Path(__file__).parents[2] / "golden" / "jobs"
ISSUE = Issue(date=date(2026, 5, 4), revision="", paper=Paper.LETTER)


def leaf(name: str) -> Leaf:
    return next(each for each in workbook_of(*demo(), ISSUE).leaves if each.name == name)


def test_the_buy_list_names_the_yards() -> None:
    job, plan = demo_plan()
    text = buy_list_text(letter_of(job, plan, ISSUE))
    assert "  North yard  " in text
    assert "  River yard, rack  " in text
    assert "own drops" in text


def test_the_buy_list_adds_up_to_what_the_yards_are_paid() -> None:
    job, plan = demo_plan()
    letter = letter_of(job, plan, ISSUE)
    rows = list(csv.DictReader(io.StringIO(buy_list_csv(letter), newline="")))
    for order in plan.orders:
        bill = [Decimal(row["cost USD"]) for row in rows if row["from"].removesuffix(", rack") == order.yard]
        assert sum(bill) == order.total, order.yard
    assert sum(Decimal(row["cost USD"]) for row in rows if row["from"] != "own drops") == plan.paid
    assert "To pay: USD 1,386.50." in buy_list_text(letter)
    assert [row["section"] for row in rows if not row["quantity"] and row["from"] == "River yard"] == [
        "9 cuts, 4 of them free",
        "1 trip",
        "tax 6.25 % on material and cuts",
    ]


@pytest.mark.parametrize("path", sorted(JOBS.glob("yards_*.json")), ids=lambda path: path.stem)
def test_on_kept_jobs_too_money_and_cuts_are_what_the_plan_says(path: Path) -> None:
    job, _ = read_job(path.read_bytes(), name=path.name)
    assert job is not None
    plan = solve(job, limit=PATIENCE).plan
    assert plan is not None
    letter = letter_of(job, plan, ISSUE)
    own = {line.stick for line in plan.buy if line.source is Source.OWN}
    rows = [row for row in csv.DictReader(io.StringIO(buy_list_csv(letter), newline="")) if row["line"] not in own]
    cost = f"cost {job.currency}"
    assert sum((Decimal(row[cost]) for row in rows), Decimal(0)) == plan.paid
    assert sum(request.cuts for request in letter.requests) == sum(order.cuts for order in plan.orders)


def requests() -> dict[str, str]:
    texts = request_text(letter_of(*demo_plan(), ISSUE)).split("Request for quotation\n")[1:]
    return {found[1]: text for text in texts if (found := re.search(r"^To: +(.+)$", text, re.MULTILINE))}


def test_each_yard_is_asked_for_its_own_lines_alone() -> None:
    job, plan = demo_plan()
    yards = {stick.id: stick.yard for stick in job.sticks}
    assert list(requests()) == ["North yard", "River yard"]
    for yard, text in requests().items():
        wanted = [line.quantity for line in plan.buy if yards[line.stick] == yard]
        assert sorted(map(int, re.findall(r"Quantity: +(\d+)", text))) == sorted(wanted)
        assert f"Together:       {sum(wanted)} pieces" in text


def test_a_request_asks_for_every_cut_that_the_plan_needs_of_its_yard() -> None:
    _, plan = demo_plan()
    texts = requests()
    cuts = {order.yard: order.cuts for order in plan.orders}
    assert cuts == {"North yard": 0, "River yard": 9}
    assert "Cuts wanted:    9 cuts, where marked above" in texts["River yard"]
    assert "Cuts wanted:    none" in texts["North yard"]
    marked = re.findall(r"(?:(\d+) of them: )?mark \S+(?: \d+/\d+)? in from one end", texts["River yard"])
    assert sum(int(number or 1) for number in marked) == cuts["River yard"]


def test_a_request_says_how_it_comes_home_and_what_to_reserve_first() -> None:
    texts = requests()
    assert "Delivery:       delivered, charge ____" in texts["North yard"]
    assert "Delivery:       collected in one trip" in texts["River yard"]
    assert "reserve from your rack, before anything else: line 1 and line 2." in texts["River yard"]
    assert "2. SHS 1-1/2x1-1/2x1/8 (from your rack of single pieces)" in texts["River yard"]
    assert "reserve" not in texts["North yard"]


def test_the_request_as_a_table_says_where_to_cut() -> None:
    rows = list(csv.DictReader(io.StringIO(request_csv(letter_of(*demo_plan(), ISSUE)), newline="")))
    (flat,) = (row for row in rows if row["section"].startswith("FLAT"))
    assert (flat["from"], flat["cuts wanted"]) == ("River yard", "mark 154 1/4 in from one end, cut on the mark")


def test_a_bar_is_drawn_for_each_piece_that_comes_to_the_saw() -> None:
    job, plan = demo_plan()
    _, carried = as_carried(job, plan)
    assert len(plan_bars(job, plan)) == len(carried.cuts) > len(plan.cuts)


def test_the_cut_sheet_fetches_carried_pieces() -> None:
    job, plan = demo_plan()
    sheet = cut_sheet(job, plan, ISSUE)
    fetched = " ".join(line.source for line in sheet.fetch)
    _, carried = as_carried(job, plan)
    for cut in carried.cuts:
        assert cut.stick in fetched
    assert sheet.block.plan == cut_sheet(*demo_plan(), ISSUE).block.plan


def test_every_part_has_its_label() -> None:
    job, plan = demo_plan()
    labels = labels_of(job, plan, ISSUE, next(iter(LABEL_SHEETS.values())))
    assert len(labels.labels) >= sum(part.quantity for part in job.parts)


def test_the_workbook_has_orders_that_add_up_to_what_is_paid() -> None:
    _, plan = demo_plan()
    orders = leaf("Orders")
    assert [row[0] for row in orders.rows] == [Text("North yard"), Text("River yard")]
    money = sum((Decimal(value_of(cell)) for row in orders.rows for cell in row[5:10]), Decimal(0))
    assert money == plan.paid
    summary = {row[0].text: row[1] for row in leaf("Summary").rows if isinstance(row[0], Text)}
    assert summary["As planned USD"] == plan.paid
    assert "Changed" in summary


def test_the_workbook_says_what_yards_cut() -> None:
    cuts = leaf("Yard cuts")
    assert all(row[0] == Text("River yard") for row in cuts.rows)
    assert all(" lb" in row[4].text for row in cuts.rows if isinstance(row[4], Text))


def test_rack_pieces_and_sticks_are_found_again_on_the_cut_sheet() -> None:
    _, plan = demo_plan()
    lines = {row[3].text for row in leaf("Cut sheet").rows if isinstance(row[3], Text)}
    assert {origins(plan).get(line, line) for line in lines} == {line.stick for line in plan.buy}
    assert all(row[6] != Text("") for row in leaf("Rack pieces used").rows)


def test_assemblies_share_all_that_the_sticks_cost() -> None:
    job, plan = demo_plan()
    together = sum((each.cost for each in by_assembly(job, plan) if each.cost is not None), Decimal(0))
    assert together == sum((line.cost for line in plan.buy if line.cost is not None), Decimal(0))


def test_an_assembly_bears_the_section_its_parts_are_cut_from() -> None:
    job, plan = demo_plan()
    roof = next(each for each in by_assembly(job, plan) if each.name == "roof")
    angle = next(line.section for line in plan.buy if line.stick == "R-L20")
    tube = next(line.section for line in plan.buy if line.stick == "N-T20")
    parts = {part.mark: part for part in job.parts}
    assert angle.mass is not None
    assert tube.mass is not None
    weights = [parts[mark].length * parts[mark].quantity for mark in ("P4", "F2")]
    assert roof.weight.known == (weights[0] * tube.mass + weights[1] * angle.mass) / 1000
    assert roof.weight.without == ()
