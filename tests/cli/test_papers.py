"""`tallystick plan` and its papers: files, standard output, what they say of themselves, what is refused."""

import csv
import io
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest
from openpyxl import load_workbook

from cli.papers import _LABEL_SHEETS
from shared.view.labels.sizes import LABEL_SHEETS
from tests.cli.test_commands import SMALL, Done, in_its_own_process, tallystick

PAPERS = ("--xlsx", "--pdf", "--labels", "--svg", "--buy-list", "--request")
LONG = SMALL.replace(b"length = 1000", b"length = 4000")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_bytes(SMALL)
    return path


def plan(job: Path, *arguments: str | Path) -> Done:
    return tallystick("plan", job, *arguments)


def pdf_text(data: bytes) -> str:
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))


def test_every_paper_at_once(small: Path, tmp_path: Path) -> None:
    files = {option: tmp_path / f"out{option}" for option in PAPERS}
    done = plan(small, *(word for option, path in files.items() for word in (option, path)), "--date", "2026-11-25")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"Buy 1 stick" in done.stdout
    assert load_workbook(io.BytesIO(files["--xlsx"].read_bytes()))["Cut sheet"]["H2"].value == "P1"
    for option in ("--pdf", "--labels"):
        assert files[option].read_bytes().startswith(b"%PDF-")
    assert "2026-11-25" in pdf_text(files["--pdf"].read_bytes())
    assert ET.parse(files["--svg"]).getroot().tag.endswith("svg")
    assert files["--buy-list"].read_text(encoding="utf-8").startswith("Buy list\n")
    assert files["--request"].read_text(encoding="utf-8").startswith("Request for quotation\n")


@pytest.mark.parametrize("option", ["--buy-list", "--request"])
def test_a_name_that_ends_in_csv_gives_csv(small: Path, tmp_path: Path, option: str) -> None:
    path = tmp_path / "list.CSV"
    assert plan(small, option, path).returncode == 0
    (row,) = csv.DictReader(io.StringIO(path.read_bytes().decode(), newline=""))
    assert (row["section"], row["quantity"]) == ("tube", "1")


@pytest.mark.parametrize("option", PAPERS)
def test_standard_output_holds_the_paper_alone(small: Path, option: str) -> None:
    done = plan(small, option, "-")
    start = {"--xlsx": b"PK", "--pdf": b"%PDF", "--labels": b"%PDF", "--svg": b"<svg", "--buy-list": b"Buy list\n"}
    assert done.stdout.startswith(start.get(option, b"Request for"))
    assert b"becomes parts" not in done.stdout


def test_paper_follows_the_unit_or_the_option(small: Path) -> None:
    def points(*arguments: str) -> tuple[int, int]:
        page = pypdfium2.PdfDocument(plan(small, "--pdf", "-", *arguments).stdout)[0]
        return round(page.get_width()), round(page.get_height())

    assert points() == points("--paper", "A4") == (595, 842)
    assert points("--paper", "letter") == (612, 792)
    small.write_bytes(SMALL.replace(b'"mm"', b'"in"').replace(b"kerf = 2", b"kerf = 0"))
    assert points() == (612, 792)


def test_revision_and_date_are_printed(small: Path) -> None:
    text = pdf_text(plan(small, "--pdf", "-", "--revision", "C2", "--date", "2027-01-31").stdout)
    assert re.search(r"Revision\s+C2\s+Date\s+2027-01-31", text)


def test_the_same_command_writes_the_same_bytes(small: Path, tmp_path: Path) -> None:
    written = []
    for seed in ("1", "2"):
        files = [tmp_path / f"{seed}{option}" for option in PAPERS]
        words = [word for option, path in zip(PAPERS, files, strict=True) for word in (option, path)]
        in_its_own_process("plan", small, *words, SOURCE_DATE_EPOCH="1764028800", PYTHONHASHSEED=seed)
        written.append([path.read_bytes() for path in files])
    assert written[0] == written[1]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--date", "25.11.2026"), "write year, month and day, such as 2026-11-25"),
        (("--paper", "a5"), "write a4 or letter"),
        (("--label-sheet", "a4"), "write one of a4-70x37"),
        (("--revision", "R" * 13), "at most 12"),
        (("--labels-used", "-1"), "labels-used"),
    ],
)
def test_options_are_checked_before_anything_is_solved(small: Path, arguments: tuple[str, str], said: str) -> None:
    done = plan(small, "--pdf", small.with_name("x.pdf"), *arguments)
    assert done.returncode == 2
    assert said in " ".join(done.stderr.decode().replace("│", " ").split())
    assert not small.with_name("x.pdf").exists()


def test_more_labels_used_than_a_sheet_has(small: Path) -> None:
    done = plan(small, "--labels", "-", "--label-sheet", "a4-105x74", "--labels-used", "8")
    assert done.returncode == 2
    assert b"a sheet of a4-105x74 has 8 labels" in done.stderr


def test_two_papers_cannot_share_standard_output(small: Path) -> None:
    done = plan(small, "--pdf", "-", "--json", "-")
    assert done.returncode == 2
    assert b"only one" in done.stderr


def test_without_a_plan_nothing_is_written_and_that_is_said(small: Path, tmp_path: Path) -> None:
    small.write_bytes(LONG)
    path = tmp_path / "sheet.pdf"
    done = plan(small, "--pdf", path)
    assert done.returncode == 4
    assert not path.exists()
    assert f"without a plan nothing is written to {path}".encode() in done.stderr


def test_a_place_that_cannot_be_written_is_named(small: Path, tmp_path: Path) -> None:
    done = plan(small, "--pdf", tmp_path / "missing" / "sheet.pdf")
    assert done.returncode == 3
    assert b"can't write" in done.stderr


def test_the_options_name_the_label_sheets_that_there_are() -> None:
    assert tuple(LABEL_SHEETS) == _LABEL_SHEETS
