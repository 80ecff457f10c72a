"""Workbooks, encodings, delimiters, and what is refused before it does harm."""

import datetime as dt
import io
import zipfile

import openpyxl
import pytest

from cutting.question.job import Source
from shared.reading import read_offers, read_parts
from shared.reading.grid.cells import MOST_BYTES, MOST_LINE, MOST_LINES
from shared.reading.grid.delimited import split_cells
from shared.reading.grid.sheet import open_sheet

HEADER = ("Mark", "Section", "Length (in)", "Qty", "Note")
ODS = """<?xml version="1.0" encoding="UTF-8"?>
<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0">
<office:body><office:spreadsheet><table:table table:name="Parts">{rows}</table:table></office:spreadsheet></office:body>
</office:document-content>"""


def xlsx(*rows, sheets=("Parts",)):
    book = openpyxl.Workbook()
    book.active.title = sheets[0]
    for name in sheets[1:]:
        book.create_sheet(name)
    for row in rows:
        book[sheets[-1]].append(row)
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def ods(*rows):
    def cell(value):
        if isinstance(value, str):
            return f'<table:table-cell office:value-type="string"><text:p>{value}</text:p></table:table-cell>'
        start = f'<table:table-cell office:value-type="float" office:value="{value}">'
        return f"{start}<text:p>{value}</text:p></table:table-cell>"

    body = "".join(f"<table:table-row>{''.join(map(cell, row))}</table:table-row>" for row in rows)
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
        archive.writestr("content.xml", ODS.format(rows=body))
    return buffer.getvalue()


ROWS = (
    HEADER,
    ("P1", "HSS 2x2x1/8", 80.5, 4, "posts"),
    ("P2", "L2x2x3/16", "14 1/4", 8, ""),
    ("P3", "FB 2x1/4", 81.375, 2, ""),
)


@pytest.mark.parametrize(
    "data", [xlsx(*ROWS), ods(*ROWS), xlsx(*ROWS, sheets=("Cover", "Parts"))], ids=["xlsx", "ods", "2nd sheet"]
)
def test_a_workbook_is_read_like_a_table(data):
    found, questions = read_parts(data)
    assert questions == ()
    assert [(part.mark, part.section.name, part.length / part.unit.mm, part.quantity) for part in found.parts] == [
        ("P1", "SHS 2x2x1/8", 80.5, 4),
        ("P2", "L 2x2x3/16", 14.25, 8),
        ("P3", "FLAT 2x1/4", 81.375, 2),  # a number of the sheet has no thousands separator
    ]


def test_numbers_of_a_workbook_are_taken_as_they_are_shown():
    found, questions = read_parts(
        xlsx(("Section", "Length mm", "Qty"), ("SHS 40x40x3", 80.1, 3.0), ("SHS 40x40x3", 1200, 2))
    )
    assert questions == ()
    assert [(str(part.length), part.quantity) for part in found.parts] == [("801/10", 3), ("1200", 2)]


def test_a_date_that_was_a_length_is_said():
    _, questions = read_parts(xlsx(("Section", "Length mm", "Qty"), ("SHS 40x40x3", dt.date(2026, 8, 6), 3)))
    assert "turned this into a date" in questions[0].message
    assert questions[0].line == 2


@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "iso-8859-1", "cp850", "mac_roman", "utf-32"],
)
def test_encodings(encoding):
    text = "Stück;Länge (mm);Profil;Bemerkung\n4;1250;Quadratrohr 40x40x3;Pfosten für Stände außen\n"
    text += "2;980;Rohr 48,3x3,2;Träger\n"
    found, questions = read_parts(text.encode(encoding))
    assert questions == ()
    assert [(part.quantity, part.section.name, part.length) for part in found.parts] == [
        (4, "SHS 40x40x3", 1250),
        (2, "CHS 48.3x3.2", 980),
    ]
    assert found.parts[0].note == "Pfosten für Stände außen"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\u2028"])
def test_line_ends(end):
    found, questions = read_parts(end.join(["4 - SHS 40x40x3 @ 500 mm", "", "2 - SHS 40x40x3 @ 400 mm"]))
    assert questions == ()
    assert [part.line for part in found.parts] == [1, 3]


def test_control_characters_are_harmless():
    found, questions = read_parts("4\x00 - SHS\x07 40x40x3 \x1b[31m@ 500\x08 mm\n")
    assert len(found.lines) == 2
    assert found.parts or questions


def test_cells_and_quotes():
    assert [cell.text for cell in split_cells('"RECT 3""x2""",2;3', ",")] == ['RECT 3"x2"', "2;3"]
    assert [cell.text for cell in split_cells('2" tube;3;"', ";")] == ['2" tube', "3", '"']
    assert [(cell.start, cell.end) for cell in split_cells("ab; cd ;", ";")] == [(0, 2), (4, 6), (8, 8)]


def test_a_quoted_field_over_two_lines_stays_one_row():
    text = 'Mark,Section,Length,Qty,Note\nA1,HSS 2x2x1/8,48 in,4,"posts\nleft side"\nA2,HSS 2x2x1/8,36 in,2,\n'
    found, questions = read_parts(text)
    assert questions == ()
    assert [(part.line, part.mark, part.note) for part in found.parts] == [(2, "A1", "posts left side"), (4, "A2", "")]


def bomb():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 300_000_000)
    return buffer.getvalue()


def lying_bomb():
    """A workbook whose directory says that its sheet is small."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 5_000_000)
    data = buffer.getvalue()
    real, said = (5_000_000).to_bytes(4, "little"), (5_000).to_bytes(4, "little")
    assert data.count(real) == 2
    return data.replace(real, said)


@pytest.mark.parametrize("data", [bomb(), lying_bomb()], ids=["bomb", "lying bomb"])
def test_a_decompression_bomb_is_refused(data):
    found, questions = read_parts(data)
    assert found.lines == ()
    assert "isn't opened" in questions[0].message or "no workbook" in questions[0].message


@pytest.mark.parametrize(
    "data",
    [b"PK\x03\x04", b"PK\x03\x04" + b"\x00" * 200, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"x" * 600],
    ids=["cut", "zeros", "ole"],
)
def test_a_broken_workbook_is_said(data):
    found, questions = read_parts(data)
    assert found.parts == ()
    assert "workbook" in questions[0].message


def test_an_empty_workbook_and_an_empty_text():
    assert "empty" in read_parts(xlsx())[1][0].message
    assert "no part found" in read_parts("")[1][0].message
    assert read_offers("", kind=Source.RACK)[0].offers == ()


def test_a_million_characters_on_one_line_are_refused_as_a_line():
    _, questions = read_parts("4 - SHS 40x40x3 @ 500 mm\n" + "9" * 1_000_000)
    assert [question.line for question in questions] == [2]
    assert str(MOST_LINE) in questions[0].message


def test_too_many_lines_and_too_many_bytes_are_refused():
    assert "split" in read_parts("4 - SHS 40x40x3 @ 500 mm\n" * (MOST_LINES + 1))[1][0].message
    assert "MB" in read_parts("x" * (MOST_BYTES + 1))[1][0].message


def test_what_is_no_parts_list_is_left_after_a_hundred_lines():
    text = "\n".join(f"{n} x {n} 4x4 {n}" for n in range(1000, 1600))
    found, questions = read_parts(text)
    assert found.parts == ()
    assert len(questions) < 200
    assert "is this a parts list" in questions[-1].message


def test_five_thousand_rows_are_all_read():
    rows = "\n".join(f"A{n};SHS 40x40x3;{500 + n % 997},5;{1 + n % 9}" for n in range(5000))
    found, questions = read_parts(f"Mark;Section;Length (mm);Qty\n{rows}")
    assert questions == ()
    assert len(found.parts) == 5000
    assert found.parts[4999].mark == "A4999"


def test_positions_of_a_sheet_are_those_of_its_text():
    sheet, problems = open_sheet('a;"b""c"; d\n1;2;3')
    assert problems == ()
    row = sheet.rows[0]
    assert [row.text[cell.start : cell.end] for cell in row.cells] == ["a", '"b""c"', "d"]


def test_a_german_abbreviation_heads_the_quantities_beside_a_column_of_positions():
    text = "Pos;Anz.;Profil;Länge (mm)\n1;4;Quadratrohr 40x40x3;1.250,5\n2;6;Flach 40x5;800\nSumme;10;;\n"
    found, questions = read_parts(text.encode())
    assert questions == ()
    assert [(part.mark, part.quantity) for part in found.parts] == [("1", 4), ("2", 6)]


def with_stray(row, column):
    book = openpyxl.Workbook()
    for cells in (("Section", "Length mm", "Qty"), ("SHS 40x40x3", 1200, 2)):
        book.active.append(cells)
    book.active.cell(row, column, "x")
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def test_a_stray_cell_in_the_last_row_and_column_is_named_and_never_laid_out():
    sheet, (question,) = open_sheet(with_stray(1_048_576, 16_384))  # the last cell that ECMA-376's sheets have
    assert sheet.rows == ()
    assert question.message == (
        "this workbook's cells reach over 1048576 rows and 16384 columns, the last in XFD1048576; "
        "delete what lies far from the list, or paste the list's own rows"
    )


@pytest.mark.parametrize(("row", "column"), [(2, 16_384), (5_900, 5)])
def test_a_stray_cell_that_is_no_burden_leaves_the_list_readable(row, column):
    found, _ = read_parts(with_stray(row, column))
    assert [(part.quantity, part.section.name, part.length) for part in found.parts] == [(2, "SHS 40x40x3", 1200)]


def test_a_second_sheet_with_a_list_is_asked_about_and_notes_are_not():
    book = openpyxl.Workbook()
    for name, rows in (("Frames", ROWS), ("Racks", ROWS), ("Notes", (("see drawing", "rev 2"), ("paint", "grey")))):
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    buffer = io.BytesIO()
    book.save(buffer)
    found, questions = read_parts(buffer.getvalue())
    assert len(found.parts) == 3
    assert [question.line for question in questions] == [0]
    assert "only the sheet Frames was read, and Racks seems to hold a list too" in questions[0].message
    del book["Racks"]
    buffer = io.BytesIO()
    book.save(buffer)
    assert read_parts(buffer.getvalue())[1] == ()
