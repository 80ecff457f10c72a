"""What the sheet says of each stroke through angled ends."""

from fractions import Fraction

import pytest

from cutting.answer.plan import Cut, Piece, Stroke
from cutting.question.job import Source
from cutting.question.lengths import Unit
from shared.view.angled import stroke_views
from shared.wording.angled import edge_words
from shared.wording.tape import Tape
from tests.shared.writers.pdf.scenes import SHS

PIECES = tuple(
    Piece(mark=mark, length=Fraction(500), start=Fraction(start), end=Fraction(start + 500))
    for mark, start in (("A", 0), ("B", 463), ("C", 970))
)


def stroke(at: int, swing: int, back: int | None, roll: int, ends: int | None, begins: int | None) -> Stroke:
    angle = Fraction(45, 2) if swing else Fraction(0)
    return Stroke(at=Fraction(at), angle=angle, swing=swing, back=back, roll=roll, ends=ends, begins=begins)


def cut(*strokes: Stroke, edge: str = "corner") -> Cut:
    return Cut(
        stick="S",
        section=SHS,
        length=Fraction(6000),
        source=Source.STICKS,
        quantity=1,
        pieces=PIECES,
        drop=Fraction(100),
        skim=False,
        strokes=strokes,
        edge=edge,
    )


def test_each_stroke_says_saw_stick_and_what_it_makes() -> None:
    lines = stroke_views(
        cut(
            stroke(0, 1, 0, 0, None, 1),
            stroke(500, -1, 2, 2, 1, 2),
            stroke(963, 0, 2, 0, 2, 3),
            stroke(1470, 1, 1, 1, 3, None),
            stroke(1480, 1, 0, 3, 3, None),
        ),
        Tape(unit=Unit.MM),
    )
    assert [(str(line.number), line.at, line.angle, line.stick, line.makes) for line in lines] == [
        (
            "1",
            "0",
            "22.5° to the back",
            "lay the stick, its top at the back",
            "start of 1 A; cut on the near side of the mark",
        ),
        (
            "2",
            "500",
            "22.5° to the front",
            "roll half a turn, its bottom at the back",
            "shared: end of 1 A, start of 2 B",
        ),
        ("3", "963", "square", "", "end of 2 B, start of 3 C"),
        ("4", "1470", "22.5° to the back", "roll a quarter turn clockwise, its right side at the back", "end of 3 C"),
        ("5", "1480", "22.5° to the back", "roll a quarter turn anticlockwise, its top at the back", "end of 3 C"),
    ]


def test_a_stick_that_may_lie_any_way_is_left_alone_until_it_matters() -> None:
    first, second = stroke_views(cut(stroke(10, 0, None, 0, 1, 2), stroke(500, 1, 3, 0, 2, None)), Tape(unit=Unit.MM))
    assert (first.stick, second.stick) == ("", "lay the stick, its left side at the back")


@pytest.mark.parametrize(
    ("edge", "said"),
    [
        ("corner", "along the lower left edge,"),
        ("heel", "along the heel (the stick seen as an L),"),
        ("back", "along the lower edge of the web's back (the stick seen as a C),"),
        ("line", "along a line scribed along the bottom,"),
    ],
)
def test_the_edge_is_named(edge: str, said: str) -> None:
    assert said in edge_words(cut(stroke(0, 1, 0, 0, None, 1), edge=edge))


def test_square_sticks_have_no_strokes() -> None:
    assert edge_words(cut(edge="")) == ""
    assert list(stroke_views(cut(edge=""), Tape(unit=Unit.MM))) == []
