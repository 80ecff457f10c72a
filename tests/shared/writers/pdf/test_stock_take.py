"""The list to take stock with: every piece once, by place, with room to write."""

from dataclasses import replace
from datetime import date

import pytest

from shared.view.issue import Paper
from shared.view.work.stock_take import stock_take
from shared.work.rack.bars import Bar, BarState
from shared.writers.pdf import stock_take_pages, stock_take_pdf
from shared.writers.pdf.fonts import in_letters
from tests.shared.writers.pdf.reading import pages_of, squeezed
from tests.shared.writers.pdf.works import rack

DAY = date(2026, 11, 25)


def test_every_piece_stands_once_at_its_place() -> None:
    view = stock_take(rack(), DAY)
    assert sorted(line.bar for place in view.places for line in place.lines) == sorted(bar.name for bar in rack())
    assert view.lead == "66 pieces at 5 places."
    by_name = {bar.name: bar for bar in rack()}
    for place in view.places:
        for line in place.lines:
            # Places differ only in capitals where somebody wrote them by hand.
            there = by_name[line.bar].place or "No place written down"
            assert "[U+" in place.place or there.casefold() == place.place.casefold()


def test_places_come_in_order_and_there_by_section_longest_first() -> None:
    view = stock_take(rack(), DAY)
    assert [place.place[:7] for place in view.places] == ["No plac", "bay 3", "P" * 7, "shelf 1", "Полка 2"]
    lengths = {bar.name: bar.length for bar in rack()}
    shelf = [lengths[line.bar] for line in view.places[3].lines]
    assert shelf == sorted(shelf, reverse=True)
    assert [line.bar for line in view.places[1].lines] == ["D7", "D31", "D123456789"]


def test_each_piece_in_its_own_unit_and_in_both_where_one_does_not_show_it() -> None:
    lengths = {line.bar: line.length for place in stock_take(rack(), DAY).places for line in place.lines}
    assert lengths["D7"] == "120 in"
    assert lengths["D31"] == "6000 mm, at least 5985 mm"
    assert lengths["D34"] == "900 mm"
    assert lengths["D123456789"] == "≈48 39/64 in [≈1234.6 mm]"


def test_reserved_and_expected_pieces_say_so() -> None:
    by_name = {line.bar: line.remark for place in stock_take(rack(), DAY).places for line in place.lines}
    assert by_name["D31"] == "reserved"
    held = stock_take(rack(), DAY, works={"w1": "Market stalls"})
    assert {line.remark for place in held.places for line in place.lines if line.bar == "D31"} == {
        "reserved for Market stalls"
    }
    expected = replace(rack()[0], state=BarState.EXPECTED, remark="bent")
    assert stock_take([expected], DAY).places[0].lines[0].remark == "not come yet; bent"


def test_every_text_and_page_number_is_on_paper() -> None:
    pages = pages_of(stock_take_pdf(stock_take(rack(), DAY, title="Town workshop")))
    found = squeezed(" ".join(pages))
    view = in_letters(stock_take(rack(), DAY), "notes")
    texts = [view.lead, *view.notes, "Found, and not on this list"]
    for place in view.places:
        texts += [place.place, *(text for line in place.lines for text in (line.bar, line.section, line.length))]
        texts += [line.remark for line in place.lines]
    assert [text for text in texts if squeezed(text) not in found] == []
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
        assert "Stock-take Town workshop Date 2026-11-25 Counted by" in text


@pytest.mark.parametrize("paper", list(Paper))
def test_a_table_repeats_its_head_on_every_page(paper: Paper) -> None:
    pages = pages_of(stock_take_pdf(stock_take(rack(), DAY, paper)))
    assert len(pages) >= 4
    assert all("counted, measured" in text or "Found, and not on this list" in text for text in pages)


@pytest.mark.parametrize("blank", [0, 1, 40])
def test_as_many_empty_lines_as_asked_for(blank: int) -> None:
    view = stock_take(rack()[:1], DAY, blank=blank)
    assert view.blank == blank
    pages = pages_of(stock_take_pdf(stock_take(rack()[:1], DAY, blank=blank)))
    assert ("Found, and not on this list" in " ".join(pages)) == (blank > 0)
    assert len(pages) == (2 if blank == 40 else 1)


def test_no_fewer_than_no_lines() -> None:
    with pytest.raises(ValueError, match="can't be -1 empty lines; write 0 or more"):
        stock_take((), DAY, blank=-1)


def test_an_empty_rack_prints_empty_lines() -> None:
    (page,) = pages_of(stock_take_pdf(stock_take((), DAY)))
    assert "0 pieces at 0 places." in page
    assert "Found, and not on this list" in page


def test_a_remark_longer_than_a_page_is_all_there() -> None:
    bar: Bar = replace(rack()[0], remark="painted and bent " * 400)
    text = squeezed(" ".join(pages_of(stock_take_pdf(stock_take([bar], DAY)))))
    assert text.count("paintedandbent") == 400


def test_the_same_rack_gives_the_same_bytes_in_any_order() -> None:
    assert stock_take_pdf(stock_take(rack(), DAY)) == stock_take_pdf(stock_take(tuple(reversed(rack())), DAY))


def test_the_pages_are_those_of_the_pdf() -> None:
    assert len(stock_take_pages(stock_take(rack(), DAY), 40)) == len(pages_of(stock_take_pdf(stock_take(rack(), DAY))))
