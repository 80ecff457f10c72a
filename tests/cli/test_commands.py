"""The commands as people run them: output, files, exit codes, and words instead of tracebacks."""

import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from cli import plan as plan_command
from cli.main import app
from cutting.answer.plan import Proof, Report, Result
from shared.files.plan import plan_schema
from tests.builders import PATIENCE

ROOT = Path(__file__).parents[2]
STALLS = ROOT / "fixtures" / "market_stalls.toml"
RUN = (sys.executable, "-c", "from cli.main import run; run()")

SMALL = b"""
unit = "mm"
currency = "EUR"
[saw]
kerf = 2
[[parts]]
section = "tube"
length = 1000
quantity = 3
[[sticks]]
section = "tube"
length = 3004
price = 12
"""
LONG = SMALL.replace(b"length = 1000", b"length = 4000")


@dataclass(frozen=True)
class Done:
    returncode: int
    stdout: bytes
    stderr: bytes


def tallystick(*arguments: str | Path, data: bytes = b"") -> Done:
    """Run a command in this process: most of what is tested needs no other."""
    result = CliRunner(env={"COLUMNS": "200"}).invoke(app, list(map(str, arguments)), input=data)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return Done(result.exit_code, result.stdout_bytes, result.stderr_bytes)


def in_its_own_process(*arguments: str | Path, data: bytes = b"", **environment: str) -> Done:
    done = subprocess.run(
        [*RUN, *map(str, arguments)],
        input=data,
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, **environment},
        timeout=PATIENCE,
        check=False,
    )
    assert b"Traceback" not in done.stderr
    return Done(done.returncode, done.stdout, done.stderr)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_bytes(SMALL)
    return path


def test_plan_prints_buy_list_cuts_and_how_good_it_is(small: Path) -> None:
    done = tallystick("plan", small)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.decode() == (
        "Buy 1 stick: EUR 12.00.\n"
        "Nothing cheaper exists at these prices with this saw.\n"
        "\n"
        "Buy list\n"
        "     section    length  id  from    each EUR  cost EUR\n"
        "  1  tube      3004 mm  S1  sticks     12.00     12.00\n"
        "  1  together                                    12.00\n"
        "\n"
        "Cuts\n"
        "The saw takes 2 mm a cut; no end is trimmed.\n"
        "\n"
        "1. 1 stick of tube, 3004 mm (S1)\n"
        "       mark  length mm  from mm  to mm\n"
        "    1  P1         1000        0   1000\n"
        "    2  P1         1000     1002   2002\n"
        "    3  P1         1000     2004   3004\n"
        "    nothing is left\n"
        "\n"
        "3 parts on 1 stick in 1 layout; 99.9 % of 3004 mm becomes parts.\n"
        "This is plan 4Z5R-RTNK.\n"
        "\n"
        "This plan does not check strength: a qualified person must review members, welds, joints and splices.\n"
        "Local rules come first.\n"
        "Never splice parts to save steel unless the designer allows it.\n"
    )


def test_the_main_job_has_weights_and_surface() -> None:
    done = tallystick("plan", STALLS)
    text = done.stdout.decode()
    assert done.returncode == 0
    assert re.search(r"together .* lb .* sq ft", text)
    assert "Nothing cheaper exists at these prices with this saw." in text
    for mark in ("P1", "P2", "P3", "P4", "A1", "A2", "F1", "F2"):
        assert f"  {mark} " in text


def test_standard_input_and_json_on_standard_output() -> None:
    done = tallystick("plan", "-", "--json", "-", data=SMALL)
    assert (done.returncode, done.stderr) == (0, b"")
    table = json.loads(done.stdout)
    jsonschema.validate(table, plan_schema())
    assert (table["status"], table["cost"]) == ("optimal", "12.00")


def test_a_plan_written_and_checked(small: Path, tmp_path: Path) -> None:
    plan = tmp_path / "plan.json"
    done = tallystick("plan", small, "--json", plan, "--time-limit", "5", "--seed", "3")
    assert done.returncode == 0
    assert done.stdout.startswith(b"Buy 1 stick")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml", "plan.json"]
    done = tallystick("check", small, plan)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"is a right answer" in done.stdout
    done = tallystick("check", "-", plan, data=SMALL.replace(b"quantity = 3", b"quantity = 4"))
    assert done.returncode == 1
    assert b"P1: 3 planned, 4 asked for, 1 missing." in done.stderr
    plan.write_bytes(plan.read_bytes().replace(b'"quantity": 1', b'"quantity": "x"'))
    done = tallystick("check", small, plan)
    assert done.returncode == 3
    assert b"buy[0].quantity" in done.stderr


def test_no_plan_can_exist() -> None:
    done = tallystick("plan", "-", data=LONG)
    assert done.returncode == 4
    assert b"No plan can exist for this job." in done.stdout
    assert b"P1 (4000 mm) is 996 mm longer than the longest stick of tube" in done.stdout
    done = tallystick("plan", "-", "--json", "-", data=LONG)
    assert done.returncode == 4
    assert json.loads(done.stdout)["status"] == "infeasible"


def test_unknown_is_exit_code_five(monkeypatch: pytest.MonkeyPatch) -> None:
    report = Report(seconds=0.0, sections=(), seed=0)
    nothing = Result(plan=None, proof=Proof(lower_bound=Fraction(7)), report=report)
    monkeypatch.setattr(plan_command, "_solve", lambda *_: (nothing, False))
    done = tallystick("plan", "-", data=SMALL)
    assert done.returncode == 5
    assert done.stdout.decode() == (
        "No plan was found within the time limit, and none is ruled out.\nAny plan costs at least EUR 7.00.\n"
    )


def test_every_problem_of_the_input_is_printed_with_a_caret() -> None:
    data = SMALL.replace(b"length = 1000", b'length = "10 1/0"').replace(b"kerf = 2", b"kerf = 2\nhole = 1")
    done = tallystick("plan", "-", data=data)
    assert (done.returncode, done.stdout) == (3, b"")
    assert done.stderr.decode() == (
        "standard input: 2 problems\n"
        "  saw.hole: hole\n"
        "      unknown field; did you mean hold?\n"
        "  parts[0].length: 10 1/0\n"
        "                        ^\n"
        "      nothing can be divided by 0; write a fraction such as 1/2\n"
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"{", b"not JSON"),
        (b"\xff\x00", b"UTF-8"),
        (b"", b"empty"),
        (b'{"unit": "\\u001b[31m\\ud800"}', b"unit: "),
    ],
)
def test_input_that_is_no_job(data: bytes, words: bytes) -> None:
    done = tallystick("plan", "-", data=data)
    assert done.returncode == 3
    assert words in done.stderr
    assert b"\x1b" not in done.stderr


def test_files_that_cannot_be_read_or_written(small: Path, tmp_path: Path) -> None:
    missing = tallystick("plan", tmp_path / "none.toml")
    assert (missing.returncode, b"no such file" in missing.stderr) == (3, True)
    folder = tallystick("plan", tmp_path)
    assert (folder.returncode, b"is a folder" in folder.stderr) == (3, True)
    nul = tallystick("check", small, tmp_path / "none.json")
    assert (nul.returncode, b"can't read" in nul.stderr) == (3, True)
    into = tallystick("plan", small, "--json", tmp_path)
    assert (into.returncode, b"is a folder" in into.stderr) == (3, True)
    nowhere = tallystick("plan", small, "--json", tmp_path / "none" / "plan.json")
    assert (nowhere.returncode, b"can't write" in nowhere.stderr) == (3, True)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml"]


@pytest.mark.parametrize(
    "arguments",
    [
        ("plan",),
        ("plan", "-", "--time-limit", "0"),
        ("plan", "-", "--time-limit", "nan"),
        ("plan", "-", "--time-limit", "inf"),
        ("plan", "-", "--seed", "-1"),
        ("plan", "-", "--colour"),
        ("check", "-", "-"),
        ("schema", "page"),
        ("cut",),
    ],
)
def test_usage_is_exit_code_two(arguments: tuple[str, ...]) -> None:
    assert tallystick(*arguments, data=SMALL).returncode == 2


def test_schemas() -> None:
    for what in ("job", "plan"):
        done = tallystick("schema", what)
        assert done.returncode == 0
        jsonschema.Draft202012Validator.check_schema(json.loads(done.stdout))


def test_version_and_help() -> None:
    assert re.fullmatch(rb"tallystick \d+\.\d+\.\d+\n", tallystick("--version").stdout)
    done = tallystick("--help")
    assert done.returncode == 0
    assert b"plan" in done.stdout


def test_help_needs_no_engine() -> None:
    code = (
        "import sys\nfrom cli.main import run\ntry:\n    run()\nexcept SystemExit:\n    pass\n"
        "assert not {'ortools', 'numpy', 'pandas'} & set(sys.modules), sorted(sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, "plan", "--help"], cwd=ROOT, capture_output=True, check=False)
    assert done.stderr == b""
    assert b"--time-limit" in done.stdout


def test_a_closed_pipe_is_no_defect() -> None:
    process = subprocess.Popen(
        [*RUN, "plan", str(STALLS)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT, env=os.environ
    )
    assert process.stdout is not None
    process.stdout.close()
    _, errors = process.communicate(timeout=PATIENCE)
    assert b"Traceback" not in errors
    assert b"defect" not in errors
    assert b"Exception" not in errors


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_a_full_disk_behind_the_output_is_no_defect() -> None:
    with Path("/dev/full").open("wb") as full:
        command = [*RUN, "plan", str(STALLS)]
        process = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, cwd=ROOT, timeout=PATIENCE, check=False)
    assert (process.returncode, process.stderr) == (3, b"can't write the output: no space left on device\n")


def test_output_that_knows_no_accents() -> None:
    data = SMALL.replace(b'unit = "mm"', 'unit = "mm"\ntitle = "Marktstände"'.encode())
    done = in_its_own_process("plan", "-", data=data, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert b"Marktst" in done.stdout


def on_a_terminal(*arguments: str, **environment: str) -> str:
    """Run on a pseudo-terminal and return all that it showed."""
    main, other = pty.openpty()
    process = subprocess.Popen(
        [*RUN, *arguments], stdin=other, stdout=other, stderr=other, cwd=ROOT, env={**os.environ, **environment}
    )
    os.close(other)
    shown = b"".join(_all_of(main))
    os.close(main)
    assert process.wait(timeout=PATIENCE) == 0
    return shown.decode()


def _all_of(terminal: int) -> Iterator[bytes]:
    while select.select([terminal], [], [], PATIENCE)[0]:
        try:
            data = os.read(terminal, 65536)
        except OSError:  # the other side is closed
            return
        if not data:
            return
        yield data


def test_progress_and_bold_on_a_terminal_only() -> None:
    shown = on_a_terminal("plan", str(STALLS), TERM="xterm", NO_COLOR="")
    assert re.search(r"best so far USD [\d,.]+, at least USD [\d,.]+, USD [\d,.]+ between them", shown)
    assert "\x1b[1mBuy list\x1b[0m" in shown
    plain = on_a_terminal("plan", str(STALLS), TERM="xterm", NO_COLOR="1")
    assert "\x1b[1m" not in plain
    assert "Buy list" in plain
    assert b"\x1b" not in in_its_own_process("plan", STALLS).stdout


def test_ctrl_c_ends_at_once_and_in_silence(tmp_path: Path) -> None:
    pipe = tmp_path / "job.toml"
    os.mkfifo(pipe)
    process = subprocess.Popen(
        [*RUN, "plan", str(pipe)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT, env=os.environ
    )
    with ThreadPoolExecutor(1) as other:
        opened = other.submit(os.open, pipe, os.O_WRONLY)  # waits until somebody reads
        try:
            writer = opened.result(PATIENCE)
        except TimeoutError:
            os.close(os.open(pipe, os.O_RDONLY | os.O_NONBLOCK))  # lets the other go
            raise
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate(timeout=PATIENCE)
    os.close(writer)
    assert process.returncode == -signal.SIGINT  # a shell calls this 130
    assert errors == b""
