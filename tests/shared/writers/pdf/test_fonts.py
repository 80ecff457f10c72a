"""Letters that the sheet's fonts lack are never lost without a word."""

from datetime import date

import pytest

from shared.view.issue import Issue
from shared.view.sheet.cut_sheet import cut_sheet
from shared.view.work.sheet import work_cut_sheet
from shared.view.work.stock_take import stock_take
from shared.view.work.trace_list import trace_list
from shared.writers.pdf import cut_sheet_pdf
from shared.writers.pdf.fonts import LOST_NOTE, in_letters, missing, printable, texts_of
from tests.shared.writers.pdf import scenes
from tests.shared.writers.pdf.reading import pages_of, squeezed
from tests.shared.writers.pdf.works import WORKS, rack

ISSUE = Issue(date=date(2026, 11, 25))


@pytest.mark.parametrize(
    "text",
    [
        "Stall 3x2 #$%&",
        "Querträger Ñandú ÇŞĞİ ŐŰ žščř Łódź",
        "Διαδοκίδα άνω",
        "Стойка Ґґ Її Ўў",
        "½ ⅞ ″ ′ × ø ≈ ° – …",
        "שלב",
    ],
)
def test_what_the_fonts_have(text: str) -> None:
    assert missing([text]) == ()


@pytest.mark.parametrize("text", ["横梁", "ไทย", "🙂", "বাংলা", "ที่", "\x07", "\ud800", "\ue000", "\u0000"])
def test_what_they_lack(text: str) -> None:
    assert set(missing([f"A{text}B"])) == set(text)


def test_a_lost_letter_is_written_as_its_number() -> None:
    assert printable(("横A", None, 3), frozenset("横")) == ("[U+6A2A]A", None, 3)


def test_lost_letters_are_lost_everywhere_and_it_is_said() -> None:
    text = squeezed(" ".join(pages_of(cut_sheet_pdf(cut_sheet(*scenes.marks(), ISSUE)))))
    assert squeezed(LOST_NOTE) in text
    assert "[U+6A2A][U+6881][U+4E0A]" in text
    assert "横" not in text


def test_where_nothing_is_lost_nothing_is_said() -> None:
    sheet = in_letters(cut_sheet(*scenes.mixed(), ISSUE), "notes")
    assert LOST_NOTE not in sheet.notes
    assert missing(texts_of(sheet)) == ()


@pytest.mark.parametrize("name", WORKS)
def test_every_letter_of_every_paper_of_a_work_has_a_form(name: str) -> None:
    book = WORKS[name]()
    assert missing(texts_of(in_letters(work_cut_sheet(book, ISSUE), "notes"))) == ()
    assert missing(texts_of(in_letters(trace_list(book, ISSUE), "limits"))) == ()


def test_every_letter_of_a_stock_take_has_a_form() -> None:
    view = in_letters(stock_take(rack(), ISSUE.date, title="棚", works={"w1": "棚の上"}), "notes")
    assert missing(texts_of(view)) == ()
    assert LOST_NOTE in view.notes
    assert view.title == "[U+68DA]"


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_letter_of_every_sheet_has_a_form(name: str) -> None:
    assert missing(texts_of(in_letters(cut_sheet(*scenes.ALL[name](), ISSUE), "notes"))) == ()
