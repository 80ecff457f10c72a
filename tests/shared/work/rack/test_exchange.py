"""The rack out as CSV and xlsx and in again: nothing changes on the way, what is wrong is said by row and column."""

from __future__ import annotations

import csv
import doctest
import importlib
import io
import string
import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from cutting.question.lengths import Unit
from shared.sections import understand
from shared.work.rack.bars import Bar, BarChanges, BarState, Counted, NewBar, Origin
from shared.work.rack.exchange import rack_csv, stock_take_csv, tamed, untamed
from shared.work.rack.intake import RackList, read_rack_list
from shared.writers.xlsx.rack import rack_xlsx, stock_take_xlsx
from tests.shared.writers.xlsx.made import office

NOW = datetime(2026, 11, 25, 13, 5, 7, tzinfo=UTC)
TUBE = understand("SHS 2x2x1/8")
METRIC = understand("SHS 40x40x3", "galvanised")
INCH = Fraction(127, 5)
WORKS = {"w1": "Kayak stand, the second"}


def bar(number: int, **changes) -> Bar:
    values = {"number": number, "section": TUBE, "length": Fraction(161, 2) * INCH, "made": NOW}
    return Bar(**{**values, **changes})


RACK = (
    bar(1, place="bay 3", heat="H4711"),
    bar(2, section=METRIC, length=Fraction(1200), trims=(Fraction(0), Fraction(0)), remark='bent; "red", drilled'),
    bar(7, state=BarState.RESERVED, work="w1", origin=Origin.DROP, parent=2, trims=(Fraction(0), INCH / 4), version=4),
    bar(8, usable=Fraction(160, 2) * INCH, remark="=1+1", place="@home", heat="+49"),
)


def read(data: bytes | str, bars=RACK, **options) -> RackList:
    found, problems = read_rack_list(data.encode() if isinstance(data, str) else data, bars, **options)
    assert found is not None, problems
    return found


def refused(data: bytes | str, bars=RACK, **options):
    found, problems = read_rack_list(data.encode() if isinstance(data, str) else data, bars, **options)
    assert found is None
    return problems


@pytest.mark.parametrize("module", ["exchange", "measures", "pieces", "columns", "bars"])
def test_examples_in_the_documentation(module: str) -> None:
    found = doctest.testmod(importlib.import_module(f"shared.work.rack.{module}"))
    assert found.attempted
    assert found.failed == 0


# -- out and in again ---------------------------------------------------------------------------


@pytest.mark.parametrize("write", [rack_csv, lambda bars, works: rack_xlsx(bars, works, NOW)], ids=["csv", "xlsx"])
def test_what_was_exported_changes_nothing(write) -> None:
    found = read(write(RACK, WORKS))
    assert (found.lines, found.words, found.same, found.unseen) == ((), (), 4, 0)


@pytest.mark.parametrize(
    "write", [stock_take_csv, lambda bars, works: stock_take_xlsx(bars, works, NOW)], ids=["csv", "xlsx"]
)
def test_a_stock_take_list_nobody_wrote_on_changes_nothing(write) -> None:
    found = read(write(RACK, WORKS))
    assert (found.lines, found.same, found.unseen) == ((), 0, 4)


nasty = st.text(alphabet=string.ascii_letters + string.digits + "=+-@'\",;|\t äß½✓/#()", max_size=20).map(
    lambda text: " ".join(text.split())
)
lengths = st.one_of(
    st.integers(1, 400_000).map(lambda sixty_fourths: Fraction(sixty_fourths, 64) * INCH),
    st.integers(1, 1_200_000).map(lambda hundredths: Fraction(hundredths, 100)),
    st.fractions(min_value=Fraction(1, 7), max_value=20_000, max_denominator=999),
)
trims = st.one_of(st.none(), st.tuples(*[st.sampled_from([Fraction(0), INCH / 4, Fraction(10), Fraction(10, 3)])] * 2))
sections = st.sampled_from([TUBE, METRIC, understand("our old rail", "S355"), understand("L 2x2x1/4")])


@given(
    pieces=st.lists(st.tuples(sections, lengths, trims, nasty, nasty, nasty), min_size=1, max_size=6), number=st.data()
)
@settings(max_examples=60, deadline=None)
def test_any_rack_comes_back_exactly(pieces, number) -> None:
    bars = tuple(
        bar(at, section=section, length=length, trims=ends, place=place, remark=remark, heat=heat)
        for at, (section, length, ends, place, remark, heat) in enumerate(pieces, start=1)
    )
    write = number.draw(st.sampled_from([rack_csv, lambda bars, works: rack_xlsx(bars, works, NOW)]))
    assert read(write(bars, {}), bars).lines == ()
    news = [line.new for line in read(write(bars, {}), (), as_new=True).lines]
    assert news == [
        NewBar(
            section=each.section,
            length=each.length,
            trims=each.trims,
            place=each.place,
            remark=each.remark,
            heat=each.heat,
        )
        for each in bars
    ]


@given(text=st.text(max_size=30))
def test_taming_loses_nothing(text: str) -> None:
    assert untamed(tamed(text)) == text


def test_no_cell_of_a_csv_is_a_formula() -> None:
    """A spreadsheet reckons with cells that begin so (OWASP, "CSV Injection"; from memory)."""
    rows = list(csv.reader(io.StringIO(rack_csv(RACK, WORKS).decode("utf-8-sig"))))
    assert rows[4][1] == "'@home"
    assert not [cell for row in rows for cell in row if cell[:1] in {"=", "+", "-", "@", "\t"}]


def test_no_cell_of_a_workbook_is_a_formula() -> None:
    sheet = load_workbook(io.BytesIO(rack_xlsx(RACK, WORKS, NOW)))["Rack"]
    cell = next(cell for row in sheet.iter_rows() for cell in row if cell.value == "=1+1")
    assert (cell.data_type, cell.quotePrefix) == ("s", True)
    assert "f" not in {cell.data_type for row in sheet.iter_rows() for cell in row}


def test_the_same_rack_gives_the_same_bytes() -> None:
    assert rack_xlsx(RACK, WORKS, NOW) == rack_xlsx(RACK, WORKS, NOW)


@pytest.mark.skipif(
    office() is None, reason="LibreOffice is not installed: whether a spreadsheet keeps it was NOT tested"
)
def test_a_spreadsheet_program_keeps_every_cell(tmp_path: Path) -> None:
    """LibreOffice opens both forms and saves them anew; what it saved still changes nothing."""
    (tmp_path / "rack.xlsx").write_bytes(rack_xlsx(RACK, WORKS, NOW))
    (tmp_path / "rack.csv").write_bytes(rack_csv(RACK, WORKS))
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    for source, form in (("rack.xlsx", "ods"), ("rack.csv", "xlsx:Calc MS Excel 2007 XML")):
        command = [
            office(),
            profile,
            "--headless",
            "--convert-to",
            form,
            "--outdir",
            tmp_path / "done",
            tmp_path / source,
        ]
        subprocess.run(list(map(str, command)), check=True, capture_output=True, timeout=300)
    assert read((tmp_path / "done" / "rack.ods").read_bytes()).lines == ()
    # Opened as a plain CSV, texts such as +49 stay texts because of their apostrophe, which the program then shows.
    saved = read((tmp_path / "done" / "rack.xlsx").read_bytes())
    assert saved.lines == ()


# -- lists made or mended by hand ---------------------------------------------------------------


def test_changes_and_new_pieces_are_understood_and_said() -> None:
    text = "label;place;section;length;remark\nD1;bay 4;SHS 2x2x1/8;79 in;\n;floor;SHS 40x40x3;1.5 m;painted\n"
    found = read(text)
    assert found.lines == (
        Counted(number=1, changes=BarChanges(length=79 * INCH, place="bay 4")),
        Counted(new=NewBar(section=understand("SHS 40x40x3"), length=Fraction(1500), place="floor", remark="painted")),
    )
    assert found.words == (
        "D1: 80 1/2 in -> 79 in; place bay 3 -> bay 4",
        "new: SHS 40x40x3, 1500 mm, floor, painted",
    )


def test_columns_the_list_does_not_have_say_nothing() -> None:
    assert read("label,place\nD1,bay 9\n").lines == (Counted(number=1, changes=BarChanges(place="bay 9")),)


def test_an_empty_cell_takes_a_text_away() -> None:
    found = read("label,place,heat no\nD1,,H4711\n")
    assert found.lines == (Counted(number=1, changes=BarChanges(place="")),)
    assert found.words == ("D1: place bay 3 -> none",)


def test_another_section_keeps_the_material_where_the_list_has_no_column_for_it() -> None:
    (line,) = read("label,section\nD2,SHS 40x40x4\n").lines
    assert line.changes.section == understand("SHS 40x40x4", "galvanised")


def test_a_material_alone_makes_another_section() -> None:
    (line,) = read("label,section,material\nD2,SHS 40x40x3,\n").lines
    assert line.changes.section == understand("SHS 40x40x3")


@pytest.mark.parametrize(
    ("data", "unit"),
    [
        (b"label,section,length (mm)\n,SHS 40x40x3,1500\n", None),
        (b"label\tsection\tlength\n\tSHS 40x40x3\t1500\n", Unit.MM),
        ("Etikett;Profil;Länge mm;Ort\n;SHS 40x40x3;1500;Regal\n".encode("cp1252"), None),
        (b"\xff\xfe" + "label;section;length mm\n;SHS 40x40x3;1500\n".encode("utf-16-le"), None),
        (b"Our rack\nas of Monday\n\nlabel,section,length mm\n,SHS 40x40x3,1500\n", None),
    ],
)
def test_lists_of_other_programs_are_read(data: bytes, unit) -> None:
    (line,) = read(data, unit=unit).lines
    assert line.new is not None
    assert (line.new.section.name, line.new.length) == ("SHS 40x40x3", 1500)


def test_numbers_of_a_workbook_are_exact() -> None:
    book = Workbook()
    book.active.append(["section", "length mm", "place"])
    book.active.append(["SHS 40x40x3", 1500.1, 7])
    data = io.BytesIO()
    book.save(data)
    (line,) = read(data.getvalue()).lines
    assert line.new == NewBar(section=understand("SHS 40x40x3"), length=Fraction(15001, 10), place="7")


# -- a stock-take -------------------------------------------------------------------------------


def counted(*cells: tuple[str, str, str]) -> str:
    rows = "\n".join(f"{label},{length},{there},{measured}" for label, length, there, measured in cells)
    return f"label,length,there?,measured\n{rows}\n"


def test_a_stock_take_tells_found_missing_measured_and_not_looked_at() -> None:
    text = counted(
        ("D1", "80 1/2 in", "", "79"), ("D2", "1200 mm", "no", ""), ("D7", "80 1/2 in", "✓", ""), ("D8", "", "", "")
    )
    found, problems = read_rack_list(text.encode(), RACK)
    assert found is None
    assert [(problem.where, problem.text) for problem in problems] == [("row 5, length", "")]
    found = read(text.replace("D8,,,\n", "D8,80 1/2 in,,\n"))
    assert found.lines == (
        Counted(number=1, changes=BarChanges(length=79 * INCH)),
        Counted(number=2, found=False),
        Counted(number=7),
    )
    assert found.words == (
        "D1: 80 1/2 in -> 79 in",
        'D2: not found (SHS 40x40x3 (galvanised), 1200 mm, bent; "red", drilled)',
    )
    assert (found.same, found.unseen) == (1, 1)


def test_measuring_what_nobody_had_measured_counts_even_where_it_is_the_same() -> None:
    (line,) = read(counted(("D8", "80 1/2 in", "yes", "80 1/2"))).lines
    assert line.changes.length == Fraction(161, 2) * INCH


def test_a_lost_piece_that_is_there_again() -> None:
    rack = (bar(1, state=BarState.LOST),)
    found = read(counted(("D1", "80 1/2 in", "yes", "")), rack)
    assert (found.lines, found.words) == ((Counted(number=1),), ("D1: found again",))
    (problem,) = refused(counted(("D1", "80 1/2 in", "", "")), rack)
    assert "was lost: write yes in a column there?" in problem.message


# -- what is refused ----------------------------------------------------------------------------


def test_everything_wrong_is_said_at_once_by_row_and_column() -> None:
    text = """label,section,material,length,first end,second end,remark,state
D1,SHS 2x2x1/8,,80 1/2 in,,,,scrap
17,SHS 2x2x1/8,,80 in,,,,
D99,SHS 2x2x1/8,,80 in,,,,
,SHS 2x2x1/8,,80 1/2,sawn,,,
,,,1200 mm,,,bell\a,
,pipe 1-1/4,,0 mm,,,,
D2,SHS 40x40x3,galvanised,1200 mm,,,"bent; ""red"", drilled",
D2,SHS 40x40x3,galvanised,1200 mm,sawn,sawn,"bent; ""red"", drilled",
"""
    found = [(problem.where, problem.text) for problem in refused(text)]
    assert found == [
        ("row 2, state", "scrap"),
        ("row 3, label", "17"),
        ("row 4, label", "D99"),
        ("row 5, length", "80 1/2"),
        ("row 5, second end", ""),
        ("row 6, section", ""),
        ("row 6, remark", "bell\a"),
        ("row 7, section", "pipe 1-1/4"),
        ("row 7, length", "0 mm"),
        ("row 8, first end", ""),
        ("row 9, label", "D2"),
    ]
    messages = [problem.message for problem in refused(text)]
    assert "Write the unit behind it, such as 80 1/2 in or 80 1/2 mm" in messages[3]
    assert "row 8 is about D2 already" in messages[-1]


@pytest.mark.parametrize("state", [BarState.CUT, BarState.SCRAP, BarState.EXPECTED, BarState.CANCELLED])
def test_what_is_not_on_the_rack_is_not_changed(state: BarState) -> None:
    (problem,) = refused("label,place\nD1,bay 9\n", (bar(1, state=state),))
    assert problem.message == f"D1 isn't on the rack: it is {state}; take the row out"


def test_an_old_list_does_not_undo_what_came_after_it() -> None:
    data = rack_csv(RACK, WORKS)
    newer = (replace(RACK[0], place="bay 9", version=2), *RACK[1:])
    (problem,) = refused(data, newer)
    assert (problem.where, problem.text) == ("row 2, version", "1")
    assert "D1 was changed after this list was written (now: SHS 2x2x1/8, 80 1/2 in, bay 9)" in problem.message
    taken = read(data.decode("utf-8-sig").replace("13:05:07Z,1\r\nD2", "13:05:07Z,\r\nD2"), newer)
    assert taken.words == ("D1: place bay 9 -> bay 3",)


def test_a_list_from_before_a_reservation_is_still_good_where_it_changes_nothing_there() -> None:
    data = rack_csv(RACK, WORKS)
    newer = (replace(RACK[0], state=BarState.RESERVED, work="w1", version=2), *RACK[1:])
    assert read(data, newer).same == 4


@pytest.mark.parametrize(
    ("text", "where", "said"),
    [
        ("label,section,colour\nD1,SHS 2x2x1/8,red\n", "row 1", "unknown column; take it out"),
        ("label,section,place,bay\nD1,SHS 2x2x1/8,a,b\n", "row 1", "a second column for place"),
        ("label,place\nD1,bay 3,more\n", "row 2, column 3", "no heading above this cell"),
        ("label,,place\nD1,lost?,bay 3\n", "row 2, column 2", "no heading above this cell"),
        ('label,place\nD1,"bay 3\nD2,x\n', "row 2", "not CSV from here on"),
        ("just some words\n", "list", "no row of headings"),
        ("", "list", "no row of headings"),
    ],
)
def test_tables_that_would_lose_something_are_refused(text: str, where: str, said: str) -> None:
    problem = next(problem for problem in refused(text) if problem.where == where)
    assert said in problem.message


def test_a_date_that_a_spreadsheet_made_of_a_text_is_said() -> None:
    book = Workbook()
    book.active.append(["label", "place"])
    book.active.append(["D1", datetime(2026, 3, 4)])  # noqa: DTZ001 - as a spreadsheet has it
    data = io.BytesIO()
    book.save(data)
    (problem,) = refused(data.getvalue())
    assert "turned this into a date" in problem.message


def test_a_new_piece_is_free_and_measured() -> None:
    data = rack_csv(RACK[2:], WORKS)
    problems = refused(data, (), as_new=True)
    assert [(problem.where, problem.text) for problem in problems] == [
        ("row 2, state", "reserved"),
        ("row 3, sure of", "80 in"),
    ]
