"""What the scheduler does when the store fails, a child dies, the service ends; its children do as they are told."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError, OperationalError

from api.service.runner import scheduler as module
from api.service.runner.answers import BestSoFar
from api.service.runner.process import CrashedError, TimeOverError
from api.service.runner.scheduler import Scheduler
from api.service.settings import Limits
from cutting.answer.plan import Status
from shared.store import NewJob, State, Store, open_database
from shared.store.place import sqlite_url
from tests.clock import milliseconds

FULL = OperationalError("INSERT", {}, Exception("database or disk is full"))
LOCKED = OperationalError("BEGIN IMMEDIATE", {}, Exception("database is locked"))


def best(cost: str = "5", status: Status = Status.FEASIBLE) -> BestSoFar:
    return BestSoFar(document=cost.encode(), seconds=0.1, status=status)


DONE = best("done", Status.OPTIMAL)


class Child:
    """Answers as its plan says: news are heard, an exception is raised, an event is waited for until it is stopped."""

    def __init__(self, plan: list) -> None:
        self.plan = plan
        self.ended = threading.Event()

    def stop(self) -> None:
        self.ended.set()

    end = stop

    def answer(self, _seconds: float, hear: Callable, give_up: Callable) -> BestSoFar:
        for step in self.plan:
            if isinstance(step, Exception):
                raise step
            if step == "wait":
                assert self.ended.wait(30)
            elif step == "deaf":
                while not give_up():
                    time.sleep(0.01)
                raise TimeOverError
            elif step is self.plan[-1]:
                return step
            else:
                hear(step)
        raise CrashedError("no answer planned")


class Children:
    def __init__(self, *plans: list) -> None:
        self.plans = list(plans)
        self.tasks = []

    def start(self, _function: Callable, task: object, *, allowance: object) -> Child:
        assert allowance is not None
        self.tasks.append(task)
        return Child(self.plans.pop(0) if self.plans else [DONE])


class Failing:
    """A store whose methods fail as often as they are told."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.errors: dict[str, list[Exception]] = {}
        self.failed = threading.Event()

    def __getattr__(self, name: str) -> object:
        method = getattr(self._store, name)

        def called(*arguments: object, **more: object) -> object:
            if self.errors.get(name):
                self.failed.set()
                raise self.errors[name].pop(0)
            return method(*arguments, **more)

        return called


class Scene:
    def __init__(self, folder: Path) -> None:
        self.store = Store(open_database(sqlite_url(folder / "store.sqlite3")), milliseconds)
        self.failing = Failing(self.store)
        self.changed = threading.Condition()
        self.scheduler: Scheduler | None = None

    def open(self, *plans: list) -> Children:
        children = Children(*plans)
        limits = Limits(places=1, close_grace=0.2)
        self.scheduler = Scheduler(self.failing, children, limits, self.tell)
        self.scheduler.start()
        return children

    def close(self) -> None:
        if self.scheduler is not None:
            self.scheduler.close()
            self.scheduler = None

    def tell(self, _job: str) -> None:
        with self.changed:
            self.changed.notify_all()

    def add(self) -> str:
        new = NewJob(document=b"{}", title="t", digest="d", limit_seconds=10, seed=1, client="c")
        return self.scheduler.add(new)[0].id

    def until(self, condition: Callable[[], bool]) -> None:
        with self.changed:
            assert self.changed.wait_for(condition, 30)

    def over(self, job: str) -> State:
        self.until(lambda: self.store.get(job).state.over)
        return self.store.get(job).state

    def heard(self, job: str) -> None:
        """Wait until the store has a plan of the job."""
        self.until(lambda: self.store.plan(job) is not None)


@pytest.fixture
def scene(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Scene]:
    monkeypatch.setattr(module, "_STORE_RETRY_SECONDS", (0.01, 0.02))
    made = Scene(tmp_path)
    yield made
    made.close()
    made.store.engine.dispose()


@pytest.mark.parametrize("method", ["claim", "document", "plan", "finish"])
@pytest.mark.parametrize("error", [FULL, LOCKED], ids=["full", "locked"])
def test_a_store_that_fails_for_a_while_costs_no_job_and_no_worker(scene: Scene, method: str, error: Exception) -> None:
    scene.open()
    scene.failing.errors[method] = [error] * 7
    first = scene.add()
    second = scene.add()
    assert (scene.over(first), scene.over(second)) == (State.DONE, State.DONE)
    assert scene.store.get(first).attempts == 1
    assert scene.failing.errors[method] == []


def test_while_the_store_fails_readiness_says_so_and_afterwards_not(scene: Scene) -> None:
    scene.open()
    assert scene.scheduler.trouble() == ""
    scene.failing.errors["finish"] = [FULL] * 10_000
    job = scene.add()
    assert scene.failing.failed.wait(30)
    end = time.monotonic() + 30
    while "full" not in scene.scheduler.trouble():
        assert time.monotonic() < end
    scene.failing.errors.clear()
    assert scene.over(job) is State.DONE
    scene.until(lambda: scene.scheduler.trouble() == "")


def test_a_plan_on_the_way_that_can_t_be_kept_doesn_t_end_the_solve(scene: Scene) -> None:
    scene.failing.errors["improve"] = [FULL]
    scene.open([best(), DONE])
    job = scene.add()
    assert scene.over(job) is State.DONE
    assert scene.store.plan(job).document == b"done"


@pytest.mark.parametrize("error", [IntegrityError("UPDATE", {}, Exception("constraint")), ValueError("ours")])
def test_a_defect_ends_its_job_in_words_and_the_next_one_has_its_turn(scene: Scene, error: Exception) -> None:
    scene.failing.errors["finish"] = [error]
    scene.open()
    first, second = scene.add(), scene.add()
    assert scene.over(first) is State.FAILED
    assert "a defect of ours" in scene.store.get(first).error
    assert scene.over(second) is State.DONE


def test_even_a_defect_that_the_store_can_t_keep_leaves_the_worker_alive(scene: Scene) -> None:
    scene.failing.errors |= {"finish": [ValueError("ours")], "give_up": [IntegrityError("UPDATE", {}, Exception("no"))]}
    scene.open()
    scene.add()
    assert scene.over(scene.add()) is State.DONE


def test_a_child_that_dies_fails_its_job_but_its_best_plan_counts(scene: Scene) -> None:
    scene.open([CrashedError("ended by signal 9")], [best(), CrashedError("ended by signal 9")])
    first, second = scene.add(), scene.add()
    assert scene.over(first) is State.FAILED
    assert "signal 9" in scene.store.get(first).error
    assert scene.over(second) is State.DONE
    assert scene.store.plan(second).document == b"5"


def test_orderly_ends_are_no_attempts_and_the_best_plan_so_far_survives_each(scene: Scene) -> None:
    scene.open([best("9"), "wait", best("8")])
    job = scene.add()
    scene.heard(job)
    scene.close()
    for number in range(5):
        assert (scene.store.get(job).state, scene.store.get(job).attempts) == (State.WAITING, 0), number
        assert scene.store.plan(job).document == b"8"
        children = scene.open(["wait", best("8")])
        scene.until(lambda children=children: bool(children.tasks))
        assert children.tasks[0].before == b"8"
        scene.close()
    scene.open()
    assert scene.over(job) is State.DONE
    assert scene.store.plan(job).document == b"done"
    assert not scene.store.get(job).stopped


def test_a_child_deaf_at_the_end_of_the_service_is_not_waited_for(scene: Scene) -> None:
    scene.open([best("9"), "deaf"])
    job = scene.add()
    scene.heard(job)
    scene.close()
    assert (scene.store.get(job).state, scene.store.get(job).attempts) == (State.WAITING, 0)
    assert scene.store.plan(job).document == b"9"


def test_an_answer_that_is_proven_at_the_end_of_the_service_counts(scene: Scene) -> None:
    children = scene.open(["wait", DONE])
    job = scene.add()
    scene.until(lambda: bool(children.tasks))
    scene.close()
    assert scene.store.get(job).state is State.DONE


def test_a_job_begun_too_often_is_answered_by_its_best_plan(scene: Scene) -> None:
    new = NewJob(document=b"{}", title="t", digest="d", limit_seconds=10, seed=1, client="c")
    planned, bare = (scene.store.add(new)[0].id for _ in range(2))
    for job in (planned, bare):
        for _ in range(Limits().attempts):  # as after as many power cuts
            scene.store.claim(job)
            if job == planned:
                scene.store.improve(job, b"7")
            scene.store.take_up()
    scene.open()
    assert scene.over(planned) is State.DONE
    assert scene.store.plan(planned).document == b"7"
    assert scene.store.plan(planned).final
    assert scene.store.get(planned).stopped
    assert scene.over(bare) is State.FAILED
    assert "given up" in scene.store.get(bare).error


def test_a_store_that_is_away_at_the_end_doesn_t_keep_the_service_from_ending(scene: Scene) -> None:
    scene.failing.errors["finish"] = [LOCKED] * 100_000
    scene.open()
    job = scene.add()
    assert scene.failing.failed.wait(30)
    scene.close()
    assert scene.store.get(job).state is State.WORKING  # taken up at the next start
