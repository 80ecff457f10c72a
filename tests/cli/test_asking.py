"""Questions about lists on the terminal: asked in place, one answer for all alike, set-aside lines brought back."""

import os
import pty
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

import cli.lists
import cli.read
from cli.main import app
from shared.reading import echo, read_parts

OPEN = """Hi Pat, order 4711
4 - SHS 40x40x3 @ 1200
2 - SHS 40x40x3 1.500 mm
3 - SHS 40x40x3 1.300 mm
24 bolts M10
"""
STICKS = "SHS 40x40x3 6 m 38.20 EUR\n"


@pytest.fixture
def lists(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "open.txt").write_text(OPEN, encoding="utf-8")
    (tmp_path / "sticks.txt").write_text(STICKS, encoding="utf-8")
    return tmp_path


@pytest.fixture
def at_terminal(monkeypatch):
    monkeypatch.setattr(cli.read, "can_ask", lambda: True)
    monkeypatch.setattr(cli.lists, "can_ask", lambda: True)


def tallystick(*arguments, data=""):
    result = CliRunner().invoke(app, [str(argument) for argument in arguments], input=data)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def plan(*more, data=""):
    return tallystick("plan", "--parts", "open.txt", "--sticks", "sticks.txt", "--kerf", "2 mm", *more, data=data)


@pytest.mark.usefixtures("lists", "at_terminal")
def test_one_answer_holds_for_all_lines_that_ask_the_same():
    result = tallystick("read", "open.txt", "--answered", "done.txt", data="1\ny\n\n")
    assert result.exit_code == 0, result.output
    assert "1  1500 mm:  2 x SHS 40x40x3 x 1500 mm" in result.stderr  # what the choice makes, before it is taken
    assert "the same for line 4, which asks the same?" in result.stderr
    done = Path("done.txt").read_text(encoding="utf-8")
    assert done == OPEN.replace("1.500", "1500").replace("1.300", "1300")
    assert read_parts(done)[1] == ()


@pytest.mark.usefixtures("at_terminal")
def test_tabs_are_shown_as_spaces_and_the_caret_stays(lists):
    (lists / "open.txt").write_text("Qty\tSection\tLength\n2\tSHS 40x40x3\t1.500 mm\n", encoding="utf-8")
    shown = tallystick("read", "open.txt", data="\n").stderr
    assert f"   2  2 SHS 40x40x3 1.500 mm\n{' ' * 20}^\n" in shown


@pytest.mark.usefixtures("lists", "at_terminal")
def test_without_an_answer_everything_stays_open_and_is_printed():
    result = plan(data="\n\n\n")
    assert result.exit_code == 3
    assert result.stderr.count("1.500 is 1500 or 1.5?") == 2  # when asked, and at the end
    assert "line 4: 3 - SHS 40x40x3 1.300 mm" in result.stderr
    assert plan(data="").exit_code == 3  # the end of the input is no answer either


@pytest.mark.usefixtures("lists", "at_terminal")
def test_one_line_only_not_a_part_and_a_line_written_anew():
    result = plan("--save", "job.toml", data="9\n3\nn\n2 SHS 40x40x3 980\n\n")
    assert result.exit_code == 0, result.output
    assert "there is no 9; write a number from 1 to 3, or the whole line" in result.stderr
    assert "SHS 40x40x3: 6 pieces in 2 lines, 6760 mm in all" in result.stdout
    assert "     3  2 - SHS 40x40x3 1.500 mm (not a part)  (remark)" in result.stdout


@pytest.mark.usefixtures("lists", "at_terminal")
def test_a_line_that_was_set_aside_is_brought_back():
    result = tallystick("read", "open.txt", data="1\ny\n5\n\n")
    assert "set aside, not planned:\n   1  Hi Pat, order 4711\n   5  24 bolts M10\n" in result.stderr
    assert "24 bolts M10 (a part)" in result.stdout
    assert result.exit_code == 3  # it counts now, and says neither section nor length


@pytest.mark.usefixtures("lists")
def test_nobody_is_asked_where_nobody_sits():
    result = plan(data="1\ny\n")
    assert result.exit_code == 3
    assert "Enter leaves it open" not in result.stderr
    assert "line 3:" in result.stderr
    assert "line 4:" in result.stderr


@pytest.mark.usefixtures("lists")
def test_a_plan_says_what_it_understood_unless_it_is_to_be_quiet(lists):
    (lists / "open.txt").write_text(OPEN.replace("1.500 mm", "1500").replace("1.300 mm", "1300"), encoding="utf-8")
    said = plan()
    assert said.exit_code == 0
    head = said.stdout.partition("\nUnderstood\n")[2]
    assert head.splitlines()[:1] == ["  SHS 40x40x3: 9 pieces in 3 lines, 11700 mm in all"]
    assert ". bare lengths are mm, as its sections are" in head
    assert "     1  Hi Pat, order 4711  (remark)" in head
    assert "     5  24 bolts M10  (also needed: 24 x bolts M10)" in head
    quiet = plan("--quiet")
    assert "Understood" not in quiet.stdout
    assert "Hi Pat" not in quiet.stdout
    assert said.stdout.startswith(quiet.stdout)
    assert "Understood" not in plan("--json", "-").stdout


def test_what_a_person_says_of_a_line_survives_reading_it_again():
    text = 'qty,section,length,note\n4,SHS 40x40x3,1200,"left, right" (not a part)\n2,SHS 40x40x3,900,"a, b" (sure)\n'
    text += "1,SHS 40x40x3,700,\n"
    found, questions = read_parts(text)
    assert questions == ()
    assert [(part.quantity, int(part.length), part.note) for part in found.parts] == [(2, 900, "a, b"), (1, 700, "")]
    line = found.lines[1]
    assert line.set_aside
    assert line.brought_back == '4,SHS 40x40x3,1200,"left, right"'
    again, _ = read_parts(text.replace(line.text, line.brought_back))
    assert [part.quantity for part in again.parts] == [4, 2, 1]
    assert list(echo(again.lines))


@pytest.mark.usefixtures("lists")
def test_a_real_terminal_is_asked():
    ours, theirs = pty.openpty()
    command = [sys.executable, "-c", "from cli.main import app; app()", "read", "open.txt"]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "TERM": "dumb"}
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=env) as running:
        os.close(theirs)
        seen = ""
        for wait, answer in (("leaves it open", "1\n"), ("y/N", "y\n"), ("Enter for none", "\n")):
            seen += _until(ours, wait)
            os.write(ours, answer.encode())
        seen += _until(ours, "bolts M10\r\n      = also")
        running.wait(timeout=60)
    os.close(ours)
    assert running.returncode == 0
    assert "= P3: 3 x SHS 40x40x3 x 1300 mm" in seen


def _until(terminal, text):
    seen = ""
    patience = time.monotonic() + 60
    while text not in seen:
        assert time.monotonic() < patience, seen
        if select.select([terminal], [], [], 1)[0]:
            seen += os.read(terminal, 65_536).decode()
    return seen
