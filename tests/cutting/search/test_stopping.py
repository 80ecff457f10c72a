"""A caller is asked between news too whether to go on: a stop needs no better plan to be heard."""

import json
from fractions import Fraction

import pytest

from cutting.answer.plan import Status
from cutting.solve import Progress, Solving, _Run, solve
from shared.files.job import read_job
from tests.builders import PATIENCE
from tests.served import long_job


def test_the_clock_asks_again_where_there_have_been_no_news_for_a_while() -> None:
    job, _ = read_job(json.dumps(long_job()).encode(), name="job.json")
    heard: list[Progress] = []

    def stop_when_asked_again(progress: Progress) -> bool:
        heard.append(progress)
        return len(heard) > 1

    run = _Run(Solving(job, cores=1), 30.0, stop_when_asked_again)
    assert not run.clock.over()
    run.tell(Progress(incumbent=None, lower_bound=Fraction(7), seconds=-1.0))
    assert run.clock.over()
    assert [one.lower_bound for one in heard] == [7, 7]


@pytest.mark.slow("a further stop, of a search through 600 parts, after those of small ones in test_solve")
def test_a_stop_ends_a_search_with_its_best_plan() -> None:
    job, _ = read_job(json.dumps(long_job()).encode(), name="job.json")
    result = solve(job, PATIENCE, 0, lambda progress: progress.incumbent is not None and progress.lower_bound > 0, 1)
    assert result.status is Status.FEASIBLE
