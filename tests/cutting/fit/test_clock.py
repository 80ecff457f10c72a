"""The clock that ends a search: what is kept back of its time, and how long others are waited for once it is over."""

from __future__ import annotations

import pytest

from cutting.fit import clock as module
from cutting.fit.clock import Clock


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Seconds, to be set."""
    at = [100.0]
    monkeypatch.setattr(module.time, "monotonic", lambda: at[0])
    return at


def test_what_is_kept_back_ends_it_earlier(now: list[float]) -> None:
    clock = Clock(10)
    clock.keep_back(3)
    assert clock.left() == 7
    now[0] += 6
    assert (clock.left(), clock.over()) == (1, False)
    now[0] += 1
    assert (clock.left(), clock.over()) == (0, True)
    clock.keep_back(30)
    assert (clock.left(), clock.elapsed) == (0, 7)


@pytest.mark.parametrize(("limit", "grace"), [(1.0, 0.1), (60.0, 0.5)])
def test_others_are_waited_for_a_tenth_of_the_time_or_half_a_second(
    limit: float, grace: float, now: list[float]
) -> None:
    clock = Clock(limit)
    now[0] += limit + 0.9 * grace
    assert clock.over()
    assert not clock.expired()
    now[0] += 0.2 * grace
    assert clock.expired()


def test_a_cancel_takes_nothing_of_that_away(now: list[float]) -> None:
    stop: list[bool] = []
    clock = Clock(60, lambda: bool(stop))
    now[0] += 1
    assert not clock.over()
    stop.append(True)
    assert clock.over()
    now[0] += 0.4
    assert not clock.expired()
    now[0] += 0.2
    assert clock.expired()
