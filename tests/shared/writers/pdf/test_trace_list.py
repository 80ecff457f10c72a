"""The trace list on paper: from mark to heat number, and back."""

from dataclasses import replace
from datetime import date

import pytest

from shared.view.issue import Issue, Paper
from shared.view.work.trace_list import NO_CERTIFICATE, trace_list
from shared.wording.cautions import on_the_summary
from shared.work.saw.trace import trace_rows
from shared.writers.pdf import trace_list_pages, trace_list_pdf
from tests.shared.writers.pdf import works
from tests.shared.writers.pdf.reading import greys, pages_of, plain, squeezed
from tests.shared.writers.pdf.works import WORKS

ISSUE = Issue(date=date(2026, 11, 26), paper=Paper.A4)


@pytest.mark.parametrize("name", WORKS)
def test_every_page_says_plan_revision_and_number(name: str) -> None:
    book = WORKS[name]()
    found = pages_of(trace_list_pdf(trace_list(book, ISSUE)))
    for number, text in enumerate(found, start=1):
        assert f"Plan {trace_list(book, ISSUE).block.plan} Revision {book.work.mark} " in text
        assert f"Page {number} of {len(found)}" in text
        assert "Checked by" in text


@pytest.mark.parametrize("name", ["traced", "given_up", "sixty", "long_names", "yard_cut", "finished"])
def test_every_text_is_on_paper(name: str) -> None:
    view = trace_list(WORKS[name](), ISSUE)
    found = squeezed(" ".join(pages_of(trace_list_pdf(trace_list(WORKS[name](), ISSUE)))))
    texts = [view.lead, *view.doubts, *view.limits]
    for line in view.lines:
        texts += [line.mark, line.length, line.section, line.stick, line.bar, line.heat, line.state]
    for heat in view.heats:
        texts += [heat.heat, heat.section, heat.bars, heat.parts]
    assert [text for text in texts if squeezed(text) not in found] == []


def test_pieces_of_one_mark_on_one_stick_share_a_line() -> None:
    lines = [
        (line.mark, line.pieces, line.stick, line.bar, line.heat, line.state)
        for line in trace_list(works.traced(), ISSUE).lines
    ]
    assert lines[:4] == [
        ("A1", "1", "1.1, piece 1", "D17", "48213", ""),
        ("A1", "2–4", "1.2, piece 1–3", "D18", "48214", ""),
        ("A1", "", "1.1, piece 2", "D17", "48213", "on the rack as a bar"),
        ("A1", "", "1.1, piece 3", "D17", "48213", "not asked for any more"),
    ]
    assert ("B2", "9–11", "3.1, piece 1–3", "D20, from D17", "48213", "") in lines


@pytest.mark.parametrize("name", WORKS)
def test_the_lines_hold_every_row(name: str) -> None:
    book = WORKS[name]()
    counted = 0
    for line in trace_list(book, ISSUE).lines:
        for span in line.stick.split("piece ")[1].split(", "):
            first, _, last = span.partition("–")
            counted += int(last or first) - int(first) + 1
    assert counted == len(trace_rows(book))


def test_the_way_back_from_heat_to_marks() -> None:
    book = works.with_bars(works.traced(), [19], heat="")
    view = trace_list(book, ISSUE)
    assert [(heat.heat, heat.known, heat.bars, heat.parts) for heat in view.heats] == [
        ("48213", True, "D17, D20", "1 × A1, 5 × B2"),
        ("48214", True, "D18", "3 × A1, 3 × B2"),
        ("48999", True, "D21", "3 × B2"),
        ("not recorded", False, "D19", "3 × B2"),
    ]
    assert view.lead == "Sawn: 18 of 29 parts asked for. Heat number recorded: 15 of 18."


def test_cautions_are_on_the_first_page() -> None:
    book = works.traced()
    first = squeezed(pages_of(trace_list_pdf(trace_list(book, ISSUE)))[0])
    for text in (NO_CERTIFICATE.text, *on_the_summary(book.work.job)):
        assert squeezed(text) in first


def test_what_is_missing_is_said_in_words_on_the_page() -> None:
    book = works.with_bars(works.traced(), [19], heat="")
    text = plain(" ".join(pages_of(trace_list_pdf(trace_list(book, ISSUE)))))
    assert "No heat number was recorded for 3 of 18 parts sawn; they were cut from D19." in text
    assert "not recorded" in text


def test_a_work_without_any_part_sawn_has_no_way_back() -> None:
    assert trace_list(works.marked(), ISSUE).heats == ()


def test_a_work_without_sticks_still_prints() -> None:
    book = replace(works.finished(), slots=(), made=())
    (page,) = pages_of(trace_list_pdf(trace_list(book, ISSUE)))
    assert "Sawn: 0 of 8 parts asked for." in page


def test_the_pages_are_those_of_the_pdf() -> None:
    book = works.traced()
    pictures = trace_list_pages(trace_list(book, ISSUE), 60)
    assert len(pictures) == len(pages_of(trace_list_pdf(trace_list(book, ISSUE))))
    assert (greys(pictures[0]) < 128).any()
