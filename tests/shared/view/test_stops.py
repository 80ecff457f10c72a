"""The order of the stop: nothing is cut twice or too early, and it is moved as little as can be."""

from collections import Counter
from fractions import Fraction
from itertools import groupby

from hypothesis import given
from hypothesis import strategies as st

from shared.view.stops import Stop, stop_order


def _stop(length: int) -> Stop:
    return Fraction(length), ""


LENGTHS = st.lists(st.lists(st.integers(1, 4).map(_stop), min_size=1, max_size=5), min_size=1, max_size=3)


def fewest(layouts: tuple[tuple[Stop, ...], ...]) -> int:
    """Length of a shortest common supersequence, by breadth-first search over what is left of each layout."""
    front, moves = {tuple(layouts)}, 0
    while not any(not any(state) for state in front):
        front = {
            tuple(rest[1:] if rest and rest[0] == length else rest for rest in state)
            for state in front
            for length in {rest[0] for rest in state if rest}
        }
        moves += 1
    return moves


def runs(lengths: list[Stop]) -> tuple[Stop, ...]:
    return tuple(length for length, _ in groupby(lengths))


@given(LENGTHS)
def test_every_part_is_cut_once_and_in_the_order_of_its_stick(layouts: list[list[Stop]]) -> None:
    cut: list[list[Stop]] = [[] for _ in layouts]
    for setting in stop_order(layouts):
        for index, begin, count in setting.runs:
            assert begin == len(cut[index])
            cut[index] += [(setting.length, setting.ends)] * count
    assert cut == layouts


@given(st.lists(st.lists(st.integers(1, 6).map(_stop), min_size=1, max_size=6), min_size=1, max_size=4))
def test_sticks_cut_longest_first_set_the_stop_once_a_length(layouts: list[list[Stop]]) -> None:
    ordered = [sorted(lengths, reverse=True) for lengths in layouts]
    settings = stop_order(ordered)
    assert [(setting.length, setting.ends) for setting in settings] == sorted(
        {n for row in ordered for n in row}, reverse=True
    )


@given(LENGTHS)
def test_where_each_length_is_set_once_nothing_is_shorter(layouts: list[list[Stop]]) -> None:
    settings = stop_order(layouts)
    least = fewest(tuple(runs(lengths) for lengths in layouts))
    assert len(settings) >= least
    if max(Counter(setting.length for setting in settings).values()) == 1:
        assert len(settings) == least


def test_a_length_waits_until_every_stick_has_come_to_it() -> None:
    nine, five, three = _stop(9), _stop(5), _stop(3)
    settings = stop_order([[nine, three], [five, nine], [three]])
    assert [setting.length for setting in settings] == [5, 9, 3]


def test_parts_of_one_length_with_other_ends_are_not_cut_at_one_setting() -> None:
    plain, mitred = (Fraction(9), ""), (Fraction(9), "long point, 45° and 45° opposed")
    assert len(stop_order([[plain, mitred], [mitred]])) == 2
