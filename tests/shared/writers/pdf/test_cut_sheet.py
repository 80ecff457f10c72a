"""The cut sheet as text: every mark, every running dimension, sums that agree, pages that break where they may."""

import re
import unicodedata
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache

import pypdfium2
import pytest

from cutting.answer.plan import Plan, Sharing
from cutting.checking.check import check
from cutting.question.job import Job
from cutting.question.lengths import Unit, parse_length
from cutting.question.make import make_job
from cutting.solve import solve
from shared.files.job import read_job
from shared.files.plan.name import plan_id
from shared.view.issue import Issue, Paper
from shared.view.labels.parts import labels_of
from shared.view.labels.sizes import usual_labels
from shared.view.sheet.cut_sheet import cut_sheet
from shared.view.sheet.model import CutSheet, LayoutSheet
from shared.wording.cautions import CONFIRM, at_the_saw, on_the_summary
from shared.wording.tape import ROUNDED
from shared.writers.pdf import cut_sheet_pdf
from shared.writers.pdf.fonts import in_letters
from tests.builders import PATIENCE
from tests.shared.two_yards import PATH
from tests.shared.writers.pdf import scenes
from tests.shared.writers.pdf.reading import pages_of, squeezed

ISSUE = Issue(date=date(2026, 11, 25), revision="B")
PAGES = {"one_part": 1, "speck": 1, "specks": 2, "marks": 3, "mixed": 3, "watched": 3, "crowded": 3, "many": 15}


@cache
def sheet(name: str, paper: Paper = Paper.LETTER) -> CutSheet:
    return cut_sheet(*scenes.ALL[name](), replace(ISSUE, paper=paper))


@cache
def pages(name: str, paper: Paper = Paper.LETTER) -> list[str]:
    return pages_of(cut_sheet_pdf(sheet(name, paper)))


def layouts(name: str) -> list[LayoutSheet]:
    return [layout for section in sheet(name).sections for layout in section.layouts]


@pytest.mark.parametrize(("name", "paper"), scenes.ON_PAPER)
def test_every_text_of_the_view_is_on_paper(name: str, paper: Paper) -> None:
    found = squeezed(" ".join(pages(name, paper)))
    view = in_letters(sheet(name, paper), "notes")
    texts = [view.lead, *view.changes, *view.notes, *view.cautions, *view.limits]
    for section in view.sections:
        texts += [section.title, section.check, section.stops_note]
        for stop in section.stops:
            texts += _in_order(stop.marks, stop.length, stop.band)
        for layout in section.layouts:
            texts += [layout.title, layout.facts, layout.changed, *layout.before, layout.rest, *layout.warnings]
            for row in layout.lines:
                running = () if layout.strokes else (row.start, row.end)
                texts += _in_order(row.mark, row.length, *running, row.ends, row.note)
            for stroke in layout.strokes:
                texts += [layout.edge, stroke.at, stroke.angle, stroke.stick, stroke.makes]
    assert [text for text in texts if squeezed(text) not in found] == []


def _in_order(*row: str) -> list[str]:
    """Leave out rows with Hebrew in them: readers of PDF differ in how they turn such a line round."""
    hebrew = any("\u0590" <= character <= "\u05ff" for text in row for character in text)
    return [] if hebrew else list(row)


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_mark_and_every_running_dimension_is_on_the_sheet(name: str) -> None:
    """Worked out from the plan alone, not from the view."""
    job, plan = scenes.ALL[name]()
    found = squeezed(" ".join(pages(name)))
    for cut in plan.cuts:
        for piece in cut.pieces:
            if all(ord(character) < 0x590 for character in piece.mark):
                assert squeezed(piece.mark) in found
            assert cut.strokes or squeezed(_written(piece.end, job.unit)) in found
        for stroke in cut.strokes:
            assert squeezed(_written(stroke.at, job.unit)) in found


def _written(mm: Fraction, unit: Unit) -> str:
    """A decimal or an inch fraction, however the sheet has to round it."""
    if unit is Unit.MM:
        shown = mm if (mm * 100).denominator == 1 else Fraction(round(mm * 10), 10)
        return f"{float(shown):.10g}"
    sixteenths = round(mm / Fraction(127, 5) * 64)
    whole, rest = divmod(sixteenths, 64)
    part = Fraction(rest, 64)
    return " ".join(text for text in (str(whole) if whole else "", str(part) if part else "") if text) or "0"


@pytest.mark.parametrize("name", ["one_part", "specks", "marks", "watched", "crowded", "many"])
def test_sums_on_the_sheet_agree_with_the_checker(name: str) -> None:
    job, plan = scenes.ALL[name]()
    assert check(job, plan) == ()
    assert any(layout.rows for layout in layouts(name))
    for layout in layouts(name):
        at = Fraction(0)
        for row in layout.rows:
            start, end, length = (_read(text, job.unit) for text in (row.start, row.end, row.length))
            assert start == at
            assert end - start == length
            at = end + job.saw.kerf


def _read(text: str, unit: Unit) -> Fraction:
    assert ROUNDED not in text
    return parse_length(text, unit)


@pytest.mark.parametrize("name", PAGES)
def test_page_counts(name: str) -> None:
    found = pages(name)
    assert len(found) == PAGES[name]
    for number, text in enumerate(found, start=1):
        assert f"Page {number} of {PAGES[name]}" in text


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_page_says_which_plan_it_is(name: str) -> None:
    job, plan = scenes.ALL[name]()
    for text in pages(name):
        assert f"Plan {plan_id(job, plan)} Revision B Date 2026-11-25" in text


def test_a_layout_of_a_page_or_less_is_never_torn_apart() -> None:
    for text in pages("many")[1:]:
        for number in re.findall(r"Stick (\d+) SHS", text):
            # Its parts table and its last line are on the same page.
            assert text.count(f"P{number} ") >= 7, number
    assert sum(len(re.findall(r"Stick \d+ SHS", text)) for text in pages("many")) == 40


def test_a_long_table_repeats_its_head_on_every_page() -> None:
    assert all("mark length in from to in" in text for text in pages("crowded")[2:])


def test_there_is_a_box_to_tick_for_every_stick() -> None:
    for name in ("marks", "watched", "many"):
        _, plan = scenes.ALL[name]()
        ticks = [box.label for layout in layouts(name) for box in layout.sticks]
        assert ticks == [str(number + 1) for number in range(sum(cut.quantity for cut in plan.cuts))]


def test_cautions_are_on_the_first_page() -> None:
    job, _ = scenes.watched()
    first = squeezed(pages("watched")[0])
    for text in (*at_the_saw(job), *on_the_summary(job)):
        assert squeezed(text) in first


def test_the_set_up_and_the_first_piece_check() -> None:
    first, second = sheet("watched").sections
    assert dict(first.set_up) == {
        "One cut takes": "1/8 in (measure yours)",
        "Trim first": "1/4 in off one end, the cut included",
        "Shortest piece held": "3 in",
    }
    assert dict(second.set_up)["Trim first"] == "1/4 in off one end, the cut included, unless a stick says otherwise"
    # 0.5 mm under, nothing over, on 80 in: from 79.9803 in, which is 79 63/64 to the nearest 1/64.
    assert [stop.band for stop in first.stops] == ["≈79 63/64 to 80", "≈2 31/64 to 2 1/2"]
    assert [(stop.length, stop.pieces, stop.marks, stop.sticks) for stop in first.stops] == [
        ("80", "2", "2 × A", "1–2"),
        ("2 1/2", "4", "4 × B", "1–2"),
    ]


def test_without_a_tolerance_there_is_a_gap_to_fill_in() -> None:
    (section,) = sheet("one_part").sections
    assert section.check.endswith("agreed: ± ______")
    assert [stop.band for stop in section.stops] == [""]


def test_what_must_be_watched_is_said_where_it_happens() -> None:
    short, whole, skim = layouts("watched")
    assert short.alike == "2 alike: one at a time"
    assert short.rows[2].note == "too short to hold: packer"
    assert short.before[1:] == ("Measure the stick: it must be at least 87 1/2 in long.",)
    assert short.warnings == (
        "At part 3 both sides of the cut are shorter than 3 in: clamp with a packer of the same size.",
    )
    assert whole.warnings == ()
    assert skim.before == ("Trim nothing.",)
    assert "skim cut" in skim.warnings[0]


def test_alike_sticks_without_a_risk_may_be_bundled() -> None:
    assert [layout.alike for layout in layouts("marks")] == ["2 alike: may be cut as a bundle"] * 2


@pytest.mark.parametrize(
    ("keep_from", "rest"),
    [
        (None, "Left each over: drop 129 9/32 in, the raw end included. Measure and label what you keep."),
        (Fraction(100), "Left each over: drop 129 9/32 in, the raw end included. Label it and keep it."),
        (Fraction(9000), "Left each over: scrap 129 9/32 in."),
    ],
)
def test_what_is_left_is_kept_or_not(keep_from: Fraction | None, rest: str) -> None:
    # 240 - 1/4 off the first end - 110 3/8 in parts and kerfs - 3/32 for the last cut = 129 9/32; the other end's
    # 1/4 stays on the drop.
    job, plan = scenes.marks()
    view = cut_sheet(replace(job, keep_from=keep_from), plan, ISSUE)
    assert view.sections[0].layouts[0].rest == rest


def test_weights_are_printed_and_heavy_sticks_need_two() -> None:
    # 4.539 kg/m times 6.096 m is 27.67 kg or 61.0 lb; NIOSH's load constant is 23 kg.
    assert sheet("one_part").fetch[0].weight == "61.0 lb, two people or a hoist"
    assert sheet("watched").fetch[0].weight == "22.4 lb"
    assert sheet("watched").fetch[1].weight == "weight not known: try it before you lift"


def test_a_sum_says_which_sections_are_missing_from_it() -> None:
    job, plan = scenes.watched()
    parts = tuple(replace(each, assembly="stall") for each in job.parts)
    view = cut_sheet(replace(job, parts=parts), plan, ISSUE)
    (stall,) = view.assemblies
    unknown = next(part.section.label for part in parts if part.section.mass is None)
    assert stall.weight.endswith(" lb and more")
    assert stall.surface.endswith(" sq ft and more")
    assert f"Weight without 1 section of unknown weight: {unknown}." in view.assemblies_note
    assert f"Paint area without 1 section of unknown surface: {unknown}." in view.assemblies_note
    printed = squeezed(" ".join(pages_of(cut_sheet_pdf(view))))
    assert squeezed(view.assemblies_note) in printed
    assert squeezed(stall.weight) in printed


def test_a_mixed_job_shows_both_systems() -> None:
    view = sheet("mixed")
    assert view.unit == "mm [in]"
    assert view.sections[0].layouts[0].rows[0].length == "≈595.3 [23 7/16]"
    assert view.fetch[0].weight == "27.2 kg [60.0 lb], two people or a hoist"
    assert any(note.startswith(ROUNDED) for note in view.notes)


def test_assemblies_are_listed_where_there_are_any() -> None:
    assert sheet("one_part").assemblies == ()
    frame, rest = sheet("mixed").assemblies
    assert (frame.name, frame.parts, frame.pieces) == ("frame", "6 × A1", "6")
    assert (rest.name, rest.parts) == ("no assembly", "9 × B2")


def test_the_same_view_gives_the_same_bytes() -> None:
    assert cut_sheet_pdf(sheet("marks")) == cut_sheet_pdf(
        cut_sheet(*scenes.marks(), replace(ISSUE, paper=Paper.LETTER))
    )


def test_a_first_issue_has_no_revision() -> None:
    view = cut_sheet(*scenes.one_part(), replace(ISSUE, revision=""))
    assert (view.block.revision, view.block.job, view.block.date) == ("-", "Untitled job", "2026-11-25")


def test_every_stroke_through_angled_ends_is_listed() -> None:
    _, plan = scenes.mitred()
    angled = [layout for layout in layouts("mitred") if layout.strokes]
    cuts = [cut for cut in plan.cuts if cut.strokes]
    assert [len(layout.strokes) for layout in angled] == [len(cut.strokes) for cut in cuts]
    for layout, cut in zip(angled, cuts, strict=True):
        assert layout.edge.startswith("Lay the tape along the lower left edge")
        for line, stroke in zip(layout.strokes, cut.strokes, strict=True):
            assert (line.angle == "square") == (stroke.angle == 0)
            assert line.makes.startswith("shared: ") == stroke.shared
            for number, word in ((stroke.ends, "end"), (stroke.begins, "start")):
                named = "" if number is None else f"{word} of {number} {cut.pieces[number - 1].mark}"
                assert named in line.makes
        assert layout.strokes[0].stick.startswith("lay the stick, its ") or not cut.strokes[0].angle


def test_the_three_lengths_of_an_angled_part_are_shown() -> None:
    # 40 mm deep at 45 degrees: 500 between long points is 460 along the centre line and 420 between short points.
    ends = {row.ends for layout in layouts("mitred") for row in layout.rows if row.mark == "M1"}
    assert ends == {"45° and 45°; long point 500, centre line 460, short point 420"}


def test_only_parts_with_the_same_ends_share_a_stop() -> None:
    stops = {stop.marks: stop.ends for section in sheet("mitred").sections for stop in section.stops}
    assert stops["6 × M1"] == "long point, 45° and 45° opposed"
    assert stops["2 × N3"] == "short point, 45° and 45° opposed"
    assert stops["2 × Q"] == ""


def test_what_shared_cuts_save_is_said() -> None:
    job, plan = scenes.mitred()
    section = job.sections[0]
    told = {
        (4, Fraction(60), True, True): "SHS 40x40x3: 7 cuts shared by two ends. Cut out singly, the same parts would "
        "take 4 sticks more.",
        (1, Fraction(30), False, True): "SHS 40x40x3: 7 cuts shared by two ends. Cut out singly, the same parts would "
        "take at least 1 stick more.",
        (0, Fraction(0), True, True): "SHS 40x40x3: 7 cuts shared by two ends. Cut out singly, the same parts would "
        "cost the same.",
        (None, None, True, False): "SHS 40x40x3: 7 cuts shared by two ends. Without them the sticks do not suffice.",
    }
    for (sticks, cost, certain, possible), text in told.items():
        sharing = Sharing(section=section, shared=7, sticks=sticks, cost=cost, certain=certain, possible=possible)
        assert text in cut_sheet(job, replace(plan, sharing=(sharing,)), ISSUE).notes


@pytest.mark.parametrize("name", ["one_part", "specks", "mixed", "watched", "crowded", "many"])
def test_each_row_reads_number_mark_length_from_to(name: str) -> None:
    found = squeezed(" ".join(pages(name)))
    for layout in layouts(name):
        for row in layout.lines:
            assert squeezed(row.number + row.mark + row.length + row.start + row.end) in found


def test_a_substitute_is_flagged_on_page_one_in_its_heading_and_on_its_label() -> None:
    job, plan = demo("two_yards.toml")
    (change,) = plan.changes
    made = cut_sheet(job, plan, ISSUE)
    told = f"{change.mark} is cut from {change.taken.label} instead of {change.wanted.label}. {CONFIRM}"
    assert made.changes == (told,)
    found = pages_of(cut_sheet_pdf(made))
    assert squeezed(told) in squeezed(found[0])
    for layout in (layout for section in made.sections for layout in section.layouts):
        on_it = any(row.mark == change.mark for row in layout.rows)
        flag = f"Substitute: {change.mark} instead of {change.wanted.label}. The designer must confirm."
        assert layout.changed == (flag if on_it else "")
    labels = labels_of(job, plan, ISSUE, usual_labels(Paper.LETTER)).labels
    for label in labels:
        flagged = f"instead of {change.wanted.label}: the designer must confirm" in label.lines
        assert flagged == (label.head == change.mark)


def test_no_price_and_no_invisible_character_is_on_saw_paper() -> None:
    for name in ("two_yards.toml", "kayak_stands.toml"):
        job, plan = demo(name)
        document = pypdfium2.PdfDocument(cut_sheet_pdf(cut_sheet(job, plan, ISSUE)))
        text = " ".join(page.get_textpage().get_text_range() for page in document)
        assert job.currency is not None
        assert job.currency not in text
        assert not {character for character in text if unicodedata.category(character) == "Cf"}


def test_equal_parts_in_a_row_stand_on_one_line_and_small_jobs_take_two_pages() -> None:
    job = make_job(
        title="Pegs",
        unit="mm",
        currency="EUR",
        kerf=2,
        end_trim=5,
        parts=[("SHS 20x20x2", 95, 300, "B1"), ("SHS 20x20x2", 64, 200, "B2")],
        sticks=[("SHS 20x20x2", 6000, 12)],
    )
    result = solve(job, limit=PATIENCE)
    assert result.plan is not None
    made = cut_sheet(job, result.plan, ISSUE)
    layouts = [layout for section in made.sections for layout in section.layouts]
    assert any("every 97 to" in line.end for layout in layouts for line in layout.lines)
    for layout in layouts:
        counts = [int(line.mark.split(" × ")[0]) if " × " in line.mark else 1 for line in layout.lines]
        assert sum(counts) == len(layout.rows)
    assert len(pages_of(cut_sheet_pdf(made))) <= 2


def test_figures_at_the_saw_are_large_enough_to_be_read_on_a_copy_of_a_copy() -> None:
    """Running dimensions: digits of 3.5 mm, those of fractions 2.5 mm, measured on the letterforms in the PDF."""
    job, plan = demo("two_yards.toml")
    seen = 0
    for page in pypdfium2.PdfDocument(cut_sheet_pdf(cut_sheet(job, plan, ISSUE))):
        text = page.get_textpage()
        for found in re.finditer(r"161\s+3.32", text.get_text_range()):
            high = [text.get_charbox(at) for at in range(found.start(), found.end())]
            digits = [(box[3] - box[1]) / 72 * 25.4 for at, box in enumerate(high) if found[0][at].isdigit()]
            if max(digits) > 3:  # not those of the drawing
                assert min(digits[:3]) >= 3.5
                assert min(digits[3:]) >= 2.5
                seen += 1
    assert seen == 2


def demo(name: str) -> tuple[Job, Plan]:
    job, problems = read_job((PATH.parent / name).read_bytes())
    assert job is not None, problems
    result = solve(job, limit=PATIENCE)
    assert result.plan is not None
    return job, result.plan
