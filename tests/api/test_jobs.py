"""Jobs over HTTP: posted, followed, stopped, taken back."""

import json
import os
import signal
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.served import Served, few, long_job, serving, stand


def events(served: Served, job_id: str) -> list[dict]:
    with served.client.stream("GET", f"/v1/jobs/{job_id}/events") as stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        return [json.loads(line[6:]) for line in stream.iter_lines() if line.startswith("data: ")]


def test_posted_without_a_wish_it_is_accepted_and_found_later(served: Served) -> None:
    answer = served.post()
    assert answer.status_code in {200, 202}
    assert answer.headers["location"] == f"/v1/jobs/{answer.json()['id']}"
    done = served.until(answer.json()["id"])
    assert done["state"] == "done"
    assert done["plan"]["status"] == "optimal"


def test_prefer_wait_answers_at_once(served: Served) -> None:
    answer = served.post(wait=60)
    assert answer.status_code == 200
    assert answer.headers["preference-applied"] == "wait=60"
    # 4 x 80 1/2 and 6 x 34 5/8 need 3 sticks of 240: 530 > 2 x 239 3/4, and 2 + 2 + the rest fit three.
    assert answer.json()["plan"]["cost"] == "184.20"
    assert answer.json()["plan"]["lower_bound"] == "184.20"


def test_a_wish_that_is_not_understood_is_ignored(served: Served) -> None:
    assert served.post(Prefer="wait=soon, handling=lenient").status_code in {200, 202}


def test_toml_is_read_as_well(served: Served) -> None:
    from api.routes.examples import JOB_TOML

    media = {"Content-Type": "application/toml; charset=utf-8", "Prefer": "wait=60"}
    answer = served.client.post("/v1/jobs", content=JOB_TOML["value"], headers=media)
    assert answer.status_code == 200
    assert answer.json()["plan"]["objective"] == "length"


def test_the_kept_job_reads_back_as_the_same_job(served: Served) -> None:
    from shared.files.job import read_job

    job_id = served.post().json()["id"]
    kept = served.client.get(f"/v1/jobs/{job_id}/job").content
    assert read_job(kept, name="job.json")[0] == read_job(json.dumps(stand()).encode(), name="job.json")[0]


def test_server_sent_events_end_when_the_job_is_over(served: Served) -> None:
    told = events(served, served.post().json()["id"])
    assert told[-1]["state"] == "done"
    assert [one["state"] for one in told[:-1]] == [one["state"] for one in told[:-1] if one["state"] != "done"]


def test_an_infeasible_job_is_done_and_says_why(served: Served) -> None:
    job = stand(parts=[{"section": "SHS 1-1/2x1-1/2x1/8", "length": "21 ft", "quantity": 1}])
    answer = served.post(job, wait=60).json()
    assert answer["state"] == "done"
    assert answer["plan"]["status"] == "infeasible"
    assert answer["plan"]["why"]


def test_progress_is_told_and_a_stop_keeps_the_best_plan(served: Served) -> None:
    job_id = served.post(long_job()).json()["id"]
    told: list[dict] = []
    follower = threading.Thread(target=lambda: told.extend(events(served, job_id)))
    follower.start()
    while served.client.get(f"/v1/jobs/{job_id}/plan").status_code == 409:
        assert served.client.get(f"/v1/jobs/{job_id}").json()["state"] in {"waiting", "working"}
    so_far = served.client.get(f"/v1/jobs/{job_id}/plan")
    assert so_far.headers["x-plan-final"] == "false"
    stopping = served.client.post(f"/v1/jobs/{job_id}/stop")
    assert stopping.status_code == 200
    done = served.until(job_id)
    follower.join()
    assert done["state"] == "done"
    assert done["stopped"] is True
    assert done["plan"]["status"] == "feasible"
    assert float(done["plan"]["cost"]) <= float(so_far.json()["cost"])
    working = [one["progress"] for one in told if one["progress"] and one["progress"]["incumbent"]]
    assert working
    assert all(float(one["gap"]) >= 0 for one in working)
    best = [float(one["incumbent"]) for one in working]
    assert best == sorted(best, reverse=True)


def test_a_job_that_waits_says_how_many_are_before_it_and_can_be_cancelled(served: Served) -> None:
    busy = served.post(long_job(2)).json()["id"]
    served.until(busy, "working")
    first, second = (served.post().json() for _ in range(2))
    assert (first["state"], first["ahead"]) == ("waiting", 0)
    assert (second["state"], second["ahead"]) == ("waiting", 1)
    assert served.client.post(f"/v1/jobs/{first['id']}/cancel").json()["state"] == "cancelled"
    assert served.client.post(f"/v1/jobs/{busy}/cancel").json()["state"] == "cancelled"
    assert served.until(second["id"])["state"] == "done"
    assert served.client.get(f"/v1/jobs/{first['id']}/plan").status_code == 409
    assert served.client.get(f"/v1/jobs/{busy}/plan").status_code == 409


def test_stopping_a_job_that_has_not_begun_cancels_it(served: Served) -> None:
    busy = served.post(long_job(3)).json()["id"]
    waiting = served.post().json()["id"]
    assert served.client.post(f"/v1/jobs/{waiting}/stop").json()["state"] == "cancelled"
    served.client.post(f"/v1/jobs/{busy}/cancel")


def test_stop_and_cancel_leave_a_finished_job_as_it_is(served: Served) -> None:
    job_id = served.post(wait=60).json()["id"]
    assert served.client.post(f"/v1/jobs/{job_id}/stop").json()["state"] == "done"
    assert served.client.post(f"/v1/jobs/{job_id}/cancel").json()["state"] == "done"


def test_a_deleted_job_is_gone_with_everything(served: Served) -> None:
    job_id = served.post(wait=60).json()["id"]
    assert served.client.delete(f"/v1/jobs/{job_id}").status_code == 204
    for path in ("", "/job", "/plan", "/events", "/cut-sheet.pdf"):
        assert served.client.get(f"/v1/jobs/{job_id}{path}").status_code == 404
    assert served.client.delete(f"/v1/jobs/{job_id}").status_code == 404


def test_the_list_has_the_newest_first(served: Served) -> None:
    made = [served.post(wait=60).json()["id"] for _ in range(3)]
    listed = [job["id"] for job in served.client.get("/v1/jobs?count=3").json()["jobs"]]
    assert listed == made[::-1]


def test_the_same_key_makes_one_job_however_often_it_comes(served: Served) -> None:
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: served.post(**{"Idempotency-Key": "stand-1"}), range(8)))
    assert len({answer.json()["id"] for answer in answers}) == 1
    again = served.post(wait=60, **{"Idempotency-Key": "stand-1"})
    assert again.json()["id"] == answers[0].json()["id"]
    assert again.json()["state"] == "done"


def test_a_key_that_was_used_for_another_job_is_refused(served: Served) -> None:
    served.post(**{"Idempotency-Key": "stand-2"})
    answer = served.post(stand(title="Another"), **{"Idempotency-Key": "stand-2"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/key-reused")


def children() -> set[int]:
    """Every process that descends from this one."""
    found, todo = set(), [os.getpid()]
    while todo:
        parent = todo.pop()
        for task in Path(f"/proc/{parent}/task").iterdir():
            new = {int(child) for child in (task / "children").read_text().split()} - found
            found |= new
            todo.extend(new)
    return found


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs Linux's /proc to find the child")
def test_a_crashed_solve_fails_alone(served: Served) -> None:
    before = children()
    job_id = served.post(long_job(4)).json()["id"]
    served.until(job_id, "working")
    while not (solving := children() - before):
        pass
    for child in solving:
        os.kill(child, signal.SIGKILL)
    over = served.until(job_id)
    # A plan that had been handed out already is kept; without one the job says that its solve crashed.
    assert over["state"] in {"failed", "done"}
    if over["state"] == "failed":
        assert "signal 9" in over["error"]
    assert served.post(wait=60).json()["state"] == "done"


def test_a_solve_that_needs_too_much_memory_fails_alone(tmp_path) -> None:
    with serving(tmp_path, limits=few(solve_memory=2 * 1024 * 1024)) as served:
        over = served.post(long_job(5), wait=60).json()
        assert over["state"] == "failed"
        assert served.client.get("/readyz").status_code == 200


def test_an_upload_that_takes_too_long_to_read_is_refused(tmp_path) -> None:
    with serving(tmp_path, limits=few(side_seconds=0.001)) as served:
        answer = served.post()
        assert (answer.status_code, answer.json()["type"]) == (422, "/problems/too-hard-to-read")


def test_a_full_queue_says_when_to_come_again(tmp_path) -> None:
    with serving(tmp_path, limits=few(waiting=3, waiting_each=2)) as served:
        busy = served.post(long_job(6)).json()["id"]
        served.until(busy, "working")
        waiting = [served.post().json()["id"] for _ in range(2)]
        refused = served.post()
        assert (refused.status_code, refused.json()["type"]) == (429, "/problems/queue-full")
        assert int(refused.headers["retry-after"]) >= 1
        other = served.post(**{"X-Client": "another program"})
        assert other.status_code == 202
        assert served.post(**{"X-Client": "a third"}).status_code == 429
        served.client.post(f"/v1/jobs/{busy}/cancel")
        for job_id in (*waiting, other.json()["id"]):
            assert served.until(job_id)["state"] == "done"


def test_a_restarted_service_takes_its_jobs_up_again(tmp_path) -> None:
    with serving(tmp_path) as served:
        busy = served.post(long_job(7)).json()["id"]
        served.until(busy, "working")
        waiting = served.post().json()["id"]
        assert served.client.get(f"/v1/jobs/{waiting}").json()["state"] == "waiting"
    with serving(tmp_path) as served:
        served.until(busy, "working")
        served.client.post(f"/v1/jobs/{busy}/cancel")
        assert served.until(waiting)["state"] == "done"


def test_a_job_outlives_any_number_of_orderly_ends_with_its_best_plan(tmp_path) -> None:
    with serving(tmp_path) as served:
        busy = served.post(long_job(8)).json()["id"]
        served.until(busy, "working")
    for _ in range(3):
        with serving(tmp_path, limits=few(attempts=1)) as served:
            assert served.until(busy, "working")["state"] == "working"
    with serving(tmp_path, limits=few(attempts=1)) as served:
        served.until(busy, "working")
        served.client.post(f"/v1/jobs/{busy}/stop")
        assert served.until(busy)["state"] == "done"
        assert served.service.store.get(busy).attempts == 1
