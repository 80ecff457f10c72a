"""Ctrl-C takes the best plan so far, whether the engine hears it or not."""

import os
import pty
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from cli import solving
from cli.exits import Code
from cutting import make_job
from cutting.answer.plan import Result
from cutting.question.job import Job
from cutting.solve import Progress, ProgressCallback
from cutting.solve import solve as really_solve
from tests.builders import PATIENCE

ROOT = Path(__file__).parents[2]
JOB = make_job(unit="mm", kerf="2", parts=[("tube", "1000", 3)], currency="EUR", sticks=[("tube", "6000", "30")])


def told(result: Callable[[], Result | None]) -> Progress:
    return Progress(incumbent=Fraction(1), lower_bound=Fraction(0), seconds=0.0, result=result)


def test_the_engine_ends_by_itself_after_ctrl_c(monkeypatch: pytest.MonkeyPatch) -> None:
    found = really_solve(JOB, PATIENCE)

    def solve(_job: Job, _limit: float, _seed: int, hear: ProgressCallback) -> Result:
        assert not hear(told(lambda: None))
        signal.raise_signal(signal.SIGINT)
        stopped = threading.Event()
        while not hear(told(lambda: None)):
            stopped.wait(0.01)
        return found

    monkeypatch.setattr(solving, "solve", solve)
    before = signal.getsignal(signal.SIGINT)
    assert solving.solved(JOB, PATIENCE, 0) == solving.Solved(found, stopped=True)
    assert signal.getsignal(signal.SIGINT) is before


def test_of_a_deaf_engine_the_last_plan_it_told_of_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    found, release = really_solve(JOB, PATIENCE), threading.Event()

    def solve(_job: Job, _limit: float, _seed: int, hear: ProgressCallback) -> Result:
        hear(told(lambda: found))
        signal.raise_signal(signal.SIGINT)
        release.wait(PATIENCE)
        raise AssertionError("nobody waits for this")

    monkeypatch.setattr(solving, "solve", solve)
    monkeypatch.setattr(solving, "_PATIENCE", 0.1)
    assert solving.solved(JOB, PATIENCE, 0) == solving.Solved(found, stopped=True)
    release.set()


def test_an_error_of_the_engine_is_raised_where_it_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    def solve(*_: object) -> Result:
        raise ValueError("broken")

    monkeypatch.setattr(solving, "solve", solve)
    with pytest.raises(ValueError, match="broken"):
        solving.solved(JOB, PATIENCE, 0)


def test_ctrl_c_at_a_terminal_prints_the_best_plan_and_says_130(tmp_path: Path) -> None:
    parts = "".join(
        f'[[parts]]\nsection = "tube"\nlength = {213 + 31 * n % 3700}\nquantity = {3 + n % 40}\n' for n in range(1, 121)
    )
    sticks = "".join(
        f'[[sticks]]\nsection = "tube"\nlength = {length}\nprice = "{price}"\n'
        for length, price in ((6000, "31.11"), (7500, "38.70"), (12000, "63.10"))
    )
    worth = 'keep_value = { shortest = "500", per_length = "3.00/m" }'
    job = tmp_path / "job.toml"
    job.write_text(f'unit = "mm"\ncurrency = "EUR"\n{worth}\n[saw]\nkerf = 3\n{parts}{sticks}')
    main, other = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", "from cli.main import run; run()", "plan", str(job), "--time-limit", str(PATIENCE)],
        stdin=other,
        stdout=subprocess.PIPE,
        stderr=other,
        cwd=ROOT,
        env=os.environ,
    )
    os.close(other)
    shown = b""
    while b"best so far" not in shown:
        shown += os.read(main, 65536)
    process.send_signal(signal.SIGINT)
    text, _ = process.communicate(timeout=PATIENCE)
    os.close(main)
    assert process.returncode == Code.STOPPED
    assert b"more could be saved" in text
    assert b"Buy list" in text
