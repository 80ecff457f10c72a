"""Every kept job once more: the same status, cost and bound, never more layouts or work, and the same plan file.

Two strengths: the answers (`answers.csv`) are what any engine must say; the plan files are what this one says byte for
byte. `python -m tests.golden.renew` renews them, and nothing else does.
"""

import pytest

from tests.golden import kept
from tests.golden.compare import answer_differences, plan_differences, work_differences
from tests.golden.questions import files, solved

NAMES = list(files())


@pytest.mark.parametrize("name", NAMES)
def test_status_cost_and_bound_are_as_kept_and_layouts_no_more(name: str) -> None:
    assert answer_differences(kept.kept_answers()[name], kept.answer(name)) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_plan_file_is_as_kept_byte_for_byte(name: str) -> None:
    assert plan_differences(kept.plan_path(name).read_bytes(), kept.plan_bytes(name)) == []


def test_all_jobs_together_take_no_more_work_than_kept() -> None:
    assert work_differences(kept.kept_work(), {name: kept.work(name) for name in NAMES}) == []


def test_what_is_kept_is_of_these_jobs_and_of_no_others() -> None:
    assert list(kept.kept_answers()) == list(kept.kept_work()) == NAMES
    assert {path for path in kept.PLANS.rglob("*") if path.is_file()} == {kept.plan_path(name) for name in NAMES}


def test_the_jobs_are_of_every_sort() -> None:
    """At least sixty, every one proven, so that no clock can change an answer."""
    answers = kept.kept_answers()
    assert len(answers) >= 60
    assert {answer.status for answer in answers.values()} == {"optimal", "infeasible"}
    assert {answer.objective for answer in answers.values()} == {"money", "length", "weight"}
    plans = [plan for name in NAMES if (plan := solved(name).plan) is not None]
    cuts = [cut for plan in plans for cut in plan.cuts]
    assert any(stroke.shared for cut in cuts for stroke in cut.strokes)
    assert any(cut.marks and cut.strokes for cut in cuts)
    assert any(cut.marks and not cut.strokes for cut in cuts)
    assert {len(plan.orders) for plan in plans} == {0, 1, 2}
    assert any(plan.changes for plan in plans)
    assert any(plan.credit and plan.own_value for plan in plans)
    assert any(plan.kinds for plan in plans)
