"""Two parts lists side by side: every difference in plain words, and what was cut for nothing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.question.job import Ends, Job, Lean, Measure, Part, Section, Source, Stick, Substitute
from cutting.question.lengths import Unit, parse_length
from shared.sections import understand
from shared.work.replan.revise import ChangeKind, compare_lists
from shared.work.saw.work import MadeState
from tests.builders import inch, job, part, stick
from tests.shared.work.replan.scene import ZERO, Scene, begin

TUBE = Section(name="tube")
BOX = Section(name="box")
MITRED = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)


def listed(*parts: Part, unit: Unit = Unit.IN) -> Job:
    return job(parts, [stick("S", "20 ft", "60")], unit=unit)


OLD = listed(part("P1", "80 1/2", 24), part("P2", "33 7/8", 8))


def told(*parts: Part) -> tuple[str, ...]:
    return compare_lists(OLD, listed(*parts)).words


P1, P2 = OLD.parts


def test_the_same_list_has_no_changes() -> None:
    changes = compare_lists(OLD, OLD)
    assert not changes.any
    assert changes.words == ("Nothing in the parts list has changed.",)
    assert compare_lists(OLD, listed(P2, P1)).words == changes.words, "another order is no change"


@pytest.mark.parametrize(
    ("parts", "kind", "words"),
    [
        ((replace(P1, quantity=26), P2), ChangeKind.MORE, "P1 is wanted 26 times instead of 24: 2 more."),
        ((P1, replace(P2, quantity=5)), ChangeKind.FEWER, "P2 is wanted 5 times instead of 8: 3 fewer."),
        (
            (P1, replace(P2, length=inch("34 1/8"))),
            ChangeKind.LONGER,
            "P2 is 34 1/8 in long instead of 33 7/8 in: 1/4 in longer.",
        ),
        (
            (replace(P1, length=inch("80")), P2),
            ChangeKind.SHORTER,
            "P1 is 80 in long instead of 80 1/2 in: 1/2 in shorter.",
        ),
        ((P1,), ChangeKind.GONE, "P2 is no longer asked for; it was 8 of tube."),
        ((P1, P2, part("P3", "12", 4)), ChangeKind.ADDED, "P3 is new: 4 of tube, 12 in."),
        ((replace(P1, section=BOX), P2), ChangeKind.SECTION, "P1 is of box instead of tube."),
        (
            (replace(P1, section=replace(TUBE, material="galvanised")), P2),
            ChangeKind.SECTION,
            "P1 is of tube (galvanised) instead of tube.",
        ),
        ((replace(P1, note="hole 3/8"), P2), ChangeKind.NOTE, 'P1 has the note "hole 3/8", before none.'),
        ((P1, replace(P2, assembly="roof")), ChangeKind.NOTE, 'P2 belongs to "roof", before none.'),
        (
            (replace(P1, substitutes=(Substitute(section=BOX),)), P2),
            ChangeKind.SUBSTITUTES,
            "P1 may be cut from box besides, before from nothing.",
        ),
    ],
)
def test_every_difference_is_told(parts: tuple[Part, ...], kind: ChangeKind, words: str) -> None:
    changes = compare_lists(OLD, listed(*parts))
    assert [(change.kind, change.words) for change in changes.changes] == [(kind, words)]
    assert changes.words == (words,)
    assert changes.any


def test_several_differences_of_one_part_are_told_one_by_one() -> None:
    words = told(replace(P1, quantity=20, length=inch("81"), section=BOX), P2)
    assert [each.split(" ")[0] for each in words] == ["P1"] * 3


def test_other_ends_are_told_with_their_lengths() -> None:
    section = understand("SHS 2x2x1/8")
    before = part("P1", "40", 2, section)
    after = replace(before, ends=MITRED)
    (words,) = compare_lists(listed(before), listed(after)).words
    # 45 degrees on 2 in: each end takes 2 in from long to short point, 1 in from long point to centre line.
    assert words == (
        "P1 has other ends: 45° and 45° opposed; long point 40, centre line 38, short point 36, before both square."
    )


def test_lengths_are_shown_as_a_tape_has_them() -> None:
    metric = listed(replace(P1, length=Fraction(2000)), unit=Unit.MM)
    longer = listed(replace(P1, length=Fraction(2012)), unit=Unit.MM)
    (words,) = compare_lists(metric, longer).words
    assert "2012 mm" in words
    assert "12 mm" in words
    assert "longer" in words


# -- what was made ------------------------------------------------------------------------------------


def sawn(*marks: str, question: Job) -> Scene:
    """Take a job in hand and saw every stick that holds one of these parts."""
    scene = begin(question)
    for slot in scene.book.slots:
        if any(piece.mark in marks for piece in slot.left):
            scene.saw(slot)
    return scene


def made(scene: Scene, mark: str) -> list[int]:
    return [each.id for each in scene.book.made if each.mark == mark]


def test_pieces_of_a_part_that_is_gone_or_changed_are_surplus() -> None:
    old = listed(part("A", "60", 2), part("B", "50", 2))
    scene = sawn("A", "B", question=old)
    gone = compare_lists(old, listed(part("A", "60", 2)), scene.book)
    assert sorted(gone.surplus) == made(scene, "B")
    assert "2 of B are cut already and no longer needed." in gone.words
    longer = compare_lists(old, listed(part("A", "61", 2), part("B", "50", 2)), scene.book)
    assert sorted(longer.surplus) == made(scene, "A")
    assert compare_lists(old, old, scene.book).surplus == ()


def test_of_too_many_those_sawn_last_are_surplus() -> None:
    old = listed(part("A", "60", 3))
    scene = sawn("A", question=old)
    fewer = compare_lists(old, listed(part("A", "60", 2)), scene.book)
    assert fewer.surplus == (made(scene, "A")[-1],)
    assert "1 of A is cut already and no longer needed." in fewer.words


def test_a_new_mark_for_the_same_piece_is_pointed_out() -> None:
    old = listed(part("A", "60", 3))
    scene = sawn("A", question=old)
    renamed = compare_lists(old, listed(part("A1", "60", 3)), scene.book)
    assert "3 of A are cut already and no longer needed; A1 is of the same section, length and ends." in renamed.words


def test_spoilt_pieces_are_no_surplus() -> None:
    old = listed(part("A", "60", 3))
    scene = sawn("A", question=old)
    scene.put(made=tuple(replace(each, state=MadeState.SPOILT) for each in scene.book.made))
    assert compare_lists(old, listed(part("B", "10", 1)), scene.book).surplus == ()


def test_surplus_pieces_that_are_asked_for_again() -> None:
    first = listed(part("A", "60", 3))
    scene = sawn("A", question=first)
    second = listed(part("A", "61", 3))
    scene.put(made=tuple(replace(each, state=MadeState.SURPLUS) for each in scene.book.made))
    back = compare_lists(second, replace(first, parts=(part("A", "60", 2),)), scene.book)
    assert back.again == tuple(made(scene, "A")[:2])
    assert "2 of A that were surplus before are needed again." in back.words
    # They were cut for 60: what is asked for now decides, not what was asked for last.
    assert compare_lists(second, listed(part("A", "61", 5)), scene.book).again == ()


def test_a_piece_cut_from_a_substitute_serves_only_where_that_is_accepted() -> None:
    own = Stick(
        id="O", section=BOX, length=inch("20 ft"), source=Source.OWN, price=None, available=1, trims=(ZERO, ZERO)
    )
    old = replace(
        listed(replace(part("A", "60", 2), substitutes=(Substitute(section=BOX),))),
        sticks=(stick("S", "20 ft", "60"), own),
    )
    scene = sawn("A", question=old)
    assert {bar.section for bar in scene.book.bars} == {BOX}
    as_drawn = replace(old, parts=(part("A", "60", 2),))
    assert sorted(compare_lists(old, as_drawn, scene.book).surplus) == made(scene, "A")
    of_box = replace(old, parts=(part("A", "60", 2, BOX),))
    assert compare_lists(old, of_box, scene.book).surplus == ()


def test_a_length_in_the_other_system_is_marked_as_rounded() -> None:
    old = listed(replace(P1, length=parse_length("80 1/2", Unit.IN)))
    new = listed(replace(P1, length=Fraction("2044.6")))
    (words,) = compare_lists(old, new).words
    assert "≈" in words
