"""A job of the store is solved in one run: news, better plans on the way, and the answer."""

import json
import threading
from fractions import Fraction
from typing import Any

import pytest

from api.service.runner import tasks
from api.service.runner.answers import BestSoFar, ProgressNews, result_of_plan
from api.service.runner.tasks import SolveTask, solve_task
from cutting.answer.plan import Status
from shared.files.job import read_job
from tests.builders import PATIENCE
from tests.golden.questions import job_of
from tests.served import long_job

LONG = json.dumps(long_job()).encode()


class Line:
    """Keeps what is told, and stops once enough plans were handed out."""

    def __init__(self, plans: int | None = None) -> None:
        self.stopped = threading.Event()
        self.told: list[Any] = []
        self._plans = plans

    def tell(self, message: Any) -> None:
        self.told.append(message)
        if len(self.plans()) == self._plans:
            self.stopped.set()

    def plans(self) -> list[BestSoFar]:
        return [message for message in self.told if isinstance(message, BestSoFar)]


def test_a_plan_can_be_read_while_the_one_run_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks, "_LOOK_SECONDS", (0.0, 0.0))
    runs = []
    real = tasks.solve
    monkeypatch.setattr(tasks, "solve", lambda *given, **named: runs.append(given) or real(*given, **named))
    line = Line(plans=1)
    answer = solve_task(line, SolveTask(document=LONG, limit=PATIENCE, seed=0, cores=1))  # type: ignore[arg-type]
    assert len(runs) == 1
    assert answer.status is Status.FEASIBLE
    job, _ = read_job(LONG, name="job.json")
    costs = [result_of_plan(job, each.document, 0.0).plan.cost for each in [*line.plans(), answer]]
    assert costs == sorted(costs, reverse=True)
    assert any(isinstance(message, ProgressNews) for message in line.told)


def test_a_plan_kept_from_before_is_where_the_search_begins() -> None:
    first = solve_task(Line(plans=1), SolveTask(document=LONG, limit=PATIENCE, seed=0, cores=1))  # type: ignore[arg-type]
    job, _ = read_job(LONG, name="job.json")
    kept = result_of_plan(job, first.document, 0.0)
    line = Line()
    line.stopped.set()
    task = SolveTask(document=LONG, limit=PATIENCE, seed=0, cores=1, before=first.document)
    again = result_of_plan(job, solve_task(line, task).document, 0.0)  # type: ignore[arg-type]
    assert line.plans() == []
    assert again.plan.cost <= kept.plan.cost
    assert again.proof.lower_bound >= kept.proof.lower_bound


def test_what_shared_cuts_save_in_a_substitute_is_read_back() -> None:
    from dataclasses import replace

    from cutting.answer.plan import Sharing
    from cutting.solve import solve
    from shared.files.plan import write_plan

    job = job_of("random/substitutes_3.json")
    result = solve(job, PATIENCE)
    other = next(substitute.section for part in job.parts for substitute in part.substitutes)
    assert other.key not in {section.key for section in job.sections} or other in job.sections
    said = (Sharing(section=other, shared=2, sticks=None, cost=Fraction(0), certain=True),)
    document = write_plan(job, replace(result, plan=replace(result.plan, sharing=said)))
    assert [each.section.key for each in result_of_plan(job, document, 0.0).plan.sharing] == [other.key]
