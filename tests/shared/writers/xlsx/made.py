"""Workbooks for tests: written, read back, and recalculated by LibreOffice where it is installed."""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook

from cutting.answer.plan import Plan, Proof, Report, Result
from cutting.question.job import Job
from shared.view.issue import Issue, Paper
from shared.writers.xlsx import workbook_of, write_workbook
from tests.builders import PATIENCE

ISSUE = Issue(date=date(2026, 11, 25), revision="B", paper=Paper.LETTER)


def result_of(plan: Plan) -> Result:
    return Result(plan=plan, proof=Proof(lower_bound=plan.cost), report=Report(seconds=0.1, sections=(), seed=0))


def workbook_bytes(job: Job, plan: Plan, issue: Issue = ISSUE) -> bytes:
    return write_workbook(workbook_of(job, result_of(plan), issue))


def opened(data: bytes, *, values: bool = False) -> Workbook:
    return load_workbook(io.BytesIO(data), data_only=values)


def rows(book: Workbook, leaf: str) -> list[dict[str, Any]]:
    """Rows below the headings, by heading; the total is left out."""
    head, *below = book[leaf].iter_rows(values_only=True)
    found = [dict(zip(head, row, strict=True)) for row in below]
    return found[:-1] if found and found[-1][head[0]] == "together" else found


def summary(book: Workbook) -> dict[str, Any]:
    return dict(book["Summary"].iter_rows(min_row=2, values_only=True))


def office() -> str | None:
    return shutil.which("soffice") or shutil.which("libreoffice")


def without_values(data: bytes) -> bytes:
    """Return a workbook whose formulas carry no values, so that a program has to work them out."""
    out = io.BytesIO()
    opened(data).save(out)
    return out.getvalue()


def recalculated(books: Mapping[str, bytes], folder: Path) -> dict[str, Workbook]:
    """Open workbooks in LibreOffice, let it calculate every formula, and read the values back: one start for all."""
    sources = {name: folder / f"{name}.xlsx" for name in books}
    for name, source in sources.items():
        source.write_bytes(without_values(books[name]))
    done = folder / "done"
    program = office()
    assert program
    subprocess.run(
        [
            program,
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--headless",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(done),
            *map(str, sources.values()),
        ],
        check=True,
        capture_output=True,
        timeout=PATIENCE,
    )
    return {name: load_workbook(done / source.name, data_only=True) for name, source in sources.items()}
