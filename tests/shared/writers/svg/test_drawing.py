"""The bar drawing: scale, running dimensions, what is clipped and what meets."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.answer.plan import Cut, Lie, Piece, Stroke
from cutting.question.job import Ends, Lean, Measure, Part, Section, Stick
from cutting.question.lengths import Unit
from shared.view.drawing import Bar, BarPiece, Dimension, End, bar_of, plan_bars, square
from shared.wording.tape import Tape
from shared.writers.svg import Drawing, draw, svg_sheet
from shared.writers.svg.strips import lay_strips
from tests.builders import part, stick
from tests.shared.writers.pdf import scenes
from tests.shared.writers.svg.lettered import SVG, size, words


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
            assert piece.dimensions
            assert all(dimension.text in lettered for dimension in piece.dimensions)
            assert piece.mark in "".join(lettered), piece.mark


def test_the_bar_is_to_scale() -> None:
    (plan,) = lay_strips(plan_bars(*scenes.watched())[0], 180)
    edges = [shape.end[0] for shape in plan.shapes]
    ends = (80, 82.625, 85.25)
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
    _, plan = scenes.ALL[name]()
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
    sheet = svg_sheet([*drawings("marks"), *drawings("long_names")], "Marks & <more>")
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


def _laid(part: Part, stick_: Stick, lie: Lie, start: Fraction, strokes: tuple[Stroke, ...] = ()) -> Bar:
    piece = Piece(mark=part.mark, length=part.length, start=start, end=start + part.length, lie=lie)
    cut = Cut(
        stick=stick_.id,
        section=part.section,
        length=stick_.length,
        source=stick_.source,
        quantity=1,
        pieces=(piece,),
        drop=Fraction(100),
        skim=False,
        strokes=strokes or (Stroke(at=start, angle=Fraction(45), swing=1, back=0, roll=0, ends=None, begins=1),),
        edge="corner",
    )
    return bar_of(cut, stick_, {part.mark: part}, Tape(unit=Unit.MM), title="one")


TUBE = Section(name="tube", family="rhs", sides=(Fraction(60), Fraction(40)))
STICK = stick("S", "6 m", "1", section=TUBE, trims=(0, 0))


@pytest.mark.parametrize(
    ("measure", "length", "top", "bottom"),
    [
        # 60 mm deep, 45 degrees: the points of an end are 60 mm apart, its middle is half way between them.
        (Measure.LONG_POINT, 600, (0, 600), (60, 540)),
        (Measure.CENTRE_LINE, 540, (-30, 570), (30, 510)),
        (Measure.SHORT_POINT, 480, (-60, 540), (0, 480)),
    ],
)
def test_angled_ends_are_drawn_true(
    measure: Measure, length: int, top: tuple[int, int], bottom: tuple[int, int]
) -> None:
    ends = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=measure)
    part_ = replace(part("M", f"{length} mm", 1, TUBE), ends=ends)
    lie = Lie(
        turned=False,
        roll=0,
        planes=(0, 0),
        leans=(Fraction(-45), Fraction(45)),
        lengths=(Fraction(600), Fraction(540), Fraction(480)),
    )
    (piece,) = _laid(part_, STICK, lie, Fraction(0)).pieces
    assert [float(end.top) for end in (piece.start, piece.end)] == pytest.approx(top)
    assert [float(end.bottom) for end in (piece.start, piece.end)] == pytest.approx(bottom)


def test_a_face_in_the_other_plane_shows_its_hidden_edge_dashed() -> None:
    """Seen from the positive end of the second side: a lean that makes that side longer hides the far edge."""
    ends = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.CENTRE_LINE, planes=(0, 1))
    part_ = replace(part("N", "500 mm", 1, TUBE), ends=ends)
    for lean, hidden in ((45, True), (-45, False)):
        lie = Lie(
            turned=False,
            roll=0,
            planes=(0, 1),
            leans=(Fraction(-45), Fraction(lean)),
            lengths=(Fraction(550), Fraction(500), Fraction(450)),
        )
        bar = _laid(part_, STICK, lie, Fraction(30))
        end = bar.pieces[0].end
        assert (float(end.top), float(end.inner or 0)) == pytest.approx((550, 510))
        assert end.top == end.bottom
        assert end.seen is not hidden
        assert ("stroke-dasharray" in draw(bar).svg()) is hidden


def test_strokes_are_the_running_dimensions_of_angled_ends() -> None:
    job, plan = scenes.mitred()
    assert any(cut.strokes for cut in plan.cuts)
    for cut, bar, drawing in zip(plan.cuts, plan_bars(job, plan), drawings("mitred"), strict=True):
        if not cut.strokes:
            continue
        dimensions = [dimension for piece in bar.pieces for dimension in piece.dimensions]
        assert [dimension.at for dimension in dimensions] == [stroke.at for stroke in cut.strokes]
        for dimension, stroke in zip(dimensions, cut.strokes, strict=True):
            assert ("shared" in dimension.text) == stroke.shared
            assert (f"{float(stroke.angle):g}°" in dimension.text) == bool(stroke.angle)
        assert drawing.text.count("°") == 2 * sum(piece.lie is not None for piece in cut.pieces)


def test_where_faces_lean_over_each_other_the_nearer_piece_is_painted_last() -> None:
    under = BarPiece(
        number=1,
        mark="under",
        start=square(Fraction(0)),
        end=End(top=Fraction(500), bottom=Fraction(500), inner=Fraction(460), seen=True),
        dimensions=(Dimension(at=Fraction(500), text="500"),),
        told="",
    )
    over = BarPiece(
        number=2,
        mark="over",
        start=End(top=Fraction(464), bottom=Fraction(464), inner=Fraction(504)),
        end=square(Fraction(900)),
        dimensions=(Dimension(at=Fraction(900), text="900"),),
        told="",
    )
    (strip,) = lay_strips(Bar(title="", unit="mm", pieces=(under, over)), 180)
    assert [shape.mark for shape in strip.shapes] == ["under", "over"]
    mirrored = (
        replace(under, end=replace(under.end, seen=False)),
        replace(over, start=replace(over.start, seen=True)),
    )
    (strip,) = lay_strips(Bar(title="", unit="mm", pieces=mirrored), 180)
    assert [shape.mark for shape in strip.shapes] == ["over", "under"]
