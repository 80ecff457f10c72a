"""Which part of the list in force a line of a new list means."""

from dataclasses import replace
from fractions import Fraction

from cutting.question.job import Ends, Lean, Measure, Part, Section
from shared.work.replan.marks import with_marks

TUBE = Section(name="SHS 2x2x1/8")
MITRED = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)


def part(mark: str, length: int, note: str = "") -> Part:
    return Part(mark=mark, section=TUBE, length=Fraction(length), quantity=1, note=note)


def marks(new: list[Part], *old: Part) -> list[str]:
    return [each.mark for each in with_marks(new, old)]


def test_a_list_that_states_its_marks_stays_as_it_is() -> None:
    new = [part("B", 500), part("P2", 600)]
    assert with_marks(new, [part("A", 500)]) == tuple(new)


def test_numbered_lines_take_the_mark_of_the_same_piece_in_whatever_order() -> None:
    old = (part("P1", 500), part("P2", 600), part("P3", 700))
    assert marks([part("P1", 700), part("P2", 500), part("P3", 600)], *old) == ["P3", "P1", "P2"]


def test_a_changed_line_keeps_its_number_and_a_new_one_gets_a_number_that_no_part_had() -> None:
    old = (part("P1", 500), part("P2", 600))
    assert marks([part("P1", 500), part("P2", 610)], *old) == ["P1", "P2"]
    assert marks([part("P1", 600), part("P2", 900), part("P3", 500)], *old) == ["P2", "P3", "P1"]


def test_two_alike_take_two_marks_and_none_twice() -> None:
    old = (part("A", 500), part("B", 500))
    assert marks([part("P1", 500), part("P2", 500), part("P3", 500)], *old) == ["A", "B", "P1"]


def test_what_every_line_begins_with_is_its_mark_where_one_is_known() -> None:
    new = [part("P1", 500, "B: rails"), part("P2", 700, "D")]
    found = with_marks(new, [part("A", 700), part("B", 600)])
    assert [(each.mark, each.note) for each in found] == [("B", "rails"), ("D", "")]
    plain = [part("P1", 500, "rails"), part("P2", 700, "posts")]
    assert marks(plain, part("A", 700), part("B", 600)) == ["P1", "A"]


def test_a_line_without_ends_may_mean_a_part_with_angled_ones_but_not_the_other_way_round() -> None:
    mitred = replace(part("A", 500), ends=MITRED)
    assert marks([part("P1", 500)], mitred) == ["A"]
    assert marks([replace(part("P1", 500), ends=MITRED)], part("A", 500)) == ["P1"]
