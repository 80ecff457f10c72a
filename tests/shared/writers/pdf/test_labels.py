"""Labels: one for each part and each drop worth keeping, in place on the sheet, with a code that reads."""

from collections import Counter
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
import zxingcpp
from PIL import Image

from cutting.question.job import Job
from shared.files.plan.name import plan_id
from shared.view.issue import Issue, Paper
from shared.view.labels.parts import labels_of
from shared.view.labels.printed import Labels
from shared.view.labels.sizes import LABEL_SHEETS, usual_labels
from shared.writers.pdf import labels_pages, labels_pdf
from tests.shared.writers.pdf import scenes
from tests.shared.writers.pdf.reading import boxes, greys, pages_of, squeezed

ISSUE = Issue(date=date(2026, 11, 25))
SHEET = LABEL_SHEETS["letter-4x2"]


def labels(name: str, sheet: str = "letter-4x2", used: int = 0) -> Labels:
    return labels_of(*scenes.ALL[name](), ISSUE, LABEL_SHEETS[sheet], used)


def codes(picture: bytes) -> list[str]:
    """Texts of the QR codes; the reader may see a Micro QR code where there is only a part of a whole one."""
    wanted = zxingcpp.BarcodeFormat.QRCode
    found = zxingcpp.read_barcodes(Image.fromarray(greys(picture)), formats=wanted)
    return [code.text for code in found if code.format == wanted]


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_piece_has_one_label(name: str) -> None:
    job, _ = scenes.ALL[name]()
    heads = Counter(label.head for label in labels(name).labels if label.head != "DROP")
    assert heads == {part.mark: part.quantity for part in job.parts}


def test_what_a_label_says() -> None:
    job, plan = scenes.mixed()
    name = plan_id(job, plan)
    label = labels("mixed").labels[8]
    assert (label.head, label.length, label.section) == ("A1", "≈595.3 mm [23 7/16 in]", "SHS 2x2x1/8")
    assert label.lines == ("Inch parts on a metric saw", f"stick 2, piece 2, plan {name}", "frame")
    assert label.code == (
        f"A1\nSHS 2x2x1/8\n≈595.3 mm [23 7/16 in]\nInch parts on a metric saw\nstick 2, piece 2, plan {name}"
    )


def test_every_drop_worth_keeping_has_one_with_its_date() -> None:
    job, plan = scenes.mixed()
    drops = [label for label in labels("mixed").labels if label.head == "DROP"]
    assert len(drops) == 3
    assert drops[0].lines == ("2026-11-25", f"from stick 1, plan {plan_id(job, plan)}")
    # 6000 - 10 trimmed - 3044.4375 of parts and kerfs - 2.4 for the last cut = 2943.1625; the raw end stays on it.
    assert drops[0].length == "≈2943.2 mm [≈115 7/8 in]"


@pytest.mark.parametrize(
    ("keep_from", "kept"), [(Fraction(346), 3), (Fraction(347), 2), (Fraction(3000), 0), (None, 0)]
)
def test_a_shorter_drop_has_none(keep_from: Fraction | None, kept: int) -> None:
    job, plan = scenes.mixed()
    made = labels_of(replace(job, keep_from=keep_from), plan, ISSUE, SHEET)
    assert sum(label.head == "DROP" for label in made.labels) == kept


@pytest.mark.parametrize("sheet", LABEL_SHEETS)
@pytest.mark.parametrize("name", ["marks", "mixed"])
def test_every_code_reads_as_its_label(name: str, sheet: str) -> None:
    made = labels(name, sheet)
    read = []
    for picture in labels_pages(made, 200):
        read += codes(picture)
    assert sorted(read) == sorted(label.code for label in made.labels)


@pytest.mark.parametrize("used", [0, 1, 9])
def test_labels_missing_on_the_first_sheet_are_skipped(used: int) -> None:
    pdf = labels_pdf(labels("mixed", used=used))
    assert len(pages_of(pdf)) == -(-(18 + used) // 10)
    first = next(box for _, text, box in boxes(pdf) if text == "A1")
    left = (SHEET.left + used % 2 * SHEET.across) / 25.4 * 72
    top = 792 - (SHEET.top + used // 2 * SHEET.down) / 25.4 * 72
    assert left < first[0] < left + 20
    assert top - 40 < first[3] < top


@pytest.mark.parametrize("used", [-1, 10])
def test_no_more_can_be_missing_than_there_are(used: int) -> None:
    with pytest.raises(ValueError, match="write 0 to 9"):
        labels("mixed", used=used)


@pytest.mark.parametrize("sheet", LABEL_SHEETS.values(), ids=LABEL_SHEETS)
def test_labels_lie_on_the_paper_and_beside_each_other(sheet: object) -> None:
    wide, high = {Paper.A4: (210, 297), Paper.LETTER: (215.9, 279.4)}[sheet.paper]  # ISO 216; ANSI/ASME Y14.1
    assert sheet.left + (sheet.columns - 1) * sheet.across + sheet.wide <= wide + 0.01
    assert sheet.top + (sheet.rows - 1) * sheet.down + sheet.high <= high + 0.01
    assert sheet.across >= sheet.wide
    assert sheet.down >= sheet.high
    assert usual_labels(sheet.paper).paper is sheet.paper


def test_every_text_is_on_the_sheet() -> None:
    made = labels("watched")
    found = squeezed(" ".join(pages_of(labels_pdf(made))))
    for label in made.labels:
        for text in (label.head, label.length, label.section, *label.lines):
            assert squeezed(text) in found


def test_the_same_labels_give_the_same_bytes() -> None:
    assert labels_pdf(labels("mixed")) == labels_pdf(labels("mixed"))


def test_a_very_long_note_neither_breaks_the_label_nor_the_code() -> None:
    job, plan = scenes.one_part()
    job: Job = replace(job, title="T" * 2000, parts=(replace(job.parts[0], note="word " * 400),))
    made = labels_of(job, plan, ISSUE, SHEET)
    (picture,) = labels_pages(made, 200)
    assert codes(picture) == [made.labels[0].code]
