"""Sections side by side give what they give one after the other, and a helper's death loses nothing."""

import threading

from cutting import workers
from cutting.clock import Clock
from cutting.instance import Instance
from cutting.market.task import Task
from cutting.workers import solve_tasks
from tests.bare import bare_market


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
    real = workers.Helper.solve

    def dying(self, task, report):
        self._process.kill()
        return real(self, task, report)

    monkeypatch.setattr(workers.Helper, "solve", dying)
    assert answers(2) == expected


def test_a_cancel_is_heard_by_the_helper_too(monkeypatch):
    monkeypatch.setattr(workers, "WORTH_A_HELPER", 0)
    stop = threading.Event()
    clock = Clock(60, stop.is_set)
    finished = solve_tasks([task(n) for n in range(4)], clock=clock, cores=2, report=lambda *_: stop.set())
    assert len(finished) == 4
    assert all(answer.found.choice is not None for answer in finished)
