"""`tallystick read` and `tallystick plan` with lists: echo, JSON, questions, job file, exit codes."""

import json
from fractions import Fraction

import openpyxl
import pytest
from typer.testing import CliRunner

from cli.main import app
from cutting.question.lengths import Unit, parse_length

PARTS = """Stall frame (make 2 sets):
4 - 3x3x1/8 sq tube @ 6'-8 1/2"   posts
2 - HSS 3 x 3 x .125 @ 41"
24 bolts M10
"""
STICKS = "HSS 3x3x1/8 20' $61.40\nHSS 3x3x1/8 24' $3.07/ft\n"
RACK = "63-1/4 $6\n"


def tallystick(*arguments, data=""):
    result = CliRunner().invoke(app, [str(argument) for argument in arguments], input=data)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture
def lists(tmp_path):
    for name, text in (("parts.txt", PARTS), ("sticks.txt", STICKS), ("rack.txt", RACK)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_the_echo_shows_each_line_as_understood(lists):
    result = tallystick("read", lists / "parts.txt")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == "   1  Stall frame (make 2 sets):"
    assert "= P1: 8 x SHS 3x3x1/8 x 80 1/2 in = 2044.7 mm  [Stall frame] posts" in result.stdout
    assert "= also needed: 48 x bolts M10" in result.stdout


def test_a_question_stands_under_its_line_with_a_caret_and_readings():
    result = tallystick("read", "-", data="2 SHS 40x40x3 1.200 mm\n")
    assert result.exit_code == 3
    lines = result.stdout.splitlines()
    assert lines[0][lines[1].index("^") :].startswith("1.200")
    assert "1.200 is 1200 or 1.2?" in lines[2]
    assert lines[3].endswith("2 SHS 40x40x3 1200 mm")
    assert "1 line is open" in result.stderr


@pytest.mark.parametrize(
    "arguments", [["{}", "--json"], ["--json", "{}"], ["{}", "--json", "-"], ["--json", "-", "{}"]]
)
def test_json_on_standard_output(lists, arguments):
    result = tallystick("read", *(argument.format(lists / "parts.txt") for argument in arguments))
    assert result.exit_code == 0
    table = json.loads(result.stdout)
    assert [(part["line"], part["mark"], part["section"], part["quantity"]) for part in table["parts"]] == [
        (2, "P1", "SHS 3x3x1/8", 8),
        (3, "P2", "SHS 3x3x1/8", 4),
    ]
    assert parse_length(table["parts"][0]["length"], Unit.MM) == Fraction(161, 2) * Unit.IN.mm
    assert table["problems"] == []


def test_json_into_a_file_with_problems(lists):
    (lists / "open.txt").write_text("2 SHS 40x40x3 1.200 mm\n", encoding="utf-8")
    result = tallystick("read", lists / "open.txt", "--json", lists / "out.json")
    assert result.exit_code == 3
    assert result.stdout == ""
    (problem,) = json.loads((lists / "out.json").read_text(encoding="utf-8"))["problems"]
    assert (problem["line"], problem["text"]) == (1, "2 SHS 40x40x3 1.200 mm")
    assert "1.200 is 1200 or 1.2?" in problem["message"]


def test_lists_of_sticks_and_a_workbook(lists):
    result = tallystick("read", "--as", "sticks", lists / "sticks.txt")
    assert result.exit_code == 0
    assert "any number of SHS 3x3x1/8 x 20 ft = 6096 mm, 61.40 USD each" in result.stdout
    book = openpyxl.Workbook()
    book.active.append(("Section", "Length", "Qty"))
    book.active.append(("HSS 2x2x1/8", 48, 4))
    book.save(lists / "parts.xlsx")
    result = tallystick("read", lists / "parts.xlsx", "--unit", "in")
    assert result.exit_code == 0
    assert "4 x SHS 2x2x1/8 x 48 in" in result.stdout


def test_a_terminal_is_safe_from_what_a_list_holds():
    result = tallystick("read", "-", data="thanks \x1b[31m red\n4 - SHS 40x40x3 @ 500 mm\n")
    assert "\x1b" not in result.stdout
    assert result.exit_code == 0


def test_no_such_list():
    assert tallystick("read", "nowhere.txt").exit_code == 3
    assert tallystick("read").exit_code == 2


def test_a_plan_from_lists_and_its_job_file(lists):
    saved = lists / "job.toml"
    arguments = ["--parts", lists / "parts.txt", "--sticks", lists / "sticks.txt", "--rack", lists / "rack.txt"]
    result = tallystick("plan", *arguments, "--kerf", "3/32", "--save", saved, "--json", lists / "plan.json")
    assert result.exit_code == 0, result.stderr
    assert "Also needed, not planned here" in result.stdout
    assert "48 x bolts M10" in result.stdout
    plan = json.loads((lists / "plan.json").read_text(encoding="utf-8"))
    assert plan["status"] == "optimal"
    again = tallystick("plan", saved, "--json", lists / "again.json")
    assert again.exit_code == 0, again.stderr
    assert json.loads((lists / "again.json").read_text(encoding="utf-8"))["cost"] == plan["cost"]


def test_a_paste_and_three_options_are_enough(lists):
    result = tallystick("plan", "--parts", "-", "--sticks", lists / "sticks.txt", "--kerf", "3/32", data=PARTS)
    assert result.exit_code == 0, result.stderr
    assert result.stdout.startswith("Buy ")


def test_questions_of_all_lists_come_together(lists):
    (lists / "parts.txt").write_text("2 SHS 40x40x3 1.200 mm\n", encoding="utf-8")
    (lists / "sticks.txt").write_text("SHS 40x40x3 6 m 1.250 EUR/t\n", encoding="utf-8")
    arguments = ["--parts", lists / "parts.txt", "--sticks", lists / "sticks.txt", "--kerf", "wide"]
    result = tallystick("plan", *arguments)
    assert result.exit_code == 3
    assert "3 problems" in result.stderr
    assert "parts.txt, line 1" in result.stderr
    assert "sticks.txt, line 1" in result.stderr
    assert "--kerf" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "name a job file"),
        (["--parts", "p.txt"], "what there is to cut from"),
        (["--parts", "p.txt", "--sticks", "s.txt"], "what one cut"),
        (["job.toml", "--parts", "p.txt"], "leave out --parts"),
        (["--parts", "-", "--sticks", "-", "--kerf", "2 mm"], "only one list"),
        (["--parts", "p.txt", "--sticks", "s.txt", "--kerf", "2 mm", "--currency", "dollars"], "ISO 4217"),
    ],
)
def test_options_that_do_not_go_together(arguments, says):
    result = tallystick("plan", *arguments)
    assert result.exit_code == 2
    assert says in " ".join(result.stderr.replace("│", " ").split())


def test_prices_without_a_currency_are_refused_and_can_be_told(lists):
    (lists / "sticks.txt").write_text("HSS 3x3x1/8 20' @ 61.40\n", encoding="utf-8")
    arguments = ["plan", "--parts", lists / "parts.txt", "--sticks", lists / "sticks.txt", "--kerf", "3/32"]
    assert "currency" in tallystick(*arguments).stderr
    assert tallystick(*arguments, "--currency", "cad").exit_code == 0
