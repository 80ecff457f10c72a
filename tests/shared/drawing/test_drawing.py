"""The bar drawing: scale, running dimensions, what is clipped and what meets."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

import pytest

from shared.drawing import Drawing, draw, plan_bars, svg_sheet
from shared.drawing.strips import lay_strips
from tests.shared.drawing.lettered import SVG, size, words
from tests.shared.paper import scenes


def drawings(name: str) -> list[Drawing]:
    return [draw(bar) for bar in plan_bars(*scenes.ALL[name]())]


@pytest.mark.parametrize("name", scenes.ALL)
def test_nothing_is_clipped_and_no_two_texts_meet(name: str) -> None:
    for drawing in drawings(name):
        svg = drawing.svg()
        wide, high = size(svg)
        found = words(svg)
        for word in found:
            assert word.left >= 0, word
            assert word.top >= 0, word
            assert word.right <= wide, word
            assert word.bottom <= high, word
        for one, other in itertools.combinations(found, 2):
            assert not one.meets(other), (one, other)


@pytest.mark.parametrize("name", scenes.ALL)
def test_every_mark_and_every_running_dimension_is_lettered(name: str) -> None:
    job, plan = scenes.ALL[name]()
    for bar, drawing in zip(plan_bars(job, plan), drawings(name), strict=True):
        lettered = [word.text for word in words(drawing.svg())]
        for piece in bar.pieces:
            assert piece.dimensions[0].text in lettered
            assert any(piece.mark in text for text in lettered), piece.mark


def test_the_bar_is_to_scale() -> None:
    (plan,) = lay_strips(plan_bars(*scenes.watched())[0], 180)
    edges = [shape.end[0] for shape in plan.shapes]
    ends = [inches for inches in (80, 82.625, 85.25)]
    scale = edges[0] / ends[0] - plan.left / ends[0]
    for edge, end in zip(edges, ends, strict=True):
        assert edge - plan.left == pytest.approx(end * scale)


def test_what_is_left_is_broken_off_and_never_takes_more_than_half() -> None:
    (drawing,) = drawings("speck")
    assert drawing.svg().count('class="break"') == 1
    (plan,) = lay_strips(plan_bars(*scenes.speck())[0], 180)
    assert plan.right - plan.left == pytest.approx(180 / 2 - 1.5 - 8)


def test_a_part_as_long_as_its_stick_has_no_break_no_trim_and_one_dimension() -> None:
    (drawing,) = drawings("one_part")
    assert 'class="break"' not in drawing.svg()
    assert [word.text for word in words(drawing.svg())] == ["P", "0", "240"]


def test_a_crowded_bar_goes_on_in_strips_between_break_lines() -> None:
    (drawing,) = drawings("crowded")
    strips = len(drawing.strips)
    assert strips == 7
    assert len(drawing.pages()) == strips
    assert drawing.svg().count('class="break"') == 2 * (strips - 1) + 1
    assert drawing.svg().count('class="origin"') == 1


def test_every_dimension_has_its_sign() -> None:
    (first, *_) = drawings("watched")
    svg = first.svg()
    arrows = re.findall(r'<polygon points="[^"]+" fill="#000"', svg)
    dots = svg.count('r="0.4"')
    assert (len(arrows), dots) == (1, 2)


@pytest.mark.parametrize("name", scenes.ALL)
def test_a_drawing_tells_itself_in_words(name: str) -> None:
    job, plan = scenes.ALL[name]()
    for cut, drawing in zip(plan.cuts, drawings(name), strict=True):
        root = ET.fromstring(drawing.svg())
        assert root.attrib["role"] == "img"
        told = root.findtext(f"{SVG}desc") or ""
        assert root.findtext(f"{SVG}title") == drawing.title
        assert told.count(", from ") == len(cut.pieces)
        for piece in cut.pieces:
            assert piece.mark in told


def test_the_text_alternative_reads_like_this() -> None:
    (first, *_) = drawings("watched")
    assert first.title == "Sticks 1 to 2: SHS 2x2x1/8, 88 in"
    assert first.text == (
        "trim 1/4 in; A, 80 in, from 0 to 80; B, 2 1/2 in, from 80 1/8 to 82 5/8; "
        "B, 2 1/2 in, from 82 3/4 to 85 1/4; drop at least 1 7/8 in."
    )


def test_a_sheet_of_drawings_is_one_document_in_which_nothing_meets() -> None:
    sheet = svg_sheet(drawings("marks"), "Marks & <more>")
    found = words(sheet)
    wide, high = size(sheet)
    assert all(word.right <= wide and word.bottom <= high for word in found)
    assert not any(one.meets(other) for one, other in itertools.combinations(found, 2))
    assert ET.fromstring(sheet).findtext(f"{SVG}title") == "Marks & <more>"


def test_text_of_the_job_is_never_markup() -> None:
    job, plan = scenes.one_part()
    evil = '"/><script>alert(1)</script>'
    job = replace(job, parts=(replace(job.parts[0], mark=evil),))
    piece = replace(plan.cuts[0].pieces[0], mark=evil)
    plan = replace(plan, cuts=(replace(plan.cuts[0], pieces=(piece,)),))
    svg = draw(plan_bars(job, plan)[0]).svg()
    assert "<script" not in svg
    assert evil in [word.text for word in words(svg)]


def test_scrap_is_told_from_a_drop() -> None:
    job, plan = scenes.mixed()
    rests = {
        keep: [bar.rest.split()[0] for bar in plan_bars(replace(job, keep_from=keep), plan)]
        for keep in (None, Fraction(300), Fraction(2000), Fraction(9000))
    }
    assert list(rests.values()) == [["drop", "drop"], ["drop", "drop"], ["drop", "scrap"], ["scrap", "scrap"]]
