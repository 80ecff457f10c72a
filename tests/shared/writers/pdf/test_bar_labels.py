"""Labels of bars on the rack, and of the parts and drops of a plan in hand."""

from collections import Counter
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
import zxingcpp
from PIL import Image

from shared.view.issue import Issue, Paper
from shared.view.labels.bars import bar_labels
from shared.view.labels.printed import Label, Labels
from shared.view.labels.sizes import LABEL_SHEETS
from shared.view.labels.work import work_labels
from shared.work.rack.bars import BarState, Origin
from shared.work.saw.trace import TraceState, trace_rows
from shared.work.saw.work import SlotState, WorkBook
from shared.writers.pdf import labels_pages, labels_pdf
from tests.shared.writers.pdf import scenes, works
from tests.shared.writers.pdf.reading import boxes, greys, pages_of, squeezed
from tests.shared.writers.pdf.works import WORKS, rack

DAY = date(2026, 11, 26)
ISSUE = Issue(date=DAY, paper=Paper.LETTER)
SHEET = LABEL_SHEETS["letter-4x2"]


def labels(book: WorkBook, *, only: bool = False) -> tuple[Label, ...]:
    return work_labels(book, ISSUE, SHEET, changed_only=only).labels


def codes(made: Labels) -> list[str]:
    wanted = zxingcpp.BarcodeFormat.QRCode
    found = [
        code
        for picture in labels_pages(made, 200)
        for code in zxingcpp.read_barcodes(Image.fromarray(greys(picture)), formats=wanted)
    ]
    return [code.text for code in found if code.format == wanted]


def test_what_a_bars_label_says() -> None:
    found = {label.head: label for label in bar_labels(rack(), DAY, SHEET).labels}
    label = found["D7"]
    assert (label.section, label.length) == ("SHS 2x2x1/8", "120 in")
    # The day on which the bar came into the books, not the day of printing.
    assert label.lines == ("bay 3", f"heat {works.HEAT}", "2026-11-25")
    assert label.code == f"D7\nSHS 2x2x1/8\n120 in\nbay 3\nheat {works.HEAT}\n2026-11-25"
    assert found["D123456789"].lines[-1].startswith("bent 20 mm")
    assert "bent" not in found["D123456789"].code
    assert found["D31"].length == "6000 mm, at least 5985 mm"


def test_bars_are_labelled_in_the_order_given() -> None:
    assert [label.head for label in bar_labels(rack(), DAY, SHEET).labels] == [bar.name for bar in rack()]


@pytest.mark.parametrize("sheet", LABEL_SHEETS)
def test_every_code_reads_as_its_label(sheet: str) -> None:
    made = bar_labels(rack()[:9], DAY, LABEL_SHEETS[sheet])
    assert sorted(codes(made)) == sorted(label.code for label in made.labels)


def test_the_number_is_the_largest_text_on_the_label() -> None:
    found = [
        (text, box[3] - box[1]) for page, text, box in boxes(labels_pdf(bar_labels(rack()[:1], DAY, SHEET))) if not page
    ]
    heights = dict(found)
    assert heights["D7"] > 2 * max(high for text, high in found if text != "D7")


def test_labels_missing_on_the_first_sheet_are_skipped() -> None:
    assert len(pages_of(labels_pdf(bar_labels(rack()[:10], DAY, SHEET, 1)))) == 2
    with pytest.raises(ValueError, match="write 0 to 9"):
        bar_labels(rack(), DAY, SHEET, 10)


def test_every_text_of_every_bar_is_on_the_sheet() -> None:
    made = bar_labels(rack()[:4], DAY, SHEET)
    found = squeezed(" ".join(pages_of(labels_pdf(bar_labels(rack()[:4], DAY, SHEET)))))
    for label in made.labels:
        for text in (label.head, label.length, label.section, *label.lines):
            assert squeezed(text) in found


@pytest.mark.parametrize("name", WORKS)
def test_each_good_or_coming_part_of_a_work_has_one_label(name: str) -> None:
    book = WORKS[name]()
    marks = {part.mark for slot in book.slots for part in slot.parts}
    heads = Counter(label.head for label in labels(book) if label.head in marks)
    wanted = (TraceState.GOOD, TraceState.TO_SAW)
    assert heads == Counter(row.mark for row in trace_rows(book) if row.state in wanted)


@pytest.mark.parametrize("name", WORKS)
def test_every_label_of_a_work_says_plan_and_revision(name: str) -> None:
    book = WORKS[name]()
    for label in labels(book):
        assert f" revision {book.work.mark}" in " ".join(label.lines)
        assert f" revision {book.work.mark}" in label.code or len(label.code) == 600


def test_a_part_is_traced_on_its_label() -> None:
    first = labels(works.midway())[0]
    assert first.lines == (
        "Inch parts on a metric saw",
        f"stick 1.1, piece 1, D17, heat {works.HEAT}, plan D41Q-V4TP revision B",
        "frame",
    )


def test_the_drop_of_a_sawn_stick_has_its_number() -> None:
    drop = next(label for label in labels(works.midway()) if label.head == "D20")
    assert drop.length == "≈2943.2 mm [≈115 7/8 in]"
    assert drop.lines == (
        f"heat {works.HEAT}",
        "2026-11-25",
        "from stick 1.1, D17, plan D41Q-V4TP revision B",
    )


def test_a_drop_to_come_has_a_blank_for_its_number() -> None:
    book = works.begun(*scenes.mixed())
    coming = [label for label in labels(book) if label.head == "D______"]
    assert len(coming) == 3
    assert coming[0].length == "≈2943.2 mm [≈115 7/8 in]"
    assert coming[0].lines[0] == "DROP: write its number in when the stick is ticked"
    # The rack piece leaves 346.5 mm; see the label above for the other two.
    long = replace(book, work=replace(book.work, keep_from=Fraction(347)))
    assert sum(label.head == "D______" for label in labels(long)) == 2


@pytest.mark.parametrize("state", [BarState.CUT, BarState.SCRAP, BarState.LOST])
def test_a_drop_that_is_gone_has_none(state: BarState) -> None:
    book = works.with_bars(works.midway(), [20], state=state)
    assert "D20" not in {label.head for label in labels(book)}


def test_a_part_on_the_rack_is_not_taken_for_a_drop() -> None:
    book = works.traced()
    assert next(bar for bar in book.bars if bar.number == 90).origin is Origin.PART
    assert "D90" not in {label.head for label in labels(book)}


def test_only_new_labels_where_only_those_are_asked_for() -> None:
    only = labels(works.given_up(), only=True)
    assert Counter(label.head for label in only) == {"B": 6, "D______": 1}
    assert all("stick 4.1" in " ".join(label.lines) for label in only)


def test_carried_pieces_without_parts_have_the_label_of_a_bar() -> None:
    book = works.begun(*scenes.mixed())
    empty = replace(book.slots[-1], id=9, number=3, bar=19, cut=replace(book.slots[-1].cut, pieces=()), parts=())
    book = replace(book, slots=(*book.slots, empty))
    assert labels(book)[-1].head == "D19"
    assert labels(works.with_bars(book, [19], state=BarState.CANCELLED))[-1].head != "D19"


def test_what_is_written_of_a_work_is_on_the_sheet() -> None:
    made = work_labels(works.traced(), ISSUE, SHEET)
    # A plan's id may break at its hyphen, which a reader of PDF then takes for a hyphenated word.
    found = squeezed(" ".join(pages_of(labels_pdf(made)))).replace("-", "")
    for label in made.labels:
        for text in (label.head, label.length, label.section, *label.lines):
            assert squeezed(text).replace("-", "") in found


def test_replaced_sticks_have_no_labels() -> None:
    book = works.given_up()
    void = {f"stick {slot.number}.{slot.copy}," for slot in book.slots if slot.state is SlotState.VOID}
    assert void == {"stick 1.6,", "stick 2.1,"}
    assert not any(text in " ".join(label.lines) for label in labels(book) for text in void)
