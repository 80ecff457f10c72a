"""`compare`, `worth`, `margins` and `spares`, each on a small job."""

import io
import json
import re
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from cli.main import app

JOB = """
title = "Two stalls"
unit = "mm"
currency = "EUR"
carry = { longest = 2500 }
[saw]
kerf = 2
[[yards]]
name = "North yard"
delivery = 20
collecting = false
[[yards]]
name = "River yard"
collecting = 5
cuts = { charge = 1, allowance = 6 }
[[parts]]
mark = "A"
section = "tube"
length = 1400
quantity = 4
[[parts]]
mark = "B"
section = "tube"
length = 500
quantity = 3
[[sticks]]
id = "N6"
yard = "North yard"
section = "tube"
length = 6000
price = 30
[[sticks]]
id = "R4"
yard = "River yard"
section = "tube"
length = 4000
price = 22
[[rack]]
id = "R1"
yard = "River yard"
section = "tube"
length = 1600
price = 4
"""
LONG = JOB.replace("length = 1400", "length = 9000")


def run(*arguments: str | Path, text: str = JOB, code: int = 0) -> str:
    done = CliRunner().invoke(app, list(map(str, arguments)), input=text.encode())
    assert done.exit_code == code, done.output
    assert done.exception is None or isinstance(done.exception, SystemExit)
    return done.stdout


def table(*arguments: str) -> dict[str, object]:
    found: dict[str, object] = json.loads(run(*arguments, "-", "--json", "-"))
    return found


def test_plan_prints_orders_and_what_to_have_cut() -> None:
    text = run("plan", "-")
    assert re.search(r"^(From|Buy) .*: EUR [\d.]+\.$", text, re.MULTILINE)
    assert "River yard, collected in one trip" in text
    assert re.search(r"River yard: \d stick.* of tube, 4000 mm \(R4\)\n  mark \d", text)
    assert "of each you carry home:" in text
    assert "To pay: EUR" in text


def test_compare() -> None:
    text = run("compare", "-")
    lines = [line.strip() for line in text.splitlines()]
    assert lines[0] == "Two stalls"
    for name in ("everything offered", "North yard alone", "River yard alone", "without the rack"):
        assert any(line.startswith(name) for line in lines), name
    assert text.count("nothing cheaper exists") >= 4
    rows = table("compare")["rows"]
    assert isinstance(rows, list)
    assert rows[0]["case"] == "all"
    assert all(float(row["cost"]) >= float(rows[0]["cost"]) for row in rows if row["cost"])


def test_compare_writes_a_workbook(tmp_path: Path) -> None:
    run("compare", "-", "--xlsx", tmp_path / "ways.xlsx")
    book = openpyxl.load_workbook(io.BytesIO((tmp_path / "ways.xlsx").read_bytes()))
    assert book.sheetnames[0] == "Summary"
    assert book.sheetnames[-1] == "Ways to buy"
    assert "Buy list" in book.sheetnames
    sheet = book["Ways to buy"]
    rows = table("compare")["rows"]
    assert isinstance(rows, list)
    assert sheet.cell(2, 1).value == "everything offered"
    assert [sheet.cell(at, 2).value for at in (2, 3)] == [float(row["paid"]) for row in rows[:2]]


def test_worth(tmp_path: Path) -> None:
    text = run("worth", "-", "--svg", tmp_path / "worth.svg")
    assert re.search(r"^tube$", text, re.MULTILINE)
    assert re.search(r"1400 mm\s+EUR \d", text)
    assert (tmp_path / "worth.svg").read_text().startswith("<svg")
    sections = table("worth")["sections"]
    assert isinstance(sections, list)
    steps = [float(step["worth"]) for step in sections[0]["steps"]]
    assert steps == sorted(steps)
    assert steps[0] > 0


def test_margins() -> None:
    text = run("margins", "-", "--most", "40")
    assert re.search(r"^  A\s+1400 mm", text, re.MULTILINE)
    found = table("margins")
    assert isinstance(found["longer"], list)
    assert [each["mark"] for each in found["longer"]] == ["A", "B"]


def test_compare_without_a_plan_writes_the_comparison_alone(tmp_path: Path) -> None:
    run("compare", "-", "--xlsx", tmp_path / "ways.xlsx", text=LONG, code=4)
    book = openpyxl.load_workbook(io.BytesIO((tmp_path / "ways.xlsx").read_bytes()))
    assert book.sheetnames == ["Ways to buy"]


def test_margins_that_save_at_least_a_sum() -> None:
    assert "shortened by up to 400 mm saves EUR 500.00 or more" in run(
        "margins", "-", "--most", "400", "--saving", "500"
    )
    found = table("margins", "--most", "400")["shorter"]
    assert isinstance(found, list)
    assert found
    least = max(float(each["saves"]) for each in found)
    asked = table("margins", "--most", "400", "--saving", f"{least:.2f}")["shorter"]
    assert isinstance(asked, list)
    assert all(float(each["saves"]) >= least for each in asked)
    assert asked


@pytest.mark.parametrize("saving", ["-1", "much", "1,5"])
def test_margins_of_no_sum(saving: str) -> None:
    done = CliRunner().invoke(app, ["margins", "-", "--saving", saving], input=JOB.encode())
    assert done.exit_code == 2
    assert "saving" in done.stderr


@pytest.mark.parametrize("most", ["0", "ten", "-3"])
def test_margins_of_no_length(most: str) -> None:
    done = CliRunner().invoke(app, ["margins", "-", "--most", most], input=JOB.encode())
    assert done.exit_code == 2
    assert "most" in done.stderr


def test_spares() -> None:
    text = run("spares", "-")
    assert "a spare costs" in text
    found = table("spares")
    assert isinstance(found["spares"], list)
    assert [each["mark"] for each in found["spares"]] == ["A", "B"]
    for each in found["spares"]:
        assert each["covered"] is (each["stick"] is not None)


@pytest.mark.parametrize("command", ["compare", "worth", "margins", "spares"])
def test_without_a_plan_it_says_why(command: str) -> None:
    text = run(command, "-", text=LONG, code=4)
    assert "9000 mm" in text


@pytest.mark.parametrize("command", ["compare", "worth", "margins", "spares"])
def test_a_job_that_is_wrong(command: str) -> None:
    done = CliRunner().invoke(app, [command, "-"], input=JOB.replace('name = "North', 'name = "Nort').encode())
    assert done.exit_code == 3
    assert "no [[yards]] entry has this name" in done.stderr


def test_json_beside_the_text(tmp_path: Path) -> None:
    text = run("spares", "-", "--json", tmp_path / "spares.json")
    assert text.startswith("Two stalls\n")
    assert json.loads((tmp_path / "spares.json").read_text())["currency"] == "EUR"
