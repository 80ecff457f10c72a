"""Sections side by side give what they give one after the other, and a helper's death loses nothing."""

import threading

import pytest

from cutting.answer.plan import Status
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.search.processes import helpers, workers
from cutting.search.processes.workers import solve_tasks
from cutting.search.task import Task
from cutting.solve import solve
from tests.bare import bare_market
from tests.builders import PATIENCE
from tests.golden.questions import job_of


def task(seed):
    sizes = tuple(range(97 + seed, 17, -5))
    instance = Instance(
        sizes=sizes,
        demands=tuple(90 + n for n in range(len(sizes))),
        capacities=(480, 610),
        costs=(48, 60),
        limits=(2000, 2000),
    )
    return Task(market=bare_market(instance), seed=0, limit=60.0)


def answers(cores, report=lambda *_: None):
    finished = solve_tasks([task(n) for n in range(4)], clock=Clock(60), cores=cores, report=report)
    return [(answer.found.choice, answer.found.bound) for answer in finished]


def test_two_processes_answer_as_one(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    alone = answers(1)
    heard = []
    assert answers(2, lambda *news: heard.append(news)) == alone
    assert {number for number, _, _ in heard} == {0, 1, 2, 3}


def test_a_helper_that_dies_leaves_its_task_to_us(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    expected = answers(1)
    real = helpers.Helper.solve

    def dying(self, task, report):
        self._process.kill()
        return real(self, task, report)

    monkeypatch.setattr(helpers.Helper, "solve", dying)
    assert answers(2) == expected


def test_no_process_is_started_that_would_be_ready_when_time_is_nearly_over(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    monkeypatch.setattr(workers, "pool", helpers._Pool())
    started = []

    def dying(*_):
        raise EOFError

    monkeypatch.setattr(helpers.Helper, "__init__", lambda _: started.append(1))
    monkeypatch.setattr(helpers.Helper, "solve", dying)
    monkeypatch.setattr(helpers.Helper, "close", lambda _: None)
    for seconds, expected in ((workers.TIME_FOR_A_HELPER * 0.9, 0), (PATIENCE, 1)):
        clock = Clock(seconds)
        solve_tasks([task(n) for n in range(2)], clock=clock, cores=2, report=lambda *_: None)
        assert len(started) == expected


def test_a_cancel_is_heard_by_the_helper_too(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    stop = threading.Event()
    clock = Clock(60, stop.is_set)
    finished = solve_tasks([task(n) for n in range(4)], clock=clock, cores=2, report=lambda *_: stop.set())
    assert len(finished) == 4
    assert all(answer.found.choice is not None for answer in finished)


JOBS = {name: job_of(name) for name in ("two_yards.toml", "random/yards_7.json", "random/yards_angled_7.json")}


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_rooms_joined_by_a_yards_terms_are_worked_on_side_by_side_with_the_same_plan(monkeypatch, job):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    asked = []
    real = helpers.Helper.answer
    monkeypatch.setattr(helpers.Helper, "answer", lambda self, errand: asked.append(errand) or real(self, errand))
    alone = solve(job, limit=PATIENCE, cores=1)
    assert asked == []
    beside = solve(job, limit=PATIENCE, cores=2)
    assert (beside.plan, beside.proof) == (alone.plan, alone.proof)
    assert "relaxed" in {errand.ask.method for errand in asked}
    assert sum(each.lp_solves for each in beside.report.sections) == sum(
        each.lp_solves for each in alone.report.sections
    )


@pytest.mark.parametrize("answered", [0, 3])
def test_a_helper_that_dies_leaves_its_rooms_to_us(monkeypatch, answered):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    job = JOBS["two_yards.toml"]
    alone = solve(job, limit=PATIENCE, cores=1)
    real, asked = helpers.Helper.answer, []

    def dying(self, errand):
        asked.append(errand)
        if len(asked) == answered + 1:
            self._process.kill()
        return real(self, errand)

    monkeypatch.setattr(helpers.Helper, "answer", dying)
    beside = solve(job, limit=PATIENCE, cores=2)
    assert len(asked) == answered + 1
    assert beside.status is Status.OPTIMAL
    assert beside.plan.cost == alone.plan.cost


def test_a_stop_is_heard_while_rooms_are_worked_on_side_by_side(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    result = solve(JOBS["two_yards.toml"], limit=PATIENCE, progress=lambda _: True, cores=2)
    assert result.plan is not None
