"""A caller is asked between news too whether to go on: a stop needs no new plan to be heard."""

import json

from cutting.plan import Status
from cutting.solve import Progress, solve
from shared.jobfile import read_job
from tests.served import long_job


def test_a_stop_is_heard_where_nothing_has_improved() -> None:
    job, _ = read_job(json.dumps(long_job()).encode(), name="job.json")
    heard: list[Progress] = []

    def stop_without_news(progress: Progress) -> bool:
        heard.append(progress)
        known = [(one.incumbent, one.lower_bound) for one in heard]
        return len(known) > 1 and known[-1] == known[-2]

    result = solve(job, 30, 0, stop_without_news, 1)
    assert (heard[-1].incumbent, heard[-1].lower_bound) == (heard[-2].incumbent, heard[-2].lower_bound)
    assert result.status is Status.FEASIBLE
