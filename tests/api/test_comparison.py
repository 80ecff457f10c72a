"""Ways to buy side by side over the network: the same rows as the library's, resting on jobs of their own."""

import io
import json
import time
import tomllib
from decimal import Decimal
from pathlib import Path

import httpx
import openpyxl
import pytest

from cutting.asking.compare import compare
from shared.files.job import read_job
from shared.view.advice import comparison_advice
from tests.builders import PATIENCE
from tests.served import Served, few, long_job, serving, stand

FIXTURE = Path(__file__).parents[2] / "fixtures" / "two_yards.toml"
POSTS = "SHS 1-1/2x1-1/2x1/8"


def two_yards() -> dict:
    """A small job with two yards, a rack, and two lengths of stick."""
    return stand(
        yards=[{"name": "Hill yard", "collecting": "12"}, {"name": "Mill yard", "delivery": "20"}],
        sticks=[
            {"section": POSTS, "yard": "Hill yard", "length": "20 ft", "price": "61.40"},
            {"section": POSTS, "yard": "Mill yard", "length": "24 ft", "price": "70"},
        ],
        rack=[{"section": POSTS, "yard": "Hill yard", "length": "81", "price": "5"}],
    )


def ask(served: Served, job_id: str, **headers: str) -> httpx.Response:
    return served.client.post(f"/v1/jobs/{job_id}/comparison", headers=headers)


def rows(served: Served, job_id: str) -> dict:
    return {row["name"]: row for row in served.client.get(f"/v1/jobs/{job_id}/comparison").json()["rows"]}


def ways_of(served: Served, job_id: str) -> set[str]:
    """The jobs by which the ways of a job are solved."""
    return {row["job"] for row in rows(served, job_id).values()} - {job_id}


def until_over(served: Served, job_id: str, seconds: float = PATIENCE) -> dict:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = served.client.get(f"/v1/jobs/{job_id}/comparison").json()
        if found["over"]:
            return found
        time.sleep(0.1)
    raise AssertionError(f"not over: {found}")


@pytest.fixture(scope="module")
def compared(served: Served) -> dict:
    answer = served.post(two_yards(), wait=60).json()
    assert ask(served, answer["id"], Prefer="wait=100").status_code == 200
    return answer


def test_the_rows_are_those_of_the_library(served: Served, compared: dict) -> None:
    job, _ = read_job(json.dumps(two_yards()).encode(), name="job.json")
    advice = comparison_advice(job, compare(job, limit=PATIENCE))
    found = served.client.get(f"/v1/jobs/{compared['id']}/comparison").json()
    assert found["over"]
    for row, known, words in zip(found["rows"], advice.data["rows"], advice.rows, strict=True):
        shown = (row["name"], row["case"], row["yard"], row["status"], row["cost"], row["paid"], row["more"])
        same = (words[0], known["case"], known["yard"], known["status"], known["cost"], known["paid"], known["more"])
        assert shown == same
        assert row["lower_bound"] == known["lower_bound"]


def test_each_way_is_a_job_whose_plan_can_be_had(served: Served, compared: dict) -> None:
    way = rows(served, compared["id"])["without the rack"]
    plan = served.client.get(f"/v1/jobs/{way['job']}/plan").json()
    assert plan["cost"] == way["cost"]
    assert not any(line["from"] == "rack" for line in plan["buy"])


def test_ways_are_no_earlier_sheets(served: Served, compared: dict) -> None:
    listed = {job["id"] for job in served.client.get("/v1/jobs?count=200").json()["jobs"]}
    assert compared["id"] in listed
    assert not listed & ways_of(served, compared["id"])


def test_asked_again_the_same_comparison_comes_back(served: Served, compared: dict) -> None:
    before = rows(served, compared["id"])
    again = ask(served, compared["id"])
    assert again.status_code == 200
    assert {row["name"]: row for row in again.json()["rows"]} == before


def test_the_workbook_holds_the_comparison_once_it_is_made(served: Served, compared: dict) -> None:
    data = served.client.get(f"/v1/jobs/{compared['id']}/plan.xlsx").content
    leaf = openpyxl.load_workbook(io.BytesIO(data))["Ways to buy"]
    names = [row[0].value for row in leaf.iter_rows(min_row=2)]
    assert names == list(rows(served, compared["id"]))
    other = served.post(two_yards(), wait=60).json()
    plain = openpyxl.load_workbook(io.BytesIO(served.client.get(f"/v1/jobs/{other['id']}/plan.xlsx").content))
    assert "Ways to buy" not in plain.sheetnames


def test_the_page_asks_for_it_without_a_script(served: Served) -> None:
    answer = served.post(two_yards(), wait=60).json()
    assert "Compare ways to buy" in served.client.get(f"/plans/{answer['id']}").text
    asked = served.client.post(f"/plans/{answer['id']}/comparison")
    assert asked.status_code == 303
    assert asked.headers["location"] == f"/plans/{answer['id']}#comparison"
    until_over(served, answer["id"])
    page = served.client.get(f"/plans/{answer['id']}").text
    assert "Hill yard alone" in page
    assert "only 24 ft of the sticks" in page
    assert "Compare ways to buy" not in page


def test_where_there_is_nothing_to_compare_it_is_said(served: Served) -> None:
    answer = served.post(wait=60).json()
    refused = ask(served, answer["id"])
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/not-possible")
    assert "Compare ways to buy" not in served.client.get(f"/plans/{answer['id']}").text
    assert served.client.get(f"/v1/jobs/{answer['id']}/comparison").status_code == 404
    assert served.client.delete(f"/v1/jobs/{answer['id']}/comparison").status_code == 404
    assert ask(served, "nobody").status_code == 404


def test_a_deleted_comparison_takes_its_jobs_with_it(served: Served) -> None:
    answer = served.post(two_yards(), wait=60).json()
    ask(served, answer["id"])
    ways = ways_of(served, answer["id"])
    assert ways
    assert served.client.delete(f"/v1/jobs/{answer['id']}/comparison").status_code == 204
    assert served.client.get(f"/v1/jobs/{answer['id']}/comparison").status_code == 404
    assert {served.client.get(f"/v1/jobs/{way}").status_code for way in ways} == {404}
    assert served.client.get(f"/v1/jobs/{answer['id']}/plan").status_code == 200
    assert ask(served, answer["id"]).status_code in {200, 202}


def test_a_deleted_job_takes_its_comparison_with_it(served: Served) -> None:
    answer = served.post(two_yards(), wait=60).json()
    ask(served, answer["id"])
    ways = ways_of(served, answer["id"])
    assert ways
    assert served.client.delete(f"/v1/jobs/{answer['id']}").status_code == 204
    assert {served.client.get(f"/v1/jobs/{way}").status_code for way in ways} == {404}


def test_drafts_that_a_job_is_compared_with_are_not_forgotten(served: Served, compared: dict) -> None:
    served.service.store.forget_drafts(-1)
    assert rows(served, compared["id"])["without the rack"]["status"] == "optimal"


def test_a_comparison_can_be_stopped_and_never_keeps_others_waiting(tmp_path: Path) -> None:
    job = long_job()
    job["rack"] = [{"section": "SHS 40x40x3", "length": "2000", "price": "3"}]
    with serving(tmp_path, limits=few()) as served:
        first = served.post(job).json()["id"]
        while served.client.get(f"/v1/jobs/{first}/plan").status_code == 409:
            pass
        served.client.post(f"/v1/jobs/{first}/stop")
        served.until(first)
        assert ask(served, first).status_code == 202
        states = [row["state"] for row in served.client.get(f"/v1/jobs/{first}/comparison").json()["rows"]]
        assert states[0] == "done"
        assert len(states) == 5
        # The next job of the same client waits for the one solve that runs, not for the whole comparison.
        other = served.post().json()["id"]
        assert (served.client.get(f"/v1/jobs/{other}").json()["ahead"] or 0) <= 1
        stopped = served.client.post(f"/v1/jobs/{first}/comparison/stop")
        assert stopped.status_code == 200
        over = until_over(served, first)
        assert "cancelled" in {row["state"] for row in over["rows"]}
        assert served.until(other)["state"] == "done"
        page = served.client.get(f"/plans/{first}").text
        assert "not looked at" in page


def test_where_the_queue_has_no_place_for_all_ways_none_is_kept(tmp_path: Path) -> None:
    with serving(tmp_path, limits=few(waiting=2, waiting_each=2)) as served:
        first = served.post(two_yards(), wait=60).json()["id"]
        busy = served.post(long_job()).json()["id"]
        served.until(busy, "working")
        full = ask(served, first)
        assert (full.status_code, full.json()["type"]) == (429, "/problems/queue-full")
        assert served.client.get(f"/v1/jobs/{first}/comparison").status_code == 404
        served.client.post(f"/v1/jobs/{busy}/cancel")


def test_the_demo_of_two_yards_says_what_the_rack_saved(served: Served) -> None:
    job = json.loads(json.dumps(tomllib.loads(FIXTURE.read_text(), parse_float=Decimal), default=str))
    answer = served.post(job, wait=100).json()
    found = ask(served, answer["id"], Prefer="wait=110").json()
    assert found["over"]
    more = {row["name"]: row["more"] for row in found["rows"]}
    assert more["without the rack"] == "30.66"
    assert more["without substitutes"] == "6.46"
