"""The checker on what choices save: a report that leaves out, counts wrongly or contradicts itself is a fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from cutting.answer.plan import Change, Plan, Sharing
from cutting.checking.check import check
from cutting.solve import solve
from tests.builders import PATIENCE
from tests.cutting.checking.test_angled import ANGLE, TUBE, job_of
from tests.cutting.checking.test_yards import job as yards_job

ANGLED = job_of(TUBE)


@cache
def angled() -> Plan:
    plan = solve(ANGLED, cores=1, limit=PATIENCE).plan
    assert plan is not None
    assert check(ANGLED, plan) == ()
    assert [(each.shared > 0, each.certain, each.possible) for each in plan.sharing] == [(True, True, True)]
    return plan


@cache
def substituted() -> Plan:
    plan = solve(yards_job(), cores=1, limit=PATIENCE).plan
    assert plan is not None
    assert check(yards_job(), plan) == ()
    assert [change.certain for change in plan.changes] == [True]
    return plan


def nothing_shared(sharing: Sharing) -> Sharing:
    return replace(sharing, shared=0, sticks=None, cost=None, certain=False)


SHARING: list[tuple[Callable[[Sharing], Sharing], str]] = [
    (lambda s: replace(s, shared=s.shared + 1), "The plan counts"),
    (nothing_shared, "No cut of SHS 50x50x3 is shared"),
    (lambda s: replace(s, possible=False), "nothing is possible without them"),
    (lambda s: replace(s, possible=False, certain=False, cost=None, sticks=None), "nothing is possible without them"),
    (lambda s: replace(s, cost=None), "is certain of what shared cuts"),
    (lambda s: replace(s, sticks=None), "is certain of what shared cuts"),
    (lambda s: replace(s, certain=False, sticks=1), "isn't certain of them"),
    (lambda s: replace(s, sticks=-1), "save -1 sticks"),
    (lambda s: replace(s, cost=Fraction(-1)), "less than nothing"),
    (lambda s: replace(s, cost=Fraction(1, 1000)), "no sum of prices is that"),
    (lambda s: replace(s, section=ANGLE), "L 50x50x5 once too often"),
]


@pytest.mark.parametrize(("spoil", "words"), SHARING)
def test_a_false_report_on_shared_cuts(spoil: Callable[[Sharing], Sharing], words: str) -> None:
    spoiled = replace(angled(), sharing=(spoil(angled().sharing[0]),))
    assert any(words in fault for fault in check(ANGLED, spoiled)), check(ANGLED, spoiled)


def test_shared_cuts_reported_twice_or_of_some_sections_only() -> None:
    twice = replace(angled(), sharing=angled().sharing * 2)
    assert any("once too often" in fault for fault in check(ANGLED, twice))
    other = replace(angled().sharing[0], section=ANGLE, shared=0, sticks=0, cost=Fraction(0))
    faults = check(ANGLED, replace(angled(), sharing=(other,)))
    assert any("and not the" in fault for fault in faults), faults
    assert check(ANGLED, replace(angled(), sharing=())) == ()  # a plan may leave unsaid what its choices save


CHANGES: list[tuple[Callable[[Change], Change], str]] = [
    (lambda c: replace(c, possible=False), "nothing is possible without it"),
    (lambda c: replace(c, possible=False, saved=None, certain=False), "nothing is possible without it"),
    (lambda c: replace(c, saved=None), "is certain of what the change"),
    (lambda c: replace(c, saved=Fraction(-1)), "less than nothing"),
]


@pytest.mark.parametrize(("spoil", "words"), CHANGES)
def test_a_change_that_contradicts_itself(spoil: Callable[[Change], Change], words: str) -> None:
    spoiled = replace(substituted(), changes=(spoil(substituted().changes[0]),))
    assert any(words in fault for fault in check(yards_job(), spoiled)), check(yards_job(), spoiled)
