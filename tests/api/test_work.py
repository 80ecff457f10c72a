"""A plan taken in hand over HTTP: received, sawn, spoilt, planned anew, revised, traced, ended."""

import csv
import io
import json
import os
import threading

import jsonschema
import pytest

from api.routes.examples import JOB_JSON
from api.routes.rack.examples import EVENTS, RECEIVED, TAKE
from api.service.problems import Kind
from tests.api.test_errors import check_problem
from tests.served import Served, serving, stand

SECTION = "SHS 1-1/2x1-1/2x1/8"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Served:
    with serving(tmp_path_factory.mktemp("work")) as running:
        yield running


def planned(shop: Served, own: list[str] | None = None, **changes) -> str:
    """Post a job whose plan is done; 4 x 80 1/2 and 6 x 34 5/8 take three sticks of 20 ft."""
    lines = [{"id": name, "section": SECTION, "length": "200 in", "quantity": 1} for name in own or []]
    answer = shop.post(stand(keep_from="12 in", **({"own": lines} if lines else {}), **changes), wait=60).json()
    assert answer["plan"]["status"] == "optimal", answer
    return answer["id"]


def take(shop: Served, job: str) -> dict:
    answer = shop.client.post("/v1/works", json={"job": job, "who": "Office"})
    assert answer.status_code == 201, answer.text
    assert answer.headers["location"] == f"/v1/works/{job}"
    return answer.json()


def work(shop: Served, work_id: str) -> dict:
    answer = shop.client.get(f"/v1/works/{work_id}")
    assert answer.status_code == 200, answer.text
    return answer.json()


def came(shop: Served, work_id: str, **lengths: str) -> dict:
    """Receive everything that is expected, some of it with a measured length."""
    bars = [bar for bar in work(shop, work_id)["bars"] if bar["state"] == "expected"]
    lines = [
        {"bar": bar["number"], "heat": f"H{bar['number']}"}
        | ({"length": lengths[bar["name"]]} if bar["name"] in lengths else {})
        for bar in bars
    ]
    answer = shop.client.post(f"/v1/works/{work_id}/receive", json={"lines": lines})
    assert answer.status_code == 200, answer.text
    return answer.json()


def tell(shop: Served, work_id: str, *events: dict) -> list[dict]:
    answer = shop.client.post(f"/v1/works/{work_id}/events", json={"events": list(events), "who": "phone"})
    assert answer.status_code == 200, answer.text
    assert answer.json()["version"] == work(shop, work_id)["version"]
    return answer.json()["answers"]


def anew(shop: Served, work_id: str) -> dict:
    answer = shop.client.post(f"/v1/works/{work_id}/replans", json={"limit": 20})
    assert answer.status_code == 200, answer.text
    return answer.json()


def described(shop: Served, answer, path: str, method: str = "post") -> None:
    """Check an answer against what the API says of it."""
    document = shop.client.get("/v1/openapi.json").json()
    content = document["paths"][path][method]["responses"][str(answer.status_code)]["content"]
    jsonschema.validate(answer.json(), {**content["application/json"]["schema"], "components": document["components"]})


def test_a_whole_work_from_the_yard_to_the_last_drop(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    assert (state["revision"], state["sticks"], state["parts_asked"], state["parts_made"]) == ("A", 3, 10, 0)
    assert all(bar["state"] == "expected" for bar in state["bars"])
    assert came(shop, work_id)["flags"] == []
    slots = work(shop, work_id)["slots"]
    for number, slot in enumerate(slots):
        (answer,) = tell(shop, work_id, {"key": f"{work_id}-{number}", "kind": "tick", "slot": slot["id"]})
        assert answer["done"], answer
    state = work(shop, work_id)
    assert (state["parts_made"], state["sticks_sawn"]) == (10, 3)
    assert {part["missing"] for part in state["parts"]} == {0}
    drops = [bar for bar in state["bars"] if bar["origin"] == "drop"]
    assert drops
    assert all(drop["state"] == "free" and drop["heat"] == f"H{drop['parent']}" for drop in drops)
    assert shop.client.post(f"/v1/works/{work_id}/finish", json={"who": "Office"}).status_code == 200
    assert work(shop, work_id)["state"] == "done"
    assert shop.service.shop.balance() == ()


def test_the_examples_are_answered_as_described(shop: Served) -> None:
    begun = shop.client.post("/v1/works", json={**TAKE["value"], "job": planned(shop)})
    described(shop, begun, "/v1/works")
    work_id = begun.json()["id"]
    bars = [bar["number"] for bar in begun.json()["bars"]]
    lines = [{**line, "bar": bar} for line, bar in zip(RECEIVED["value"]["lines"], bars, strict=False)]
    received = shop.client.post(f"/v1/works/{work_id}/receive", json={**RECEIVED["value"], "lines": lines})
    assert received.status_code == 200, received.text
    described(shop, received, "/v1/works/{work_id}/receive")
    slots = [slot["id"] for slot in begun.json()["slots"]]
    events = [
        {**event, "slot": slots[event["slot"] - 1]} if "slot" in event else event for event in EVENTS["value"]["events"]
    ]
    told = shop.client.post(f"/v1/works/{work_id}/events", json={**EVENTS["value"], "events": events})
    described(shop, told, "/v1/works/{work_id}/events")
    assert [answer["done"] for answer in told.json()["answers"]] == [True] * 3, told.text
    revised = shop.client.post(f"/v1/works/{work_id}/revise", json=JOB_JSON["value"])
    assert revised.status_code == 200, revised.text
    described(shop, revised, "/v1/works/{work_id}/revise")
    proposal = shop.client.post(f"/v1/works/{work_id}/replans")
    described(shop, proposal, "/v1/works/{work_id}/replans")
    for path in ("/v1/works", "/v1/works/{work_id}"):
        described(shop, shop.client.get(path.format(work_id=work_id)), path, "get")


def test_two_plans_never_get_the_same_piece_and_the_second_hears_who_has_it(shop: Served) -> None:
    bars = [{"section": SECTION, "length": "200 in", "quantity": 2}]
    names = shop.client.post("/v1/rack", json={"bars": bars}).json()["bars"]
    jobs = [planned(shop, names, title=title) for title in ("Stall one", "Stall two")]
    answers = []
    barrier = threading.Barrier(2)

    def begin(job: str) -> None:
        barrier.wait()
        answers.append(shop.client.post("/v1/works", json={"job": job}))

    threads = [threading.Thread(target=begin, args=(job,)) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    won, lost = sorted(answers, key=lambda answer: answer.status_code)
    assert won.status_code == 201
    body = check_problem(lost, Kind.TAKEN)
    taken = {bar["name"] for bar in won.json()["bars"] if bar["state"] == "reserved"}
    assert taken
    assert len(body["errors"]) == len(taken)
    for name, error in zip(sorted(taken), body["errors"], strict=True):
        assert name in error["detail"]
        assert won.json()["title"] in error["detail"]
    loser = next(job for job in jobs if job != won.json()["id"])
    assert shop.client.get(f"/v1/works/{loser}").status_code == 404
    shop.client.post(f"/v1/works/{won.json()['id']}/drop", json={"expected": "cancel"})
    assert shop.client.post("/v1/works", json={"job": loser}).status_code == 201
    shop.client.post(f"/v1/works/{loser}/drop", json={})


def test_a_plan_is_taken_in_hand_once_and_then_can_t_be_deleted(shop: Served) -> None:
    job = planned(shop)
    take(shop, job)
    check_problem(shop.client.post("/v1/works", json={"job": job}), Kind.NOT_POSSIBLE)
    check_problem(shop.client.delete(f"/v1/jobs/{job}"), Kind.IN_HAND)
    assert shop.client.get(f"/v1/jobs/{job}/plan").status_code == 200


@pytest.mark.parametrize(
    ("method", "path", "body", "kind"),
    [
        ("POST", "/v1/works", {"job": "nobody"}, Kind.NOT_FOUND),
        ("POST", "/v1/works", {}, Kind.INVALID_PARAMETERS),
        ("GET", "/v1/works/nobody", None, Kind.NOT_FOUND),
        ("GET", "/v1/works/nobody/cut-sheet.pdf", None, Kind.NOT_FOUND),
        ("POST", "/v1/works/nobody/events", {"events": [{}]}, Kind.NOT_FOUND),
        ("POST", "/v1/works/nobody/replans", {}, Kind.NOT_FOUND),
        ("POST", "/v1/works/nobody/replans/accept", {"proposal": "x"}, Kind.NOT_FOUND),
        ("POST", "/v1/works/nobody/finish", {}, Kind.NOT_FOUND),
        ("POST", "/v1/works/nobody/events", {"events": []}, Kind.INVALID_PARAMETERS),
    ],
)
def test_each_kind_of_error(shop: Served, method: str, path: str, body: dict | None, kind: Kind) -> None:
    check_problem(shop.client.request(method, path, json=body), kind)


def test_a_job_without_a_plan_can_t_be_taken_in_hand(shop: Served) -> None:
    parts = [{"section": SECTION, "length": "21 ft", "quantity": 1}]
    job = shop.post(stand(parts=parts), wait=60).json()["id"]
    check_problem(shop.client.post("/v1/works", json={"job": job}), Kind.NOT_POSSIBLE)


def test_a_stick_that_comes_too_short_is_flagged_at_once(shop: Served) -> None:
    state = take(shop, planned(shop))
    name = state["slots"][0]["bar"]
    (flag,) = came(shop, state["id"], **{name: "150 in"})["flags"]
    assert (flag["bar"], flag["layout"]) == (name, state["slots"][0]["layout"])
    assert "short" in flag["words"]
    assert [flag["words"]] == [each["words"] for each in work(shop, state["id"])["flags"]]


def test_what_came_is_booked_whole_or_not_at_all(shop: Served) -> None:
    state = take(shop, planned(shop))
    first, second, *_ = [bar["number"] for bar in state["bars"]]
    lines = [{"bar": first, "length": "long"}, {"bar": second, "length": "-3"}]
    body = check_problem(
        shop.client.post(f"/v1/works/{state['id']}/receive", json={"lines": lines}), Kind.INVALID_PARAMETERS
    )
    assert [error["pointer"] for error in body["errors"]] == ["#/lines/0/length", "#/lines/1/length"]
    stray = shop.client.post(f"/v1/works/{state['id']}/receive", json={"lines": [{"bar": first}, {"bar": 999_999}]})
    assert stray.status_code in {404, 409}
    assert {bar["state"] for bar in work(shop, state["id"])["bars"]} == {"expected"}
    called_off = {"lines": [{"bar": first, "cancel": True}]}
    assert shop.client.post(f"/v1/works/{state['id']}/receive", json=called_off).json()["flags"]


def test_events_are_answered_one_by_one_and_a_bad_one_holds_up_none(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    came(shop, work_id)
    one, two, three = [slot["id"] for slot in state["slots"]]
    events = [
        {"key": "a", "kind": "tick", "slot": one},
        {"key": "b", "kind": "tick", "slot": 999_999},
        {"key": "c", "kind": "melt", "slot": two},
        {"key": "d", "kind": "short", "slot": two, "length": "soon"},
        {"kind": "tick", "slot": two},
        {"key": "e", "kind": "tick", "slot": two, "parts": 1},
        {"key": "f", "kind": "blade", "kerf": "1/8"},
    ]
    answers = tell(
        shop,
        work_id,
        *[{**event, **({"key": f"{work_id}{event['key']}"} if "key" in event else {})} for event in events],
    )
    assert [answer["done"] for answer in answers] == [True, False, False, False, False, True, True]
    problems = [answer["problem"] for answer in answers if answer["problem"]]
    assert [problem["type"] for problem in problems] == [
        "/problems/not-found",
        *["/problems/invalid-parameters"] * 3,
    ]
    assert problems[1]["errors"][0]["pointer"] == "#/events/2"
    assert problems[2]["errors"][0]["pointer"] == "#/events/3/length"
    assert problems[3]["errors"][0]["pointer"] == "#/events/4/key"
    assert work(shop, work_id)["kerf"] == "1/8 in"
    assert {slot["id"]: slot["sawn"] for slot in work(shop, work_id)["slots"]}[two] == 1
    assert three


LONE = "\ud800"
HUGE = 10**30


def escaped(shop: Served, path: str, body: dict):
    """Post JSON with everything but ASCII escaped, as half a surrogate pair can't be sent otherwise."""
    return shop.client.post(path, content=json.dumps(body), headers={"Content-Type": "application/json"})


@pytest.mark.parametrize(
    "event",
    [
        {"kind": "tick", "slot": HUGE},
        {"kind": "short", "slot": HUGE, "length": "1"},
        {"kind": "spoilt", "slot": HUGE, "position": 1},
        {"kind": "undo", "entry": HUGE},
        {"kind": LONE},
        {"kind": "tick", "slot": 1, LONE: 1},
        {"kind": "tick", "slot": 1, "key": LONE},
        {"kind": "short", "slot": 1, "length": LONE},
    ],
)
def test_an_event_that_no_store_can_hold_is_the_sender_s_fault_and_holds_up_none(shop: Served, event: dict) -> None:
    work_id = take(shop, planned(shop))["id"]
    events = [{"key": f"{work_id}-1", **event}, {"key": f"{work_id}-2", "kind": "blade", "kerf": "1/8"}]
    answer = escaped(shop, f"/v1/works/{work_id}/events", {"events": events})
    assert answer.status_code == 200, answer.text
    bad, good = answer.json()["answers"]
    assert bad["problem"]["type"] == "/problems/invalid-parameters"
    assert good["done"]


@pytest.mark.parametrize(
    ("path", "body", "pointer"),
    [
        ("/v1/rack/undo", {"entry": HUGE}, "#/entry"),
        ("/v1/rack/undo", {"entry": 1, "who": LONE}, "#/who"),
        ("/v1/rack/undo", {"entry": 1, f"x{LONE}": 1}, "#"),
        ("/v1/rack/stock-take", {"lines": [{"section": SECTION, "length": "9 in", "found": False}]}, "#/lines/0/found"),
        ("/v1/works/{}/receive", {"lines": [{"bar": HUGE}]}, "#/lines/0/bar"),
        ("/v1/works/{}/receive", {"lines": [{"bar": 1, "heat": "H\x00"}]}, "#/lines/0/heat"),
    ],
)
def test_what_no_store_can_hold_is_refused_by_its_field(shop: Served, path: str, body: dict, pointer: str) -> None:
    path = path.format(take(shop, planned(shop))["id"])
    refused = check_problem(escaped(shop, path, body), Kind.INVALID_PARAMETERS)
    assert [error["pointer"] for error in refused["errors"]] == [pointer]


def test_an_event_that_comes_twice_counts_once_and_gets_the_first_answer(shop: Served) -> None:
    state = take(shop, planned(shop))
    came(shop, state["id"])
    event = {"key": f"{state['id']}-once", "kind": "tick", "slot": state["slots"][0]["id"]}
    first, second = tell(shop, state["id"], event)[0], tell(shop, state["id"], event)[0]
    assert (first["repeated"], second["repeated"]) == (False, True)
    assert {**first, "repeated": True} == second
    other = tell(shop, state["id"], {**event, "slot": state["slots"][1]["id"]})[0]
    assert not other["done"]
    undone = tell(shop, state["id"], {"key": f"{state['id']}-back", "kind": "undo", "entry": first["entry"]})[0]
    assert undone["done"]
    assert work(shop, state["id"])["sticks_sawn"] == 0


def test_a_spoilt_part_is_planned_anew_for_the_least_money_and_the_rest_stays(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    came(shop, work_id)
    slot = state["slots"][0]
    (answer,) = tell(shop, work_id, {"key": f"{work_id}-s", "kind": "spoilt", "slot": slot["id"], "position": 1})
    assert answer["bars"]
    before = work(shop, work_id)
    assert sum(part["missing"] for part in before["parts"]) == len(slot["parts"])
    proposal = anew(shop, work_id)
    # 5 x 34 5/8 and 3 x 80 1/2 or so are left; two sticks and a remnant hold them all but one long part:
    assert proposal["possible"]
    assert proposal["certain"]
    assert proposal["pay"] is None or proposal["pay"] in {"0.00", "0", "61.40"}
    assert set(proposal["kept"]) <= {each["id"] for each in state["slots"][1:]}
    accepted = shop.client.post(f"/v1/works/{work_id}/replans/accept", json={"proposal": proposal["proposal"]})
    assert accepted.status_code == 200, accepted.text
    after = work(shop, work_id)
    assert after["revision"] == "B"
    assert {part["missing"] for part in after["parts"]} == {0}
    assert [each["state"] for each in after["slots"] if each["id"] in proposal["void"]] == ["void"] * len(
        proposal["void"]
    )
    old = {each["layout"] for each in state["slots"]}
    assert not old & {each["layout"] for each in after["slots"] if each["revision"] == "B"}
    assert shop.service.shop.balance() == ()


def test_a_proposal_falls_with_a_change_of_the_work(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    came(shop, work_id)
    one, two, *_ = [slot["id"] for slot in state["slots"]]
    tell(shop, work_id, {"key": f"{work_id}-1", "kind": "spoilt", "slot": one, "position": 1})
    proposal = anew(shop, work_id)
    tell(shop, work_id, {"key": f"{work_id}-2", "kind": "tick", "slot": two, "parts": 1})
    late = shop.client.post(f"/v1/works/{work_id}/replans/accept", json={"proposal": proposal["proposal"]})
    check_problem(late, Kind.STALE)
    unknown = shop.client.post(f"/v1/works/{work_id}/replans/accept", json={"proposal": "of-another-day"})
    check_problem(unknown, Kind.STALE)
    assert work(shop, work_id)["revision"] == "A"


def hungry(_line, *_arguments) -> None:
    """Want more memory than any child may take."""
    bytearray(2**40)


def crashing(_line, *_arguments) -> None:
    """End without a word."""
    os._exit(7)


@pytest.mark.parametrize(("task", "kind"), [(hungry, Kind.TOO_HARD_TO_READ), (crashing, Kind.DEFECT)])
def test_a_replan_that_goes_wrong_fails_alone(shop: Served, monkeypatch, task, kind: Kind) -> None:
    state = take(shop, planned(shop))
    monkeypatch.setattr("api.service.runner.replanning.replan_task", task)
    check_problem(shop.client.post(f"/v1/works/{state['id']}/replans", json={"limit": 5}), kind)
    monkeypatch.undo()
    assert shop.client.get("/readyz").status_code == 200
    assert work(shop, state["id"]) == state
    assert anew(shop, state["id"])["possible"]


def test_a_new_drawing_is_shown_before_it_counts_and_parts_cut_for_nothing_go_to_the_rack(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    came(shop, work_id)
    slot = next(each for each in state["slots"] if "A" in [part["mark"] for part in each["parts"]])
    tell(shop, work_id, {"key": f"{work_id}-t", "kind": "tick", "slot": slot["id"]})
    job = json.loads(shop.client.get(f"/v1/works/{work_id}/job").content)
    job["parts"] = [part for part in job["parts"] if part["mark"] != "A"]
    looked = shop.client.post(f"/v1/works/{work_id}/revise?look=true", json=job).json()
    assert looked["outcome"] is None
    assert any(words.startswith("A is no longer asked for") for words in looked["changes"])
    assert work(shop, work_id)["parts_asked"] == 10
    revised = shop.client.post(f"/v1/works/{work_id}/revise?who=Designer", json=job).json()
    assert revised["changes"] == looked["changes"]
    assert revised["outcome"]["flags"]
    surplus = [made["id"] for made in work(shop, work_id)["made_parts"] if made["state"] == "surplus"]
    assert surplus
    back = shop.client.post(f"/v1/works/{work_id}/surplus", json={"made": surplus})
    assert back.status_code == 200, back.text
    piece = shop.client.get(f"/v1/rack/{back.json()['bars'][0][1:]}").json()
    assert (piece["origin"], piece["length"], piece["state"]) == ("part", "80 1/2 in", "free")
    assert piece["heat"]
    bad = shop.client.post(f"/v1/works/{work_id}/revise", json={**job, "parts": [{"length": "x"}]})
    check_problem(bad, Kind.INVALID_JOB)
    assert shop.service.shop.balance() == ()


def test_every_part_is_traced_to_its_heat(shop: Served) -> None:
    state = take(shop, planned(shop))
    work_id = state["id"]
    came(shop, work_id)
    tell(shop, work_id, {"key": f"{work_id}-t", "kind": "tick", "slot": state["slots"][0]["id"]})
    table = shop.client.get(f"/v1/works/{work_id}/trace.csv").content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(table)))
    sawn = [row for row in rows if "sawn" in row.values()]
    assert len(sawn) == len(state["slots"][0]["parts"])
    heat = f"H{state['slots'][0]['bar'][1:]}"
    assert all(heat in row.values() for row in sawn)


def test_papers_of_the_revision_in_force(shop: Served) -> None:
    state = take(shop, planned(shop))
    for path in ("cut-sheet.pdf", "cut-sheet.pdf?changed=true&paper=a4", "labels.pdf", "trace.pdf"):
        answer = shop.client.get(f"/v1/works/{state['id']}/{path}")
        assert answer.status_code == 200, answer.text
        assert answer.content.startswith(b"%PDF-")
        assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    wrong = shop.client.get(f"/v1/works/{state['id']}/labels.pdf?used=99")
    check_problem(wrong, Kind.INVALID_PARAMETERS)


@pytest.mark.parametrize(("expected", "state"), [("cancel", "cancelled"), ("keep", "expected")])
def test_a_work_given_up_frees_what_is_not_cut(shop: Served, expected: str, state: str) -> None:
    begun = take(shop, planned(shop))
    first = begun["bars"][0]["number"]
    shop.client.post(f"/v1/works/{begun['id']}/receive", json={"lines": [{"bar": first}]})
    check_problem(shop.client.post(f"/v1/works/{begun['id']}/finish", json={}), Kind.NOT_POSSIBLE)
    answer = shop.client.post(f"/v1/works/{begun['id']}/drop", json={"expected": expected, "who": "Office"})
    assert answer.status_code == 200, answer.text
    bars = {bar["number"]: bar["state"] for bar in work(shop, begun["id"])["bars"]}
    assert bars.pop(first) == "free"
    assert set(bars.values()) == {state}
    assert work(shop, begun["id"])["state"] == "dropped"
    listed = [each["id"] for each in shop.client.get("/v1/works").json()["works"]]
    assert begun["id"] in listed


def test_a_job_may_be_offered_the_shop_s_rack(shop: Served) -> None:
    part = {"mark": "A", "section": "L 2x2x1/4", "length": "30 in", "quantity": 1}
    offer = {"section": "L 2x2x1/4", "length": "20 ft", "price": "31.00"}
    (name,) = shop.client.post("/v1/rack", json={"bars": [{"section": "L 2x2x1/4", "length": "41 in"}]}).json()["bars"]
    job = stand(parts=[part], sticks=[offer])
    without = shop.client.post("/v1/jobs", json=job, headers={"Prefer": "wait=60"}).json()
    offered = shop.client.post("/v1/jobs?rack=true", json=job, headers={"Prefer": "wait=60"}).json()
    assert (without["plan"]["cost"], offered["plan"]["cost"]) == ("31.00", "0.00")
    assert [line["id"] for line in offered["plan"]["buy"]] == [name]
    begun = take(shop, offered["id"])
    assert [bar["name"] for bar in begun["bars"]] == [name]
    shop.client.post(f"/v1/works/{begun['id']}/drop", json={})


def test_sticks_of_a_layout_keep_their_count_when_one_of_them_is_replaced(shop: Served) -> None:
    state = take(shop, planned(shop, parts=[{"mark": "A", "section": SECTION, "length": "100 in", "quantity": 6}]))
    name = state["slots"][0]["bar"]
    came(shop, state["id"], **{name: "150 in"})
    proposal = anew(shop, state["id"])
    shop.client.post(f"/v1/works/{state['id']}/replans/accept", json={"proposal": proposal["proposal"]})
    page = shop.client.get(f"/works/{state['id']}").text
    assert "stick 2 of 3" in page
    assert "stick 3 of 3" in page
    assert "stick 1 of 3" not in page
