"""Workbooks as strangers send them: several sheets, stray cells, formulas, dates, numbers as text."""

import datetime as dt
import io
import zipfile

import openpyxl
import pytest

from cutting.question.job import Source
from shared.reading import lines_of, read_offers, read_parts, rewritten
from tests.shared.writers.pdf import scenes
from tests.shared.writers.xlsx.made import workbook_bytes


def book(change=None, /, **sheets):
    """Bytes of a workbook of these sheets; `change` may do what rows can't say."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    if change:
        change(made)
    buffer = io.BytesIO()
    made.save(buffer)
    return buffer.getvalue()


HEAD = ("Section", "Length mm", "Qty")
TITLED = (
    ("Kayak stand", None, None),
    (None, None, None),
    ("Mark", "Section", "Length", "Qty"),
    (None, None, "(mm)", "(off)"),
    ("K1", "SHS 40x40x3", 1250, 4),
    ("K2", "FB 40x5", 310, 8),
    (None, None, "Total", 12),
)
TWO = {
    "Stall": (HEAD, ("SHS 40x40x3", 2100, 4), ("SHS 40x40x3", 1180, 6)),
    "Rack": (HEAD, ("RHS 60x40x3", 1500, 3), ("FB 40x5", 410, 8)),
}
PRICES = (("Section", "Length mm", "Price GBP"), ("SHS 40x40x3", 6000, 31.2))
MERGED = (HEAD, ("SHS 50x50x3", 1850, 4), (None, 920, 8), (None, 305, 2), ("RHS 60x40x3", 1200, 2))
READ = {
    "two sheets": (
        book(**TWO),
        [
            (4, "SHS 40x40x3", 2100),
            (6, "SHS 40x40x3", 1180),
            (3, "RHS 60x40x3", 1500),
            (8, "FLAT 40x5", 410),
        ],
    ),
    "a cover, then the list": (
        book(Cover=[("Cutting list for the market",), ("Mill Lane 4",)], Parts=TWO["Stall"]),
        [(4, "SHS 40x40x3", 2100), (6, "SHS 40x40x3", 1180)],
    ),
    "columns in another order on the second sheet": (
        book(A=(HEAD, ("SHS 40x40x3", 2100, 4)), B=(("Qty", "Length mm", "Section"), (3, 1500, "RHS 60x40x3"))),
        [(4, "SHS 40x40x3", 2100), (3, "RHS 60x40x3", 1500)],
    ),
    "a title, a units row and a total": (book(List=TITLED), [(4, "SHS 40x40x3", 1250), (8, "FLAT 40x5", 310)]),
    "numbers as text": (
        book(List=(HEAD, ("SHS 40x40x3", "1250", "4 "), ("SHS 40x40x3", "'980", " 2"))),
        [(4, "SHS 40x40x3", 1250), (2, "SHS 40x40x3", 980)],
    ),
    "dust of a formula": (
        book(List=(HEAD, ("SHS 40x40x3", 1200.0000000000002, 4), ("SHS 40x40x3", 0.1 + 0.2 + 999.7, 2))),
        [(4, "SHS 40x40x3", 1200), (2, "SHS 40x40x3", 1000)],
    ),
    "a line break in a cell": (
        book(List=(("Section", "Length\nmm", "Qty"), ("SHS\n40x40x3", 1250, 4))),
        [(4, "SHS 40x40x3", 1250)],
    ),
    "merged cells": (
        book(lambda made: made["List"].merge_cells("A2:A4"), List=MERGED),
        [
            (4, "SHS 50x50x3", 1850),
            (8, "SHS 50x50x3", 920),
            (2, "SHS 50x50x3", 305),
            (2, "RHS 60x40x3", 1200),
        ],
    ),
    "a list that starts in the middle of the sheet": (
        book(List=((None,), (None,), (None, None, *HEAD), (None, None, "SHS 40x40x3", 1250, 4))),
        [(4, "SHS 40x40x3", 1250)],
    ),
}


@pytest.mark.parametrize(("data", "parts"), READ.values(), ids=READ)
def test_a_stranger_s_workbook_is_read(data, parts):
    found, questions = read_parts(data)
    assert [question.message for question in questions] == []
    assert [(part.quantity, part.section.name, part.length) for part in found.parts] == parts


ASKED = {
    "a quantity that is a formula without a value": (HEAD, ("SHS 40x40x3", 1250, "=2*3")),
    "a length that is a formula without a value": (HEAD, ("SHS 40x40x3", "=1000+250", 4)),
    "a quantity that is an error": (HEAD, ("SHS 40x40x3", 1250, "#REF!")),
    "a length that became a date": (HEAD, ("SHS 40x40x3", dt.date(2025, 6, 8), 4)),
    "a quantity that became a date": (HEAD, ("SHS 40x40x3", 1250, dt.date(2025, 1, 4))),
    "a quantity that is true": (HEAD, ("SHS 40x40x3", 1250, True)),
    "a quantity of half a piece": (HEAD, ("SHS 40x40x3", 1250, 2.5)),
}


@pytest.mark.parametrize("rows", ASKED.values(), ids=ASKED)
def test_what_a_spreadsheet_spoilt_is_asked(rows):
    found, questions = read_parts(book(List=rows))
    assert found.parts == ()
    assert [question.line for question in questions] == [2]


def test_what_wasn_t_read_of_a_workbook_is_said_or_asked():
    found, questions = read_parts(book(Cover=[("For 3 stands",)], Parts=TWO["Stall"], Prices=PRICES, Copy=TWO["Stall"]))
    assert [(part.line, part.length) for part in found.parts] == [(2, 2100), (3, 1180)]  # the rows of their own sheet
    assert found.lines[-1].text == "[sheet Cover holds no list and wasn't read] For 3 stands"
    assert [(question.line, question.message.partition(";")[0]) for question in questions] == [
        (0, "only the sheet Parts was read, and Prices, Copy seems to hold a list too")
    ]


def test_sheets_are_told_apart_and_say_where_their_rows_are():
    found, _ = read_parts(book(**TWO))
    assert [(part.line, part.assembly) for part in found.parts] == [
        (3, "Stall"),
        (4, "Stall"),
        (7, "Rack"),
        (8, "Rack"),
    ]
    assert [line.notes for line in found.lines if line.text == "[sheet Rack]"] == [
        ("sheet Rack begins: its row 1 is line 6",)
    ]


def test_what_a_heading_said_on_one_sheet_does_not_hold_on_the_next():
    sheets = {
        "One": [("Make 3 sets, quantities for each:",), HEAD, ("SHS 40x40x3", 1250, 4)],
        "Two": [HEAD, ("SHS 40x40x3", 980, 2)],
    }
    found, questions = read_parts(book(**sheets))
    assert questions == ()
    assert [part.quantity for part in found.parts] == [12, 2]


def test_an_answer_about_a_workbook_is_shown_and_then_read_as_it_was_shown():
    rows = (
        ("Section", "Length m", "Qty"),
        ("SHS 40x40x3", 1.125, 4),
        ("SHS 40x40x3", "1,250 or so", 4),
        (None, 0.5, 2),
    )
    data = book(One=rows, Two=TWO["Rack"])
    _, questions = read_parts(data)
    last = questions[-1]
    assert [(choice.reading, choice.makes) for choice in last.choices][:1] == [
        ("SHS 40x40x3", "2 x SHS 40x40x3 x 0.5 m = 19 87/127 in (about 19 11/16)  [One]")
    ]
    text = rewritten(lines_of(data), {last.line: last.choices[0].line})
    found, left = read_parts(text)
    assert left == ()
    assert [(part.quantity, part.length) for part in found.parts] == [
        (4, 1125),
        (4, 1250),
        (2, 500),
        (3, 1500),
        (8, 410),
    ]


def test_numbers_have_no_more_digits_than_a_spreadsheet_shows():
    data = book(List=(HEAD, ("SHS 40x40x3", 1234567, 4)))
    dusty = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(dusty, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b"<v>1234567<", b"<v>1200.0000000000002<"))
    assert [part.length for part in read_parts(dusty.getvalue())[0].parts] == [1200]


def test_what_stands_far_to_the_right_is_a_remark_of_its_row():
    rows = (HEAD, ("SHS 40x40x3", 1250, 4, *[None] * 90, "and 2 spare"))
    found, questions = read_parts(book(List=rows))
    assert questions == ()
    assert found.parts[0].note == "and 2 spare"


@pytest.mark.parametrize("name", scenes.ALL)
def test_the_parts_of_our_own_workbook_are_read_back(name):
    job, plan = scenes.ALL[name]()
    found, questions = read_parts(workbook_bytes(job, plan))
    angled = [question for question in questions if "along the centre line" in question.message]
    others = {question.line for question in questions} - {question.line for question in angled}  # hardly long enough
    wanted = [part for at, part in enumerate(job.parts, 2) if part.ends is None and at not in others]
    assert len(angled) == sum(part.ends is not None for part in job.parts)  # the sheet doesn't say which angles
    assert [(part.mark, part.section.label, part.length, part.quantity) for part in found.parts] == [
        (part.mark, part.section.label, part.length, part.quantity) for part in wanted
    ]
    _, questions = read_offers(workbook_bytes(job, plan), kind=Source.OWN)
    assert questions[0].message.startswith("this is the workbook of a plan")
