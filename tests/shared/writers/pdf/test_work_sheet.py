"""The cut sheet of a plan in hand: stable numbers, the revision on every page, old paper never taken for new."""

import re
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from shared.files.plan.name import plan_id
from shared.view.issue import Issue, Paper
from shared.view.sheet.cut_sheet import cut_sheet
from shared.view.sheet.model import Box, CutSheet, LayoutSheet
from shared.view.work.bars import HEAT_BLANK
from shared.view.work.sheet import work_cut_sheet
from shared.work.rack.bars import BarState
from shared.work.replan.standing import judged
from shared.work.saw.work import SlotState, WorkBook, WorkState
from shared.work.words import bar_spans
from shared.writers.pdf import cut_sheet_pdf
from shared.writers.pdf.fonts import in_letters
from tests.shared.two_yards import demo_plan
from tests.shared.writers.pdf import scenes, works
from tests.shared.writers.pdf.reading import pages_of, squeezed
from tests.shared.writers.pdf.works import WORKS

ISSUE = Issue(date=date(2026, 11, 26), revision="not this one", paper=Paper.LETTER)
BOTH = [(name, only) for name in WORKS for only in (False, True)]


@cache
def sheet(name: str, only: bool = False, paper: Paper = Paper.LETTER) -> CutSheet:
    return work_cut_sheet(WORKS[name](), replace(ISSUE, paper=paper), changed_only=only)


@cache
def pages(name: str, only: bool = False, paper: Paper = Paper.LETTER) -> list[str]:
    return pages_of(cut_sheet_pdf(sheet(name, only, paper)))


def layouts(view: CutSheet) -> list[LayoutSheet]:
    return [layout for section in view.sections for layout in section.layouts]


def lines(book: WorkBook, *, only: bool = True) -> tuple[str, ...]:
    note = work_cut_sheet(book, ISSUE, changed_only=only).revision
    assert note is not None
    return note.lines


@pytest.mark.parametrize(("name", "only"), BOTH)
def test_every_page_says_plan_and_revision(name: str, only: bool) -> None:
    book = WORKS[name]()
    mark = book.work.mark
    replaced = f" replaces {chr(ord(mark) - 1)}" if mark != "A" else ""
    for number, text in enumerate(pages(name, only), start=1):
        assert text.startswith(f"Revision {mark}, 2026-11-2")
        assert f"Revision {mark}{replaced} Printed 2026-11-26" in text
        assert f"Plan {sheet(name).block.plan}" in text
        assert f"Page {number} of {len(pages(name, only))}" in text


@pytest.mark.parametrize(("name", "only"), BOTH)
def test_every_text_of_the_view_is_on_paper(name: str, only: bool) -> None:
    found = squeezed(" ".join(pages(name, only)))
    view = in_letters(sheet(name, only), "notes")
    assert view.revision is not None
    texts = [view.lead, view.revision.words, *view.revision.lines, *view.notes, *view.cautions, *view.limits]
    for line in view.fetch:
        texts += [line.source, line.weight, line.sticks]
    for section in view.sections:
        texts += [section.title, section.check]
        for layout in section.layouts:
            texts += [
                layout.title,
                layout.since,
                layout.facts,
                layout.rest,
                *layout.hold,
                *layout.before,
                *layout.warnings,
            ]
            texts += [squeezed(box.label + box.bar + (f":{box.said}" if box.said else "")) for box in layout.sticks]
    assert [text for text in texts if squeezed(text) not in found] == []


def test_a_first_revision_is_the_cut_sheet_of_its_plan() -> None:
    """Same rows, same drawings, same plan id: only names and boxes differ."""
    plain = cut_sheet(*demo_plan(), ISSUE)
    held = work_cut_sheet(works.begun(*demo_plan()), ISSUE)
    assert held.block.plan == plain.block.plan == plan_id(*demo_plan())
    assert [layout.rows for layout in layouts(held)] == [layout.rows for layout in layouts(plain)]
    assert [replace(layout.bar, title="") for layout in layouts(held)] == [
        replace(layout.bar, title="") for layout in layouts(plain)
    ]
    assert [layout.title for layout in layouts(held)] == [
        f"Layout {number}" for number in range(1, len(layouts(plain)) + 1)
    ]
    assert {layout.since for layout in layouts(held)} == {""}
    assert held.revision is not None
    assert held.revision.lines == ()


@pytest.mark.parametrize("name", WORKS)
def test_each_stick_in_force_has_one_box_with_its_bar(name: str) -> None:
    book = WORKS[name]()
    boxes = [box for layout in layouts(sheet(name)) for box in layout.sticks]
    held = [slot for slot in book.slots if slot.cut.pieces and slot.state is not SlotState.VOID]
    assert sorted((box.label, box.bar.split(",")[0]) for box in boxes) == sorted(
        (f"{slot.number}.{slot.copy}", f"D{slot.bar}") for slot in held
    )
    states = {box.label: box.state for box in boxes}
    for slot in held:
        wanted = {SlotState.OPEN: "open", SlotState.SAWN: "sawn", SlotState.STOPPED: "stopped"}[slot.state]
        assert states[f"{slot.number}.{slot.copy}"] == wanted


@pytest.mark.parametrize("name", WORKS)
def test_only_new_layouts_where_only_those_are_asked_for(name: str) -> None:
    book = WORKS[name]()
    new = {f"Layout {slot.number}" for slot in book.slots if slot.revision == book.work.revision and slot.cut.pieces}
    assert {layout.title for layout in layouts(sheet(name, True))} == new
    assert new <= {layout.title for layout in layouts(sheet(name))}


def test_what_to_throw_away_and_what_holds() -> None:
    book = works.given_up()
    assert lines(book) == (
        "Throw away: layout 2 of revision A.",
        "Still good: layouts 1, 3.",
        "Strike out, not to be sawn any more: stick 1.6.",
        "Saw no more from stick 1.3: it was given up after part 5.",
        "New in revision C: layout 4.",
    )
    whole = lines(book, only=False)
    assert whole[0] == (
        "Throw away: every sheet of revision A and B; this is the whole cut sheet. Void: layout 2 of revision A."
    )
    assert whole[1] == "As before: layouts 1, 3."


def test_layouts_thrown_away_are_named_with_the_revision_on_their_paper() -> None:
    book = works.replaced(works.sixty(), "Once more", 61, 62, 50)
    assert lines(book)[:3] == (
        "Throw away: layouts 31–39, 50 of revision A; layouts 61–62 of revision B.",
        "Still good: layouts 1–30, 40–49, 51–60, 63–69 (nothing is left to saw of 1–20).",
        "New in revision C: layouts 70–72.",
    )


def test_a_replaced_layout_is_nowhere_on_the_new_sheet() -> None:
    text = " ".join(pages("sixty"))
    for number in range(31, 40):
        assert f"Layout {number} " not in text
    assert "Layout 40 " in text
    assert "Layout 61 new in revision B" in text


def test_a_number_that_stands_for_two_layouts_is_refused() -> None:
    book = works.given_up()
    twice = works.changed_slots(book, lambda slot: slot.number == 4, number=2)
    with pytest.raises(ValueError, match="layout 2 was planned in two revisions; a layout number is never used again"):
        work_cut_sheet(twice, ISSUE)


def test_layouts_that_must_not_be_sawn_as_printed_say_so_and_are_not_called_good() -> None:
    (first, second, third) = layouts(sheet("watched"))
    why = next(each.why for each in judged(works.watched()) if each.slot.number == 1)
    assert "the blade takes another width" in why
    assert first.hold == (f"Don't saw sticks 1.1 and 1.2 as printed here, have the rest planned anew: {why}.",)
    assert (second.hold, third.hold) == ((), ())
    view = sheet("watched")
    assert view.lead == "Still to saw: 2 parts from 2 sticks, in 2 layouts. 2 sticks wait to be planned anew."
    assert [line.source.split(":")[0] for line in view.fetch] == ["D19", "D20"]
    assert [(section.stops == (), len(section.layouts)) for section in view.sections] == [(True, 1), (False, 2)]
    assert first.alike == "2 alike: one at a time"
    assert lines(works.watched())[1:3] == (
        "Still good: layout 2.",
        "To be planned anew, don't saw from it as printed: layout 1.",
    )


def test_a_bar_that_came_too_short_is_said_beside_its_box() -> None:
    layout = layouts(sheet("mitred"))[0]
    assert layout.sticks == (Box(label="2.1", bar=f"D18, {HEAT_BLANK}, measured 1200 mm"),)
    # The parts reach to 4005.23 mm along the edge, the trim takes 10 of them before: far beyond what has come.
    assert re.fullmatch(r"Don't saw stick 2.1 as printed here, .* 2815.23 mm too short.*\.", layout.hold[0])


def test_heat_numbers_stand_beside_the_boxes() -> None:
    first, second, third = layouts(sheet("midway"))
    # Sawn: what is left of it has a number by now, and where it lay doesn't matter any more.
    assert first.sticks == (Box(label="1.1", bar=f"D17, heat {works.HEAT}, left D20", state="sawn"),)
    assert second.sticks == (Box(label="2.1", bar=f"D19, {HEAT_BLANK}, bay 3, second shelf, at the back"),)
    assert third.sticks[0].bar.startswith("D18, heat 48214, measured 5990 mm [")


def test_where_no_heat_number_is_kept_there_is_no_blank_for_one() -> None:
    view = work_cut_sheet(works.begun(*scenes.mixed()), ISSUE)
    assert [box.bar for layout in layouts(view) for box in layout.sticks] == [
        f"D{number}, not come yet" for number in (17, 18, 19)
    ]


def test_what_has_become_of_a_stick_is_said() -> None:
    boxes = layouts(sheet("given_up"))[0].sticks
    assert [box.state for box in boxes] == ["sawn", "sawn", "stopped", "open", "open"]
    assert [box.said for box in boxes] == ["", "", "given up after part 5, part 5 spoilt", "", ""]
    begun = works.changed_slots(works.given_up(), lambda slot: (slot.number, slot.copy) == (1, 4), sawn=3)
    assert layouts(work_cut_sheet(begun, ISSUE))[0].sticks[3].said == "3 of 10 parts sawn"
    assert layouts(sheet("given_up"))[0].alike == "5 alike, 2 of them still to saw: may be cut as a bundle"


def test_only_what_is_left_is_fetched_and_set_up_for() -> None:
    view = sheet("given_up")
    (line,) = view.fetch
    assert (line.quantity, line.source, line.sticks) == ("4", "D20–D23: yard, S", "1, 3–4")
    assert view.lead == ("Still to saw: 36 parts from 4 sticks, in 3 layouts. 2 sticks are sawn and printed ticked.")
    # 2 sticks of layout 1 and 1 of layout 3 with 10 each; one of layout 4 with 6.
    assert [(stop.pieces, stop.sticks) for stop in view.sections[0].stops] == [("30", "1, 3"), ("6", "4")]


def test_bars_that_havent_come_are_fetched_on_a_line_of_their_own() -> None:
    book = works.come(works.begun(*scenes.mixed()))
    book = works.with_bars(book, [18], state=BarState.EXPECTED)
    assert [(line.quantity, line.source) for line in work_cut_sheet(book, ISSUE).fetch] == [
        ("1", "D17: yard, S"),
        ("1", "D18: yard, S, not come yet"),
        ("1", "D19: yard's rack, R"),
    ]


def test_a_finished_work_prints_without_stops_or_sticks_to_fetch() -> None:
    view = sheet("finished")
    assert (view.fetch, [section.stops for section in view.sections]) == ((), [(), ()])
    assert view.lead == "Nothing is left to saw. 4 sticks are sawn and printed ticked."
    assert "Sticks to fetch" not in pages("finished")[0]


@pytest.mark.parametrize(
    ("state", "told"), [(WorkState.DONE, "finished"), (WorkState.DROPPED, "given up"), (WorkState.OPEN, None)]
)
def test_a_work_that_has_ended_says_so(state: WorkState, told: str | None) -> None:
    book = works.midway()
    first = lines(replace(book, work=replace(book.work, state=state)))[0]
    assert told is None or told in first
    assert first.startswith("Throw away: ") == (told is None)


def test_a_revision_with_nothing_new_prints_its_list_alone() -> None:
    book = works.given_up()
    again = replace(book, work=replace(book.work, revision=4))
    view = work_cut_sheet(again, ISSUE, changed_only=True)
    assert view.revision is not None
    assert view.revision.words == "Revision D, replaces C"
    assert view.revision.lines[-1] == "Nothing new is to be sawn."
    (page,) = pages_of(cut_sheet_pdf(view))
    assert "Nothing new is to be sawn." in page


def test_carried_pieces_are_named_and_those_without_parts_go_to_the_rack() -> None:
    book = works.yard_cut()
    idle = [slot.bar for slot in book.slots if not slot.cut.pieces]
    text = squeezed(" ".join(pages("yard_cut")))
    for slot in book.slots:
        if slot.cut.pieces:
            assert squeezed(f"({slot.cut.stick})") in text
    told = [note for note in sheet("yard_cut").notes if note.startswith("Nothing is cut from ")]
    assert told == ([f"Nothing is cut from {bar_spans(idle)}: put it on the rack with its label."] if idle else [])


def test_pieces_without_parts_are_never_layouts() -> None:
    book = works.begun(*scenes.mixed())
    empty = replace(book.slots[-1], id=9, number=3, bar=19, cut=replace(book.slots[-1].cut, pieces=()), parts=())
    view = work_cut_sheet(replace(book, slots=(*book.slots, empty)), ISSUE)
    assert [layout.title for layout in layouts(view)] == ["Layout 1", "Layout 2"]
    assert "Nothing is cut from D19: put it on the rack with its label." in view.notes


def test_layouts_of_one_section_stand_together_whatever_their_numbers() -> None:
    view = sheet("watched")
    titles = [(section.title, [layout.title for layout in section.layouts]) for section in view.sections]
    assert titles == [
        ("SHS 2x2x1/8", ["Layout 1"]),
        ("flat bar, galvanised by the yard (galvanised)", ["Layout 2", "Layout 4"]),
    ]


def test_a_part_that_is_no_longer_asked_for_still_prints_where_it_was_sawn() -> None:
    book = works.sawn(works.come(works.begun(*scenes.mixed())), 1)
    now = replace(book.work.job, parts=book.work.job.parts[1:])
    view = work_cut_sheet(replace(book, work=replace(book.work, job=now)), ISSUE)
    assert "A1" in {row.mark for row in layouts(view)[0].rows}


def test_assemblies_are_for_kitting_without_money() -> None:
    frame, rest = sheet("midway").assemblies
    assert (frame.name, frame.parts) == ("frame", "6 × A1")
    # 6 of 23 7/16 in are 3571.875 mm, at 4.539 kg/m 16.2 kg.
    assert frame.weight == "16.2 kg [35.7 lb]"
    assert rest.parts == "9 × B2"
    assert sheet("midway", True).assemblies == ()
    assert not {"share", "cost"} & set(pages("midway")[-1].split())


def test_many_boxes_stand_below_the_parts_and_go_on_overleaf() -> None:
    (layout,) = layouts(sheet("bundle"))
    assert (layout.below, layout.columns, len(layout.sticks)) == (True, 2, 60)
    assert [layout.below for layout in layouts(sheet("given_up"))] == [False] * 3


@pytest.mark.parametrize("name", ["sixty", "given_up", "yard_cut"])
def test_a_layout_of_a_page_or_less_is_never_torn_apart(name: str) -> None:
    found = pages(name)
    for layout in layouts(sheet(name)):
        head, last = squeezed(f"{layout.title}"), squeezed(layout.rest)
        on = [
            squeezed(text)
            for text in found
            if squeezed(layout.sticks[0].label + layout.sticks[0].bar) in squeezed(text)
        ]
        assert len(on) == 1
        assert head in on[0]
        assert last in on[0]


def test_the_same_book_gives_the_same_bytes() -> None:
    once, again = (cut_sheet_pdf(work_cut_sheet(works.midway(), ISSUE)) for _ in range(2))
    assert once == again


def test_documents_that_cannot_be_read_are_said() -> None:
    book = works.midway()
    broken = replace(book, revisions=(replace(book.revisions[0], document=b"{"), *book.revisions[1:]))
    with pytest.raises(ValueError, match="the job of work w1 can't be read: line 1"):
        work_cut_sheet(broken, ISSUE)
    with pytest.raises(ValueError, match="work w1 has no revision to name its paper after"):
        work_cut_sheet(replace(book, revisions=()), ISSUE)


def test_later_revisions_leave_the_plan_id_as_it_is() -> None:
    first = works.begun(*scenes.mixed())
    assert work_cut_sheet(first, ISSUE).block.plan == sheet("midway").block.plan != sheet("given_up").block.plan


def test_bars_in_a_row_are_written_briefly() -> None:
    assert bar_spans([3, 2, 9, 1]) == "D1–D3, D9"
