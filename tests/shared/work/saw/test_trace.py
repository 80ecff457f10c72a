"""From every mark to its heat number, over drops, with what is missing said plainly."""

import csv
import io
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from shared.work.rack.bars import Origin
from shared.work.saw.trace import NO_HEAT, TraceState, ancestry, heat_of, trace_doubts, trace_rows, unplanned
from shared.work.saw.trace_table import trace_csv
from shared.work.saw.work import MadeState, SlotState, WorkBook
from tests.shared.writers.pdf import scenes, works
from tests.shared.writers.pdf.works import WORKS


def states(book: WorkBook) -> Counter[TraceState]:
    return Counter(row.state for row in trace_rows(book))


@pytest.mark.parametrize("name", WORKS)
def test_every_piece_made_or_to_be_made_is_a_row_once(name: str) -> None:
    book = WORKS[name]()
    rows = [(row.layout, row.copy, row.position, row.mark, row.bar) for row in trace_rows(book)]
    slots = {slot.id: slot for slot in book.slots}
    wanted = [
        *((slots[m.slot].number, slots[m.slot].copy, m.position, m.mark, m.bar) for m in book.made),
        *(
            (slot.number, slot.copy, position, piece.mark, slot.bar)
            for slot in book.slots
            if slot.state is SlotState.OPEN
            for position, piece in enumerate(slot.cut.pieces, start=1)
            if position > slot.sawn
        ),
    ]
    assert sorted(rows) == sorted(wanted)
    assert len(set(rows)) == len(rows)


@pytest.mark.parametrize("name", WORKS)
def test_pieces_that_count_are_numbered_through_by_mark(name: str) -> None:
    rows = trace_rows(WORKS[name]())
    for mark in {row.mark for row in rows}:
        numbers = [row.piece for row in rows if row.mark == mark and row.piece is not None]
        assert numbers == list(range(1, len(numbers) + 1))
    for row in rows:
        assert (row.piece is None) == (row.state in {TraceState.SPOILT, TraceState.SURPLUS, TraceState.BACK})


def test_rows_follow_the_parts_list_and_then_the_sticks() -> None:
    rows = trace_rows(works.traced())
    assert [row.mark for row in rows] == sorted(row.mark for row in rows)  # A1 stands before B2 in that job
    counting = [(row.mark, row.layout, row.copy, row.position) for row in rows if row.piece is not None]
    assert counting == sorted(counting)


def test_a_mark_that_isnt_asked_for_any_more_comes_last() -> None:
    book = works.traced()
    gone = replace(book.work.job, parts=book.work.job.parts[1:])
    rows = trace_rows(replace(book, work=replace(book.work, job=gone)))
    assert [row.mark for row in rows] == sorted((row.mark for row in rows), reverse=True)


def test_heat_comes_from_the_bar_else_from_what_it_was_cut_from() -> None:
    book = works.traced()
    first, second = (next(bar for bar in book.bars if bar.parent == n and bar.origin is Origin.DROP) for n in (17, 18))
    assert (first.heat, heat_of(book, first.number)) == ("", "48213")
    assert (second.heat, heat_of(book, second.number)) == ("48999", "48999")
    assert ancestry(book, first.number) == (book.bar(17),)
    on_drops = [row for row in trace_rows(book) if row.layout == 3]
    assert {(row.stick, row.heat, row.ancestors, row.revision) for row in on_drops} == {
        ("3.1", "48213", (17,), "B"),
        ("3.2", "48999", (18,), "B"),
    }


def test_a_drop_of_a_drop_is_followed_to_its_beginning() -> None:
    book = works.traced()
    drop = next(bar for bar in book.bars if bar.parent == 17 and bar.origin is Origin.DROP)
    small = replace(drop, number=200, parent=drop.number, heat="")
    book = replace(book, bars=(*book.bars, small))
    assert [bar.number for bar in ancestry(book, 200)] == [drop.number, 17]
    assert heat_of(book, 200) == "48213"


def test_what_became_of_parts_that_dont_count() -> None:
    book = works.traced()
    assert states(book) == {
        TraceState.GOOD: 18,
        TraceState.BACK: 1,
        TraceState.SURPLUS: 1,
        TraceState.SPOILT: 1,
    }
    assert Counter(made.state for made in book.made)[MadeState.GOOD] == 18


def test_replaced_sticks_are_no_rows_and_stopped_ones_only_as_far_as_they_were_sawn() -> None:
    book = works.given_up()
    # 2 whole sticks of 10 and 4 of the one given up; 2 left of layout 1, the one laid out anew, 6 of B anew.
    assert states(book) == {TraceState.GOOD: 24, TraceState.SPOILT: 1, TraceState.TO_SAW: 36}
    assert unplanned(book) == (("A", 6),)


def test_missing_heat_numbers_are_said_with_their_bars() -> None:
    book = works.with_bars(works.traced(), [19], heat="")
    assert trace_doubts(book)[0] == "No heat number was recorded for 3 of 18 parts sawn; they were cut from D19."
    one = works.with_bars(works.sawn(works.begun(*scenes.one_part()), 1), [17], heat="")
    assert trace_doubts(one) == ("No heat number was recorded for 1 of 1 part sawn; they were cut from D17.",)


def test_where_nothing_is_missing_nothing_is_doubted() -> None:
    assert trace_doubts(works.finished()) == ()


def test_two_heats_on_one_line_of_bars_are_a_contradiction() -> None:
    doubts = trace_doubts(works.traced())
    drop = next(bar for bar in works.traced().bars if bar.parent == 18)
    assert doubts[0] == (
        f"{drop.name} has heat number 48999 in the books, but it was cut from D18, which has 48214: "
        "find out which is right."
    )
    agreed = works.with_bars(works.traced(), [drop.number], heat="48214")
    assert not any("find out" in doubt for doubt in trace_doubts(agreed))


def test_steel_that_was_counted_on_the_rack_is_told_apart() -> None:
    book = works.with_bars(works.finished(), [18], origin=Origin.COUNTED)
    assert trace_doubts(book) == (
        "From the rack, not from a yard's delivery, with the heat number that somebody wrote down then: D18.",
    )
    assert {row.bar for row in trace_rows(book) if not row.bought} == {18}


def test_parts_on_no_stick_and_parts_not_sawn_are_said() -> None:
    assert trace_doubts(works.given_up()) == (
        "Not sawn yet: 36 parts; their bars are those planned.",
        "On no stick yet, to be planned: 6 × A.",
    )


def test_the_table_reads_back_with_exact_lengths() -> None:
    book = works.with_bars(works.traced(), [19], heat="")
    data = trace_csv(book).decode("utf-8-sig")
    read = list(csv.DictReader(io.StringIO(data)))
    rows = trace_rows(book)
    assert len(read) == len(rows)
    for line, row in zip(read, rows, strict=True):
        assert Fraction(line["length mm"]) == row.length
        assert (line["mark"], line["stick"], line["bar"]) == (row.mark, f"{row.layout}.{row.copy}", f"D{row.bar}")
        assert line["heat number"] == (row.heat or NO_HEAT)
        assert line["state"] == row.state.value
        assert line["piece"] == ("" if row.piece is None else str(row.piece))
    assert {line["heat number"] for line in read if line["bar"] == "D19"} == {"not recorded"}
    assert {line["cut from"] for line in read if line["layout"] == "3"} == {"D17", "D18"}


def test_no_heat_number_becomes_a_formula() -> None:
    book = works.with_bars(works.finished(), [17], heat='=HYPERLINK("x")')
    data = trace_csv(book).decode("utf-8-sig")
    heats = {line["heat number"] for line in csv.DictReader(io.StringIO(data))}
    assert '\'=HYPERLINK("x")' in heats
    assert not any(heat.startswith("=") for heat in heats)


def test_the_table_of_a_work_that_has_nothing_yet_is_its_heads() -> None:
    book = replace(works.finished(), slots=(), made=())
    assert trace_csv(book).decode("utf-8-sig").splitlines()[1:] == []
