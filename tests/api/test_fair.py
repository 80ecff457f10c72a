"""The fair queue: clients in turn, a bound for all and for each."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.service.runner.fair import FairQueue, FullError

ARRIVALS = st.lists(st.sampled_from("abcd"), max_size=25)


def filled(arrivals: list[str]) -> FairQueue:
    queue = FairQueue(1000, 1000)
    for number, client in enumerate(arrivals):
        queue.put(client, f"{client}{number}")
    return queue


@given(ARRIVALS)
def test_it_says_truly_how_many_are_before_each(arrivals: list[str]) -> None:
    queue = filled(arrivals)
    ahead = {f"{client}{number}": queue.ahead(f"{client}{number}") for number, client in enumerate(arrivals)}
    assert {queue.take(): place for place in range(len(arrivals))} == ahead
    assert len(queue) == 0


@given(ARRIVALS)
def test_nobody_waits_for_more_than_one_of_each_other(arrivals: list[str]) -> None:
    queue = filled(arrivals)
    order = [queue.take() for _ in arrivals]
    for client in set(arrivals):
        mine = [place for place, job in enumerate(order) if job[0] == client]
        assert [order[place] for place in mine] == sorted(
            (order[place] for place in mine), key=lambda job: int(job[1:])
        )
        for before, after in zip([-1, *mine], mine, strict=False):
            between = [job[0] for job in order[before + 1 : after]]
            assert len(between) == len(set(between))


def test_the_bounds_hold_for_reserved_places_too() -> None:
    queue = FairQueue(3, 2)
    queue.reserve("a")
    queue.put("a", "a1")
    queue.release("a")
    queue.reserve("a")
    with pytest.raises(FullError) as own:
        queue.reserve("a")
    assert own.value.own
    queue.reserve("b")
    with pytest.raises(FullError) as full:
        queue.reserve("c")
    assert not full.value.own
    queue.release("b")
    queue.reserve("c")


def test_a_job_that_is_taken_out_is_not_served() -> None:
    queue = filled(["a", "b", "a"])
    assert queue.remove("a0")
    assert not queue.remove("a0")
    assert (queue.ahead("a0"), queue.ahead("a2")) == (None, 0)
    assert {queue.take(), queue.take()} == {"b1", "a2"}


def test_a_closed_queue_lets_everybody_go() -> None:
    queue = filled(["a"])
    queue.close()
    assert queue.take() is None
