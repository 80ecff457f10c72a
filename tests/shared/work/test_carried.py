"""Yard-cut sticks as the pieces that come to the saw."""

from collections import Counter
from fractions import Fraction

from cutting.answer.plan import Change, Cut, Plan
from shared.work.carried import as_carried, as_taken, origins, piece_id, rough_ends, yard_cuts
from tests.builders import TUBE, cut, job, part, plan, stick
from tests.shared.two_yards import demo_plan


def at_the_saw() -> tuple[dict[str, Cut], Plan, Plan]:
    question, answer = demo_plan()
    _, carried = as_carried(question, answer, empty=True)
    return {each.stick: each for each in carried.cuts}, answer, carried


def test_the_demo_has_yard_cuts_to_look_at() -> None:
    _, answer = demo_plan()
    assert len(yard_cuts(answer)) >= 2


def test_every_part_is_there_and_lies_where_its_piece_begins() -> None:
    found, answer, carried = at_the_saw()

    def count(whole: Plan) -> Counter[str]:
        return Counter({piece.mark: 0 for c in whole.cuts for piece in c.pieces}) + sum(
            (Counter([piece.mark] * c.quantity) for c in whole.cuts for piece in c.pieces), Counter()
        )

    assert count(carried) == count(answer)
    for number, whole in yard_cuts(answer):
        pieces = [found[piece_id(whole, number, index)] for index in range(len(whole.carried))]
        assert [piece.mark for each in pieces for piece in each.pieces] == [piece.mark for piece in whole.pieces]
        for each in pieces:
            if each.pieces:
                assert each.pieces[0].start == 0
            assert all(piece.end - piece.start == piece.length for piece in each.pieces)


def test_every_piece_is_a_stick_in_which_its_parts_fit() -> None:
    question, answer = demo_plan()
    whole, carried = as_carried(question, answer, empty=True)
    sticks = {each.id: each for each in whole.sticks}
    assert len(sticks) == len(whole.sticks)
    kerf = question.saw.kerf
    for each in carried.cuts:
        bar = sticks[each.stick]
        assert bar.length == each.length
        used = sum((piece.length for piece in each.pieces), Fraction(0)) + max(len(each.pieces) - 1, 0) * kerf
        assert used <= bar.clear
        if each.pieces:
            assert each.drop == max(bar.clear - used - kerf, Fraction(0))
    for number, cut_one in yard_cuts(answer):
        lengths = [sticks[piece_id(cut_one, number, index)].length for index in range(len(cut_one.carried))]
        assert sum(lengths) == cut_one.length
        assert question.carry.longest is not None
        assert max(lengths) <= question.carry.longest


def test_the_allowance_is_trimmed_off_at_each_side_of_a_mark() -> None:
    question, answer = demo_plan()
    whole, _ = as_carried(question, answer)
    sticks = {each.id: each for each in whole.sticks}
    yard = next(each for each in question.yards if each.cuts)
    assert yard.cuts is not None
    number, first = yard_cuts(answer)[0]
    trims = next(each.trims for each in question.sticks if each.id == first.stick)
    half = yard.cuts.allowance / 2
    assert sticks[piece_id(first, number, 0)].trims == (trims[0], half)
    assert sticks[piece_id(first, number, len(first.marks))].trims == (half, trims[1])


def test_names_say_where_a_piece_comes_from() -> None:
    _, answer = demo_plan()
    number, first = yard_cuts(answer)[0]
    name = piece_id(first, number, 0)
    assert name == f"{first.stick} 1a"
    assert piece_id(first, 2, 27) == f"{first.stick} 2bb"
    assert origins(answer)[name] == first.stick
    assert rough_ends(answer)[name] == (False, True)
    assert rough_ends(answer)[piece_id(first, number, len(first.marks))] == (True, False)


def test_pieces_without_parts_come_last_or_not_at_all() -> None:
    question, answer = demo_plan()
    _, with_empty = as_carried(question, answer, empty=True)
    _, without = as_carried(question, answer)
    assert all(each.pieces for each in without.cuts)
    assert with_empty.cuts[: len(without.cuts)] == without.cuts


def test_a_plan_without_yard_cuts_stays_as_it_is() -> None:
    question = job([part("A", 50, 2)], [stick("S", "20 ft", "60")])
    answer = plan(question, [cut(question, "S", ["A", "A"])], {"S": "60"})
    assert as_carried(question, answer) == (question, answer)
    assert as_taken(question, answer) is question


def test_changed_parts_have_the_section_they_are_cut_from() -> None:
    question, answer = demo_plan()
    (change,) = answer.changes
    assert isinstance(change, Change)
    taken = {each.mark: each.section for each in as_taken(question, answer).parts}
    assert taken[change.mark] == change.taken != change.wanted
    assert taken["P1"].label == "SHS 1-1/2x1-1/2x1/8"
    assert TUBE not in taken.values()
