"""What every writer prints: lengths that a tape shows or that are marked, and one thing never in the plural."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from typer.testing import CliRunner

from cli.main import app
from shared.files.job import read_job
from tests.golden.questions import files
from tests.golden.said import DATE, pdf_text, seen, workbook_text
from tests.served import Served, serving

ONE: Final = """
title = "One of each"
unit = "in"
currency = "USD"
keep_from = "12"
[saw]
kerf = "3/32"
[[parts]]
section = "SHS 2x2x1/8"
length = "60"
quantity = 1
[[sticks]]
section = "SHS 2x2x1/8"
length = "20 ft"
price = "61.40"
"""
MIXED: Final = """
title = "Kerf in millimetres"
unit = "in"
currency = "USD"
[saw]
kerf = "2.4 mm"
end_trim = "1/4"
[[parts]]
mark = "A"
section = "SHS 2x2x1/8"
length = "33 1/3"
quantity = 3
[[parts]]
mark = "B"
section = "SHS 2x2x1/8"
length = "500 mm"
quantity = 5
[[sticks]]
section = "SHS 2x2x1/8"
length = "20 ft"
price = "61.40"
"""
METRIC: Final = """
title = "Half millimetres"
tape = "0.5 mm"
unit = "mm"
currency = "EUR"
[saw]
kerf = "2.4"
[[parts]]
section = "L 40x40x4"
length = "500.3"
quantity = 7
ends = ["45", "22.5"]
lean = "opposed"
plane = "upright leg"
long_points = "top"
measured = "long point"
[[sticks]]
section = "L 40x40x4"
length = "6000"
price = "30.00"
"""
KEPT: Final = (
    "firewood_racks.toml",
    "kayak_racks.toml",
    "kayak_stands.toml",
    "market_stalls.toml",
    "two_yards.toml",
    "random/keep_2.json",
    "random/yards_angled_4.json",
)
JOBS: Final = {
    "one.toml": ONE,
    "mixed.toml": MIXED,
    "sixteenths.toml": f'tape = "1/16"{MIXED}',
    "halves.toml": METRIC,
    "odd.toml": ONE.replace('length = "60"', 'length = "33 1/32"').replace("unit", 'tape = "1/16"\nunit', 1),
    **{name: files()[name].decode() for name in KEPT},
}
FINEST: Final = {"sixteenths.toml": 16, "odd.toml": 16}

KERF: Final = re.compile(r"(?:takes|Kerf)\W+≈?\d+[/⁄.]\d+")  # a blade isn't measured with the tape at the saw
EXACT: Final = re.compile(r"(?<=[\d\s])\((?:\d+ )?\d+(?:[/⁄.]\d+)?\)")  # beside what is rounded, what it is
FRACTION: Final = re.compile(r"(≈?)(?:\d+[ -])?(\d+)[/⁄](\d+)")
DECIMAL: Final = re.compile(r"(?<![\d.,])(≈?)\d+\.(\d+)(?= mm\b)")
SECTION: Final = re.compile(r"\b(?:SHS|RHS|CHS|FLAT|PIPE|ROUND|L|C|T) [\d./x⁄ -]+")
SINGULAR: Final = re.compile(
    r"(?<![\d.,/⁄-])1 (?:parts|pieces|sticks|layouts|cuts|lines|sections|trips|kinds|yards|orders|drops|stops|angles"
    r"|rack pieces|own pieces|carried pieces|works|pages|labels|bars|problems)\b"
)
TWICE: Final = re.compile(r"\b(in in|mm mm|are in in)\b")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("service")) as running:
        yield running


@cache
def written(name: str) -> dict[str, str]:
    """All that a command writes of a job."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        job = place / Path(name).name
        job.write_text(JOBS[name])
        leaves = ("sheet.pdf", "labels.pdf", "book.xlsx", "drawing.svg", "buy.csv", "request.txt")
        options = ("--pdf", "--labels", "--xlsx", "--svg", "--buy-list", "--request")
        named = [word for pair in zip(options, leaves, strict=True) for word in (pair[0], str(place / pair[1]))]
        done = CliRunner().invoke(app, ["plan", str(job), "--time-limit", "600", "--date", DATE, *named])
        assert done.exit_code == 0, done.output
        texts = {"terminal": done.stdout}
        for leaf in leaves:
            data = (place / leaf).read_bytes()
            if leaf.endswith("pdf"):
                texts[leaf] = pdf_text(data)
            elif leaf.endswith("xlsx"):
                texts[leaf] = workbook_text(data)
            else:
                texts[leaf] = seen(data.decode()) if leaf.endswith("svg") else data.decode()
        return texts


def pages(served: Served, name: str) -> dict[str, str]:
    """What the service shows of a job: its answer, and what a phone at the saw shows."""
    headers = {"Content-Type": "application/json" if name.endswith("json") else "application/toml", "Prefer": "wait=60"}
    made = served.client.post("/v1/jobs?limit=300", content=JOBS[name].encode(), headers=headers).json()
    assert served.until(made["id"], seconds=600)["state"] == "done"
    found = {"page": seen(served.client.get(f"/plans/{made['id']}").text)}
    found["phone"] = seen(served.client.get(f"/plans/{made['id']}/saw").text)
    return found


def off_the_tape(name: str, text: str) -> list[str]:
    """Lengths in a text that neither stand on the tape nor are marked as rounded."""
    finest = FINEST.get(name, 64)
    plain = re.sub("1[/⁄]1024 in|0[.]01 mm", "", text)  # how the engine rounds gaps, no length of anything
    plain = EXACT.sub(" ", KERF.sub(" ", SECTION.sub(" ", plain)))
    odd = [found[0] for found in FRACTION.finditer(plain) if not found[1] and int(found[3]) not in powers(finest)]
    odd += [found[0] for found in FRACTION.finditer(plain) if found[1] and int(found[3]) not in powers(finest)]
    places = 1 if name == "halves.toml" else 2
    odd += [found[0] for found in DECIMAL.finditer(plain) if len(found[2]) > places]
    return odd + [found[0] for found in DECIMAL.finditer(plain) if name == "halves.toml" and found[2] not in "05"]


def powers(finest: int) -> set[int]:
    return {2**power for power in range(1, finest.bit_length())}


@pytest.mark.parametrize("name", JOBS)
def test_every_writer_of_files_writes_lengths_on_the_tape_and_one_as_one(name: str) -> None:
    for kind, text in written(name).items():
        assert off_the_tape(name, text) == [], kind
        assert SINGULAR.findall(text) == [], kind
        assert TWICE.findall(text) == [], kind


@pytest.mark.parametrize("name", JOBS)
def test_the_pages_write_lengths_on_the_tape_and_one_as_one(served: Served, name: str) -> None:
    for kind, text in pages(served, name).items():
        assert off_the_tape(name, text) == [], kind
        assert SINGULAR.findall(text) == [], kind
        assert TWICE.findall(text) == [], kind


def test_what_these_tests_look_for_is_seen() -> None:
    assert off_the_tape("mixed.toml", "drop 13 415/1524 in") == ["13 415/1524"]
    assert off_the_tape("mixed.toml", "trims 12/127 in, at ≈66 49/64, SHS 2x2x11/127") == ["12/127"]
    assert off_the_tape("sixteenths.toml", "at 3/32 and ≈1 1/4") == ["3/32"]
    assert off_the_tape("one.toml", "at 846.6667 mm, 846.7 mm") == ["846.6667"]
    assert SINGULAR.findall("8 parts on 1 sticks in 21 layouts") == ["1 sticks"]
    assert TWICE.findall("Lengths are in in") == ["are in in"]


def test_a_rounded_running_dimension_is_never_a_sum_of_rounded_ones() -> None:
    """Three parts of 33 1/3 in with two kerfs of 2.4 mm between them end at 100 in + 4.8 mm: 100.18898 in."""
    assert "≈100 3/16" in written("sixteenths.toml")["terminal"]  # 100.1875; rounded ones would add up to 100 1/16


def test_a_part_that_the_tape_doesn_t_show_is_never_said_by_a_rounded_length_alone(served: Served) -> None:
    """Rounded to 33 and nothing else it would be cut 1/32 in short."""
    said = {**written("odd.toml"), **pages(served, "odd.toml")}
    assert set(said) >= {"terminal", "sheet.pdf", "labels.pdf", "page", "phone"}
    for kind in ("terminal", "sheet.pdf", "labels.pdf", "page", "phone", "drawing.svg"):
        text = said[kind].replace("⁄", "/")
        assert "33 1/32" in text, kind
    for kind, text in written("halves.toml").items():
        if kind in {"terminal", "sheet.pdf", "labels.pdf"}:
            assert "500.3" in text, kind


def test_a_kerf_is_never_rounded_to_the_tape() -> None:
    for kind in ("terminal", "sheet.pdf"):
        assert "3/32" in written("odd.toml")[kind].replace("⁄", "/"), kind
        assert "≈1/8" not in written("odd.toml")[kind].replace("⁄", "/"), kind


def test_a_tape_that_has_no_such_marks_is_refused_with_what_to_write() -> None:
    for mark, said in (("0.5 mm", "1/16, 1/32 or 1/64"), ("0.3", "1/16"), ("0", "1/16"), ("x", "x")):
        done = CliRunner().invoke(app, ["plan", "fixtures/market_stalls.toml", "--tape", mark])
        assert (done.exit_code, said in done.output) == (2, True), done.output
    job, problems = read_job(MIXED.replace("unit", 'tape = "1 mm"\nunit', 1).encode(), name="job.toml")
    assert job is None
    assert [(each.where, each.message) for each in problems] == [
        ("tape", "no inch tape has such marks; write 1/16, 1/32 or 1/64")
    ]
