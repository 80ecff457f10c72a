"""`--layout-cost`: another amount than the job file's, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from cli.main import app

JOB = """
unit = "mm"
currency = "EUR"
saw = { kerf = "2" }
parts = [{ section = "A", length = "1000", quantity = 2 }, { section = "A", length = "700", quantity = 1 }]
sticks = [{ section = "A", length = "1800", price = "30" }, { section = "A", length = "1100", price = "19" }]
"""


def said(tmp_path: Path, job: str, amount: str) -> tuple[int, str]:
    file = tmp_path / "job.toml"
    file.write_text(job, encoding="utf-8")
    run = CliRunner().invoke(app, ["plan", str(file), f"--layout-cost={amount}"])
    return run.exit_code, " ".join(run.output.split())


def test_it_counts_in_what_is_minimised(tmp_path: Path) -> None:
    code, text = said(tmp_path, JOB, "4")
    assert code == 0
    assert "Not paid, but counted: EUR 4.00 for setting the saw up for 1 layout beyond the first." in text


@pytest.mark.parametrize(("amount", "word"), [("x", "no amount"), ("1.005", "EUR"), ("-1", "0 or more")])
def test_what_is_no_amount_is_refused(tmp_path: Path, amount: str, word: str) -> None:
    code, text = said(tmp_path, JOB, amount)
    assert code != 0
    assert word in text
    assert "Traceback" not in text


def test_options_are_read_like_the_fields_of_the_job_file_and_all_problems_are_said(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(JOB, encoding="utf-8")
    run = CliRunner().invoke(app, ["plan", str(file), "--layout-cost=4.005", "--tape=1/17 in"])
    text = " ".join(run.output.split())
    assert run.exit_code != 0
    for word in ("--layout-cost", "--tape", "4.005: EUR has 2 decimals"):
        assert word in text
    run = CliRunner().invoke(app, ["plan", str(file), "--tape=1/17 in"])
    assert '1/17 in: no metric tape has such marks; write "1 mm" or "0.5 mm"' in " ".join(run.output.split())
