"""From patterns to sticks with marks, order and what is left."""

from fractions import Fraction

from cutting.answer.load import Load
from cutting.buying.model import model_market
from cutting.buying.objective import SectionModel
from cutting.laying.layouts import lay_out
from tests.builders import inch, job, part, stick


def laid(question, *loads):
    (room,) = model_market(question).rooms
    sticks = tuple(way.stick for way in room.ways)
    model = SectionModel(section=room.section, instance=room.instance, parts=room.parts, sticks=sticks)
    return lay_out(question, model, loads)


def marks(cut):
    return [piece.mark for piece in cut.pieces]


def test_running_dimensions_start_at_the_trimmed_end_and_the_drop_loses_the_last_kerf():
    question = job([part("A", 40, 2), part("B", 30, 1)], [stick("bar", 240, "60")])
    (cut,) = laid(question, Load(kind=0, pattern=(2, 1), times=1))
    assert [(p.mark, p.start, p.end) for p in cut.pieces] == [
        ("A", inch(0), inch(40)),
        ("A", inch("40 1/8"), inch("80 1/8")),
        ("B", inch("80 1/4"), inch("110 1/4")),
    ]
    assert cut.drop == inch("239 3/4") - inch("110 1/4") - inch("1/8")
    assert not cut.skim


def test_a_last_cut_that_meets_less_than_a_kerf_is_a_skim_cut():
    question = job([part("A", 100, 1)], [stick("bar", "100 5/16", "60")])
    (cut,) = laid(question, Load(kind=0, pattern=(1,), times=1))
    assert cut.skim
    assert cut.drop == 0


def test_a_part_as_long_as_the_clear_stick_needs_no_last_cut():
    question = job([part("A", 100, 1)], [stick("bar", "100 1/4", "60")])
    (cut,) = laid(question, Load(kind=0, pattern=(1,), times=1))
    assert not cut.skim
    assert cut.drop == 0


def test_equal_parts_with_different_marks_share_a_layout_where_they_can():
    question = job([part("A", 40, 6), part("B", 40, 6)], [stick("bar", 130, "60")])
    cuts = laid(question, Load(kind=0, pattern=(3,), times=4))
    assert [(marks(cut), cut.quantity) for cut in cuts] == [(["A", "A", "A"], 2), (["B", "B", "B"], 2)]


def test_marks_that_run_out_split_the_sticks():
    question = job([part("A", 40, 5), part("B", 40, 1)], [stick("bar", 130, "60")])
    cuts = laid(question, Load(kind=0, pattern=(3,), times=2))
    assert sum(cut.quantity for cut in cuts) == 2
    assert sorted(mark for cut in cuts for mark in marks(cut) * cut.quantity) == ["A"] * 5 + ["B"]


def test_what_the_saw_cannot_hold_is_marked_and_avoided_where_it_costs_nothing():
    question = job([part("A", 30, 1), part("B", 2, 2)], [stick("bar", 35, "6")], hold="3")
    (cut,) = laid(question, Load(kind=0, pattern=(1, 2), times=1))
    assert marks(cut) == ["B", "B", "A"]
    assert cut.unheld == ()
    short = job([part("B", 2, 2)], [stick("bar", 5, "6")], hold="3")
    (cut,) = laid(short, Load(kind=0, pattern=(2,), times=1))
    assert cut.unheld == (1, 2)


def test_every_length_is_exact():
    question = job([part("A", "33 1/3", 2)], [stick("bar", 100, "6")], kerf="1/7")
    (cut,) = laid(question, Load(kind=0, pattern=(2,), times=1))
    assert cut.pieces[1].start == (Fraction(100, 3) + Fraction(1, 7)) * Fraction(127, 5)
