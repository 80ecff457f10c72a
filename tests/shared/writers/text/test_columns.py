"""Plain text at any width: nothing is cut off, nothing is parted from its unit, and lines keep to the width."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting import solve
from shared.files.job import read_job
from shared.view import present
from shared.writers.text import columns, plan_text, wrapped
from tests.builders import PATIENCE

FIXTURES = Path(__file__).parents[4] / "fixtures"

HEADINGS = ["", "mark", "length mm", "note"]
ROWS = [HEADINGS, ["1", "P1", "740", "stall frame: posts with a hole"], ["12", "P2", "80 1/2", ""]]


def test_where_there_is_room_a_row_is_a_line() -> None:
    assert list(columns(ROWS, "><>~")) == [
        "      mark  length mm  note",
        "   1  P1          740  stall frame: posts with a hole",
        "  12  P2       80 1/2",
    ]
    assert list(columns(ROWS, "><>~", 80)) == list(columns(ROWS, "><>~"))


def test_words_go_on_below_themselves_where_enough_room_is_left() -> None:
    assert list(columns(ROWS, "><>~", 46)) == [
        "      mark  length mm  note",
        "   1  P1          740  stall frame: posts with",
        "                       a hole",
        "  12  P2       80 1/2",
    ]


def test_what_has_no_room_stands_below_its_row_named_by_its_heading() -> None:
    assert list(columns(ROWS, "><>~", 40)) == [
        "      mark  length mm",
        "   1  P1          740",
        "      stall frame: posts with a hole",
        "  12  P2       80 1/2",
    ]
    assert list(columns(ROWS, "><>>", 18)) == [
        "      mark",
        "   1  P1",
        "      length mm 740,",
        "      note stall",
        "      frame: posts",
        "      with a hole",
        "  12  P2",
        "      length mm",
        "      80 1/2",
    ]


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("trim it all by 80 1/2 in now", 22, ["trim it all by", "  80 1/2 in now"]),
        ("it costs about USD 1,410.50", 20, ["it costs about", "  USD 1,410.50"]),
        ("    drop 3/8 in, keep and label", 24, ["    drop 3/8 in, keep", "      and label"]),
        ("no break", None, ["no break"]),
    ],
)
def test_a_figure_stays_with_its_fraction_and_unit(text: str, width: int | None, lines: list[str]) -> None:
    assert wrapped(text, width) == lines


@given(st.lists(st.text("ab1/ ", min_size=0, max_size=30), min_size=4, max_size=4), st.integers(20, 90))
def test_no_word_is_lost_whatever_the_width(cells: list[str], width: int) -> None:
    row = [" ".join(cell.split()) for cell in cells]
    said = " ".join(columns([HEADINGS, row], "><>~", width)).split()
    missing = [word for cell in row for word in cell.split() if not any(word in each for each in said)]
    assert missing == []


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("name", ["kayak_stands", "market_stalls", "two_yards"])
def test_a_whole_plan_keeps_to_the_width_and_says_the_same(name: str, width: int) -> None:
    job, problems = read_job((FIXTURES / f"{name}.toml").read_bytes(), name=name)
    assert job is not None, problems
    view = present(job, solve(job, PATIENCE))
    narrow, wide = plan_text(view, width=width), plan_text(view)
    assert [line for line in narrow.splitlines() if len(line) > width] == []
    figures = re.compile(r"\d[\d,./]*\d|\d")
    assert sorted(figures.findall(narrow)) == sorted(figures.findall(wide))
