"""What the doors say of eight of the jobs: terminal, cut sheet, workbook and answer page, each as plain text."""

from __future__ import annotations

import io
import re
import tempfile
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

import pypdfium2
from openpyxl import load_workbook
from typer.testing import CliRunner

from cli.main import app
from shared.files.job import Format, write_job
from tests.golden.questions import HERE, LIMIT, files, job_of
from tests.served import Served, serving

SAID = HERE / "said"
JOBS: Final = (
    "firewood_racks.toml",
    "kayak_racks.toml",
    "kayak_stands.toml",
    "market_stalls.toml",
    "two_yards.toml",
    "random/keep_2.json",
    "random/substitutes_4.json",
    "random/yards_angled_4.json",
)
KINDS: Final = ("terminal", "cut_sheet", "workbook", "page")
DATE: Final = "2026-11-25"
WITHIN_A_LINE: Final = {"a", "abbr", "b", "code", "em", "i", "label", "span", "strong", "sub", "sup", "text", "tspan"}
CELLS: Final = {"td", "th"}
UNSEEN: Final = {"script", "style", "title", "template"}


def said_path(name: str, kind: str) -> Path:
    """Where what is said of a job is kept."""
    return SAID / f"{name}.{kind}.txt"


@cache
def from_the_terminal(name: str) -> dict[str, str]:
    """Plan a job on the command line, with its cut sheet and workbook, and return all three as text."""
    with tempfile.TemporaryDirectory() as folder:
        job, sheet, book = (Path(folder) / leaf for leaf in (Path(name).name, "sheet.pdf", "book.xlsx"))
        job.write_bytes(files()[name])
        words = ["plan", job, "--time-limit", LIMIT, "--date", DATE, "--pdf", sheet, "--xlsx", book]
        done = CliRunner(env={"COLUMNS": "1000"}).invoke(app, list(map(str, words)))
        assert done.exit_code == 0, done.output
        return {
            "terminal": done.stdout,
            "cut_sheet": pdf_text(sheet.read_bytes()),
            "workbook": workbook_text(book.read_bytes()),
        }


def pdf_text(data: bytes) -> str:
    """Text of a PDF, page by page and line by line, single spaces between words."""
    pages = []
    for number, page in enumerate(pypdfium2.PdfDocument(data), start=1):
        lines = page.get_textpage().get_text_range().splitlines()
        pages += [f"--- page {number}", *(line for line in (" ".join(line.split()) for line in lines) if line)]
    return "\n".join(pages) + "\n"


def workbook_text(data: bytes) -> str:
    """Every cell of a workbook that holds something: sheet, place, and the value or formula."""
    lines = [
        f"{sheet.title}!{cell.coordinate}: {cell.value!r}"
        for sheet in load_workbook(io.BytesIO(data)).worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    ]
    return "\n".join(lines) + "\n"


def page_text(served: Served, name: str) -> str:
    """Text of the page on which the service shows a job's answer."""
    job = write_job(job_of(name), Format.JSON)
    answer = served.client.post(
        "/v1/jobs?limit=300", content=job, headers={"Content-Type": "application/json", "Prefer": "wait=60"}
    ).json()
    status = served.until(answer["id"], seconds=600)
    assert status["state"] == "done", status
    return seen(served.client.get(f"/plans/{answer['id']}").text)


def seen(page: str) -> str:
    """What of a page can be read: its text in lines, whatever its tags and attributes are."""
    reader = _Reader()
    reader.feed(page)
    lines = (" ".join(line.split()) for line in "".join(reader.pieces).split("\n"))
    return "\n".join(line for line in lines if line) + "\n"


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.pieces: list[str] = []
        self.unseen = 0

    def handle_starttag(self, tag: str, _: list[tuple[str, str | None]]) -> None:
        self.unseen += tag in UNSEEN
        self._break(tag)

    def handle_endtag(self, tag: str) -> None:
        self.unseen -= tag in UNSEEN
        self._break(tag)

    def handle_data(self, data: str) -> None:
        if not self.unseen:
            self.pieces.append(re.sub(r"\s+", " ", data))

    def _break(self, tag: str) -> None:
        if tag not in WITHIN_A_LINE:
            self.pieces.append(" " if tag in CELLS else "\n")


def said_of_today() -> dict[Path, bytes]:
    """Write all that is said."""
    found = {said_path(name, kind): text.encode() for name in JOBS for kind, text in from_the_terminal(name).items()}
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as served:
        found |= {said_path(name, "page"): page_text(served, name).encode() for name in JOBS}
    return found
