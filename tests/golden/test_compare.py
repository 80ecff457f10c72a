"""The comparison sees every planted difference and names it; what may get better may get better."""

import json
import random
from dataclasses import asdict, replace
from fractions import Fraction
from typing import Any

import pytest

from tests.golden import kept
from tests.golden.compare import (
    MOST,
    Answer,
    Work,
    answer_differences,
    exact,
    plan_differences,
    read,
    text_differences,
    work_differences,
    written,
)
from tests.golden.questions import files

ANSWER = Answer(
    job="racks", status="optimal", rests="exact", objective="money", cost="150.25", bound="150.25", layouts=7
)
WORK = {name: Work(job=name, proposals=2, lp_solves=9, dives=1, nodes=4) for name in ("racks", "stands")}
PLAN = {"cost": "150.25", "cuts": [{"id": "S1", "parts": [{"mark": "A", "start": "0"}]}, {"id": "S2", "parts": []}]}


@pytest.mark.parametrize(
    ("field", "planted"),
    [
        ("status", "feasible"),
        ("rests", "floating"),
        ("objective", "weight"),
        ("cost", "150.26"),
        ("cost", "150.24"),
        ("cost", ""),
        ("bound", "150.24"),
        ("bound", ""),
        ("layouts", 8),
    ],
)
def test_a_changed_answer_is_told_by_its_field(field: str, planted: Any) -> None:
    (told,) = answer_differences(ANSWER, replace(ANSWER, **{field: planted}))
    assert told.startswith(f"{field}: kept {getattr(ANSWER, field)!r}, found") or field == "layouts"
    assert told.startswith(f"{field}: ")
    assert str(planted) in told


def test_all_changes_of_an_answer_are_told_at_once() -> None:
    assert len(answer_differences(ANSWER, replace(ANSWER, status="feasible", bound="1", layouts=9))) == 3


def test_the_same_answer_or_one_with_fewer_layouts_is_as_good() -> None:
    assert answer_differences(ANSWER, ANSWER) == []
    assert answer_differences(ANSWER, replace(ANSWER, layouts=6)) == []


@pytest.mark.parametrize("count", ["proposals", "lp_solves", "dives", "nodes"])
def test_more_work_is_told_with_the_job_that_took_it(count: str) -> None:
    more = {**WORK, "stands": replace(WORK["stands"], **{count: 10})}
    (told,) = work_differences(WORK, more)
    assert told.startswith(f"{count}: ")
    assert "stands" in told
    assert "racks" not in told
    assert work_differences(more, WORK) == work_differences(WORK, WORK) == []


def test_work_may_move_from_one_job_to_another() -> None:
    moved = {"racks": replace(WORK["racks"], nodes=1), "stands": replace(WORK["stands"], nodes=7)}
    assert work_differences(WORK, moved) == []


def _bytes(table: dict[str, Any]) -> bytes:
    return json.dumps(table, indent=2).encode()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda plan: plan.update(cost="150.26"), "cost: kept '150.25', found '150.26'"),
        (lambda plan: plan.update(cost=150.25), "cost: kept '150.25', found 150.25"),
        (lambda plan: plan.update(gap="0"), "gap: found only"),
        (lambda plan: plan.pop("cost"), "cost: kept only"),
        (lambda plan: plan["cuts"].pop(), "cuts: kept 2 entries, found 1"),
        (lambda plan: plan["cuts"][0]["parts"][0].update(start="2"), "cuts[0].parts[0].start: kept '0', found '2'"),
    ],
)
def test_a_changed_field_of_a_plan_file_is_told_by_its_path(change: Any, told: str) -> None:
    changed = json.loads(_bytes(PLAN))
    change(changed)
    assert plan_differences(_bytes(PLAN), _bytes(changed)) == [told]


def test_a_plan_file_with_the_same_values_in_other_bytes_is_another() -> None:
    plan = _bytes(PLAN)
    assert plan_differences(plan, plan) == []
    assert "from byte 1 on" in plan_differences(plan, json.dumps(PLAN).encode())[0]
    assert "at the end" in plan_differences(plan, plan + b"\n")[0]
    assert "no JSON" in plan_differences(plan, plan[:-1])[0]


def test_of_many_differences_the_first_are_told() -> None:
    many = {str(number): number for number in range(30)}
    told = plan_differences(_bytes(many), _bytes({key: value + 1 for key, value in many.items()}))
    assert len(told) == MOST + 1
    assert told[-1] == f"and {30 - MOST} more differences"


def test_a_changed_line_of_a_text_is_told_by_its_number() -> None:
    assert text_differences("a\nb\nc\n", "a\nb\nc\n") == []
    assert text_differences("a\nb\nc\n", "a\nB\nc\n") == ["line 2: kept ['b'], found ['B']"]
    assert text_differences("a\nb\n", "a\nb\nc\n") == ["line 3: kept [], found ['c']"]
    assert text_differences("a\n", "a") == ["the same lines, ended otherwise"]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0", "0"),
        ("7", "7"),
        ("1503/2", "751.5"),
        ("1/100", "0.01"),
        ("59658735267/125000000", "477.269882136"),
        ("160289/2400", "160289/2400"),
        ("-1/4", "-0.25"),
    ],
)
def test_numbers_are_written_exactly(value: str, text: str) -> None:
    assert exact(Fraction(value)) == text
    assert Fraction(text) == Fraction(value)


def test_tables_read_back() -> None:
    assert read(Answer, written([ANSWER])) == {"racks": ANSWER}
    assert read(Work, written(WORK.values())) == WORK
    with pytest.raises(AssertionError, match="twice"):
        read(Answer, written([ANSWER, ANSWER]))


def test_any_change_in_the_kept_table_of_answers_is_seen() -> None:
    """One more layout is a difference, one less is none; the rest must be the same either way."""
    for answer in kept.kept_answers().values():
        for field in asdict(answer):
            planted = answer.layouts + 1 if field == "layouts" else f"{getattr(answer, field)}1"
            assert len(answer_differences(answer, replace(answer, **{field: planted}))) == 1, (answer.job, field)


def test_any_byte_changed_in_a_kept_plan_file_is_seen() -> None:
    chance = random.Random(12)
    for name in files():
        data = kept.plan_path(name).read_bytes()
        place = chance.randrange(len(data))
        planted = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
        assert plan_differences(planted, data), (name, place)
